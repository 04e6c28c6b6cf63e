/** Audio of a whole stage: where it lies on the notes, and what is odd about it. */
import { describe, expect, it } from 'vitest';
import type { Arrangement, StageAudio } from '../../src/model/music/arrangement.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { wavBytes } from '../support/sound-bytes.ts';
import { struckPiece, struckRecording, STRUCK_SECONDS } from '../support/struck-piece.ts';

const MIDI = struckPiece([
  ['Flute', 72],
  ['Cello', 48],
]);

function read(files: Readonly<Record<string, Uint8Array | string>>): Promise<Arrangement> {
  return arrangementIn('/in', diskOfFolder('/in', [['piece.mid', MIDI], ...Object.entries(files)]));
}

const audioOf = ({ audio }: Arrangement): StageAudio | undefined => audio?.[0];
const questionsOf = ({ stages }: Arrangement): string => stages[0]?.questions.map(({ text }) => text).join() ?? '';

describe('audio beside a stage', () => {
  it.each([-1.2, 0.137, 14.03])('lies on its notes by its onsets (begun %d s before the music)', async (lead) => {
    const arrangement = await read({ 'piece.wav': struckRecording({ lead }) });
    const { firstBarSecond = 99, placedBy } = audioOf(arrangement) ?? {};
    expect(placedBy).toBe('onsets');
    // Tones that begin and end so hard are found a little early; how near the place is, is tested in place-on-notes.
    expect(Math.abs(firstBarSecond - lead)).toBeLessThan(0.025);
    expect(arrangement.problems).toEqual([]);
    expect(questionsOf(arrangement)).not.toContain('first bar begin');
  });

  it('lies where the settings say, whatever its onsets tell', async () => {
    const settings = 'stages:\n  piece:\n    offset: 0.5\n';
    const audio = audioOf(await read({ 'piece.wav': struckRecording({ lead: 3 }), 'dossier.yaml': settings }));
    expect([audio?.firstBarSecond, audio?.placedBy]).toEqual([0.5, 'settings']);
  });

  it('has its place asked for where the onsets tell nothing, and named in the answer', async () => {
    const hum = wavBytes([Float32Array.from({ length: 30 * 16000 }, (_, index) => 0.1 * Math.sin(index / 9))], {
      rateHz: 16000,
    });
    const arrangement = await read({ 'piece.wav': hum });
    expect([audioOf(arrangement)?.firstBarSecond, audioOf(arrangement)?.placedBy]).toEqual([0, 'midi']);
    expect(questionsOf(arrangement)).toContain(
      'Where in “piece.wav” does the first bar begin? Its onsets do not tell; 0.00 seconds are taken, as in the MIDI file. Say it with stages: "Piece": offset (seconds).',
    );
  });

  it('is only played where it is M4A: nothing is asked, and nothing said', async () => {
    const arrangement = await read({ 'piece.m4a': Uint8Array.from(Buffer.from('\0\0\0\x20ftypM4A and more')) });
    expect([audioOf(arrangement)?.kind, audioOf(arrangement)?.placedBy]).toEqual(['m4a', 'midi']);
    expect(questionsOf(arrangement)).not.toContain('first bar begin');
    expect(arrangement.problems).toEqual([]);
  });

  it.each<readonly [string, Uint8Array, RegExp]>([
    [
      'is slower than the notes',
      struckRecording({ tempo: 0.997 }),
      /^Against the notes this audio drifts by \d\d\d? ms/,
    ],
    ['is cut', struckRecording({ length: STRUCK_SECONDS - 6 }), /^This audio ends [56] seconds before the music/],
    ['goes on', struckRecording({ length: STRUCK_SECONDS + 40 }), /^This audio goes on for [34]\d seconds after/],
    ['is silent', struckRecording({ gain: 0 }), /^This audio is silent/],
  ])('%s: one sentence says so', async (_, bytes, sentence) => {
    const { problems } = await read({ 'piece.wav': bytes });
    expect(problems.map(({ file }) => file)).toEqual(['piece.wav']);
    expect(problems[0]?.message).toMatch(sentence);
  });

  it('that cannot be turned into what a browser plays is refused once, and the next of its name is taken', async () => {
    const broken = struckRecording().slice(0, 30);
    const arrangement = await read({ 'piece.aiff': broken, 'piece.wav': struckRecording() });
    expect(audioOf(arrangement)?.file).toBe('piece.wav');
    expect(arrangement.problems.map(({ kind, file }) => [kind, file])).toEqual([['refused', 'piece.aiff']]);
  });
});
