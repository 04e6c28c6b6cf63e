/** Good files, spoilt at random: every outcome is a result or problems, of bounded size, in bounded time, never a throw. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readMemos } from '../../src/read/user-notes/read-memos.ts';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import { readSettings } from '../../src/read/settings/read-settings.ts';
import {
  chunk,
  endOfTrack,
  meter,
  midiFile,
  note,
  smallPiece,
  tempo,
  track,
  trackName,
} from '../support/midi-bytes.ts';

const runs = { numRuns: 400, seed: 20_261_125 };

const seeds: readonly Uint8Array[] = [
  smallPiece(),
  midiFile(0, 0xe728, track(tempo(1), trackName('Frames'), note(60, 1000))),
  midiFile(2, 96, track(meter(3, 2), note(60, 96)), track(note(62, 96))),
  Uint8Array.from([...smallPiece(), ...chunk('XXXX', [1, 2, 3]), ...endOfTrack()]),
];

type Mutation =
  | { readonly kind: 'flip'; readonly at: number; readonly byte: number }
  | { readonly kind: 'cut'; readonly at: number; readonly length: number }
  | { readonly kind: 'splice'; readonly at: number; readonly bytes: Uint8Array }
  | { readonly kind: 'length'; readonly which: number; readonly length: number };

const place = fc.double({ min: 0, max: 1, noNaN: true });

const mutation: fc.Arbitrary<Mutation> = fc.oneof(
  fc.record({ kind: fc.constant('flip' as const), at: place, byte: fc.integer({ min: 0, max: 255 }) }),
  fc.record({ kind: fc.constant('cut' as const), at: place, length: fc.integer({ min: 1, max: 80 }) }),
  fc.record({ kind: fc.constant('splice' as const), at: place, bytes: fc.uint8Array({ minLength: 1, maxLength: 40 }) }),
  fc.record({
    kind: fc.constant('length' as const),
    which: fc.integer({ min: 0, max: 4 }),
    length: fc.oneof(
      fc.integer({ min: 0, max: 400 }),
      fc.constant(0xffffffff),
      fc.integer({ min: 0, max: 0xffffffff }),
    ),
  }),
);

function mutated(bytes: Uint8Array, change: Mutation): Uint8Array {
  const all = [...bytes];
  switch (change.kind) {
    case 'flip':
      all[Math.floor(change.at * (all.length - 1))] = change.byte;
      break;
    case 'cut':
      all.splice(Math.floor(change.at * all.length), change.length);
      break;
    case 'splice':
      all.splice(Math.floor(change.at * all.length), 0, ...change.bytes);
      break;
    case 'length': {
      const starts = all.flatMap((_, index) =>
        String.fromCharCode(...all.slice(index, index + 4)) === 'MTrk' ? [index] : [],
      );
      const start = starts[change.which % Math.max(1, starts.length)];
      if (start !== undefined) {
        for (let byte = 0; byte < 4; byte++)
          all[start + 4 + byte] = Math.floor(change.length / 256 ** (3 - byte)) % 256;
      }
      break;
    }
  }
  return Uint8Array.from(all);
}

function checkMidi(bytes: Uint8Array): void {
  const before = process.cpuUsage();
  const { file, problems } = readMidi(bytes, 'spoilt.mid');
  const { user, system } = process.cpuUsage(before);
  // Microseconds of processor; a hundredth of it is usual.
  expect(user + system).toBeLessThan(10_000_000);
  expect(problems.length).toBeLessThan(60);
  for (const { message, kind } of problems) {
    expect(message).toMatch(/^[^\n]+\.$/);
    expect(['refused', 'remark']).toContain(kind);
  }
  if (file === undefined) {
    expect(problems.some(({ kind }) => kind === 'refused')).toBe(true);
    return;
  }
  for (const { notes, controllers, channel, name } of file.tracks) {
    expect(channel).toBeLessThan(16);
    expect(name.length).toBeLessThanOrEqual(240);
    // Every note and controller takes at least two bytes of the file, so that nothing can be conjured up.
    expect(notes.length + controllers.length).toBeLessThanOrEqual(2 * bytes.length);
    let last = 0;
    for (const { midi, velocity, startTick, endTick } of notes) {
      expect(midi >= 0 && midi <= 127 && velocity >= 1 && velocity <= 127).toBe(true);
      expect(endTick).toBeGreaterThan(startTick);
      expect(startTick).toBeGreaterThanOrEqual(last);
      last = startTick;
    }
  }
  for (const { numerator, denominator } of file.meters)
    expect(numerator > 0 && denominator > 0 && denominator <= 64).toBe(true);
  for (const { microsecondsPerQuarter } of file.tempos) expect(microsecondsPerQuarter).toBeGreaterThan(0);
}

describe('spoilt MIDI files', () => {
  it('are read or refused', () => {
    fc.assert(
      fc.property(fc.constantFrom(...seeds), fc.array(mutation, { minLength: 1, maxLength: 6 }), (seed, changes) => {
        checkMidi(changes.reduce(mutated, seed));
      }),
      runs,
    );
  });

  it('cut anywhere keep their notes from before the cut', () => {
    const whole = smallPiece();
    const { file: wholeFile } = readMidi(whole, 'whole.mid');
    const known = new Set(
      wholeFile?.tracks.flatMap(({ track: number, notes }) =>
        notes.map(({ midi, startTick }) => `${number} ${midi} ${startTick}`),
      ),
    );
    for (let length = 0; length < whole.length; length++) {
      const { file } = readMidi(whole.slice(0, length), 'cut.mid');
      checkMidi(whole.slice(0, length));
      for (const { track: number, notes } of file?.tracks ?? []) {
        for (const { midi, startTick } of notes) expect(known.has(`${number} ${midi} ${startTick}`)).toBe(true);
      }
    }
  });

  it('and bytes at random are read or refused', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (noise) => {
        checkMidi(noise);
        checkMidi(midiFile(1, 96, chunk('MTrk', [...noise])));
      }),
      runs,
    );
  });
});

describe('spoilt text', () => {
  const settings =
    'title: x\nforeground: [{part: Guitar, bars: 1-8}]\nparts:\n  Vn: {players: 8, range: G3-E7}\nlimits: {late-part: 5}\n';
  const notes = '---\nstage: 02\nbars: 1-2\n---\n# Bars 1-4, Horn\nText.\n\nBar 5\n-----\n* more\n';

  it('of settings gives settings or problems with a line', () => {
    fc.assert(
      fc.property(fc.array(mutation, { minLength: 1, maxLength: 5 }), (changes) => {
        const bytes = changes.reduce(mutated, new TextEncoder().encode(settings));
        const { problems, settings: read } = readSettings(bytes, 'dossier.yaml');
        for (const { line, column, message } of problems) {
          expect(line).toBeGreaterThanOrEqual(1);
          expect(column).toBeGreaterThanOrEqual(1);
          expect(message).toMatch(/^[^\n]+\.$/);
        }
        if (problems.length > 0) expect(read.content).toEqual({});
      }),
      runs,
    );
  });

  it('of notes gives memos or problems', () => {
    fc.assert(
      fc.property(fc.array(mutation, { minLength: 1, maxLength: 5 }), (changes) => {
        const bytes = changes.reduce(mutated, new TextEncoder().encode(notes));
        const { memos, problems } = readMemos(bytes, 'notes.md', undefined);
        for (const { bars } of memos)
          if (bars !== undefined) expect(bars.content.from).toBeLessThanOrEqual(bars.content.to);
        for (const { message } of problems) expect(message).toMatch(/^[^\n]+\.$/);
      }),
      runs,
    );
  });
});
