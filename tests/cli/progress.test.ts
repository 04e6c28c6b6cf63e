/** What a user sees of long work. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { progressLines, type ProgressLines } from '../../src/commands/progress-lines.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { wavBytes } from '../support/sound-bytes.ts';

/** Progress on a terminal of ours, whose clock the test moves on. */
function shown(isInteractive: boolean): ProgressLines & { at: (ms: number) => void; said: () => string } {
  let now = 5000;
  let said = '';
  const terminal = { out: () => undefined, err: (text: string) => (said += text), isInteractive };
  const lines = progressLines(terminal, () => now);
  return {
    ...lines,
    at: (ms) => {
      now = 5000 + ms;
    },
    said: () => said,
  };
}

describe.each([true, false])('work in a terminal (one that is a screen: %s)', (isInteractive) => {
  it('that is short says nothing', () => {
    const { onProgress, end, at, said } = shown(isInteractive);
    onProgress('reading', 0);
    at(1900);
    onProgress('writing', 0.8);
    end();
    expect(said()).toBe('');
  });

  it('says nothing that paints it, and no more than a line holds', () => {
    const { onProgress, at, said } = shown(isInteractive);
    at(3000);
    onProgress(`stage “\u001b[2J\u202e\nTitle ${'very '.repeat(40)}”`, 0.5);
    const text = said()
      .replace(/^\r\u001b\[K/, '')
      .replace(/\n$/, '');
    expect(text).not.toMatch(/[\p{Cc}\u202e]/u);
    expect(text.length).toBeLessThan(80);
  });
});

describe('long work', () => {
  it('is one line on a screen, written again and taken away at the end', () => {
    const { onProgress, end, at, said } = shown(true);
    at(10_000);
    onProgress('stage 2', 0.25);
    at(20_000);
    onProgress('stage 3', 0.5);
    end();
    end();
    const erased = '\r\u001b[K';
    expect(said()).toBe(`${erased}25 %, about 30 s more: stage 2${erased}50 %, about 20 s more: stage 3${erased}`);
  });

  it('is a line for each tenth at most elsewhere, and guesses nothing before it knows anything', () => {
    const { onProgress, end, at, said } = shown(false);
    at(3000);
    onProgress('folder 1', 0);
    for (let step = 1; step <= 200; step++) {
      at(3000 + 3000 * step);
      onProgress(`folder ${String(step + 1)}`, step / 201);
    }
    end();
    const lines = said().split('\n');
    expect(lines[0]).toBe('0 %: folder 1');
    expect(lines[1]).toMatch(/^10 %, about 9 min more: folder/);
    expect(lines.length).toBeLessThan(12);
  });
});

it('a build tells how far it is, from nothing on and never back', async () => {
  const folder = scratchFolder();
  for (const stage of [1, 2, 3]) writeFileSync(join(folder, `0${String(stage)} s.mid`), generatedMidi(2, stage));
  const steps: [string, number][] = [];
  const onProgress = (text: string, share: number): number => steps.push([text, share]);
  await buildDossier({ folder, singleFile: false, onProgress }, testEffects());
  const shares = steps.map(([, share]) => share);
  expect(shares).toEqual([...shares].sort((one, other) => one - other));
  expect([shares[0], new Set(shares).size]).toEqual([0, shares.length]);
  expect(shares.at(-1)).toBeLessThan(1);
  expect(steps.map(([text]) => text)).toContain('drawing stage 2 of 3: S');
});

it('a build says which recording is measured', async () => {
  const folder = scratchFolder();
  writeFileSync(join(folder, '01 s.mid'), generatedMidi(2, 1));
  mkdirSync(join(folder, 'stems'));
  writeFileSync(join(folder, 'stems', 'Flute.wav'), wavBytes([[0, 0.5, 0]], { bits: 16, rateHz: 44_100 }));
  const steps: [string, number][] = [];
  const onProgress = (text: string, share: number): number => steps.push([text, share]);
  await buildDossier({ folder, singleFile: false, onProgress }, testEffects());
  expect(steps.slice(0, 2)).toEqual([
    ['reading the folder', 0],
    ['measuring stems/Flute.wav', 0],
  ]);
});
