/** What a copyist would look at: two voices on a staff, rests together, 8va, marks. "Gould" is E. Gould, Behind Bars (2011), from memory. */
import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../../src/draw/engrave/score/engrave-score.ts';
import type { Clef } from '../../../src/model/music/instrument.ts';
import { parsePitch } from '../../../src/model/music/pitch.ts';
import type { OrnamentSigns, ReducedScore, WrittenEvent } from '../../../src/model/music/written.ts';
import { GUITAR_AND_ENSEMBLE, scoreOf, staffInfo } from '../../support/score.ts';
import type { BarText } from '../../support/score.ts';
import type { DrawnSystem } from './drawn.ts';
import { inkClashes, noteHeads, readSystem, verticals } from './drawn.ts';

function systemsOf(score: ReducedScore, widthPx = 1200): DrawnSystem[] {
  return engraveScore(score, { widthPx, title: 'Test' }).systems.map((system) => readSystem(system.svg));
}

function solo(clef: Clef, bars: readonly BarText[]): ReducedScore {
  return scoreOf([staffInfo('foreground', clef, { label: '', abbreviation: '' })], bars);
}

function headsOf(bar: BarText): ReturnType<typeof noteHeads> {
  return noteHeads(systemsOf(solo('treble', [bar]))[0]!.staves[0]!);
}

const ottavaSigns = (system: DrawnSystem, code: string) =>
  system.staves[0]!.glyphs.filter((glyph) => glyph.code === code);

describe('two voices on one staff', () => {
  it('a unison of like notes is one head with two stems (Gould)', () => {
    expect(headsOf({ staves: [['G4:1', 'G4:1']] })).toHaveLength(1);
    const system = systemsOf(solo('treble', [{ staves: [['G4:4 r:2.', 'G4:4 r:2.']] }]))[0]!;
    expect(noteHeads(system.staves[0]!)).toHaveLength(1);
    expect(verticals(system.staves[0]!)).toHaveLength(2);
  });

  it('a unison of a half and a quarter is two heads side by side (Gould)', () => {
    const heads = headsOf({ staves: [['G4:2 r:2', 'G4:4 r:2.']] });
    expect(heads).toHaveLength(2);
    expect(heads[1]!.x - heads[0]!.x).toBeGreaterThan(11);
  });

  it('a third stands in line, a second beside one another with the upper voice left (Gould)', () => {
    const third = headsOf({ staves: [['B4:2 r:2', 'G4:2 r:2']] });
    expect(third[0]!.x).toBeCloseTo(third[1]!.x, 1);
    const second = headsOf({ staves: [['A4:2 r:2', 'G4:2 r:2']] });
    expect(second[0]!.y).toBeLessThan(second[1]!.y);
  });

  it('where the voices cross the stems stand outside (Gould)', () => {
    const system = systemsOf(solo('treble', [{ staves: [['E4:4 r:2.', 'A4:4 r:2.']] }]))[0]!;
    const [upper, lower] = verticals(system.staves[0]!).sort((a, b) => b[0] - a[0]);
    // Right the stem of the upper voice, going up; left that of the lower one, going down.
    expect(upper![2]).toBeLessThan(upper![1]);
    expect(lower![2]).toBeGreaterThan(lower![1]);
  });

  it('in unison, their flags do not lie on each other, also on ledger lines', () => {
    for (const pitch of ['A3', 'C4', 'E4', 'B4', 'E5', 'A5', 'C6']) {
      const bar: BarText = { staves: [[`${pitch}:8 r:8 r:2.`, `${pitch}:16 r:16 r:8 r:2.`]] };
      expect(inkClashes(systemsOf(solo('treble', [bar]))[0]!), pitch).toEqual([]);
    }
  });

  it('a line that one has plain and the other sharp is two heads, each with its sign (Gould)', () => {
    const system = systemsOf(solo('treble', [{ staves: [['G4:4 r:2.', 'G#4:4 r:2.']] }]))[0]!;
    const heads = noteHeads(system.staves[0]!);
    expect(heads).toHaveLength(2);
    expect(heads[0]!.y).toBe(heads[1]!.y);
    const signs = system.staves[0]!.glyphs.filter(({ code }) => /^E26/.test(code)).map(({ code }) => code);
    expect(signs.sort()).toEqual(['E261', 'E262']);
    expect(inkClashes(system)).toEqual([]);
  });

  it('signs of both on neighbouring lines stand apart', () => {
    for (const [upper, lower] of [
      ['B4', 'A#4'],
      ['Bb4', 'A#4'],
      ['F#5', 'Eb5'],
      ['Db5', 'C#5'],
      ['G#4+B#4', 'F#4+A#4'],
    ]) {
      const bar: BarText = { staves: [[`${String(upper)}:4 r:2.`, `${String(lower)}:4 r:2.`]] };
      expect(inkClashes(systemsOf(solo('treble', [bar]))[0]!), upper).toEqual([]);
    }
  });

  it('nothing touches, whatever they play', () => {
    const pitches = ['E4', 'F4', 'G4', 'A4', 'B4', 'C5', 'Db5'];
    const bars = pitches.flatMap((upper) =>
      pitches.map((lower): BarText => ({
        staves: [[`${upper}:8. ${lower}:16 ${upper}:2.`, `${lower}:4 F#4+G4:4. ${lower}:8 r:4`]],
      })),
    );
    for (const system of systemsOf(solo('treble', bars))) expect(inkClashes(system)).toEqual([]);
  });
});

describe('bars without notes', () => {
  const empty: BarText = { staves: [[], [], []] };
  const full: BarText = { staves: [['C5:1'], ['E4:1'], ['C3:1']] };
  const figures = (system: DrawnSystem): string[] =>
    system.staves[0]!.glyphs.filter(({ code, y }) => /^E08/.test(code) && y < 0).map(({ code }) => code);

  it('rest together under their number, over the top staff only (Gould)', () => {
    const engraved = engraveScore(scoreOf(GUITAR_AND_ENSEMBLE, [full, ...new Array<BarText>(12).fill(empty), full]), {
      widthPx: 1200,
      title: 'Test',
    });
    expect(engraved.systems).toHaveLength(1);
    expect(figures(readSystem(engraved.systems[0]!.svg))).toEqual(['E081', 'E082']);
    // Links still find each of the bars.
    expect(engraved.systems[0]!.bars.map(({ number }) => number)).toEqual(
      Array.from({ length: 14 }, (_, index) => index + 1),
    );
  });

  it('a new section, tempo, key or meter begins a new rest (Gould)', () => {
    const bars = [full, empty, empty, { ...empty, sectionName: 'B' }, empty, empty, full];
    expect(systemsOf(scoreOf(GUITAR_AND_ENSEMBLE, bars)).flatMap(figures)).toEqual(['E082', 'E083']);
  });

  it('one bar has a whole rest on every staff', () => {
    const system = systemsOf(scoreOf(GUITAR_AND_ENSEMBLE, [full, empty, full]))[0]!;
    expect(system.staves.map((staff) => staff.glyphs.filter(({ code }) => code === 'E4E3').length)).toEqual([1, 1, 1]);
  });
});

describe('8va', () => {
  const high: BarText = { staves: [['C7:8 D7:8 E7:8 F7:8 E7:8 D7:8 C7:8 B6:8']] };
  const plain: BarText = { staves: [['C5:4 D5:4 E5:4 F5:4']] };

  it('stands over a passage that would need five ledger lines and more, which is written an octave lower', () => {
    const system = systemsOf(solo('treble', [plain, high, plain]))[0]!;
    expect(ottavaSigns(system, 'E511')).toHaveLength(1);
    // F7 as F6 has three ledger lines above the staff.
    const ledgers = [...(system.staves[0]!.strokes.get('1.6') ?? '').matchAll(/M-?[\d.]+ ?(-?[\d.]+)H/g)];
    expect(Math.min(...ledgers.map((match) => Number(match[1])))).toBe(-30);
  });

  it('is repeated where the passage goes over the end of a line (Gould)', () => {
    const systems = systemsOf(solo('treble', [high, high, high]), 420);
    expect(systems.length).toBeGreaterThan(1);
    for (const system of systems) expect(ottavaSigns(system, 'E511')).toHaveLength(1);
  });

  it('is not written for a single high note, nor where players read ledger lines', () => {
    const single = solo('treble', [{ staves: [['C5:4 B6:4 E5:4 F5:4']] }]);
    expect(systemsOf(single).flatMap((system) => ottavaSigns(system, 'E511'))).toEqual([]);
    const flute = scoreOf([staffInfo('foreground', 'treble', { ottava: false })], [high, high]);
    expect(systemsOf(flute).flatMap((system) => ottavaSigns(system, 'E511'))).toEqual([]);
  });
});

describe('marks', () => {
  /** Slanted lines as heavy as the face has hairpins; ledger lines are as heavy. */
  const hairpinLines = (system: DrawnSystem): readonly RegExpMatchArray[] => [
    ...(system.staves[0]!.strokes.get('1.6') ?? '').matchAll(/M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)/g),
  ];

  it('dynamics stand under their staff, a hairpin ends before the next letter', () => {
    const score = solo('treble', [
      { staves: [['C5:2 D5:2']], dynamics: ['0@0:p', '0@1:<4'] },
      { staves: [['C5:1']], dynamics: ['0@0:ff'] },
    ]);
    const system = systemsOf(score)[0]!;
    const letters = system.staves[0]!.glyphs.filter(({ code }) => /^E52/.test(code)).sort((a, b) => a.x - b.x);
    expect(letters.map(({ code }) => code)).toEqual(['E520', 'E52F']);
    for (const { y } of letters) expect(y).toBeGreaterThan(50);
    expect(letters[0]!.y).toBe(letters[1]!.y);
    const ends = hairpinLines(system).map((match) => Number(match[3]));
    expect(ends).toHaveLength(2);
    expect(Math.max(...ends)).toBeLessThan(letters[1]!.x);
    expect(inkClashes(system)).toEqual([]);
  });

  it('a hairpin over the end of a line is drawn in both lines, not quite closed between (Gould)', () => {
    const bar = { staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8']] };
    const systems = systemsOf(
      solo('treble', [
        { ...bar, dynamics: ['0@0:p', '0@0.5:<8'] },
        { ...bar, dynamics: ['0@4:f'] },
      ]),
      330,
    );
    expect(systems).toHaveLength(2);
    for (const system of systems) expect(hairpinLines(system)).toHaveLength(2);
  });

  function ornamented(text: string, ornament: OrnamentSigns): DrawnSystem {
    const score = solo('treble', [{ staves: [[text]] }]);
    const bar = score.bars[0]!;
    const [first, ...rest] = bar.staves[0]!.voices[0]!;
    const events: WrittenEvent[] = [{ ...first!, ornament }, ...rest];
    return systemsOf({ ...score, bars: [{ ...bar, staves: [{ clef: 'treble', voices: [events] }] }] })[0]!;
  }
  const grace = (name: string) => ({ midi: 0, pitch: parsePitch(name)!, played: 0 });

  it('small notes stand before their main note, smaller, with their own accidentals', () => {
    const system = ornamented('C5:1', { graces: [grace('B4'), grace('C#5')] });
    const heads = noteHeads(system.staves[0]!);
    expect(heads.map(({ scale }) => scale < 0.8)).toEqual([true, true, false]);
    const signs = system.staves[0]!.glyphs.filter(({ code }) => /^E26/.test(code)).map(({ code, scale }) => [
      code,
      scale < 0.8,
    ]);
    // The small note's sharp holds, so the main note takes it back.
    expect(signs).toContainEqual(['E262', true]);
    expect(signs).toContainEqual(['E261', false]);
    expect(inkClashes(system)).toEqual([]);
  });

  it('a trill has its sign above the staff, a tremolo three strokes through its stem', () => {
    const trill = ornamented('C5:2 D5:2', { graces: [], sign: 'trill' });
    expect(trill.staves[0]!.glyphs.find(({ code }) => code === 'E566')!.y).toBeLessThan(0);
    const tremolo = ornamented('C5:2 D5:2', { graces: [], sign: 'tremolo' });
    const strokes = tremolo.staves[0]!.glyphs.find(({ code }) => code === 'E222')!;
    expect(verticals(tremolo.staves[0]!).some(([x]) => Math.abs(x - strokes.x) < 1)).toBe(true);
  });

  /** Middle of the first staccato dot over (-) or under the middle of the first head. */
  function dotAt(text: string): { readonly right: number; readonly down: number } {
    const { glyphs } = ornamented(text, { graces: [], staccato: true }).staves[0]!;
    const dot = glyphs.find(({ code }) => /^E4A[23]$/.test(code))!;
    const head = glyphs.find(({ code }) => code === 'E0A4')!;
    return { right: dot.x + 2 - head.x, down: dot.y + (dot.code === 'E4A2' ? -2 : 2) - head.y };
  }

  it('a staccato dot stands at the head, in a space of the staff, centred (Gould)', () => {
    // On the second line: the space next to it would touch the head. In the second space: the space below.
    expect(dotAt('G4:4 r:2.').down).toBeCloseTo(15, 0);
    expect(dotAt('A4:4 r:2.').down).toBeCloseTo(10, 0);
    expect(dotAt('D5:4 r:2.').down).toBeCloseTo(-15, 0);
    // Beyond the staff lines a space away.
    expect(dotAt('C4:4 r:2.').down).toBeCloseTo(10, 0);
    expect(dotAt('A5:4 r:2.').down).toBeCloseTo(-10, 0);
    for (const text of ['G4:4 r:2.', 'D5:8 E5:8 r:2.', 'G4+B4+E5:4 r:2.'])
      expect(dotAt(text).right).toBeCloseTo(6, -0.5);
  });

  it('of two voices the dots stand at the ends of the stems (Gould)', () => {
    const score = solo('treble', [{ staves: [['C5:8 D5:8 r:2.', 'E4:4 r:2.']] }]);
    const bar = score.bars[0]!;
    const voices = bar.staves[0]!.voices.map((voice) =>
      voice.map((event) =>
        event.kind === 'rest' ? event : { ...event, ornament: { graces: [], staccato: true as const } },
      ),
    );
    const system = systemsOf({ ...score, bars: [{ ...bar, staves: [{ clef: 'treble', voices }] }] })[0]!;
    const dots = system.staves[0]!.glyphs.filter(({ code }) => /^E4A[23]$/.test(code));
    const stems = verticals(system.staves[0]!);
    expect(dots).toHaveLength(3);
    for (const { code, x, y } of dots) {
      const stem = stems.find(([stemX]) => Math.abs(stemX - x - 2) < 1)!;
      const away = code === 'E4A2' ? stem[2] - y : y - stem[2];
      expect(away).toBeGreaterThan(1);
      expect(away).toBeLessThan(16);
    }
    expect(inkClashes(system)).toEqual([]);
  });
});

describe('beams', () => {
  const beamEnds = (text: string): [number, number] => {
    const path = systemsOf(solo('treble', [{ staves: [[text]] }]))[0]!.svg.querySelector(
      '.sn-staff > path:not([stroke-width])',
    );
    const match = /M[\d.]+ ?(-?[\d.]+)l[\d.]+ ?(-?[\d.]+)v/.exec(path?.getAttribute('d') ?? '');
    return [Number(match?.[1]), Number(match?.[2])];
  };

  it('follow rising and falling notes, and are level over equal and hollow ones (Gould)', () => {
    expect(beamEnds('E4:8 F4:8 r:2.')[1]).toBeLessThan(0);
    expect(beamEnds('F4:8 E4:8 r:2.')[1]).toBeGreaterThan(0);
    expect(beamEnds('F4:8 F4:8 r:2.')[1]).toBe(0);
    expect(beamEnds('E4:8 A4:8 F4:8 G4:8 r:2')[1]).toBe(0);
  });

  it('rise by less than the notes do: an octave by one space and a quarter at most (Gould)', () => {
    expect(Math.abs(beamEnds('D4:8 E4:8 G4:8 A4:8 r:2')[1])).toBeLessThanOrEqual(12.5);
  });
});

describe('narrow screens', () => {
  it('have the same bars in shorter lines, within the lines of the wide engraving', () => {
    const bar = { staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8']] };
    const score = solo('treble', new Array<BarText>(11).fill(bar));
    const { systems } = engraveScore(score, { widthPx: 1100, narrowPx: 520, title: 'Test' });
    for (const system of systems) {
      expect(system.narrow.flatMap(({ bars }) => bars.map(({ number }) => number))).toEqual(
        system.bars.map(({ number }) => number),
      );
      expect(system.narrow.length).toBeGreaterThan(1);
      for (const picture of system.narrow) expect(readSystem(picture.svg).width).toBe(520);
    }
  });
});

/** Common practice in scores: after the first system, staves that rest throughout a system are left out of it. */
describe('a staff that is there for a keyboard alone', () => {
  const leads = [
    staffInfo('foreground-upper', 'treble', { brace: 'foreground' }),
    staffInfo('foreground-lower', 'bass', { brace: 'foreground', whenPlayed: true }),
    staffInfo('background-upper', 'treble', { brace: 'background' }),
    staffInfo('background-lower', 'bass', { brace: 'background' }),
  ];
  const busy = 'C5:16 D5:16 E5:16 F5:16 C5:16 D5:16 E5:16 F5:16 C5:16 D5:16 E5:16 F5:16 C5:16 D5:16 E5:16 F5:16';
  const bar = (lower: string): BarText => ({ staves: [[busy], [lower], ['C4:1'], ['R']] });

  it('is left out of the systems in which it rests, after the first one, and comes back where it plays', () => {
    const bars = [...Array.from({ length: 8 }, () => bar('R')), ...Array.from({ length: 4 }, () => bar('C3:1'))];
    const counts = systemsOf(scoreOf(leads, bars), 900).map((system) => system.staves.length);
    expect(counts.length).toBeGreaterThan(3);
    expect(counts[0]).toBe(4);
    expect(counts[1]).toBe(3);
    expect(counts.at(-1)).toBe(4);
  });

  it('leaves no mark of another staff in its place', () => {
    const bars = [
      ...Array.from({ length: 8 }, () => bar('R')),
      { ...bar('R'), dynamics: ['2@0:ff'], names: ['2@1:Vn 1'] },
    ];
    const last = systemsOf(scoreOf(leads, bars), 900).at(-1)!;
    expect(last.staves).toHaveLength(3);
    expect(last.texts.some(({ text }) => text === 'Vn 1')).toBe(true);
    expect(inkClashes(last)).toEqual([]);
  });
});

/** Gould, from memory: a change of clef is smaller and stands right before its note; the next line begins with the new clef in full size. */
describe('a clef that changes inside a bar', () => {
  const TREBLE = 'E050';
  const BASS = 'E062';
  const bars: readonly BarText[] = [
    { staves: [['C3:4 E3:4 C5:4 E5:4']], clefChanges: ['0@2:treble'] },
    { staves: [['C5:1']] },
    { staves: [['C5:2 F#3:8 A3:8 C4:8 D4:8']], clefChanges: ['0@2:bass'] },
    { staves: [['C3:1']] },
  ];

  it('is drawn small before its note, and the notes after it stand where it says', () => {
    const [system] = systemsOf(solo('bass', bars));
    const staff = system!.staves[0]!;
    const clefs = staff.glyphs.filter(({ code }) => code === TREBLE || code === BASS).sort((a, b) => a.x - b.x);
    expect(clefs.map(({ code }) => code)).toEqual([BASS, TREBLE, BASS]);
    expect(clefs.map(({ scale }) => scale < 0.8)).toEqual([false, true, true]);
    const heads = noteHeads(staff).sort((a, b) => a.x - b.x);
    const [c3, , c5, , whole, again, fSharp, , , , low] = heads;
    expect(clefs[1]!.x).toBeGreaterThan(heads[1]!.x);
    expect(clefs[1]!.x).toBeLessThan(c5!.x);
    // In the bass clef C3 is in the second space, in the treble clef C5 in the third.
    expect([c3!.y, c5!.y, whole!.y, again!.y, low!.y]).toEqual([25, 15, 15, 15, 25]);
    // F sharp on the fourth line of the bass clef, its sharp between clef and head.
    expect(fSharp!.y).toBe(10);
    const sharp = staff.glyphs.find(({ code }) => code === 'E262');
    expect(sharp!.x).toBeGreaterThan(clefs[2]!.x);
    expect(sharp!.x).toBeLessThan(fSharp!.x);
  });

  it('needs no second sign at the bar line, breaks the beam that would go over it and lies on nothing', () => {
    const all = solo('bass', [
      { staves: [['C3:8 D3:8 E5:8 F5:8 G5:2']], clefChanges: ['0@1:treble'] },
      ...Array.from({ length: 12 }, (): BarText => ({ staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8']] })),
    ]);
    const systems = systemsOf(all, 500);
    expect(systems.length).toBeGreaterThan(2);
    for (const system of systems) expect(inkClashes(system)).toEqual([]);
    const signs = systems.map((system) =>
      system.staves[0]!.glyphs.filter(({ code }) => code === TREBLE).map(({ scale }) => scale < 0.8),
    );
    expect(signs[0]).toEqual([true]);
    for (const own of signs.slice(1)) expect(own).toEqual([false]);
  });
});

describe('a long list of names over a staff', () => {
  it('is broken between names, never between a name and the numbers of its desks', () => {
    const bars: BarText[] = [
      { staves: [['C4:1'], ['C3:1']], cues: ['0:-Fl 1, 2, Ob 1, 2, Cl 1, 2, Bn 1, 2, Hn 1, 2, Tpt 1, 2, Timp'] },
    ];
    const texts = systemsOf(scoreOf([staffInfo('background-upper', 'treble'), staffInfo('b', 'bass')], bars))[0]!.texts;
    const rows = texts.map(({ text }) => text).filter((text) => /Fl|Ob|Cl|Bn|Hn|Tpt|Timp/.test(text));
    expect(rows.length).toBeGreaterThan(2);
    for (const row of rows) expect(row).not.toMatch(/^\d/);
    expect(rows.join(' ')).toContain('Timp');
  });

  // Common practice, no source: words begin over the bar that they are about.
  it('of a last bar stands over that bar in rows, not over the bars before', () => {
    const said = '2nd Horn + Tbn 2, Bar.Hn 2 + Cnt 3, T.Hn solo 8va, to bar 34';
    const plain: BarText = { staves: [['C5:4 D5:4 E5:4 F5:4']] };
    const bars = [plain, plain, plain, { ...plain, names: [`0@0:${said}`] }];
    const engraved = engraveScore(solo('treble', bars), { widthPx: 700, title: 'Test' }).systems[0]!;
    const drawn = readSystem(engraved.svg);
    const rows = drawn.texts.filter(({ kind }) => kind === 'cue');
    expect(rows.map(({ text }) => text).join(' ')).toBe(said);
    expect(rows.length).toBeGreaterThan(1);
    const lastBar = engraved.bars.at(-1)!;
    for (const { box } of rows) expect(box.left).toBeGreaterThan(lastBar.xPx - 30);
    expect(inkClashes(drawn)).toEqual([]);
  });

  it('spreads no notes for the names over another staff', () => {
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')];
    const tune: BarText = { staves: [['r:8 C5:8 D5:4 E5:4 F5:4'], ['C3:1']] };
    const entry = scoreOf(staves, [{ ...tune, cues: ['0:+Drums, Piano, Double bass'] }]);
    const [bar] = entry.bars;
    const handover = { start: 240, text: 'T.Sax', kind: 'lead', staff: 0 } as const;
    const afterRest = (score: ReducedScore): number => {
      const [upper, lower] = systemsOf(score)[0]!.staves;
      return noteHeads(upper!)[0]!.x - noteHeads(lower!)[0]!.x;
    };
    const both = { ...entry, bars: [{ ...bar!, cues: [...bar!.cues, handover] }] };
    expect(afterRest(both)).toBeCloseTo(afterRest(entry), 6);
  });
});

/** A name in a box is the larger the smaller the staves are printed (custom); letters and numbers never touch (common practice, no source). */
describe('names of sections in a system of many staves', () => {
  it.each([1200, 2000, 3200])('stand in a box clear of the number of their bar, at %i px', (widthPx) => {
    const bars: BarText[] = [
      { staves: [['C4:1']], sectionName: 'Burn' },
      { staves: [['C4:1']], sectionName: 'Out' },
    ];
    const [system] = systemsOf(solo('treble', bars), widthPx);
    const boxes = [...system!.svg.querySelectorAll('path')].flatMap((path) =>
      [...(path.getAttribute('d') ?? '').matchAll(/M[-\d.]+ ?(-?[\d.]+)H[-\d.]+V(-?[\d.]+)H[-\d.]+z/g)].map(
        ([, , bottom]) => Number(bottom) + system!.staves[0]!.y,
      ),
    );
    const numbers = system!.texts.filter(({ kind }) => kind === 'number');
    expect(boxes).toHaveLength(2);
    expect(numbers).toHaveLength(2);
    for (const { box } of numbers) for (const bottom of boxes) expect(bottom).toBeLessThan(box.top);
  });
});

/** Custom: a name is read whole, letters in their own width; over a short last bar its box begins before the bar line. */
it('the name of a section over the last, short bar of a line stands whole and within it', () => {
  const bars: BarText[] = [
    ...new Array<BarText>(3).fill({ staves: [['C5:8 D5:8 E5:8 F5:8 G5:8 F5:8 E5:8 D5:8']] }),
    { staves: [['C4:1']], sectionName: 'Bridge, tenor solo' },
  ];
  const [system] = systemsOf(solo('treble', bars), 900);
  const [name] = system!.texts.filter(({ kind }) => kind === 'section');
  expect(name?.text).toBe('Bridge, tenor solo');
  expect(name!.box.right).toBeLessThanOrEqual(system!.width);
  expect(system!.svg.querySelectorAll('text[textLength]')).toHaveLength(0);
});

/** Custom: a bar line between the staves of a brace gives way to words, and to the letters of dynamics, that reach over it. */
describe('bar lines and words', () => {
  const braced = [
    staffInfo('background-upper', 'treble', { brace: 'b' }),
    staffInfo('background-lower', 'bass', { brace: 'b' }),
  ];
  const linesOf = (system: DrawnSystem): { left: number; right: number; top: number; bottom: number }[] => {
    const path = system.svg.querySelector('path.sn-frame')?.getAttribute('d') ?? '';
    return [...path.matchAll(/M([\d.]+)[ ]?(-?[\d.]+)h([\d.]+)V([\d.]+)/g)].map((match) => {
      const [left = 0, top = 0, width = 0, bottom = 0] = match.slice(1).map(Number);
      return { left, right: left + width, top, bottom };
    });
  };

  it('do not cross, and the line goes on above and below the words', () => {
    const bars: BarText[] = Array.from({ length: 3 }, () => ({
      staves: [['C5:4 D5:4 E5:4 F5:4'], ['C3:1']],
      names: ['0@3:_Vc + Bn 1 8va + Db 8vb, to bar 31'],
      dynamics: ['0@0:mf'],
    }));
    const [system] = systemsOf(scoreOf(braced, bars));
    const words = system!.texts.filter(({ text }) => text.startsWith('Vc'));
    const lines = linesOf(system!);
    const crossed = words.filter(({ box }) => lines.some(({ left }) => left > box.left && left < box.right));
    expect(crossed.length).toBeGreaterThan(0);
    for (const { box } of words) {
      for (const line of lines.slice(1)) {
        const apart =
          line.right < box.left || line.left > box.right || line.bottom < box.top + 1 || line.top > box.bottom - 1;
        expect(apart).toBe(true);
      }
    }
    for (const { box } of crossed) {
      const beside = lines.filter(({ left }) => left > box.left && left < box.right);
      expect(beside.some(({ bottom }) => bottom <= box.top)).toBe(true);
      expect(beside.some(({ top }) => top >= box.bottom)).toBe(true);
    }
  });
});
