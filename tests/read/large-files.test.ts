import { describe, expect, it } from 'vitest';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import { chunk, endOfTrack, header, tempo, trackName, vlq } from '../support/midi-bytes.ts';

/** Quarter notes with two controllers under each, written flat for speed. */
function longPiece(tracks: number, bars: number): Uint8Array {
  const chunks: (readonly number[])[] = [
    header(1, tracks + 1, 480),
    chunk('MTrk', [...tempo(500_000), ...endOfTrack()]),
  ];
  for (let part = 1; part <= tracks; part++) {
    const events: number[] = trackName(`Part ${part}`);
    for (let beat = 0; beat < 4 * bars; beat++) {
      const midi = 60 + (beat % 12);
      events.push(0, 0x90, midi, 80, ...vlq(120), 0xb0, 1, beat % 128, ...vlq(120), 0xb0, 11, (beat * 3) % 128);
      events.push(...vlq(240), 0x80, midi, 0);
    }
    events.push(...endOfTrack());
    chunks.push(chunk('MTrk', events));
  }
  const file = new Uint8Array(chunks.reduce((length, { length: more }) => length + more, 0));
  let at = 0;
  for (const content of chunks) {
    file.set(content, at);
    at += content.length;
  }
  return file;
}

/** Processor seconds, which other programs on the machine do not lengthen. */
function secondsFor(bytes: Uint8Array): number {
  const before = process.cpuUsage();
  const { file, problems } = readMidi(bytes, 'long.mid');
  const { user, system } = process.cpuUsage(before);
  expect(problems).toEqual([]);
  expect(file?.tracks.length).toBe(40);
  return (user + system) / 1_000_000;
}

describe('a thousand bars of forty parts', () => {
  it('are read in seconds, and cost ten times what a tenth of them costs, not a hundred times', () => {
    secondsFor(longPiece(40, 50));
    // The least of three: a busy machine makes single runs dearer, by up to ten times.
    const least = (bars: number): number => Math.min(...[1, 2, 3].map(() => secondsFor(longPiece(40, bars))));
    const short = least(100);
    const long = least(1000);
    expect(long).toBeLessThan(10);
    expect(long / Math.max(short, 0.05)).toBeLessThan(40);
  });

  it('hold every note', () => {
    const { file } = readMidi(longPiece(40, 1000), 'long.mid');
    const notes = file?.tracks.reduce((count, track) => count + track.notes.length, 0);
    expect(notes).toBe(160_000);
    expect(file?.lastTick).toBe(4000 * 480);
  });
});
