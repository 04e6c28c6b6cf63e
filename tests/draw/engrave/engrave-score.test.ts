/** The score as a page shows it, read back from the markup. "Gould" is E. Gould, Behind Bars (2011), from memory. */
import { describe, expect, it } from 'vitest';
import { engraveScore, glyphDefs } from '../../../src/draw/engrave/score/engrave-score.ts';
import type { ReducedScore } from '../../../src/model/music/written.ts';
import { GUITAR_AND_ENSEMBLE, demonstrationScore, scoreOf, staffInfo } from '../../support/score.ts';
import type { BarText } from '../../support/score.ts';
import type { DrawnSystem } from './drawn.ts';
import { glyphBoxes, horizontals, noteHeads, overlaps, readSystem, verticals } from './drawn.ts';

const OPTIONS = { widthPx: 1200, title: 'Test' };

function systemsOf(score: ReducedScore, widthPx = 1200): DrawnSystem[] {
  return engraveScore(score, { ...OPTIONS, widthPx }).systems.map((system) => readSystem(system.svg));
}

function solo(clef: Parameters<typeof staffInfo>[1], bars: readonly BarText[]): ReducedScore {
  return scoreOf([staffInfo('foreground', clef, { label: '', abbreviation: '' })], bars);
}

/** y of the first head of one note, from the top line: 0 = top line, 40 = lowest line, 5 a step. */
function headY(clef: Parameters<typeof staffInfo>[1], pitch: string): number {
  const system = systemsOf(solo(clef, [{ staves: [[`${pitch}:4 r:2.`]] }]))[0]!;
  return noteHeads(system.staves[0]!)[0]!.y;
}

describe('systems', () => {
  it('a score without bars or without staves has no systems', () => {
    expect(engraveScore({ staves: GUITAR_AND_ENSEMBLE, bars: [] }, OPTIONS)).toEqual({ systems: [], glyphs: [] });
    expect(engraveScore({ ...demonstrationScore(), staves: [] }, OPTIONS)).toEqual({ systems: [], glyphs: [] });
  });

  it.each([1200, 700, 320])('every bar stands in exactly one system, in order, at %i px', (widthPx) => {
    const score = demonstrationScore();
    const { systems } = engraveScore(score, { ...OPTIONS, widthPx });
    expect(systems.flatMap((system) => system.bars.map((bar) => bar.number))).toEqual(
      score.bars.map((bar) => bar.number),
    );
    for (const system of systems) {
      expect(system.bars[0]?.number).toBe(system.fromBar);
      expect(system.bars.at(-1)?.number).toBe(system.toBar);
      let left = 0;
      for (const bar of system.bars) {
        expect(bar.xPx).toBeGreaterThanOrEqual(left - 0.2);
        left = bar.xPx + bar.widthPx;
      }
      expect(left).toBeLessThanOrEqual(widthPx + 0.1);
    }
  });

  it('every line but the last is filled to the margin', () => {
    for (const widthPx of [1200, 700]) {
      const systems = systemsOf(demonstrationScore(), widthPx);
      for (const system of systems.slice(0, -1)) {
        const ends = horizontals(system.staves[0]!).map(([, , to]) => to);
        expect(Math.max(...ends)).toBeGreaterThan(system.width - 3);
        expect(Math.max(...ends)).toBeLessThanOrEqual(system.width);
      }
    }
  });

  it('a last line less than about three quarters full keeps its natural width', () => {
    const score = solo('treble', [{ staves: [['C4:4 D4:4 E4:4 F4:4']] }]);
    const { systems } = engraveScore(score, OPTIONS);
    const bar = systems[0]!.bars[0]!;
    expect(bar.xPx + bar.widthPx).toBeLessThan(0.4 * 1200);
  });

  it('a bar wider than the line has its own system, drawn smaller', () => {
    const notes = Array.from({ length: 48 }, (_, index) => `${['C', 'D', 'E', 'F#', 'Gb', 'A'][index % 6]!}4:32`);
    const score = solo('treble', [
      { meter: { numerator: 12, denominator: 8 }, staves: [[notes.join(' ')]] },
      { staves: [['C4:1.']] },
    ]);
    const { systems } = engraveScore(score, { ...OPTIONS, widthPx: 500 });
    expect(systems.map((system) => [system.fromBar, system.toBar])).toEqual([
      [1, 1],
      [2, 2],
    ]);
    const drawn = readSystem(systems[0]!.svg);
    expect(drawn.width).toBeGreaterThan(900);
    expect(systems[0]!.bars[0]!.xPx + systems[0]!.bars[0]!.widthPx).toBeLessThanOrEqual(500);
    expect(noteHeads(drawn.staves[0]!)).toHaveLength(48);
    expect(overlaps(glyphBoxes(drawn).filter((box) => box.what === 'E0A4'))).toEqual([]);
  });

  it('says what was doubled and left out, once', () => {
    const bar = { staves: [['C4:1']], doublings: ['Vn 1 + Fl 8va'], leftOut: ['inner octave of Hn'] };
    const { systems } = engraveScore(solo('treble', [bar, bar]), OPTIONS);
    expect(systems[0]).toMatchObject({ doublings: ['Vn 1 + Fl 8va'], leftOut: ['inner octave of Hn'] });
    expect(systems[0]!.svg).not.toContain('8va');
  });

  it('the description names bars, sections and chords for those who do not see the picture', () => {
    const { systems } = engraveScore(demonstrationScore(), OPTIONS);
    expect(systems[0]!.label).toContain(`Test, bars 0 to ${String(systems[0]!.toBar)}. Sections: Opening from bar 0.`);
    expect(systems[0]!.label).toContain('Chords: bar 1 Gm, Gm/Bb');
    expect(readSystem(systems[0]!.svg).svg.getAttribute('aria-label')).toBe(systems[0]!.label);
  });
});

// Words of tempo stand over the note at which they begin to hold (Gould).
it('a tempo that gives way within a bar is told over the beat on which it does', () => {
  const score = solo('treble', [
    { staves: [['C5:4 D5:4 E5:4 F5:4']] },
    { staves: [['C5:4 D5:4 E5:4 F5:4']], chords: ['0:Am', '2:E7'], tempoText: 'rit.' },
  ]);
  const placeOf = (bars: ReducedScore['bars'], words: string): number => {
    const [system] = systemsOf({ ...score, bars });
    const found = [...system!.svg.querySelectorAll('text')].find(({ textContent }) => textContent === words);
    return Number(found?.getAttribute('x'));
  };
  expect(placeOf(score.bars, 'rit.')).toBeLessThan(placeOf(score.bars, 'E7') - 40);
  const inside = score.bars.map((bar, index) => (index === 1 ? { ...bar, tempoAt: 960 } : bar));
  expect(Math.abs(placeOf(inside, 'rit.') - placeOf(inside, 'E7'))).toBeLessThan(10);
});

describe('markup', () => {
  const hostile = scoreOf(
    [
      staffInfo('foreground', 'treble', {
        label: '</text><script>alert(1)</script>',
        abbreviation: '" onload="alert(1)',
      }),
      staffInfo('background', 'bass', { label: 'a\u0000b\u202Ec\uD800 & <b>', abbreviation: "'&amp;" }),
    ],
    [
      {
        staves: [['C4:1'], ['C3:1']],
        sectionName: '<img src=x onerror=alert(1)>',
        tempoText: '♩ = <72>',
        chords: ['0:C<7>"&'],
        cues: ['0:+<Hn>'],
      },
      { staves: [['C4:1'], []], chords: ['0:'], sectionName: '\u0007' },
      { staves: [['C4:1'], []], sectionName: 'x'.repeat(5000), cues: ['0:-'] },
    ],
  );

  it('names from outside are text, whatever they hold', () => {
    const { systems } = engraveScore(hostile, { widthPx: 400, title: '"><script>' });
    for (const { svg } of systems) {
      expect(svg).not.toMatch(/<script|<img|<b>|onload="/);
      // Control characters, and marks that turn the direction of the text after them.
      expect(svg.match(/[\p{Cc}\u202A-\u202E\u2066-\u2069]/gu)).toBeNull();
      const allowed = ['svg', 'g', 'path', 'polyline', 'use', 'text'];
      const names = [...readSystem(svg).svg.querySelectorAll('*')].map((element) => element.localName);
      expect(names.filter((name) => !allowed.includes(name))).toEqual([]);
    }
  });

  it('has no style attributes, no ids and no colours of its own', () => {
    for (const { svg } of engraveScore(demonstrationScore(), OPTIONS).systems) {
      expect(svg).not.toMatch(/\sstyle=|\sid=|#[0-9a-f]{3,6}[;"]|NaN|undefined|Infinity/i);
    }
  });

  it('every glyph that is drawn is defined once', () => {
    const score = engraveScore(demonstrationScore(), OPTIONS);
    const used = new Set(
      score.systems.flatMap(({ svg }) =>
        [...svg.matchAll(/href="#(\w+)"|<polyline class="(\w+)"/g)].map((match) => match[1] ?? match[2]),
      ),
    );
    expect([...used].sort()).toEqual([...score.glyphs]);
    const defined = [...glyphDefs(score.glyphs).matchAll(/ id="(\w+)"/g)].map((match) => match[1]);
    expect(defined).toEqual([...score.glyphs]);
    expect(glyphDefs([])).toBe('');
  });

  it('is the same to the byte whatever was engraved before', () => {
    const other = hostile;
    const first = JSON.stringify(engraveScore(demonstrationScore(), OPTIONS));
    engraveScore(other, OPTIONS);
    engraveScore(demonstrationScore(), { ...OPTIONS, widthPx: 640 });
    expect(JSON.stringify(engraveScore(demonstrationScore(), OPTIONS))).toBe(first);
  });
});

describe('pitch on the staff', () => {
  it('middle C stands on the ledger line below the treble staff and above the bass staff', () => {
    expect(headY('treble', 'C4')).toBe(50);
    expect(headY('bass', 'C4')).toBe(-10);
  });

  it('the C clefs name middle C: the middle line in the alto clef, the fourth line in the tenor clef', () => {
    expect(headY('alto', 'C4')).toBe(20);
    expect(headY('tenor', 'C4')).toBe(10);
  });

  it('a guitar is written an octave above its sound: its lowest string, E2, stands below its third ledger line', () => {
    // Common practice; the treble clef with an 8 below names the octave.
    expect(headY('treble-8', 'E2')).toBe(75);
    expect(headY('treble-8', 'E2')).toBe(headY('treble', 'E3'));
  });

  it('a double bass is written an octave above its sound: its E1 stands on the first ledger line below', () => {
    expect(headY('bass-8', 'E1')).toBe(50);
  });

  it('staff lines are one space apart, and C6 in the treble clef has two ledger lines', () => {
    const system = systemsOf(solo('treble', [{ staves: [['C6:4 r:2.']] }]))[0]!;
    const lines = horizontals(system.staves[0]!).sort((a, b) => a[0] - b[0]);
    expect(lines.map(([y]) => y)).toEqual([-20, -10, 0, 10, 20, 30, 40]);
  });
});

describe('stems', () => {
  function stem(notes: string, staffIndex = 0): [number, number, number] {
    return verticals(systemsOf(solo('treble', [{ staves: [[notes]] }]))[0]!.staves[staffIndex]!)[0]!;
  }

  it('go up below the middle line and down on and above it (Gould)', () => {
    const directions = ['A4', 'B4', 'C5'].map((pitch) => {
      const [, from, to] = stem(`${pitch}:4 r:2.`);
      return to < from ? 'up' : 'down';
    });
    expect(directions).toEqual(['up', 'down', 'down']);
  });

  it('are three and a half spaces long, an octave (Gould)', () => {
    const [, , to] = stem('A4:4 r:2.');
    // From the middle of the head: A4 stands in the second space, at 25.
    expect(25 - to).toBeCloseTo(35, 0);
  });

  it('reach the middle line from ledger lines (Gould)', () => {
    const [, , to] = stem('E6:4 r:2.');
    expect(to).toBeGreaterThanOrEqual(19.5);
  });

  it('stand apart where a staff has two voices', () => {
    const system = systemsOf(solo('treble', [{ staves: [['C5:2 D5:2', 'E4:2 F4:2']] }]))[0]!;
    const stems = verticals(system.staves[0]!);
    const up = stems.filter(([, from, to]) => to < from);
    expect(up).toHaveLength(2);
    expect(stems).toHaveLength(4);
  });
});

describe('accidentals and signatures', () => {
  function accidentals(bars: readonly BarText[], clef: Parameters<typeof staffInfo>[1] = 'treble'): string[] {
    return systemsOf(solo(clef, bars)).flatMap((system) =>
      system.staves[0]!.glyphs.filter(({ code }) => /^E26/.test(code)).map(({ code }) => code),
    );
  }
  const SHARP = 'E262';
  const NATURAL = 'E261';

  it('hold until the bar line', () => {
    expect(accidentals([{ staves: [['C#5:4 C#5:4 C5:4 C5:4']] }])).toEqual([SHARP, NATURAL]);
    expect(accidentals([{ staves: [['C#5:1']] }, { staves: [['C#5:1']] }])).toEqual([SHARP, SHARP]);
  });

  it('hold for one octave only', () => {
    expect(accidentals([{ staves: [['C#5:2 C#4:2']] }])).toEqual([SHARP, SHARP]);
  });

  it('are not repeated on a note tied over the bar line, but on the next one in that bar (Gould)', () => {
    expect(accidentals([{ staves: [['C#5:1~']] }, { staves: [['C#5:2 C#5:2']] }])).toEqual([SHARP, SHARP]);
    expect(accidentals([{ staves: [['C#5:1~']] }, { staves: [['C#5:1']] }])).toEqual([SHARP]);
  });

  it('are taken back by a courtesy sign in the next bar (common practice)', () => {
    expect(accidentals([{ staves: [['C#5:1']] }, { staves: [['C5:1']] }])).toEqual([SHARP, NATURAL]);
    expect(accidentals([{ staves: [['C#5:1']] }, { staves: [['D5:1']] }, { staves: [['C5:1']] }])).toEqual([SHARP]);
  });

  it('are not shown for what the signature says', () => {
    expect(accidentals([{ fifths: 2, staves: [['F#4:2 C#5:2']] }])).toEqual([SHARP, SHARP]);
  });

  it('sharps stand on F C G D A E B, flats on B E A D G C F', () => {
    const signature = (fifths: number): number[] => {
      const system = systemsOf(solo('treble', [{ fifths, staves: [['r:1']] }]))[0]!;
      return system.staves[0]!.glyphs.filter(({ code }) => /^E26[02]/.test(code)).map(({ y }) => y);
    };
    // Treble clef: F5 is the top line (0), a step is 5.
    expect(signature(7)).toEqual([0, 15, -5, 10, 25, 5, 20]);
    expect(signature(-7)).toEqual([20, 5, 25, 10, 30, 15, 35]);
  });

  it('a change to the open key cancels the old signature, at the line end as well', () => {
    const bars: BarText[] = [
      { fifths: 2, staves: [['D4:1']] },
      { fifths: 0, staves: [['D4:1']] },
    ];
    expect(accidentals(bars)).toEqual([SHARP, SHARP, NATURAL, NATURAL]);
  });
});

describe('rests', () => {
  it.each([
    [3, 4],
    [5, 4],
    [12, 8],
  ])('a whole-bar rest stands in the middle of a bar of %i/%i', (numerator, denominator) => {
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')];
    const meter = { numerator, denominator };
    const moving = Array.from({ length: numerator }, () => `C3:${String(denominator)}`).join(' ');
    const score = scoreOf(staves, [{ meter, staves: [[], [moving]] }, { staves: [[], [moving]] }]);
    const engraved = engraveScore(score, OPTIONS).systems[0]!;
    const rest = readSystem(engraved.svg).staves[0]!.glyphs.filter(({ code }) => code === 'E4E3')[1]!;
    const bar = engraved.bars[1]!;
    // A whole rest is 1.1 spaces wide; the bar's first note stands a little right of the bar line.
    expect(Math.abs(rest.x + 5.6 - (bar.xPx + bar.widthPx / 2))).toBeLessThan(10);
  });

  it('a rest of the upper of two voices stands higher than one of the lower', () => {
    const system = systemsOf(solo('treble', [{ staves: [['r:4 C5:2.', 'E4:2. r:4']] }]))[0]!;
    const rests = system.staves[0]!.glyphs.filter(({ code }) => code === 'E4E5').sort((a, b) => a.x - b.x);
    expect(rests).toHaveLength(2);
    expect(rests[0]!.y).toBeLessThan(rests[1]!.y);
  });

  it('a hidden rest keeps time and is not drawn', () => {
    const system = systemsOf(solo('treble', [{ staves: [['C5:2 D5:2', 'h:2 E4:2']] }]))[0]!;
    expect(system.staves[0]!.glyphs.filter(({ code }) => /^E4E/.test(code))).toEqual([]);
    const heads = noteHeads(system.staves[0]!);
    expect(heads[1]!.x).toBeCloseTo(heads[2]!.x, 0);
  });
});

describe('time', () => {
  it('notes that sound together stand under one another on all staves', () => {
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')];
    const score = scoreOf(staves, [{ staves: [['C5:4 D5:4 E5:2'], ['C3:8 D3:8 E3:8 F3:8 G3:4 A3:4']] }]);
    const system = systemsOf(score)[0]!;
    const [above, below] = system.staves.map((staff) => noteHeads(staff).map(({ x }) => x));
    expect(below![0]).toBeCloseTo(above![0]!, 0);
    expect(below![2]).toBeCloseTo(above![1]!, 0);
    expect(below![4]).toBeCloseTo(above![2]!, 0);
  });

  it('equal notes have equal room in all bars of a line', () => {
    const bars = [{ staves: [['C5:4 D5:4 E5:4 F5:4']] }, { staves: [['C5:2 D5:4 E5:4']] }];
    const xs = noteHeads(systemsOf(solo('treble', bars), 500)[0]!.staves[0]!).map(({ x }) => x);
    expect(xs[6]! - xs[5]!).toBeCloseTo(xs[1]! - xs[0]!, 0);
  });

  it('a longer note has more room, but less than in proportion (Gould)', () => {
    const xs = noteHeads(systemsOf(solo('treble', [{ staves: [['C5:2 D5:4 E5:4']] }]))[0]!.staves[0]!).map(
      ({ x }) => x,
    );
    const ratio = (xs[1]! - xs[0]!) / (xs[2]! - xs[1]!);
    expect(ratio).toBeGreaterThan(1.3);
    expect(ratio).toBeLessThan(1.7);
  });

  it('a change of meter is shown at its bar and announced at the end of the line before (Gould)', () => {
    const bar = { staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8']] };
    const three = { meter: { numerator: 3, denominator: 4 }, staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8']] };
    const bars: BarText[] = [bar, bar, three];
    const threes = (system: DrawnSystem): number =>
      system.staves[0]!.glyphs.filter(({ code }) => code === 'E083').length;
    const systems = systemsOf(solo('treble', bars), 330);
    const at = systems.findIndex((system) => threes(system) === 1);
    expect(systems.map(threes).filter((count) => count > 0)).toEqual([1, 1]);
    expect(at).toBe(systems.length - 2);
  });

  it('a new clef stands small before the bar line and whole at the head of the next line (Gould)', () => {
    const bar = { staves: [['C4:8 D4:8 E4:8 F4:8 C4:8 D4:8 E4:8 F4:8']] };
    const systems = systemsOf(solo('treble', [bar, bar, { ...bar, clefs: ['bass'] }]), 330);
    const bass = systems.map((system) => system.staves[0]!.glyphs.filter(({ code }) => code === 'E062'));
    expect(bass.at(-2)!.map(({ scale }) => scale < 0.8)).toEqual([true]);
    expect(bass.at(-1)!.map(({ scale }) => scale)).toEqual([1]);
  });
});

describe('ties', () => {
  const tieCount = (svg: string): number => (svg.match(/M[\d. -]+C[\d. -]+C[\d. -]+z/g) ?? []).length;

  it('a tie over the end of a line is drawn in two halves', () => {
    const bar = { staves: [['C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8~']] };
    const last = { staves: [['F5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8']] };
    const wide = engraveScore(solo('treble', [bar, last]), OPTIONS).systems;
    expect(wide.map(({ svg }) => tieCount(svg))).toEqual([1]);
    const narrow = engraveScore(solo('treble', [bar, last]), { ...OPTIONS, widthPx: 330 }).systems;
    expect(narrow.map(({ svg }) => tieCount(svg))).toEqual([1, 1]);
  });

  it('a tied chord has a tie for every note', () => {
    const { systems } = engraveScore(solo('treble', [{ staves: [['C5+E5+G5:2~ C5+E5+G5:2']] }]), OPTIONS);
    expect(tieCount(systems[0]!.svg)).toBe(3);
  });
});

describe('bar lines and bar numbers', () => {
  it('a section ends with a double bar line and the piece with a final one', () => {
    const bars = [{ staves: [['C4:1']] }, { sectionName: 'B', staves: [['C4:1']] }, { staves: [['C4:1']] }];
    const frame = readSystem(engraveScore(solo('treble', bars), OPTIONS).systems[0]!.svg).svg.querySelector(
      'path.sn-frame',
    );
    const widths = [...(frame?.getAttribute('d') ?? '').matchAll(/h([\d.]+)V/g)].map((match) => Number(match[1]));
    // double, single, thin and thick
    expect(widths).toEqual([1.2, 1.2, 1.2, 1.2, 4.5]);
  });

  it('every bar is numbered, a pickup is not (MOLA guidelines for music preparation, from memory)', () => {
    const numbers = systemsOf(demonstrationScore()).flatMap((system) =>
      system.texts.filter(({ kind }) => kind === 'number').map(({ text }) => Number(text)),
    );
    expect(numbers).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
  });
});

describe('words and ink', () => {
  it.each([1200, 700, 420])('no word lies on another word or on a note, at %i px', (widthPx) => {
    for (const system of systemsOf(demonstrationScore(), widthPx)) {
      const words = system.texts.map(({ box }) => box);
      expect(overlaps(words)).toEqual([]);
      const signs = glyphBoxes(system).filter(({ what }) => !/^E(26|CA|CB)/.test(what));
      expect(overlaps(words, signs)).toEqual([]);
    }
  });

  it.each([1200, 700])('nothing is cut off by the edge of the picture, at %i px', (widthPx) => {
    for (const system of systemsOf(demonstrationScore(), widthPx)) {
      for (const box of [...glyphBoxes(system), ...system.texts.map((text) => text.box)]) {
        expect(box.top, box.what).toBeGreaterThanOrEqual(0);
        expect(box.bottom, box.what).toBeLessThanOrEqual(system.height);
        expect(box.left, box.what).toBeGreaterThanOrEqual(-0.5);
        expect(box.right, box.what).toBeLessThanOrEqual(system.width + 0.5);
      }
    }
  });

  it('staves are pushed apart by high and low notes', () => {
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'treble')];
    const near = systemsOf(scoreOf(staves, [{ staves: [['C5:1'], ['C5:1']] }]))[0]!;
    const far = systemsOf(scoreOf(staves, [{ staves: [['C3:1'], ['C8:1']] }]))[0]!;
    const distance = (system: DrawnSystem): number => system.staves[1]!.y - system.staves[0]!.y;
    // C3 lies 45 px below the staff's lowest line and C8 90 px above the top line.
    expect(distance(near)).toBeLessThan(100);
    expect(distance(far)).toBeGreaterThan(40 + 45 + 90);
    expect(overlaps(glyphBoxes(far))).toEqual([]);
  });

  it('chord symbols of a system stand on one line, above everything on the top staff beneath them', () => {
    for (const system of systemsOf(demonstrationScore())) {
      const lines = system.texts.filter(({ kind }) => kind === 'chord').map(({ box }) => box.bottom);
      expect(new Set(lines).size).toBe(1);
      expect(lines[0]).toBeLessThan(system.staves[0]!.y);
    }
  });

  it('entries and exits stand between foreground and background, with unlike signs', () => {
    const score = scoreOf(
      [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')],
      [{ staves: [['C5:1'], ['C3:1']], cues: ['0:+Hn', '2:-Fl'] }],
    );
    const system = systemsOf(score)[0]!;
    const cues = system.texts.filter(({ kind }) => kind === 'cue');
    expect(cues.map(({ text }) => text)).toEqual(['+Hn', '−Fl']);
    for (const { box } of cues) {
      expect(box.top).toBeGreaterThan(system.staves[0]!.y + 40);
      expect(box.bottom).toBeLessThan(system.staves[1]!.y);
    }
    expect(system.svg.innerHTML).toMatch(/h8l-4 8z/);
  });
});

describe('long lists of entries', () => {
  it('are set in rows, and no name is lost', () => {
    const names = ['Fl', 'Ob', 'Cl', 'Bn', 'Hn', 'Tpt', 'Tbn', 'Vn 1', 'Vn 2', 'Va', 'Vc', 'Db'];
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')];
    const score = scoreOf(staves, [{ staves: [['C5:1'], ['C3:1']], cues: [`0:+${names.join(', ')}`] }]);
    const cues = systemsOf(score)[0]!.texts.filter(({ kind }) => kind === 'cue');
    expect(cues.map(({ text }) => text).join(' ')).toBe(`+${names.join(', ')}`);
    expect(cues.length).toBeGreaterThan(1);
    expect(overlaps(cues.map(({ box }) => box))).toEqual([]);
  });

  it('are broken between players of one instrument that are counted in words', () => {
    const staves = [staffInfo('foreground', 'treble'), staffInfo('background', 'bass')];
    const names = '+T.Hn solo, 1st Horn, 2nd Horn, 3rd Horn, 1st Trombone, Cl 1, 2';
    const score = scoreOf(staves, [{ staves: [['C5:1'], ['C3:1']], cues: [`0:${names}`] }]);
    const cues = systemsOf(score)[0]!.texts.filter(({ kind }) => kind === 'cue');
    expect(cues.map(({ text }) => text).join(' ')).toBe(names);
  });
});

// Common practice, no source: a remark over the staff is set where there is room, and the notes keep the distances of their values.
describe('names over even notes', () => {
  const EIGHTHS = 'C5:8 D5:8 E5:8 F5:8 C5:8 D5:8 E5:8 F5:8';
  const staves = [staffInfo('foreground', 'treble')];
  const cues = ['0:+Trumpets, Trombone', '1:-Trumpet in B flat', '3.99:-all but Choir, D.B.'];
  const bars: BarText[] = [
    { staves: [[EIGHTHS]], cues },
    { staves: [[EIGHTHS]], cues: ['0:+Oboe, Clarinet'] },
  ];
  const system = systemsOf(scoreOf(staves, bars))[0]!;

  it('leave these evenly far apart', () => {
    const heads = noteHeads(system.staves[0]!).map(({ x }) => x);
    for (const bar of [heads.slice(0, 8), heads.slice(8)]) {
      const gaps = bar.slice(1).map((x, index) => x - (bar[index] ?? 0));
      expect(Math.max(...gaps) / Math.min(...gaps)).toBeLessThan(1.25);
    }
  });

  it('stand above one another where they would meet, and none is lost', () => {
    const names = system.texts.filter(({ kind }) => kind === 'cue');
    const words = names.map(({ text }) => text).join(' ');
    for (const name of ['Trumpets', 'Trombone', 'Trumpet in B flat', 'all but Choir', 'D.B.', 'Oboe', 'Clarinet'])
      expect(words).toContain(name);
    expect(overlaps(names.map(({ box }) => box))).toEqual([]);
  });
});

describe('faults of the notation step', () => {
  it('a voice that does not fill its bar is named with bar, staff and voice', () => {
    const score = solo('treble', [{ staves: [['C4:1']] }, { staves: [['C4:2 D4:4']] }]);
    expect(() => engraveScore(score, OPTIONS)).toThrow(/^Bar 2, staff 1, voice 1: it ends at 3360 and the bar at 3840/);
  });

  it('a figure that belies its length is named', () => {
    const score = solo('treble', [{ staves: [['C4:1']] }]);
    const event = score.bars[0]!.staves[0]!.voices[0]![0]!;
    const wrong = { ...event, figure: { base: 2, dots: 0 } } as const;
    const bars = [{ ...score.bars[0]!, staves: [{ clef: 'treble', voices: [[wrong]] }] }] as const;
    expect(() => engraveScore({ ...score, bars }, OPTIONS)).toThrow(/Bar 1, staff 1, voice 1: a figure of 960/);
  });
});
