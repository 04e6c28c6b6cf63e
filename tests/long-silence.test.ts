/** Music that lies hundreds of bars from bar 1, or in two such places: the dossier is that of the music, not of the silence. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { buildDossier } from '../src/build.ts';
import { scratchFolder, testEffects } from './support/effects.ts';
import { midiFile, noteOff, noteOn, track, trackName } from './support/midi-bytes.ts';

const scratch = scratchFolder();
let count = 0;

/** A tune of 24 bars in quarters over a bass in half notes, once for each of these first bars. */
function piece(...firstBars: readonly number[]): Uint8Array {
  const bars = firstBars.flatMap((first) => Array.from({ length: 24 }, (_, bar) => ({ bar: first + bar, step: bar })));
  const line = (name: string, low: number, perBar: number): number[] => {
    let now = 0;
    const events = bars.flatMap(({ bar, step }) =>
      Array.from({ length: perBar }, (_, beat): number[] => {
        const start = (bar - 1) * 1920 + (beat * 1920) / perBar;
        const midi = low + ([0, 2, 4, 5, 7, 4, 2, 7][(step * 3 + beat * 2) % 8] ?? 0);
        const wait = start - now;
        now = start + 1920 / perBar;
        return [...noteOn(wait, midi), ...noteOff(now - start, midi)];
      }),
    );
    return track(trackName(name), ...events);
  };
  return midiFile(1, 480, line('Flute', 72, 4), line('Cello', 48, 2));
}

interface Built {
  readonly bytes: number;
  readonly elements: number;
  readonly dossier: unknown;
}

async function built(music: Uint8Array): Promise<Built> {
  count += 1;
  // The folder's name is the title.
  const folder = join(scratch, String(count), 'piece');
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, '01 sketch.mid'), music);
  const { bytes, folder: out } = await buildDossier({ folder, singleFile: false }, testEffects());
  const page = readFileSync(join(out, 'index.html'), 'utf8');
  const { stages } = JSON.parse(readFileSync(join(out, 'dossier.json'), 'utf8')) as { readonly stages: unknown };
  return { bytes, elements: page.match(/<[a-z]/g)?.length ?? 0, dossier: stages };
}

/** Paths at which two records differ otherwise than by the number of a bar or of a quarter note, moved on by so many bars. */
function differences(one: unknown, other: unknown, bars: number, path = ''): readonly string[] {
  if (typeof one === 'number' && typeof other === 'number') {
    const isMoved = [0, bars, 4 * bars].some((by) => Math.abs(other - one - by) < 1e-5);
    return isMoved ? [] : [`${path}: ${String(one)} and ${String(other)}`];
  }
  if (typeof one === 'string' && typeof other === 'string') {
    const back = other.replaceAll(/\d+/g, (digits) => (Number(digits) > bars ? String(Number(digits) - bars) : digits));
    return back === one ? [] : [`${path}: ${one} and ${other}`];
  }
  if (typeof one !== 'object' || typeof other !== 'object' || one === null || other === null)
    return one === other ? [] : [path];
  const [a, b] = [one as Record<string, unknown>, other as Record<string, unknown>];
  return [...new Set([...Object.keys(a), ...Object.keys(b)])].flatMap((key) =>
    differences(a[key], b[key], bars, `${path}.${key}`),
  );
}

/** The piece as it should be: at bar 1, and there alone. */
let near: Built;

beforeAll(async () => {
  near = await built(piece(1));
});

it('a piece that begins at bar 2997 is read, judged and shown as the same one at bar 1, in as small a dossier', async () => {
  const far = await built(piece(2997));
  expect(differences(near.dossier, far.dossier, 2996)).toEqual([]);
  expect(far.bytes).toBeLessThan(near.bytes * 1.1);
});

it('a piece with a take that lies 3300 bars away makes no larger pages, but for the question', async () => {
  const two = await built(piece(1, 3336));
  expect(two.bytes).toBeLessThan(near.bytes + 10_000);
  expect(two.elements).toBeLessThan(near.elements + 20);
});
