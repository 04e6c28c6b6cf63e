/**
 * Source: `midifile` 2.0.0 with `midievents`, a reader written apart from the parser that we use. Both must find the
 * same notes in every file: ours by its own pairing, theirs from its event list, paired here by the same rule (first
 * in, first out), in a few lines of its own.
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { basename, join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import { filesUnder } from '../support/files-under.ts';
import { openDataFolder } from '../support/open-data.ts';

interface TheirEvent {
  readonly delta: number;
  readonly type: number;
  readonly subtype: number;
  readonly channel?: number;
  readonly param1?: number;
  readonly param2?: number;
}

interface TheirFile {
  readonly tracks: readonly unknown[];
  readonly getTrackEvents: (track: number) => readonly TheirEvent[];
}

const load = createRequire(import.meta.url);
const TheirReader = load('midifile') as new (bytes: Uint8Array) => TheirFile;
const CHANNEL_EVENT = 0x8;
const NOTE_OFF = 0x8;
const NOTE_ON = 0x9;

/** `track/channel key velocity start-end`, sorted. */
type NoteWords = readonly string[];

function theirNotes(bytes: Uint8Array): NoteWords {
  const file = new TheirReader(bytes);
  return file.tracks
    .flatMap((_, index) => {
      const words: string[] = [];
      const open = new Map<string, { tick: number; velocity: number }[]>();
      let tick = 0;
      for (const { delta, type, subtype, channel = 0, param1 = 0, param2 = 0 } of file.getTrackEvents(index)) {
        tick += delta;
        if (type !== CHANNEL_EVENT) continue;
        const key = `${index + 1}/${channel} ${param1}`;
        const sounding = open.get(key) ?? [];
        open.set(key, sounding);
        if (subtype === NOTE_ON && param2 > 0) {
          sounding.push({ tick, velocity: param2 });
        } else if (subtype === NOTE_ON || subtype === NOTE_OFF) {
          const begun = sounding.shift();
          if (begun !== undefined)
            words.push(`${key} ${begun.velocity} ${begun.tick}-${Math.max(tick, begun.tick + 1)}`);
        }
      }
      for (const [key, sounding] of open) {
        for (const { velocity, tick: start } of sounding) words.push(`${key} ${velocity} ${start}-${tick}`);
      }
      return words;
    })
    .sort();
}

function ourNotes(bytes: Uint8Array): NoteWords {
  const { file, problems } = readMidi(bytes, 'file.mid');
  if (file === undefined) throw new Error(problems.map(({ message }) => message).join(' '));
  return file.tracks
    .flatMap(({ track, channel, notes }) =>
      notes.map(
        ({ midi, velocity, startTick, endTick }) => `${track}/${channel} ${midi} ${velocity} ${startTick}-${endTick}`,
      ),
    )
    .sort();
}

describe.each([
  ['open test files', openDataFolder, 15],
  ['the sample', resolve('sample-input'), 1],
])('an independent reader finds the same notes as ours in %s', (_what, folder, least) => {
  const files = filesUnder(folder)
    .filter((path) => /\.mid$/i.test(path))
    .map((path) => join(folder, path));

  it('there are enough of them', () => {
    expect(files.length).toBeGreaterThanOrEqual(least);
  });

  it.each(files.map((file) => [basename(file), file] as const))('%s', (_, file) => {
    const bytes = new Uint8Array(readFileSync(file));
    const ours = ourNotes(bytes);
    expect(ours).toEqual(theirNotes(bytes));
    expect(ours.length).toBeGreaterThan(0);
  });
});
