import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(32);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));
const solo = partOf('trumpet-bflat', figure('C5 E5', 1, 1, 32, 110), timeline, { role: 'foreground' });
const bassoon = (music: string, name = 'Bassoon'): Part => partOf('bassoon', music, timeline, { name });

describe('crowded-low', () => {
  const cello = partOf('cello', figure('C2', 4, 1, 32), timeline);

  it('a major third over C2 is mud, a fifth at the border passes, an octave is clear (low interval limits)', () => {
    const over = (pitch: string): Part => bassoon(figure(pitch, 4, 9, 10));
    const findings = findingsFor(solo, cello, over('E2'));
    expect(barsOf(findings, 'crowded-low')).toEqual([['note', 9, 10]]);
    expect(messageOf(findings, 'crowded-low')).toContain(
      'C2 and E2 at bar 9, beat 1, a major third 11 semitones below',
    );
    expect(barsOf(findingsFor(solo, cello, over('G2')), 'crowded-low')).toEqual([]);
    expect(barsOf(findingsFor(solo, cello, over('C3')), 'crowded-low')).toEqual([]);
  });

  it('what lies a sixth or a seventh apart is not close, however low', () => {
    const low = partOf('double-bass', figure('A1', 4, 1, 32), timeline);
    for (const pitch of ['F2', 'G2', 'G#2'])
      expect(barsOf(findingsFor(solo, low, bassoon(figure(pitch, 4, 9, 10))), 'crowded-low')).toEqual([]);
    expect(barsOf(findingsFor(solo, low, bassoon(figure('C#2', 4, 9, 10))), 'crowded-low')).toEqual([['note', 9, 10]]);
  });

  it('is to be looked at where it lasts for more than two bars', () => {
    expect(barsOf(findingsFor(solo, cello, bassoon(figure('E2', 4, 9, 12))), 'crowded-low')).toEqual([['look', 9, 12]]);
  });

  it('a passing note is no mud, nor is a drum, nor what the soloist does alone', () => {
    expect(barsOf(findingsFor(solo, cello, bassoon('E2:32:0.5 C3:32.5:3.5')), 'crowded-low')).toEqual([]);
    const drums = partOf('timpani', figure('E2', 4, 9, 10), timeline);
    expect(barsOf(findingsFor(solo, cello, drums), 'crowded-low')).toEqual([]);
    const piano = partOf('piano', figure('C2', 4, 1, 8) + ' ' + figure('E2', 4, 1, 8), timeline, {
      role: 'foreground',
    });
    expect(barsOf(findingsFor(piano), 'crowded-low')).toEqual([]);
  });

  it('a note that the instrument has not will be moved, and is told as that alone', () => {
    const viola = (pitch: string): Part => partOf('viola', figure(pitch, 4, 9, 9), timeline);
    const low = partOf('cello', figure('F2', 4, 9, 9), timeline);
    const found = findingsFor(solo, low, viola('A2'));
    expect(barsOf(found, 'outside-range')).toEqual([['fix', 9, 9]]);
    expect(barsOf(found, 'crowded-low')).toEqual([]);
    const deep = partOf('cello', figure('C2', 4, 9, 9), timeline);
    expect(barsOf(findingsFor(solo, deep, bassoon(figure('E2', 4, 9, 9))), 'crowded-low')).toEqual([['note', 9, 9]]);
  });

  it('the tolerance can be set', () => {
    const stage = stageOf([solo, cello, bassoon(figure('G2', 4, 9, 10))], timeline);
    // C2-G2 lies a semitone under the table's C sharp 2.
    expect(barsOf(findingsOf(stage, { 'crowded-low': 0 }), 'crowded-low')).toEqual([['note', 9, 10]]);
  });
});

describe('clashing-second', () => {
  const viola = (music: string): Part => partOf('viola', music, timeline);
  const violin = (music: string): Part => partOf('violin', music, timeline);

  it('C against D, held for a bar, in its bar', () => {
    const findings = findingsFor(solo, violin('E4:12:4 D4:16:4 G4:20:4'), viola('C4:12:8 E4:20:4'));
    expect(barsOf(findings, 'clashing-second')).toEqual([['look', 5, 5]]);
    expect(messageOf(findings, 'clashing-second')).toContain('D4 of Violin against C4 of Viola for 4 beats');
  });

  it('a suspension that goes on by step is none', () => {
    expect(barsOf(findingsFor(solo, violin('D4:12:8 C4:20:4'), viola('C4:16:4 G3:20:4')), 'clashing-second')).toEqual(
      [],
    );
  });

  it('a second shorter than two beats is none, nor a ninth, nor one with a plucked string', () => {
    expect(
      barsOf(findingsFor(solo, violin('D4:16:1.5 G4:17.5:2'), viola('C4:16:4 G3:20:4')), 'clashing-second'),
    ).toEqual([]);
    expect(barsOf(findingsFor(solo, violin('D5:16:4 G4:20:4'), viola('C4:16:4 G3:20:4')), 'clashing-second')).toEqual(
      [],
    );
    const harp = partOf('harp', 'D4:16:4 G4:20:4', timeline);
    expect(barsOf(findingsFor(solo, harp, viola('C4:16:4 G3:20:4')), 'clashing-second')).toEqual([]);
  });

  it('beside the tune a held note that all others deny is told, plucked and short as they are (common practice, no source)', () => {
    const tune = partOf('flute', 'C5:0:8:100 G5:8:8:100 C5:16:4:100 E5:20:4:100 G5:24:8:100', timeline, {
      role: 'foreground',
    });
    const short = (pitch: string): string =>
      Array.from({ length: 32 }, (_, beat) => `${pitch}:${String(beat)}:0.25:60`).join(' ');
    const bass = partOf('bass-guitar', short('C3'), timeline);
    const chords = ['C4', 'E4', 'G4'].map(short).join(' ');
    const told = (music: string, ...rest: Part[]) =>
      barsOf(findingsFor(tune, bass, partOf('guitar', chords, timeline), violin(music), ...rest), 'clashing-second');
    expect(told('G4:12:4 Db5:16:4 G4:20:4')).toEqual([['look', 5, 5]]);
    // An appoggiatura, a suspension, a tone that somebody else has too, and one under two beats are none.
    expect(told('G4:12:4 Db5:16:4 C5:20:4')).toEqual([]);
    expect(told('Db5:8:4 Db5:16:4 G4:20:4')).not.toContainEqual(['look', 5, 5]);
    expect(told('G4:12:4 Db5:16:4 G4:20:4', partOf('harp', 'Db4:16:1', timeline))).toEqual([]);
    expect(told('G4:12:4 Db5:16:1.5 G4:20:4')).toEqual([]);
  });

  it('is explained where both notes belong to the chord: the seventh of D7 beside its root', () => {
    const parts = [solo, violin('D4:16:4 G4:20:4'), viola('C4:16:4 G3:20:4')];
    const seventh = {
      start: 16 * 480,
      length: 4 * 480,
      bar: 5,
      symbol: 'D7',
      root: { step: 'D' as const, alter: 0 },
      bass: { step: 'D' as const, alter: 0 },
      quality: 'dominant-seventh',
      roman: 'V7',
      tones: [2, 6, 9, 0],
      coverage: 1,
    };
    expect(barsOf(findingsOf(stageOf(parts, timeline), {}, [], [seventh]), 'clashing-second')).toEqual([]);
    expect(barsOf(findingsOf(stageOf(parts, timeline)), 'clashing-second')).toEqual([['look', 5, 5]]);
  });
});

describe('far-from-foreground', () => {
  it('a background three octaves under the tune, in the bars where nothing else plays', () => {
    const cello = partOf('cello', figure('C2 G2', 2, 5, 12), timeline);
    const viola = partOf('viola', `${figure('G4', 4, 1, 4)} ${figure('G4', 4, 13, 32)}`, timeline);
    const high = partOf('flute', figure('C6 D6', 2, 1, 32, 110), timeline, { role: 'foreground' });
    const findings = findingsFor(high, cello, viola);
    expect(barsOf(findings, 'far-from-foreground')).toEqual([['note', 5, 12]]);
    expect(messageOf(findings, 'far-from-foreground')).toContain('41 semitones');
  });

  it('two octaves are near enough, one bar is a breath, and resting is no distance', () => {
    const high = partOf('flute', figure('C6', 4, 1, 32, 110), timeline, { role: 'foreground' });
    expect(barsOf(findingsFor(high, partOf('cello', figure('C4', 4, 5, 12), timeline)), 'far-from-foreground')).toEqual(
      [],
    );
    expect(barsOf(findingsFor(high, partOf('cello', figure('C2', 4, 5, 5), timeline)), 'far-from-foreground')).toEqual(
      [],
    );
    const rested = partOf('flute', figure('C6', 4, 1, 4, 110), timeline, { role: 'foreground' });
    expect(
      barsOf(findingsFor(rested, partOf('cello', figure('C2', 4, 5, 12), timeline)), 'far-from-foreground'),
    ).toEqual([]);
  });
});

describe('hole-between-parts', () => {
  const loud = (instrument: string, pitch: string, velocity = 110): Part =>
    partOf(instrument, figure(pitch, 4, 9, 12, velocity), timeline);
  const chord = (bass: string, velocity = 110): Part[] => [
    partOf('flute', figure('C6', 4, 9, 12, velocity + 5), timeline, { role: 'foreground' }),
    loud('oboe', 'G5', velocity),
    loud('violin', 'E5', velocity),
    loud('cello', bass, velocity),
  ];

  it('two octaves and more of nothing in the middle of a loud chord', () => {
    const findings = findingsFor(...chord('C3'));
    expect(barsOf(findings, 'hole-between-parts')).toEqual([['note', 9, 12]]);
    expect(messageOf(findings, 'hole-between-parts')).toContain('28 semitones');
  });

  it('a twelfth is filled, soft music may do without, and three notes make no full chord', () => {
    expect(barsOf(findingsFor(...chord('A3')), 'hole-between-parts')).toEqual([]);
    expect(barsOf(findingsFor(...chord('C3', 50)), 'hole-between-parts')).toEqual([]);
    expect(barsOf(findingsFor(...chord('C3').slice(1)), 'hole-between-parts')).toEqual([]);
  });
});

describe('parallel-perfects', () => {
  const moving = (instrument: string, music: string, name?: string): Part =>
    partOf(instrument, music, timeline, name === undefined ? {} : { name });
  const upper = moving('violin', 'G4:16:1 A4:17:1 B4:18:1 A4:19:1 G4:20:1 F4:21:1 E4:22:2');

  it('fifths between violin and viola, in their bars', () => {
    const findings = findingsFor(solo, upper, moving('viola', 'C4:16:1 D4:17:1 E4:18:1 F4:19:1 E4:20:4'));
    expect(barsOf(findings, 'parallel-perfects')).toEqual([['note', 5, 5]]);
    expect(messageOf(findings, 'parallel-perfects')).toContain('Violin G4 to A4, Viola C4 to D4 at bar 5, beat 2');
  });

  it('a single place is told in its bar', () => {
    const once = moving('viola', 'C4:16:1 D4:17:1 D4:18:1 F4:19:1 E4:20:4');
    expect(barsOf(findingsFor(solo, upper, once), 'parallel-perfects')).toEqual([['note', 5, 5]]);
  });

  it('sixths, contrary motion and repeated fifths are none', () => {
    for (const music of ['B3:16:1 C4:17:1 D4:18:1 C4:19:1 B3:20:4', 'C5:16:1 D4:17:1 E5:18:1 D4:19:1 C5:20:4']) {
      expect(barsOf(findingsFor(solo, upper, moving('viola', music)), 'parallel-perfects')).toEqual([]);
    }
    const still = moving('violin', 'G4:16:1 G4:17:1 G4:18:1 G4:19:1', 'Still');
    expect(
      barsOf(findingsFor(solo, still, moving('viola', 'C4:16:1 C4:17:1 C4:18:1 C4:19:1')), 'parallel-perfects'),
    ).toEqual([]);
  });

  it('beside the tune of chamber music a place that is told in a thin texture is told where it comes again among eight', () => {
    const twice = (pitches: string): string =>
      [16, 40]
        .map((start) =>
          pitches
            .split(' ')
            .map((pitch, at) => `${pitch}:${start + at}:1`)
            .join(' '),
        )
        .join(' ');
    const tune = moving('violin', twice('G5 A5 B5 A5'), 'Lead');
    const cello = moving('cello', twice('G3 A3 D4 C4'));
    const others = ['flute', 'clarinet-bflat', 'bassoon', 'horn-f', 'piano', 'double-bass'].map((instrument, index) =>
      moving(instrument, `${['D5', 'B4', 'G3', 'D4', 'G4', 'G2'][index] ?? ''}:40:8`),
    );
    const full = others.map((part) => moving(part.instrument, 'D4:16:8 D4:40:8'));
    const told = (leads: boolean, more: readonly Part[]) =>
      barsOf(
        findingsOf({
          ...stageOf(
            [leads ? { ...tune, role: 'foreground' } : tune, cello, ...(leads ? [] : [solo]), ...more],
            timeline,
          ),
          ensemble: { kind: 'chamber', sure: true },
        }),
        'parallel-perfects',
      );
    const both = [
      ['note', 5, 5],
      ['note', 11, 11],
    ];
    expect(told(true, others.slice(0, 4))).toEqual(both);
    expect(told(true, others)).toEqual(both);
    // Among others it is a filling part, and nobody told of it where the texture was thin.
    expect(told(false, others.slice(0, 5))).toEqual([['note', 5, 5]]);
    expect(told(true, full)).toEqual([]);
  });

  it('octaves through a bar are a doubling, two separate ones between strings are not', () => {
    const doubled = moving('viola', 'G3:16:1 A3:17:1 B3:18:1 A3:19:1 G3:20:4');
    expect(barsOf(findingsFor(solo, upper, doubled), 'parallel-perfects')).toEqual([]);
    const twice = moving('viola', 'G3:16:1 A3:17:1 D4:18:1 C4:19:1 B3:20:1 F3:21:1 E3:22:2');
    expect(barsOf(findingsFor(solo, upper, twice), 'parallel-perfects')).toEqual([['note', 5, 6]]);
  });

  describe('of tune and bass', () => {
    // Two chords a bar: tune and bass by choice, the others fill in C, D minor, G and C.
    const row = (pitches: string): string =>
      pitches
        .split(' ')
        .map((pitch, at) => `${pitch}:${16 + 2 * at}:2`)
        .join(' ');
    const frame = (
      tune: string,
      bass: string,
      fills: readonly (readonly [string, string])[],
      changes: Parameters<typeof stageOf>[2] = {},
    ) =>
      barsOf(
        findingsOf(
          stageOf(
            [
              { ...moving('violin', row(tune), 'Violin I'), role: 'foreground' },
              moving('double-bass', row(bass)),
              ...fills.map(([instrument, pitches]) => moving(instrument, row(pitches))),
            ],
            timeline,
            { ensemble: { kind: 'orchestra', sure: true }, ...changes },
          ),
        ),
        'parallel-perfects',
      );
    const FILLS = [
      ['flute', 'E5 F5 D5 E5'],
      ['oboe', 'E5 F5 D5 E5'],
      ['clarinet-bflat', 'C5 D5 B4 C5'],
      ['horn-f', 'G4 F4 G4 G4'],
      ['trumpet-bflat', 'C5 A4 B4 C5'],
      ['viola', 'E4 F4 D4 E4'],
      ['bassoon', 'C4 A3 G3 G3'],
    ] as const;

    it('are told in however full an orchestra: its outer parts are heard', () => {
      expect(frame('G5 A5 G5 G5', 'C2 D2 B1 C2', FILLS)).toEqual([['note', 5, 5]]);
      expect(frame('C6 D6 B5 C6', 'C2 D2 G1 E2', FILLS)).toEqual([['note', 5, 5]]);
    });

    it('are told beside an electric instrument where the harmony is that of a score, not in a band', () => {
      const withKeys = [...FILLS, ['synthesizer', 'E4 F4 D4 E4'] as const];
      expect(frame('G5 A5 G5 G5', 'C2 D2 B1 C2', withKeys)).toEqual([['note', 5, 5]]);
      expect(frame('G5 A5 G5 G5', 'C2 D2 B1 C2', FILLS, { ensemble: { kind: 'big-band', sure: true } })).toEqual([]);
    });

    it('are none in contrary motion, over a drone, or where the bass comes later', () => {
      expect(frame('G5 A5 B5 C6', 'C2 F1 G1 C2', FILLS)).toEqual([]);
      expect(frame('G5 A5 G5 G5', 'C2 C2 C2 C2', FILLS)).toEqual([]);
      const late = 'C2:16:3 D2:19:1 G1:20:2 C2:22:2';
      const parts = [
        { ...moving('violin', row('G5 A5 B5 C6'), 'Violin I'), role: 'foreground' as const },
        moving('double-bass', late),
        ...FILLS.map(([instrument, pitches]) => moving(instrument, row(pitches))),
      ];
      const stage = stageOf(parts, timeline, { ensemble: { kind: 'orchestra', sure: true } });
      expect(barsOf(findingsOf(stage), 'parallel-perfects')).toEqual([]);
    });

    it('are none where all parts go with them, nor where others lie over the tune', () => {
      const planed = FILLS.map(
        ([instrument, pitches]) =>
          [
            instrument,
            `${pitches.slice(0, 2)} ${({ E5: 'F#5', C5: 'D5', G4: 'A4', E4: 'F#4', C4: 'D4' } as Record<string, string>)[pitches.slice(0, 2)] ?? ''} D5 C5`,
          ] as const,
      );
      expect(frame('G5 A5 G5 G5', 'C2 D2 B1 C2', planed)).toEqual([]);
      expect(frame('G5 A5 G5 G5', 'C2 D2 B1 C2', [...FILLS, ['piccolo', 'C7 A6 B6 C7']])).toEqual([]);
    });
  });

  it('across choirs a shared step is a doubling for a moment in an orchestra; one to a part every two lines are real ones', () => {
    const parts = [solo, upper, bassoon('C4:16:1 D4:17:1 E4:18:1 F4:19:1')];
    const told = (kind: 'orchestra' | 'chamber') =>
      barsOf(findingsOf(stageOf(parts, timeline, { ensemble: { kind, sure: true } })), 'parallel-perfects');
    expect(told('orchestra')).toEqual([]);
    expect(told('chamber')).toEqual([['note', 5, 5]]);
  });
});

describe('crossing', () => {
  const violins = (number: number, music: string): Part =>
    partOf('violin', music, timeline, { name: `Violin ${number}`, number });

  it('second violins over the firsts for four bars', () => {
    const second = violins(2, `${figure('E4', 4, 1, 8)} ${figure('B4', 4, 9, 12)} ${figure('E4', 4, 13, 32)}`);
    const findings = findingsFor(solo, violins(1, figure('G4', 4, 1, 32)), second);
    expect(barsOf(findings, 'crossing')).toEqual([['note', 9, 12]]);
    expect(messageOf(findings, 'crossing')).toContain('Violin 2 lies above Violin 1 for 16 beats');
  });

  it('a bar of crossing is a device, and a second violin in front is meant to be above', () => {
    const one = violins(2, `${figure('E4', 4, 1, 8)} ${figure('B4', 4, 9, 9)}`);
    expect(barsOf(findingsFor(solo, violins(1, figure('G4', 4, 1, 32)), one), 'crossing')).toEqual([]);
    const inFront = { ...violins(2, figure('B4', 4, 1, 8)), role: 'foreground' as const };
    expect(barsOf(findingsFor(violins(1, figure('G4', 4, 1, 32)), inFront), 'crossing')).toEqual([]);
  });

  it('a descant goes above the others by design', () => {
    const trumpets = (number: number, name: string, music: string): Part =>
      partOf('trumpet-bflat', music, timeline, { name, number });
    const second = trumpets(2, 'Trp 2', figure('G4', 4, 1, 32));
    const told = (name: string) =>
      barsOf(findingsFor(solo, second, trumpets(3, name, figure('C5', 4, 9, 15))), 'crossing');
    expect(told('Trp 3')).toEqual([['note', 9, 15]]);
    expect(told('Diskant Trp 3')).toEqual([]);
  });

  it('chords of two alike instruments that interlock cross nothing, a line crosses with its bottom too', () => {
    const guitars = (number: number, ...pitches: string[]): Part =>
      partOf('guitar', pitches.map((pitch) => figure(pitch, 4, 1, 16)).join(' '), timeline, {
        name: `Guitar ${number}`,
        number,
      });
    const told = (...parts: Part[]) => barsOf(findingsFor(solo, ...parts), 'crossing');
    expect(told(guitars(1, 'C3', 'E4', 'G4'), guitars(2, 'G3', 'C4', 'E4'))).toEqual([]);
    expect(told(guitars(1, 'C3', 'G3'), guitars(2, 'E3', 'C4'))).toEqual([['note', 1, 16]]);
    expect(told(guitars(1, 'C3', 'G4'), guitars(2, 'E3', 'C4'))).toEqual([]);
    expect(told(guitars(1, 'C3', 'E3', 'G3'), guitars(2, 'E3', 'G3', 'C4'))).toEqual([]);
  });

  it('a viola over the violins counts where it lasts twice as long, an oboe over the flute does not', () => {
    const violin = violins(1, figure('G4', 4, 1, 32));
    const viola = partOf('viola', figure('C5', 4, 9, 15), timeline);
    expect(barsOf(findingsFor(solo, violin, viola), 'crossing')).toEqual([['note', 9, 15]]);
    const flute = partOf('flute', figure('G4', 4, 1, 32), timeline);
    expect(barsOf(findingsFor(solo, flute, partOf('oboe', figure('C5', 4, 9, 15), timeline)), 'crossing')).toEqual([]);
  });
});

describe('bass-doubled-too-close', () => {
  const cello = partOf('cello', figure('G2 A2', 2, 1, 32), timeline);
  const basses = (pitches: string, from = 9, to = 12): Part =>
    partOf('double-bass', figure(pitches, 2, from, to), timeline);

  it('cellos and basses in one unison, though the basses could go down', () => {
    const findings = findingsFor(solo, cello, basses('G2 A2'));
    expect(barsOf(findings, 'bass-doubled-too-close')).toEqual([['note', 9, 12]]);
    expect(messageOf(findings, 'bass-doubled-too-close')).toContain('in unison in bars 9–12');
  });

  it('an organ has stops of 16 feet of its own: a tuba on the bass of its pedal wastes no octave (common practice, no source)', () => {
    const tuba = partOf('tuba', figure('G2 A2', 2, 9, 16), timeline);
    const organ = partOf('organ', figure('G2 A2', 2, 1, 32), timeline);
    expect(barsOf(findingsFor(solo, organ, tuba), 'bass-doubled-too-close')).toEqual([]);
    expect(barsOf(findingsFor(solo, cello, tuba), 'bass-doubled-too-close')).toEqual([['note', 9, 16]]);
  });

  it('the octave is what basses are for; two bars are short; and low down there is no octave left', () => {
    expect(barsOf(findingsFor(solo, cello, basses('G1 A1')), 'bass-doubled-too-close')).toEqual([]);
    expect(barsOf(findingsFor(solo, cello, basses('G2 A2', 9, 10)), 'bass-doubled-too-close')).toEqual([]);
    const low = partOf('cello', figure('C2 D2', 2, 9, 12), timeline);
    expect(barsOf(findingsFor(solo, low, basses('C2 D2')), 'bass-doubled-too-close')).toEqual([]);
  });

  it('a bar in which the bass takes the octave again ends the unison: who wrote it knows both', () => {
    const trombone = partOf('bass-trombone', figure('G2 A2', 2, 1, 32), timeline);
    const tuba = (...bars: readonly (readonly [string, number, number])[]): Part =>
      partOf('tuba', bars.map(([pitches, from, to]) => figure(pitches, 2, from, to)).join(' '), timeline);
    const byTurns = tuba(['G1 A1', 1, 8], ['G2 A2', 9, 10], ['G1 A1', 11, 11], ['G2 A2', 12, 13], ['G2 A1', 14, 14]);
    expect(barsOf(findingsFor(solo, trombone, byTurns), 'bass-doubled-too-close')).toEqual([]);
    const forGood = tuba(['G1 A1', 1, 8], ['G2 A2', 9, 12], ['G1 A1', 13, 20]);
    expect(barsOf(findingsFor(solo, trombone, forGood), 'bass-doubled-too-close')).toEqual([['note', 9, 12]]);
  });

  it('a left hand and another bass within the octave get in each other’s way', () => {
    const piano = partOf('piano', `${figure('G2', 4, 1, 32)} ${figure('C5', 4, 1, 32)}`, timeline, {
      role: 'foreground',
    });
    const findings = findingsFor(piano, partOf('double-bass', figure('C2', 4, 9, 12), timeline));
    expect(barsOf(findings, 'bass-doubled-too-close')).toEqual([['note', 9, 12]]);
    const doubling = partOf('double-bass', figure('G1', 4, 9, 12), timeline);
    expect(barsOf(findingsFor(piano, doubling), 'bass-doubled-too-close')).toEqual([]);
  });
});

describe('unchanged-texture', () => {
  const names = ['flute', 'oboe', 'violin', 'viola', 'cello'];
  const ensemble = (to: number, count = 5): Part[] => [
    solo,
    ...names.slice(0, count).map((name) => partOf(name, figure('C4', 4, 2, to), timeline)),
  ];

  it('six parts that all play for 25 bars', () => {
    const findings = findingsFor(...ensemble(26));
    expect(barsOf(findings, 'unchanged-texture')).toEqual([['note', 2, 26]]);
    expect(messageOf(findings, 'unchanged-texture')).toContain('The same 6 parts');
  });

  it('24 bars pass, five parts are a small group, and one entry changes the texture', () => {
    expect(barsOf(findingsFor(...ensemble(25)), 'unchanged-texture')).toEqual([]);
    expect(barsOf(findingsFor(...ensemble(30, 4)), 'unchanged-texture')).toEqual([]);
    const harp = partOf('harp', figure('C4', 4, 14, 30), timeline);
    expect(barsOf(findingsFor(...ensemble(30), harp), 'unchanged-texture')).toEqual([]);
  });
});
