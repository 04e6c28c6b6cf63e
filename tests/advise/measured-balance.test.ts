/** Where the parts were recorded, balance is judged by the recordings. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { beatsOf } from '../../src/model/music/beats.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import type { Stem } from '../../src/model/recordings/stems.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(24);

/** A recording at one loudness (LUFS), in bars `from` to `to` at another; all its sound in the bands of one ERB from 10 to 15. */
function recorded(name: string, partIds: readonly string[], usual: number, from = 0, to = 0, there = usual): Stem {
  return {
    file: `stems/${name}.wav`,
    partIds,
    form: 'WAV, 24 bits',
    rateHz: 48000,
    channelCount: 2,
    seconds: 60,
    offsetSeconds: 0,
    beats: beatsOf(timeline).map(({ barIndex }) => {
      const levelDb = barIndex + 1 >= from && barIndex < to ? there : usual;
      return { levelDb, bandsDb: Array.from({ length: 43 }, (_, band) => (band >= 10 && band < 16 ? levelDb : -120)) };
    }),
  };
}

const front = (velocity = 80): Part =>
  partOf('oboe', figure('A5 G5', 1, 1, 24, velocity), timeline, { role: 'foreground' });
const horn = (loud: number, from: number, to: number): Part =>
  partOf(
    'horn-f',
    [
      from > 1 ? figure('A3', 1, 1, from - 1, 30) : '',
      figure('A3', 1, from, to, loud),
      figure('A3', 1, to + 1, 24, 30),
    ].join(' '),
    timeline,
  );
const judged = (parts: readonly Part[], stems: readonly Stem[] = []): readonly Finding[] =>
  findingsOf(stageOf(parts, timeline, stems.length === 0 ? {} : { stems }));

describe('the background as loud as the foreground', () => {
  it('is not said where recordings have it far behind', () => {
    const parts = [front(), horn(100, 9, 12)];
    expect(barsOf(judged(parts), 'background-as-loud')).toEqual([['look', 9, 12]]);
    const stems = [recorded('Oboe', ['oboe'], -24), recorded('Horn', ['horn-in-f'], -40)];
    expect(barsOf(judged(parts, stems), 'background-as-loud')).toEqual([]);
  });

  it('is said where only the recordings have it, and on which files', () => {
    const parts = [front(), horn(30, 9, 12)];
    expect(barsOf(judged(parts), 'background-as-loud')).toEqual([]);
    const stems = [recorded('Oboe', ['oboe'], -24), recorded('Horn', ['horn-in-f'], -40, 9, 12, -18)];
    const findings = judged(parts, stems);
    expect(barsOf(findings, 'background-as-loud')).toEqual([['look', 9, 12]]);
    expect(messageOf(findings, 'background-as-loud')).toBe(
      'The background together is about 6 dB louder than Oboe in bars 9–12 (measured on “stems/Oboe.wav” and “stems/Horn.wav”); most of it is Horn in F.',
    );
    expect(findings.find(({ rule }) => rule === 'background-as-loud')?.advice).toContain('By these recordings');
  });

  it('stays estimated where somebody who plays has no recording', () => {
    const parts = [front(), horn(100, 9, 12)];
    const findings = judged(parts, [recorded('Oboe', ['oboe'], -24)]);
    expect(barsOf(findings, 'background-as-loud')).toEqual([['look', 9, 12]]);
    expect(messageOf(findings, 'background-as-loud')).toContain('(estimated from MIDI)');
  });

  it('is judged in a sketch without dynamics too, once it is recorded', () => {
    const parts = [front(80), horn(80, 9, 12), partOf('violin', figure('E4 D4', 1, 1, 24, 80), timeline)].map(
      (part) => ({
        ...part,
        notes: part.notes.map((note) => ({ ...note, velocity: 80 })),
      }),
    );
    expect(barsOf(judged(parts), 'background-as-loud')).toEqual([]);
    const stems = [
      recorded('Oboe', ['oboe'], -24),
      recorded('Violin', ['violin'], -45),
      recorded('Horn', ['horn-in-f'], -40, 9, 12, -15),
    ];
    expect(barsOf(judged(parts, stems), 'background-as-loud')).toEqual([['look', 9, 12]]);
  });
});

describe('what masks the foreground', () => {
  const low = (name: string, instrument: string): Part =>
    partOf(instrument, figure('C3 D3', 1, 1, 24, 60), timeline, { name });
  const parts = [front(), low('Viola', 'viola'), low('Cello', 'cello')];

  it('is told from the spectra, with all parts of the recording that it is on', () => {
    expect(barsOf(judged(parts), 'background-covers')).toEqual([]);
    // As loud in the same bands a background masks all of it, and by its level is no rival yet.
    const stems = [recorded('Oboe', ['oboe'], -24), recorded('Strings', ['viola', 'cello'], -40, 5, 8, -24)];
    const findings = judged(parts, stems);
    expect(barsOf(findings, 'background-covers')).toEqual([['note', 5, 8]]);
    expect(messageOf(findings, 'background-covers')).toMatch(
      /^100\s% of the sound of Oboe is masked by the background in bars 5–8, .* \(measured on “stems\/Oboe.wav” and “stems\/Strings.wav”\); most of it under Viola and Cello, without which it would be 0\s%/,
    );
  });
});

describe('a second part louder than the first', () => {
  const violins = (number: number): Part =>
    partOf('violin', figure(number === 1 ? 'A4 B4' : 'E4 F4', 1, 1, 24, 60), timeline, {
      name: `Violin ${'I'.repeat(number)}`,
      number,
      players: 8,
    });
  const parts = [front(110), violins(1), violins(2)];

  it('is found on the recordings of the two alone', () => {
    expect(barsOf(judged(parts), 'support-over-lead')).toEqual([]);
    const stems = [recorded('Violin I', ['violin-i'], -30), recorded('Violin II', ['violin-ii'], -30, 5, 8, -22)];
    const findings = judged(parts, stems);
    expect(barsOf(findings, 'support-over-lead')).toEqual([['look', 5, 8]]);
    expect(messageOf(findings, 'support-over-lead')).toContain(
      '(measured on “stems/Violin I.wav” and “stems/Violin II.wav”, both taken in the same register)',
    );
  });

  it('of one recording is not measured apart', () => {
    const findings = judged(parts, [recorded('Violins', ['violin-i', 'violin-ii'], -30, 5, 8, -22)]);
    expect(barsOf(findings, 'support-over-lead')).toEqual([]);
  });
});
