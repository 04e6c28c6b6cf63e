/** Notes beside the harmony, open last chords, octaves of a choir, wood in pairs, drums that the name states: common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { chordOn } from '../support/written.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(8);
const held = (instrument: string, bars: string, changes: Partial<Part> = {}): Part =>
  partOf(
    instrument,
    bars
      .split(' ')
      .map((pitch, index) => (pitch === '-' ? '' : `${pitch}:${String(4 * index)}:4`))
      .join(' '),
    timeline,
    changes,
  );
const front = partOf('flute', figure('G5 E5', 2, 1, 8, 100), timeline, { role: 'foreground' });
const inner = [held('viola', 'C4 C4 C4 C4 C4 C4 C4 C4'), held('oboe', 'E4 E4 E4 E4 E4 E4 E4 E4')];
const told = (...parts: Part[]) =>
  barsOf(findingsOf(stageOf([front, ...inner, ...parts], timeline)), 'clashing-second');

describe('a bass a semitone beside the root of a whole chord', () => {
  it('is told, octaves below whoever has the root', () => {
    expect(told(held('cello', 'C3 E3 C3 Db2 C3 E3 C3 C3'))).toEqual([['look', 4, 4]]);
  });

  it('also where it is plucked on every other beat and the chords answer', () => {
    const bass = (fourth: string): Part =>
      partOf(
        'double-bass',
        `${figure('C2 G2', 2, 1, 3)} ${fourth}:12:1 ${fourth}:14:1 ${figure('C2 G2', 2, 5, 8)}`,
        timeline,
      );
    expect(told(bass('Db2'))).toEqual([['look', 4, 4]]);
    expect(told(bass('C2'))).toEqual([]);
  });

  it('is none in passing by step or as the major seventh of the chord', () => {
    expect(told(held('cello', 'C3 D3 Db3 C3 E3 G3 C3 C3'))).toEqual([]);
    expect(told(held('cello', 'C3 G2 B2 G2 C3 G3 C3 C3'))).toEqual([]);
  });
});

describe('a bass that an upbeat leads to', () => {
  // Struck three times in a bar; the last eighth of a bar brings the next root, as bass players do (common practice, no source).
  const bass = (fourth: string, upbeat: string): Part =>
    partOf(
      'bass-guitar',
      `${figure('C2', 4, 1, 2)} C2:8:3.5 ${upbeat}:11.5:0.5 ${fourth}:12:1.5 ${fourth}:13.5:0.5 ${fourth}:14:2 ${figure('D2 C2', 4, 5, 8)}`,
      timeline,
    );

  it('has arrived: a semitone over the root for a whole bar it is no passing note, though it lies between two steps', () => {
    expect(told(bass('Db2', 'C2'))).toEqual([['look', 4, 4]]);
    expect(told(bass('C2', 'C2'))).toEqual([]);
  });
});

describe('an inner note a semitone beside a tone of a whole triad of the others', () => {
  const bass = held('cello', 'C3 C3 C3 C3 C3 C3 C3 C3');

  it('is told where it goes on by leap', () => {
    expect(told(bass, held('horn-f', 'G3 C4 G3 Ab3 E4 G3 C4 G3'))).toEqual([['look', 4, 4]]);
  });

  it('is none as an appoggiatura, which goes on by step, or where it was there before', () => {
    expect(told(bass, held('horn-f', 'G3 C4 E4 Ab3 G3 E4 C4 G3'))).toEqual([]);
  });
});

describe('an inner note through a whole bar beside a root that four others have', () => {
  const told = (second: string) => {
    const chord = [
      'G5 G5 G5 G5 G5 G5 G5 G5',
      'D4 D4 D4 D4 D4 D4 D4 D4',
      'Bb4 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4',
      'G3 G3 G3 G3 G3 G3 G3 G3',
      'G2 G2 G2 G2 G2 G2 G2 G2',
      'G3 G3 G3 G3 G3 G3 G3 G3',
    ];
    const ids = ['violin', 'viola', 'oboe', 'cello', 'double-bass', 'horn-f'];
    const tune = partOf('flute', figure('D6 Bb5', 2, 1, 8, 100), timeline, { role: 'foreground' });
    const all = [tune, ...chord.map((bars, index) => held(ids[index] ?? '', bars)), held('clarinet-bflat', second)];
    return barsOf(findingsOf(stageOf(all, timeline)), 'clashing-second');
  };

  it('is a wrong note however it goes on by step', () => {
    expect(told('D5 D5 F4 F#4 E4 D4 D5 D5')).toEqual([['look', 4, 4]]);
    expect(told('D5 D5 Bb4 Ab4 Bb4 D4 D5 D5')).toEqual([['look', 4, 4]]);
  });

  it('is none where it was held over, or goes on to that root', () => {
    expect(told('D5 D5 F#4 F#4 D4 D4 D5 D5').map(([, from]) => from)).not.toContain(4);
    expect(told('D5 D5 F4 F#4 G4 D4 D5 D5')).toEqual([]);
  });
});

describe('a bass line beside a whole chord of the others', () => {
  // C minor throughout: two inner voices and a tune on C.
  const minor = [held('viola', 'C4 C4 C4 C4 C4 C4 C4 C4'), held('oboe', 'Eb4 Eb4 Eb4 Eb4 Eb4 Eb4 Eb4 Eb4')];
  const tune = partOf('flute', figure('G5 C5', 2, 1, 8, 100), timeline, { role: 'foreground' });
  const toldUnder = (music: string) =>
    barsOf(findingsOf(stageOf([tune, ...minor, partOf('tuba', music, timeline)], timeline)), 'clashing-second');
  /** Short notes on the first and third beat, in bar 5 those given. */
  const detached = (one: string, other = one): string =>
    `${figure('C2 G2', 2, 1, 4)} ${one}:16:1 ${other}:18:1 ${figure('C2 G2', 2, 6, 8)}`;

  it('is told under a minor chord too, however short it is played', () => {
    expect(toldUnder(detached('Db2'))).toEqual([['look', 5, 5]]);
    expect(toldUnder(detached('E2'))).toEqual([['look', 5, 5]]);
  });

  it('is told under a minor seventh chord, and is none where it walks to the roots by half steps', () => {
    const seventh = (music: string) => {
      const parts = [
        ...minor,
        held('horn-f', 'Bb4 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4'),
        held('violin', 'G4 G4 G4 G4 G4 G4 G4 G4'),
      ];
      return barsOf(
        findingsOf(stageOf([tune, ...parts, partOf('tuba', music, timeline)], timeline)),
        'clashing-second',
      );
    };
    expect(seventh(detached('Db2'))).toEqual([['look', 5, 5]]);
    const walking = (pitches: string) =>
      `${figure('C2 G2', 2, 1, 4)} ${figure(pitches, 1, 5, 5)} ${figure('C2 G2', 2, 6, 8)}`;
    expect(seventh(walking('C2 E2 Eb2 B1'))).toEqual([]);
  });

  it('is told where the other bass has the root under a third, and not as mud where it is close to it', () => {
    const pair = (pitch: string) => {
      const strings = [
        held('violin', 'F5 G5 E5 F5 D5 F5 E5 F5', { role: 'foreground' }),
        held('viola', 'D4 D4 C#4 D4 D4 D4 C#4 D4'),
        held('cello', 'D3 G2 A2 D3 Bb2 D3 A2 D3'),
        held('double-bass', `D2 G2 A1 D2 Bb1 ${pitch} A1 D2`),
      ];
      return findingsOf(stageOf(strings, timeline)).filter(({ from, to }) => from <= 6 && to >= 6);
    };
    expect(pair('Eb2').map(({ rule }) => rule)).toContain('clashing-second');
    expect(barsOf(pair('Eb3'), 'crowded-low')).toEqual([]);
    expect(barsOf(pair('D2'), 'clashing-second')).toEqual([]);
  });

  it('is told where it comes before the bar, in the bar to which it belongs', () => {
    const ahead = (pitch: string) =>
      `${figure('C2 G2', 2, 1, 3)} C2:12:2 ${pitch}:15:2.5 G2:18:1 ${figure('C2 G2', 2, 6, 8)}`;
    expect(toldUnder(ahead('F#2'))).toEqual([['look', 5, 5]]);
    expect(toldUnder(ahead('C2'))).toEqual([]);
  });

  it('is none on a tone of the chord, in passing, or once in a bar of right ones', () => {
    expect(toldUnder(detached('Eb2', 'G2'))).toEqual([]);
    expect(toldUnder(`${figure('C2 G2', 2, 1, 4)} C2:16:1.5 Db2:17.5:.5 C2:18:2 ${figure('G2 C2', 2, 6, 8)}`)).toEqual(
      [],
    );
    expect(toldUnder(`${figure('C2', 2, 1, 4)} C2:16:2 B1:18:1 C2:19:1 ${figure('C2 G2', 2, 6, 8)}`)).toEqual([]);
  });
});

describe('a held inner note beside the harmony', () => {
  it('is told between two neighbours that both sound, and not as a tone of the chord', () => {
    const seventh = held('bassoon', 'Bb2 Bb2 Bb2 Bb2 Bb2 Bb2 Bb2 Bb2');
    const bass = held('cello', 'C2 C2 C2 C2 C2 C2 C2 C2');
    expect(told(seventh, bass, held('horn-f', 'G3 G3 B3 G3 G3 G3 G3 G3'))).toEqual([['look', 3, 3]]);
    expect(told(seventh, bass, held('horn-f', 'G3 G3 C4 G3 G3 G3 G3 G3'))).toEqual([]);
  });
});

describe('the last chord', () => {
  const judge = (alto: string) => {
    const voices = [
      held('voice-soprano', '- - - - - - G4 G4', { role: 'foreground' }),
      held('voice-alto', `- - - - - - ${alto}`),
      held('voice-tenor', '- - - - - - G3 G3'),
      held('voice-bass', '- - - - - - C3 C3'),
    ];
    return barsOf(findingsOf(stageOf(voices, timeline), {}, [], [chordOn(7, 8)]), 'incomplete-chord');
  };

  it('lacks its third where only the bar before has it', () => {
    expect(judge('E4 C4')).toEqual([['note', 8, 8]]);
    expect(judge('E4 E4')).toEqual([]);
  });
});

describe('a bare fifth as last chord', () => {
  /** Strings in four parts that end on C and G; the violas of bars 1 and 2 as given. */
  const judge = (viola: string) => {
    const strings = [
      held('violin', 'G4 G4 F4 D4 G4 A4 B4 G4', { role: 'foreground' }),
      held('viola', `${viola} ${viola} A3 B3 E4 C4 D4 G3`),
      held('cello', 'C3 C3 F3 G3 C3 F3 G3 C3'),
      held('double-bass', 'C2 C2 F2 G2 C2 F2 G2 C2'),
    ];
    return barsOf(findingsOf(stageOf(strings, timeline), {}, [], [chordOn(8, 8)]), 'incomplete-chord');
  };

  it('lacks its third, unless the piece stands on the same fifth before', () => {
    expect(judge('E4')).toEqual([['note', 8, 8]]);
    expect(judge('G3')).toEqual([]);
  });
});

describe('the last chord of a song', () => {
  /** A band with keys in whole triads, that ends on the bare fifth of C; `others` are the thirds of the bars before. */
  const judge = (others: string, last: string) => {
    const band = [
      held('voice-alto', 'C5 A4 B4 C5 A4 B4 C5 C5', { role: 'foreground', players: 1 }),
      held('piano', `${others} ${last}`),
      held('organ', 'G4 C5 D5 G4 C5 D5 G4 G4'),
      held('bass-guitar', 'C2 F2 G2 C2 F2 G2 C2 C2'),
    ];
    const on = (bar: number, root: number) => chordOn(bar, bar, { tones: [root, (root + 4) % 12, (root + 7) % 12] });
    const chords = [0, 5, 7, 0, 5, 7].map((root, index) => on(index + 1, root));
    return barsOf(findingsOf(stageOf(band, timeline), {}, [], [...chords, chordOn(7, 8)]), 'incomplete-chord');
  };

  it('lacks its third where all chords before have theirs, which is to be checked', () => {
    expect(judge('E4 A4 B4 E4 A4 B4 E4', 'G4')).toEqual([['look', 8, 8]]);
    expect(judge('E4 A4 B4 E4 A4 B4 E4', 'E4')).toEqual([]);
  });

  it('is as bare as the others where a band plays without thirds', () => {
    expect(judge('G4 C4 D4 G4 C4 D4 E4', 'G4')).toEqual([]);
  });
});

describe('two voices of a choir', () => {
  const choir = (alto: string) => {
    const voices = [
      held('voice-soprano', 'F5 D5 E5 F5 E5 D5 E5 E5', { role: 'foreground' }),
      held('voice-alto', alto),
      held('voice-tenor', 'A3 B3 C4 C4 C4 B3 C4 C4'),
      held('voice-bass', 'D3 G2 C3 F3 C3 G2 C3 C3'),
    ];
    return barsOf(findingsOf(stageOf(voices, timeline)), 'parallel-perfects');
  };

  it('that leap from octave to octave are one voice less', () => {
    expect(choir('D4 G3 C4 A3 G3 F3 G3 G3')).toEqual([['note', 2, 3]]);
    expect(choir('F4 D4 E4 F4 E4 D4 E4 E4').filter(([, from]) => from === 2)).toEqual([]);
  });
});

describe('woodwind named in the plural', () => {
  const pair = (places: readonly number[]) => {
    const music = Array.from({ length: 8 }, (_, bar) =>
      ['C3', 'E3', ...(places.includes(bar) ? ['G3'] : [])].map((pitch) => `${pitch}:${String(4 * bar)}:3`).join(' '),
    ).join(' ');
    const bassoons = partOf('bassoon', music, timeline, { name: 'Fagotti', players: 2 });
    return barsOf(findingsOf(stageOf([front, bassoons], timeline)), 'too-many-notes');
  };

  it('is a pair that is asked for three notes once, and three players where three notes are the rule', () => {
    expect(pair([4])).toEqual([['look', 5, 5]]);
    expect(pair([0, 1, 2, 3, 4, 5, 6])).toEqual([]);
  });
});

describe('timpani whose name states two pitches', () => {
  const drums = (name: string) => {
    const music = 'Eb3:0:1 Bb2:2:1 Eb3:4:1 Bb2:6:1 F3:12:1 C3:14:1 Eb3:16:1 Bb2:18:1';
    return findingsOf(stageOf([front, partOf('timpani', music, timeline, { name })], timeline));
  };

  it('are a pair tuned by hand, which wants bars of rest; four pedal drums have the pitches side by side', () => {
    const findings = drums('Timpani in Es, B');
    expect(barsOf(findings, 'timpani-tuning')).toEqual([['look', 4, 5]]);
    expect(messageOf(findings, 'timpani-tuning')).toContain('the two drums that the name states, tuned by hand');
    expect(barsOf(drums('Timpani'), 'timpani-tuning')).toEqual([]);
  });
});

describe('a major third held through a bar beside a minor chord, in a song', () => {
  const judge = (sixth: string) => {
    const players = [
      held('voice', 'G4 G4 G4 G4 G4 C5 G4 G4', { role: 'foreground' }),
      held('piano', 'C3 C3 C3 C3 C3 C3 C3 C3'),
      held('guitar', 'Eb4 Eb4 Eb4 Eb4 Eb4 Eb4 Eb4 Eb4'),
      held('viola', 'G3 G3 G3 G3 G3 G3 G3 G3'),
      held('cello', 'Eb3 Eb3 Eb3 Eb3 Eb3 Eb3 Eb3 Eb3'),
      held('violin', `C5 Eb5 C5 Eb5 C5 ${sixth} D5 C5`),
    ];
    return barsOf(
      findingsOf({ ...stageOf(players, timeline), ensemble: { kind: 'band', sure: true } }),
      'clashing-second',
    );
  };

  it('is told, though the next chord lies a step further; the raised ninth over a major chord is none', () => {
    expect(judge('E5')).toEqual([['look', 6, 6]]);
    expect(judge('Eb5')).toEqual([]);
    const major = [
      held('voice', 'G4 G4 G4 G4 G4 C5 G4 G4', { role: 'foreground' }),
      held('piano', 'C3 C3 C3 C3 C3 C3 C3 C3'),
      held('guitar', 'E3 E3 E3 E3 E3 E3 E3 E3'),
      held('viola', 'G3 G3 G3 G3 G3 G3 G3 G3'),
      held('violin', 'C5 E5 C5 E5 C5 Eb5 D5 C5'),
    ];
    expect(
      barsOf(findingsOf({ ...stageOf(major, timeline), ensemble: { kind: 'band', sure: true } }), 'clashing-second'),
    ).toEqual([]);
  });
});

describe('the wrong third of a chord, in jazz', () => {
  // The third bar of four on G: bass, piano, horn and singer; the guitar strikes on the first beat and lets it ring for three, or for one.
  const judge = (
    third: 'Bb' | 'B',
    guitar: string,
    kind: 'combo' | 'big-band' = 'combo',
    more: readonly Part[] = [],
  ) => {
    const players = [
      held('sax-alto', 'D5 C5 G4 D5 D5 C5 D5 D5', { role: 'foreground' }),
      held('sax-tenor', `Bb3 C4 ${third}3 D4 Bb3 C4 Bb3 Bb3`),
      held('trombone-tenor', `G3 A3 G3 F3 G3 A3 G3 G3`),
      held('piano', `D4 F4 ${third}3 D4 D4 F4 D4 D4`),
      held('violin', 'D5 F5 D5 F5 D5 F5 D5 D5'),
      held('bass-guitar', 'G1 F2 G1 Bb1 G1 F2 G1 G1'),
      partOf('guitar', guitar, timeline),
      ...more,
    ];
    const findings = findingsOf({ ...stageOf(players, timeline), ensemble: { kind, sure: true } });
    return findings
      .filter(({ rule }) => rule === 'clashing-second')
      .map(({ from, to, message }) => ({ from, to, message }));
  };
  const struck = (pitches: string, length: number): string =>
    pitches
      .split(' ')
      .map((pitch) => `${pitch}:8:${length}`)
      .join(' ');

  it('is told where a guitar lets the major one ring against the minor one of horn and piano', () => {
    for (const kind of ['combo', 'big-band'] as const) {
      const [finding, ...others] = judge('Bb', struck('B3 D4 G4 B4', 3), kind);
      expect(others).toEqual([]);
      expect(finding).toMatchObject({ from: 3, to: 3 });
      expect(finding?.message).toContain('against the other third');
    }
  });

  it('is none as a short chop, led on by step, or where the chord is a minor one for all', () => {
    expect(judge('Bb', struck('B3 D4 G4 B4', 1))).toEqual([]);
    expect(judge('Bb', 'B3:8:3 Bb3:11:1')).toEqual([]);
    expect(judge('Bb', struck('Bb3 D4 G4 Bb4', 3))).toEqual([]);
  });

  it('is none as a raised ninth over a dominant seventh, nor are ninth, eleventh and thirteenth of a minor chord', () => {
    const seventh = held('organ', 'F4 - F4 - F4 - F4 -');
    expect(judge('B', struck('Bb4', 4), 'combo', [seventh])).toEqual([]);
    for (const tension of ['A4', 'C5', 'E5']) expect(judge('Bb', struck(tension, 4))).toEqual([]);
  });

  it('is told of the minor one that one player alone holds close to the major one of two others, in a chord without a seventh', () => {
    expect(judge('B', struck('G3 Bb3 D4', 4))).toMatchObject([{ from: 3, to: 3 }]);
    expect(judge('B', struck('Bb3', 1))).toEqual([]);
    expect(judge('B', struck('Bb5', 4))).toEqual([]);
    expect(judge('B', struck('Bb3', 4), 'combo', [held('organ', '- - Bb4 - - - - -')])).toEqual([]);
  });

  it('is told over a dominant seventh too where one player holds the whole minor triad under the third: a raised ninth lies over it, alone', () => {
    const seventh = held('organ', 'F4 - F4 - F4 - F4 -');
    expect(judge('B', struck('G3 Bb3 D4', 4), 'combo', [seventh])).toMatchObject([{ from: 3, to: 3 }]);
    expect(judge('B', struck('Bb3', 4), 'combo', [seventh])).toEqual([]);
  });

  it('is told of a minor triad that is strummed beat by beat under the major third of others, in whatever octave, without its fifth too', () => {
    const strummed = (pitches: string): string =>
      [8, 9, 10, 11].flatMap((at) => pitches.split(' ').map((pitch) => `${pitch}:${String(at)}:0.95`)).join(' ');
    expect(judge('B', strummed('G2 Bb2 D3'))).toMatchObject([{ from: 3, to: 3 }]);
    expect(judge('B', strummed('G2 B2 D3'))).toEqual([]);
    // A line that comes back to it is no chord.
    expect(judge('B', strummed('Bb2'))).toEqual([]);
  });

  it('is told of the minor one held over a chord with major third and major seventh', () => {
    const seventh = held('organ', '- - F#4 - - - - -');
    expect(judge('B', struck('Bb4', 4), 'combo', [seventh])).toMatchObject([{ from: 3, to: 3 }]);
  });
});

describe('a chord that ends a phrase', () => {
  // All strike it together and leave it; the organ alone goes on with the same chord, and has its third.
  const judge = (alto: string) => {
    const players = [
      held('trumpet-bflat', 'E5 D5 F5 C5 - D5 F5 E5', { role: 'foreground' }),
      held('horn-f', `G4 G4 A4 ${alto} - G4 A4 G4`),
      held('trombone-tenor', 'G3 B3 C4 G3 - B3 C4 G3'),
      held('tuba', 'C3 G2 F2 C3 - G2 F2 C3'),
      partOf('organ', 'C4:16:4 E4:16:4 G4:16:4', timeline),
    ];
    return barsOf(findingsOf(stageOf(players, timeline), {}, [], [chordOn(4, 5)]), 'incomplete-chord');
  };

  it('stands for itself: the third of the next bar is not heard in it', () => {
    expect(judge('G4')).toEqual([['note', 4, 4]]);
    expect(judge('E4')).toEqual([]);
  });
});

describe('timpani tuned to the key before', () => {
  // Tuned to tonic and dominant of D; E flat major in bar 5: what is struck there is a semitone beside the chord of all others.
  const judge = (fifth: string) => {
    const players = [
      held('trumpet-bflat', 'F#4 F#4 F#4 F#4 G4 F#4 F#4 F#4', { role: 'foreground' }),
      held('trombone-tenor', 'A3 A3 A3 A3 Bb3 A3 A3 A3'),
      held('horn-f', 'D4 D4 D4 D4 Eb4 D4 D4 D4'),
      held('tuba', 'D3 D3 D3 D3 Eb3 D3 D3 D3'),
      partOf('timpani', `${figure('D3 A2', 2, 1, 4)} ${fifth} ${figure('D3 A2', 2, 6, 8)}`, timeline),
    ];
    return findingsOf(stageOf(players, timeline));
  };

  it('are told in the bar of another key, and not where they are retuned, rest or strike in passing', () => {
    expect(barsOf(judge('D3:16:1 D3:17:0.5 D3:17.5:0.5 D3:18:1'), 'clashing-second')).toEqual([['look', 5, 5]]);
    expect(messageOf(judge('D3:16:1 D3:18:1'), 'clashing-second')).toContain('D3 in bar 5');
    expect(barsOf(judge('Eb3:16:1 Eb3:18:1'), 'clashing-second')).toEqual([]);
    expect(barsOf(judge(''), 'clashing-second')).toEqual([]);
    expect(barsOf(judge('Eb3:16:1 D3:18:0.5'), 'clashing-second')).toEqual([]);
    const scale = ['D3', 'Eb3', 'E3', 'F3', 'F#3', 'G3', 'G#3', 'A3'].map((pitch, at) => `${pitch}:${16 + at / 2}:0.5`);
    expect(barsOf(judge(scale.join(' ')), 'clashing-second')).toEqual([]);
  });
});

describe('everyday ranges', () => {
  const tuba = partOf('tuba', figure('Eb1 Bb1', 2, 1, 8), timeline);
  const edge = (...others: string[]) =>
    barsOf(
      findingsOf(stageOf([front, tuba, ...others.map((id) => partOf(id, figure('C4', 4, 1, 8), timeline))], timeline)),
      'edge-of-range',
    );

  it('of a tuba are those of the band where a band plays', () => {
    expect(edge('violin', 'viola', 'cello')).toHaveLength(1);
    const band = ['clarinet-bflat', 'clarinet-eflat', 'sax-alto', 'sax-tenor', 'trumpet-bflat', 'horn-f', 'euphonium'];
    expect(edge(...band)).toEqual([]);
  });
});
