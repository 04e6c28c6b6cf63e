/** What is blamed is what is wrong: cases in which a rule once blamed what belongs to the music. */
import { describe, expect, it } from 'vitest';
import { Note } from 'tonal';
import type { Part } from '../../src/model/music/arrangement.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf } from './stage-findings.ts';

const timeline = timelineOf(16);

describe('louder by nature or louder as marked', () => {
  const tune = (velocity: number) =>
    ['violin', 'flute'].map((instrument) =>
      partOf(instrument, figure('C5 D5 E5 G5', 1, 1, 16, velocity), timeline, { players: 8, name: `${instrument} I` }),
    );
  const trumpets = partOf('trumpet-bflat', figure('C4 E4', 2, 1, 16, 90), timeline, { players: 3 });
  const heard = (velocity: number) => {
    const parts = [...tune(velocity), trumpets];
    const [first, second] = parts;
    const shared = [{ partId: second?.id ?? '', from: 1, to: 16, octaves: 0 }];
    const foreground = [{ ...leadSpan(first?.id ?? '', 1, 16), shared }];
    return barsOf(findingsOf(stageOf(parts, timeline, { foreground })), 'background-as-loud');
  };

  it('in a tutti of one marking nobody is to blame; who is marked two grades over the tune is', () => {
    expect(heard(90)).toEqual([]);
    expect(heard(40)).toEqual([['look', 1, 16]]);
  });
});

describe('a background that is too loud', () => {
  const flute = partOf('flute', figure('C5 D5 E5 G5', 1, 1, 16, 40), timeline, { role: 'foreground' });
  const trombone = partOf('trombone', figure('C4 E4', 2, 5, 8, 120), timeline);
  const told = (velocity: number) => {
    const strings = partOf('viola', figure('G3 A3', 2, 5, 12, velocity), timeline, { players: 6 });
    return barsOf(findingsOf(stageOf([flute, trombone, strings], timeline)), 'background-as-loud');
  };

  it('is told as long as who is to blame plays, and further where another is marked far over the foreground', () => {
    expect(told(62)).toEqual([['look', 5, 8]]);
    expect(told(110)).toEqual([
      ['look', 5, 8],
      ['look', 9, 12],
    ]);
  });
});

describe('an accordion that is as loud as the tuba through half of a passage', () => {
  it('is named with it', () => {
    const fiddle = partOf('violin', figure('G4 A4 B4 D5', 1, 1, 16, 45), timeline, { role: 'foreground' });
    const tuba = partOf('tuba', figure('G2 D2', 2, 5, 12, 80), timeline);
    const chords = [figure('B4 D5', 2, 5, 8, 127), figure('B4 D5', 2, 9, 12, 40)].join(' ');
    const accordion = partOf('accordion', chords, timeline);
    const [finding] = findingsOf(stageOf([fiddle, tuba, accordion], timeline)).filter(
      ({ rule }) => rule === 'background-as-loud',
    );
    expect(finding).toMatchObject({ from: 5, to: 12 });
    expect(finding?.partIds).toEqual(expect.arrayContaining(['tuba', 'accordion']));
  });
});

describe('two bars in which two horns shout over the tune', () => {
  const oboe = partOf('oboe', figure('C5 D5 E5 G5', 1, 1, 16, 80), timeline, { role: 'foreground' });
  const horns = ['D5', 'B4'].map((pitch, index) => {
    const loud = [118, 112].map((velocity, bar) =>
      figure(pitch, 4, 7 + bar, 7 + bar, index === 0 ? 230 - velocity : velocity),
    );
    const music = [figure(pitch, 4, 3, 6, 40), ...loud, figure(pitch, 4, 9, 12, 40)].join(' ');
    return partOf('horn-f', music, timeline, { name: `Horn ${String(index + 1)}` });
  });
  const told = (velocity: number) => {
    const violins = partOf('violin', figure('G4 A4', 2, 1, 16, velocity), timeline, { players: 6 });
    return findingsOf(stageOf([oboe, ...horns, violins], timeline)).filter(({ rule }) => rule === 'background-as-loud');
  };

  it('are told as those two, not lost in the average of a passage in which somebody else is a little too loud', () => {
    const shout = told(100).find(({ from, to }) => from === 7 && to === 8);
    expect(shout?.partIds).toEqual(expect.arrayContaining(['oboe', 'horn-1', 'horn-2']));
    expect(shout?.advice).toContain('mark Horn');
    expect(told(40).map(({ from, to }) => [from, to])).toEqual([[7, 8]]);
  });

  it('in one passage of one part the worst bar is told, and the advice is enough for it', () => {
    const bars = [70, 70, 84, 70].map((velocity, bar) => figure('C5 B4', 2, 5 + bar, 5 + bar, velocity));
    const horn = partOf('horn-f', bars.join(' '), timeline, { players: 2 });
    const [finding] = findingsOf(stageOf([oboe, horn], timeline)).filter(({ rule }) => rule === 'background-as-loud');
    const [, usual, worst] = /about (\d+) dB louder.*in bar 7 about (\d+) dB/.exec(finding?.message ?? '') ?? [];
    expect(Number(worst)).toBeGreaterThan(Number(usual));
    const [, softer] = /background (\d+) dB softer/.exec(finding?.advice ?? '') ?? [];
    // Up to 2 dB over the foreground pass.
    expect(Number(softer)).toBeGreaterThanOrEqual(Number(worst) - 3);
  });
});

describe('who is named for a background that is too loud', () => {
  const flute = (velocity: number) =>
    partOf('flute', figure('C5 D5 E5 G5', 1, 1, 16, velocity), timeline, { role: 'foreground' });
  const horn = partOf('horn-f', figure('C4 E4', 2, 5, 10, 115), timeline);
  const told = (...parts: Part[]) =>
    findingsOf(stageOf(parts, timeline)).filter(({ rule }) => rule === 'background-as-loud');

  it('is not who touches two of its bars, however loud', () => {
    const shout = partOf('trumpet-bflat', 'G4:19:1:125 G4:36:1:125', timeline);
    const [finding, ...others] = told(flute(40), horn, shout);
    expect(others).toEqual([]);
    expect([finding?.from, finding?.to, finding?.partIds]).toEqual([5, 10, ['flute', 'horn-in-f']]);
    expect(finding?.message).toContain('most of it is Horn in F');
  });

  it('is told to play softer as far as players can, two dynamic grades; beyond that the cure is another one', () => {
    const near = partOf('horn-f', figure('C4 E4', 2, 5, 10, 85), timeline);
    expect(told(flute(70), near)[0]?.advice).toMatch(/the background 1?\d dB softer would do/);
    const far = told(flute(30), horn)[0];
    expect(far?.advice).toContain('which no marking makes up for');
    expect(far?.advice).toMatch(/let Horn in F rest or thin out there/);
    expect(far?.advice).not.toContain('softer would do');
  });

  /** Four voices on the open positions of C and G, at 48 and in some bars at 120. */
  const choirOf = (loudIn: readonly number[]) =>
    ['E5 D5', 'C5 B4', 'G4 G4', 'C3 G3'].map((pitches, index) => {
      const bars = Array.from({ length: 16 }, (_, bar) =>
        figure(pitches, 2, bar + 1, bar + 1, loudIn.includes(bar + 1) ? 120 : 48),
      );
      return partOf('choir', bars.join(' '), timeline, { players: 4, name: `Choir ${String(index + 1)}` });
    });

  it('is told to be marked as elsewhere where the marks of the passage made it louder, and all of it that lies with the tune is named', () => {
    const tune = partOf('flute', figure('C5 D5 B4 G4', 1, 1, 16, 90), timeline, { role: 'foreground' });
    const [up] = told(tune, ...choirOf([9, 10, 11, 12]));
    expect([up?.from, up?.to]).toEqual([9, 12]);
    expect(up?.message).toMatch(/marked about 3 dynamic grades louder there than elsewhere in the background/);
    expect(up?.message).toContain('Choir 2');
    expect(up?.advice).toMatch(/by the marks of this passage: mark Choir .* softer, as elsewhere in the background/);
    expect(up?.advice).not.toContain('no marking makes up for');
  });

  it('is not told to be marked as elsewhere where it is as loud everywhere', () => {
    const soft = partOf('flute', figure('C5 D5 B4 G4', 1, 1, 16, 20), timeline, { role: 'foreground' });
    const all = Array.from({ length: 16 }, (_, bar) => bar + 1);
    const [always] = told(soft, ...choirOf(all));
    expect(always?.message).not.toContain('than elsewhere');
    expect(always?.advice).toContain('which no marking makes up for');
  });

  it('is not told to rest where it sings, or has the tune elsewhere', () => {
    const lead = flute(30);
    const loud = figure('C4 E4', 2, 5, 10, 115);
    const adviceOf = (part: Part, from: number) => {
      const foreground = [leadSpan(lead.id, 1, from - 1), ...(from > 16 ? [] : [leadSpan(part.id, from, 16)])];
      const found = findingsOf(stageOf([lead, part], timeline, { foreground }));
      return found.find(({ rule }) => rule === 'background-as-loud')?.advice ?? '';
    };
    const leads = partOf('horn-f', `${loud} ${figure('G4 A4', 2, 12, 16, 80)}`, timeline, { role: 'foreground' });
    const sings = partOf('choir', loud, timeline, { players: 20 });
    expect(adviceOf(horn, 17)).toContain('let Horn in F rest or thin out there, or put the tune');
    expect(adviceOf(leads, 12)).toMatch(/which no marking makes up for .*: put the tune into a stronger register/);
    expect(adviceOf(sings, 17)).toMatch(/which no marking makes up for .*: put the tune into a stronger register/);
  });

  it('may be the leader itself, come down an octave and to two grades less', () => {
    const fallen = `${figure('C5 D5 E5 G5', 1, 1, 4, 90)} ${figure('C4 D4 E4 G4', 1, 5, 6, 45)} ${figure('C5 D5 E5 G5', 1, 7, 16, 90)}`;
    const finding = told(
      partOf('clarinet-bflat', fallen, timeline, { role: 'foreground' }),
      partOf('trombone', figure('C3 E3', 2, 5, 6, 126), timeline),
    )[0];
    expect(finding?.message).toContain(
      'Clarinet in B-flat lies about an octave lower and is marked about 2 dynamic grades softer',
    );
    expect(finding?.advice).toContain('put Clarinet in B-flat up an octave, where it lies otherwise');
  });
});

describe('a part beside the line that it doubles', () => {
  const bass = 'C3 E3 G3 E3 F3 A3 C4 A3 G3 B3 D4 B3 C3 G3 E3 C3';
  const cello = partOf('cello', figure(bass, 1, 1, 16), timeline);
  const violin = partOf('violin', figure('C5 D5', 2, 1, 16), timeline, { role: 'foreground' });
  /** Octaves below the cello; from bar 9 on to bar 12 they come so many quarters late. */
  const basses = (late: number) => {
    const notes = bass.replaceAll('4', '5').replaceAll('3', '2').replaceAll('5', '3').split(' ');
    const at = (quarters: number): string => notes[((quarters % 16) + 16) % 16] ?? 'C2';
    const music = Array.from({ length: 64 }, (_, index) => {
      const source = index >= 32 && index < 48 ? index - late : index;
      return `${at(source)}:${String(index)}:1`;
    });
    return partOf('double-bass', music.join(' '), timeline);
  };
  const told = (late: number) => barsOf(findingsOf(stageOf([violin, cello, basses(late)], timeline)), 'displaced-part');

  it('a beat late for four bars, the basses are told, and not the cellos', () => {
    expect(told(1)).toEqual([['look', 9, 12]]);
    expect(told(0)).toEqual([]);
  });
});

describe('a part a bar late for three bars', () => {
  const long = timelineOf(16);
  /** One voice of triads on C, D, E and D; from some bars on the music of the bar before. */
  const row = (voiceOf: (bar: number) => number, late: readonly number[] = []): string =>
    Array.from({ length: 16 }, (_, bar) => {
      const from = late.includes(bar) ? bar - 1 : bar;
      const pitch = ['C4 E4 G4', 'D4 F4 A4', 'E4 G4 B4', 'D4 F4 A4'][from % 4]?.split(' ')[voiceOf(from)] ?? '';
      return `${pitch}:${String(4 * bar)}:4`;
    }).join(' ');
  const [low, middle, high] = [0, 1, 2].map((voice) => row(() => voice)) as [string, string, string];
  const ofBoth = (bar: number): number => [0, 1, 1, 0][bar % 4] ?? 0;
  const told = (late: readonly number[]) => {
    const parts = [
      partOf('flute', high, long, { role: 'foreground' }),
      partOf('oboe', middle, long),
      partOf('cello', low, long),
      // Now with one, now with another.
      partOf('viola', row(ofBoth, late), long),
    ];
    return barsOf(findingsOf(stageOf(parts, long)), 'displaced-part');
  };

  it('is told, as each bar has the harmony of the one before and all others are its own', () => {
    expect(told([4, 5, 6])).toEqual([['look', 5, 7]]);
    expect(told([])).toEqual([]);
  });

  it('is none in two bars', () => {
    expect(told([4, 5])).toEqual([]);
  });

  it('is told of a part that comes in a bar early too, alone in the bar in which the others close', () => {
    const music = (early: boolean): string =>
      Array.from({ length: 16 }, (_, bar) => {
        const isEarly = early && bar >= 7 && bar <= 9;
        if ((early && bar === 10) || (!isEarly && bar >= 4 && bar < 8)) return '';
        const from = isEarly ? bar + 1 : bar;
        const pitch = ['C4 E4 G4', 'D4 F4 A4', 'E4 G4 B4', 'D4 F4 A4'][from % 4]?.split(' ')[ofBoth(from)] ?? '';
        return `${pitch}:${String(4 * bar)}:4`;
      }).join(' ');
    const judge = (early: boolean) => {
      const flute = partOf('flute', high, long);
      const viola = partOf('viola', music(early), long);
      const foreground = [leadSpan(flute.id, 1, 7), leadSpan(viola.id, 8, 8), leadSpan(flute.id, 9, 16)];
      const parts = [flute, partOf('oboe', middle, long), partOf('cello', low, long), viola];
      return barsOf(findingsOf(stageOf(parts, long, { foreground })), 'displaced-part');
    };
    expect(judge(true)).toEqual([['look', 8, 10]]);
    expect(judge(false)).toEqual([]);
  });
});

describe('a transposing part', () => {
  const chords = ['C4 E4 G4', 'F4 A4 C5', 'G4 B4 D5', 'C4 E4 G4'];
  const line = (voice: number | 'all', shift = 0): string =>
    Array.from({ length: 16 }, (_, bar) => {
      const midi = Note.midi(chords[bar % 4]?.split(' ')[voice === 'all' ? bar % 3 : voice] ?? '') ?? 60;
      const moved = bar >= 4 && bar < 8 ? midi + shift : midi;
      return `${Note.fromMidiSharps(moved)}:${String(4 * bar)}:4`;
    }).join(' ');
  const told = (instrument: string, shift: number) => {
    const parts = [
      partOf('flute', line(2), timeline, { role: 'foreground' }),
      partOf('viola', line(1), timeline),
      partOf('cello', line(0), timeline),
      partOf(instrument, line('all', shift), timeline),
    ];
    return findingsOf(stageOf(parts, timeline)).filter(({ rule }) => rule === 'displaced-part');
  };

  it('that stands as written is told with its interval: a major sixth for an alto saxophone, a tone for a clarinet in B flat', () => {
    for (const [instrument, shift, interval] of [
      ['sax-alto', 9, 'a major sixth lower'],
      ['clarinet-bflat', 2, 'a major second lower'],
    ] as const) {
      const [finding] = told(instrument, shift);
      expect([finding?.from, finding?.to]).toEqual([5, 8]);
      expect(finding?.message).toContain(interval);
    }
  });

  it('in its place is none; an instrument that sounds as written, or at another interval, has not been left untransposed', () => {
    expect(told('clarinet-bflat', 0)).toEqual([]);
    for (const [instrument, shift] of [
      ['oboe', 2],
      ['clarinet-bflat', 1],
    ] as const) {
      expect(told(instrument, shift).filter(({ message }) => message.includes('transposes'))).toEqual([]);
    }
  });

  it('a part a semitone or a tone off its harmony for four bars is told with the step and the way it goes', () => {
    const step = (instrument: string, shift: number) =>
      told(instrument, shift).map(({ from, to, message }) => [from, to, /stand (.*?) in bars/.exec(message)?.[1]]);
    expect(step('oboe', 2)).toEqual([[5, 8, 'a major second too high']]);
    expect(step('clarinet-bflat', 1)).toEqual([[5, 8, 'a minor second too high']]);
    expect(step('oboe', -1)).toEqual([[5, 8, 'a minor second too low']]);
  });
});

describe('a part that repeats one tone', () => {
  // B diminished with the G of a horn is the chord on the fifth degree (any harmony book).
  it('may be the root of a seventh chord that nobody else has, a tone from the seventh', () => {
    const held = (chord: string, inSevenths: string): string =>
      Array.from({ length: 16 }, (_, bar) => `${bar >= 4 && bar < 8 ? inSevenths : chord}:${String(4 * bar)}:4`).join(
        ' ',
      );
    const parts = [
      partOf('flute', held('E5', 'F5'), timeline, { role: 'foreground' }),
      partOf('clarinet-bflat', held('G4', 'B4'), timeline),
      partOf('viola', held('C4', 'D4'), timeline),
      partOf('bassoon', held('E3', 'F3'), timeline),
      partOf('horn-f', held('C4', 'G3'), timeline),
    ];
    const found = findingsOf(stageOf(parts, timeline)).filter(({ rule }) => rule === 'displaced-part');
    expect(found.map(({ message }) => message)).toEqual([]);
  });
});

describe('chords under a tune in two parts', () => {
  const roots = Array.from({ length: 16 }, (_, bar) => [0, 2, 4, 5, 7, 5, 4, 2][bar % 8] ?? 0);
  const ofChords = (degrees: readonly number[], lowest: number, length: number, late: readonly number[] = []): string =>
    roots
      .flatMap((_, bar) => {
        const root = roots[late.includes(bar) ? bar - 1 : bar] ?? 0;
        return Array.from({ length: 4 / length }, (_, index) => {
          const midi = lowest + root + (degrees[index % degrees.length] ?? 0);
          return `${Note.fromMidiSharps(midi)}:${String(4 * bar + index * length)}:${String(length)}`;
        });
      })
      .join(' ');
  const told = (late: readonly number[]) => {
    const chords = [0, 7].map((degree) => ofChords([degree], 55, 4, late)).join(' ');
    const parts = [
      partOf('violin', ofChords([0, 7], 67, 1), timeline, { role: 'foreground' }),
      partOf('cello', ofChords([0], 43, 4), timeline),
      partOf('guitar', chords, timeline),
    ];
    return barsOf(findingsOf(stageOf(parts, timeline)), 'displaced-part');
  };

  it('that are a bar late for four bars are told, in so thin a texture', () => {
    expect(told([3, 4, 5, 6])).toEqual([['look', 4, 7]]);
    expect(told([])).toEqual([]);
  });
});

describe('octaves of tune and bass', () => {
  const voices = (bass: string) => {
    const long = timelineOf(8);
    const row = (pitches: string, length = 4): string =>
      pitches
        .split(' ')
        .map((pitch, index) => `${pitch}:${String(index * length)}:${String(length)}`)
        .join(' ');
    const parts = [
      partOf('voice-soprano', row('C5 E5 D5 B4 C5 D5 F5 E5 C5 B4 D5 C5 E5 F5 D5 C5', 2), long, { role: 'foreground' }),
      partOf('voice-alto', row('G4 G4 A4 G4 G4 G4 A4 G4'), long),
      partOf('voice-tenor', row('E4 F4 F4 E4 D4 E4 D4 E4'), long),
      partOf('voice-bass', row(bass, 2), long),
    ];
    return barsOf(findingsOf(stageOf(parts, long)), 'parallel-perfects');
  };

  it('for two bars among voices of their own leave the harmony without ground', () => {
    expect(voices('C3 C3 G2 G2 C3 D3 F3 E3 C3 G2 G2 C3 C3 F2 G2 C3')).toContainEqual(['note', 3, 4]);
    expect(voices('C3 C3 G2 G2 C3 G2 D3 C3 C3 G2 G2 C3 C3 F2 G2 C3').filter(([, from]) => from === 3)).toEqual([]);
  });
});

describe('a short note far outside the instrument', () => {
  const violin = (length: number): Part =>
    partOf(
      'violin',
      `${figure('A4 C5', 2, 1, 3)} C3:12:${String(length)} C5:13:3 ${figure('A4 C5', 2, 5, 16)}`,
      timeline,
      {
        recognisedBy: 'name',
      },
    );
  const levels = (part: Part) => barsOf(findingsOf(stageOf([part], timeline)), 'outside-range').map(([level]) => level);

  it('may be a key that chooses a way of playing: it is looked at; a held one is wrong', () => {
    expect(levels(violin(0.25))).toEqual(['look']);
    expect(levels(violin(1))).toEqual(['fix']);
  });
});

describe('a tuba that holds note after note', () => {
  const flute = partOf('flute', figure('C5 D5', 1, 1, 16, 100), timeline, { role: 'foreground' });
  /** Trumpet and trombone rest in the last quarter of every fourth bar, or of none. */
  const others = (rests: boolean) =>
    ['trumpet-bflat', 'trombone-tenor'].map((instrument) =>
      partOf(
        instrument,
        Array.from({ length: 14 }, (_, bar) => `C4:${String(4 * bar)}:${rests && bar % 4 === 3 ? '3' : '4'}`).join(' '),
        timeline,
      ),
    );
  const told = (length: number, rests: boolean) => {
    const tuba = partOf('tuba', figure('C2 G2', length, 1, 14), timeline);
    return barsOf(findingsOf(stageOf([flute, ...others(rests), tuba], timeline)), 'stamina');
  };

  it('for three breaths and more, while the others breathe, wants a rest', () => {
    expect(told(4, true)).toEqual([['note', 1, 14]]);
  });

  it('does as they do where all hold on, and has places to breathe between shorter notes', () => {
    expect(told(4, false)).toEqual([]);
    expect(told(1, true)).toEqual([]);
  });
});

describe('a trumpet over a section that holds chords in its rhythm', () => {
  const tune = partOf('violin', figure('C5 D5', 1, 1, 16, 100), timeline, { role: 'foreground' });
  /** Whole notes of a bar each, let go half a second early at the end of every other bar, or held on. */
  const whole = (instrument: string, pitch: string, breathes: boolean, bars = 8): Part =>
    partOf(
      instrument,
      Array.from(
        { length: bars },
        (_, bar) => `${pitch}:${String(4 * bar)}:${breathes && bar % 2 === 1 ? 3.5 : 4}`,
      ).join(' '),
      timeline,
    );
  const told = (...parts: Part[]) =>
    findingsOf(stageOf([tune, ...parts], timeline)).filter(({ rule }) => rule === 'stamina');
  const fellows = (breathes: boolean) => [whole('sax-tenor', 'G3', breathes), whole('trombone-tenor', 'E3', breathes)];

  it('has lost the breaths that the others have, for longer than one lasts', () => {
    const findings = told(whole('trumpet-bflat', 'C5', false), ...fellows(true));
    expect(findings).toMatchObject([{ level: 'look', from: 1, to: 8, partIds: ['trumpet-in-b-flat'] }]);
    expect(findings[0]?.message).toContain(
      'Tenor Saxophone and Tenor Trombone in the same rhythm breathe in bars 2, 4 and 6',
    );
  });

  it('has not where it breathes with them, where all hold on, for one breath, in a rhythm of its own, or as their bass', () => {
    expect(told(whole('trumpet-bflat', 'C5', true), ...fellows(true))).toEqual([]);
    expect(told(whole('trumpet-bflat', 'C5', false), ...fellows(false))).toEqual([]);
    expect(told(whole('trumpet-bflat', 'C5', false, 3), ...fellows(true))).toEqual([]);
    expect(told(partOf('trumpet-bflat', figure('C5 D5', 2, 1, 8), timeline), ...fellows(true))).toEqual([]);
    expect(told(whole('trumpet-bflat', 'C5', false, 6), ...fellows(true))).toHaveLength(1);
    const late = (instrument: string, pitch: string): Part =>
      partOf(
        instrument,
        Array.from({ length: 8 }, (_, bar) => `${pitch}:${String(4 * bar)}:${bar > 4 ? 3.5 : 4}`).join(' '),
        timeline,
      );
    expect(told(whole('trumpet-bflat', 'C5', false), late('sax-tenor', 'G3'), late('trombone-tenor', 'E3'))).toEqual(
      [],
    );
    expect(told(whole('trombone-bass', 'C2', false, 6), ...fellows(true))).toEqual([]);
  });
});

describe('a tuba that doubles a bass trombone an octave below', () => {
  const tune = partOf('violin', figure('C5 D5', 1, 1, 16, 100), timeline, { role: 'foreground' });
  /** A line of moving notes with a long one at the end of every other bar, a quarter shorter where it breathes. */
  const line = (instrument: string, pitches: string, breathes: boolean, bars = 12, end = breathes ? 1 : 2): Part => {
    const names = pitches.split(' ');
    const music = Array.from({ length: 8 * bars }, (_, beat) => {
      const length = beat % 8 === 6 ? end : 1;
      return beat % 8 === 7 || beat >= 4 * bars
        ? ''
        : `${names[beat % names.length]}:${String(beat)}:${String(length)}:80`;
    });
    return partOf(instrument, music.filter((note) => note !== '').join(' '), timeline);
  };
  const told = (...parts: Part[]) =>
    findingsOf(stageOf([tune, ...parts], timeline)).filter(({ rule }) => rule === 'stamina');

  it('wants the rests that its double has where it holds through them for three breaths and more', () => {
    const [finding, ...others] = told(line('trombone-bass', 'C3 D3 E3', true), line('tuba', 'C2 D2 E2', false));
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ level: 'look', from: 1, to: 12, partIds: ['tuba'] });
    expect(finding?.message).toContain('Bass Trombone with the same line breathes in bars 2, 4, 6, 8 and 10');
  });

  it('has not where it rests too, where both hold on, for less, or where the other only lets go early or has another line', () => {
    const trombone = line('trombone-bass', 'C3 D3 E3', true);
    expect(told(trombone, line('tuba', 'C2 D2 E2', true))).toEqual([]);
    expect(told(line('trombone-bass', 'C3 D3 E3', false), line('tuba', 'C2 D2 E2', false))).toEqual([]);
    expect(told(line('trombone-bass', 'C3 D3 E3', true, 5), line('tuba', 'C2 D2 E2', false, 5))).toEqual([]);
    expect(told(line('trombone-bass', 'C3 D3 E3', true, 12, 1.6), line('tuba', 'C2 D2 E2', false))).toEqual([]);
    expect(told(line('trombone-bass', 'E3 F3 G3', true), line('tuba', 'C2 D2 E2', false))).toEqual([]);
  });
});

describe('two players with a note each', () => {
  const horns = (pitches: readonly string[]) =>
    partOf('horn-f', pitches.map((pitch) => `${pitch}:0:60:90`).join(' '), timeline, { players: 2, name: 'Horns a2' });
  const flute = partOf('flute', figure('C5 D5', 1, 1, 16), timeline, { role: 'foreground' });

  it('have no place to breathe under one long octave; on one note they take turns', () => {
    const told = (pitches: readonly string[]) =>
      barsOf(findingsOf(stageOf([flute, horns(pitches)], timeline)), 'breath');
    expect(told(['C4', 'C3'])).toHaveLength(1);
    expect(told(['C4'])).toEqual([]);
  });
});

describe('a walking bass', () => {
  const trombone = partOf('trombone-bass', figure('F2', 4, 1, 4), timeline);
  const bass = partOf('double-bass', figure('G2 E2 G2 A2', 1, 1, 4), timeline);
  const sax = partOf('sax-alto', figure('C5 D5', 1, 1, 4), timeline, { role: 'foreground' });
  const told = (kind: 'big-band' | 'chamber') =>
    barsOf(findingsOf(stageOf([sax, trombone, bass], timeline, { ensemble: { kind, sure: true } })), 'crowded-low');

  it('passes the trombone in a big band; in chamber music it is a second low line', () => {
    expect(told('big-band')).toEqual([]);
    expect(told('chamber')).toHaveLength(1);
  });
});

describe('the thumb of a guitar over the bass player of a band', () => {
  const singer = partOf('voice-alto', figure('C5 D5', 1, 1, 4), timeline, { role: 'foreground' });
  const bass = partOf('double-bass', figure('E2 B1', 2, 1, 4), timeline);
  const told = (instrument: string, pitch: string) => {
    const parts = [singer, bass, partOf(instrument, figure(pitch, 4, 1, 4), timeline)];
    return barsOf(findingsOf(stageOf(parts, timeline, { ensemble: { kind: 'band', sure: true } })), 'crowded-low');
  };

  it('may lie a fourth over its fifth; a third is mud, and so is a bass clarinet there', () => {
    expect(told('guitar', 'E2')).toEqual([]);
    expect(told('guitar', 'D2')).not.toEqual([]);
    expect(told('bass-clarinet', 'E2')).not.toEqual([]);
  });
});

describe('two mallet players', () => {
  const pair = (instrument: string) => [
    partOf('flute', figure('C6 D6', 1, 1, 16), timeline, { role: 'foreground' }),
    partOf(instrument, figure('C4 E4', 1, 1, 16, 50), timeline, { number: 1, name: 'One' }),
    partOf(instrument, figure('C4 E4', 1, 1, 16, 100), timeline, { number: 2, name: 'Two' }),
  ];

  it('have two tasks, where two horns have a first and a second', () => {
    const told = (instrument: string) => barsOf(findingsOf(stageOf(pair(instrument), timeline)), 'support-over-lead');
    expect(told('marimba')).toEqual([]);
    expect(told('horn-f')).toHaveLength(1);
  });
});

describe('a copy that was joined with its original', () => {
  it('is told in its bars', () => {
    const part = partOf('synthesizer', figure('C4 E4', 1, 1, 8), timeline);
    const [track] = part.tracks;
    const copy = { of: 0, notes: 16, startQuarters: 16, endQuarters: 32 };
    const joined = track === undefined ? part : { ...part, tracks: [track, { ...track, name: 'Seq copy', copy }] };
    expect(barsOf(findingsOf(stageOf([joined], timeline)), 'leftover-track')).toEqual([['look', 5, 8]]);
    expect(barsOf(findingsOf(stageOf([part], timeline)), 'leftover-track')).toEqual([]);
  });
});

describe('far outside the range', () => {
  it('a whole octave beyond may be written otherwise, or a key switch: it is looked at, a tone beyond is mended', () => {
    const violin = (pitch: string) => partOf('violin', `${figure('A4 B4', 1, 1, 8)} ${pitch}:32:1`, timeline);
    const told = (pitch: string) => barsOf(findingsOf(stageOf([violin(pitch)], timeline)), 'outside-range');
    expect(told('F3')).toEqual([['fix', 9, 9]]);
    expect(told('C2')).toEqual([['look', 9, 9]]);
  });
});
