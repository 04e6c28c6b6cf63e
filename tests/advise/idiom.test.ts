/** What belongs to a kind of music is no fault in it (common practice, no source). The same notes are told where the kind asks for more. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { EnsembleKind } from '../../src/model/music/ensemble.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(16);
const judged = (kind: EnsembleKind, ...parts: Part[]) =>
  findingsOf(stageOf(parts, timeline, { ensemble: { kind, sure: true } }));
const tune = (velocity = 100): Part =>
  partOf('oboe', figure('A5 B5 C6 B5', 1, 1, 16, velocity), timeline, { role: 'foreground' });

describe('free harmony', () => {
  const upper = partOf('violin', figure('G4 A4 B4 A4', 1, 5, 6, 50), timeline);
  const lower = partOf('viola', figure('C4 D4 E4 D4', 1, 5, 6, 50), timeline);

  it('parallel fifths are told in chamber music, and are the sound of a band and of jazz', () => {
    expect(barsOf(judged('chamber', tune(), upper, lower), 'parallel-perfects')).not.toEqual([]);
    for (const kind of ['band', 'combo', 'big-band', 'electronic'] as const)
      expect(barsOf(judged(kind, tune(), upper, lower), 'parallel-perfects')).toEqual([]);
  });

  it('a voicing with a held second is told in chamber music, not in jazz', () => {
    const second = [partOf('clarinet-bflat', 'C4:16:8:50', timeline), partOf('sax-alto', 'C#4:16:8:50', timeline)];
    expect(barsOf(judged('chamber', tune(), ...second), 'clashing-second')).not.toEqual([]);
    expect(barsOf(judged('combo', tune(), ...second), 'clashing-second')).toEqual([]);
  });
});

describe('everyday ranges', () => {
  it('are those of the orchestra: a low trumpet is told there, not in a big band', () => {
    const trumpet = partOf('trumpet-bflat', figure('C5 G3 D5 G3', 1, 5, 8, 80), timeline);
    expect(barsOf(judged('orchestra', tune(), trumpet), 'edge-of-range')).not.toEqual([]);
    expect(barsOf(judged('big-band', tune(), trumpet), 'edge-of-range')).toEqual([]);
  });
});

describe('sound without pitch', () => {
  it('drums stay out of the sums, however hard they are hit', () => {
    const drums = partOf('percussion-unpitched', figure('C2', 1, 1, 16, 127), timeline);
    expect(barsOf(judged('band', tune(60), drums), 'background-as-loud')).toEqual([]);
  });
});

describe('a sketch without dynamics', () => {
  const parts = (velocity: number): Part[] => [
    tune(80),
    partOf('horn-f', figure('A3', 1, 1, 16, velocity), timeline),
    partOf('trumpet-c', figure('E4', 1, 1, 16, velocity), timeline),
  ];

  it('is said once, and nothing is said of balance', () => {
    const flat = judged('chamber', ...parts(80));
    expect(barsOf(flat, 'flat-dynamics')).toEqual([['note', 1, 16]]);
    expect(messageOf(flat, 'flat-dynamics')).toContain('one velocity, 80');
    expect(flat.filter(({ rule }) => rule.startsWith('background-') || rule === 'support-over-lead')).toEqual([]);
  });

  it('two velocities are a balance', () => {
    const shaped = judged('chamber', ...parts(100));
    expect(barsOf(shaped, 'flat-dynamics')).toEqual([]);
    expect(barsOf(shaped, 'background-as-loud')).not.toEqual([]);
  });

  it('so is a trim', () => {
    const [solo, horn, trumpet] = parts(80) as [Part, Part, Part];
    expect(barsOf(judged('chamber', solo, { ...horn, trimDb: -6 }, trumpet), 'flat-dynamics')).toEqual([]);
  });
});

describe('several players', () => {
  const long = (name: string, instrument: string): Part =>
    partOf(instrument, figure('E4 F4 E4 D4', 0.5, 1, 16, 60), timeline, { name });

  it('a choir and a name in the plural breathe in turns, one singer does not', () => {
    expect(barsOf(judged('song', tune(), long('Tenor', 'voice-tenor')), 'breath')).not.toEqual([]);
    expect(barsOf(judged('choir', tune(), long('Tenor', 'voice-tenor')), 'breath')).toEqual([]);
    expect(barsOf(judged('orchestra', tune(), long('Clarinets', 'clarinet-bflat')), 'breath')).toEqual([]);
  });
});

describe('equal voices', () => {
  it('three strings at the strength of the first are a quartet; one grade more is too much', () => {
    const quartet = (velocity: number): Part[] => [
      partOf('violin', `${figure('A5 B5', 1, 1, 8, 80)} ${figure('A5 B5', 1, 9, 16, 76)}`, timeline, {
        role: 'foreground',
        name: 'Violin I',
      }),
      ...['E5', 'C5', 'A4'].map((pitch, index) =>
        partOf('violin', `${figure(pitch, 1, 1, 8, velocity)} ${figure(pitch, 1, 9, 16, velocity - 2)}`, timeline, {
          name: `Part ${index + 2}`,
        }),
      ),
    ];
    expect(barsOf(judged('chamber', ...quartet(78)), 'background-as-loud')).toEqual([]);
    expect(barsOf(judged('chamber', ...quartet(101)), 'background-as-loud')).not.toEqual([]);
  });
});

describe('a pedal board', () => {
  it('is no range error, whatever the octave', () => {
    const organ = partOf('organ', 'C1:0:8:60 C2:8:8:60 C8:16:4:60', timeline);
    expect(barsOf(judged('choir', tune(), organ), 'outside-range')).toEqual([]);
  });
});
