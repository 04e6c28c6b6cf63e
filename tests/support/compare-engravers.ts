/** Reads an engraved score back from its pictures and tells where a second engraver would have written something else. */
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import { ottavaOf } from '../../src/draw/engrave/accidentals-beams-rests/ottava.ts';
import type { SpelledPitch } from '../../src/model/music/pitch.ts';
import type { ReducedScore, ScoreBar, WrittenEvent } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import type { DrawnStaff } from '../draw/engrave/drawn.ts';
import { readSystem, verticals } from '../draw/engrave/drawn.ts';
import type { OctavesOf } from './second-engraver.ts';
import { missingBefore, secondMeter, secondOpinion, secondStem } from './second-engraver.ts';

/** What is in one list and not in the other, as often as it is there more. */
function without(items: readonly string[], others: readonly string[]): string[] {
  const left = [...others];
  return items.filter((item) => {
    const index = left.indexOf(item);
    if (index >= 0) left.splice(index, 1);
    return index < 0;
  });
}

const nameOf = ({ code, y }: { readonly code: string; readonly y: number }): string => `${code}@${y.toFixed(0)}`;

interface Stem {
  readonly x: number;
  readonly up: boolean;
  readonly tip: number;
  /** Middle of the head that it begins at. */
  readonly headY: number;
}

function stemsOf(staff: DrawnStaff, left: number, right: number): Stem[] {
  return verticals(staff)
    .filter(([x, from, to]) => x >= left && x < right && Math.abs(from - to) > 12)
    .map(([x, from, to]) => ({ x, up: to < from, tip: to, headY: from + (to < from ? 1.7 : -1.7) }))
    .sort((a, b) => a.x - b.x);
}

const BEAM = /M(-?[\d.]+) ?(-?[\d.]+)l(-?[\d.]+) ?(-?[\d.]+)v(-?5)l/g;

/** Stems under one beam: their tips lie on its outer edge. */
function groupsOf(fills: string, stems: readonly Stem[]): Stem[][] {
  return [...fills.matchAll(BEAM)].flatMap(([, ...numbers]) => {
    const [x = 0, y = 0, dx = 0, dy = 0, thick = 0] = numbers.map(Number);
    const group = stems.filter(
      (stem) =>
        stem.up === thick > 0 &&
        stem.x > x - 0.2 &&
        stem.x < x + dx + 0.2 &&
        Math.abs(y + ((stem.x - x) / dx) * dy - stem.tip) < 0.8,
    );
    return group.length > 1 ? [group] : [];
  });
}

/** Pitches that a reader remembers. */
function pitchesOf(bar: ScoreBar | undefined, staffIndex: number): SpelledPitch[] {
  return (bar?.staves[staffIndex]?.voices.flat() ?? []).flatMap((event) =>
    [...event.heads, ...(event.ornament?.graces ?? [])].map(({ pitch }) => pitch),
  );
}

/** SMuFL code points of the accidentals. */
const ALTERATIONS = new Map([[-2, 'E264'], [-1, 'E260'], [0, 'E261'], [1, 'E262'], [2, 'E263']]); // prettier-ignore

const isPlain = (event: WrittenEvent): boolean =>
  event.figure.base === 8 && event.figure.dots === 0 && event.figure.tuplet === undefined;

export interface Comparison {
  readonly heads: number;
  readonly accidentals: number;
  readonly stems: number;
  readonly beams: number;
  readonly rests: number;
  readonly courtesies: number;
  readonly graces: number;
  readonly dots: number;
  readonly tuplets: number;
  readonly flags: number;
  readonly found: readonly string[];
}

/** All staves in all systems, none left out. */
export function disagreements(score: ReducedScore, widthPx: number): Comparison {
  const whole = { ...score, staves: score.staves.map((staff) => ({ ...staff, whenPlayed: false })) };
  const ottava = ottavaOf(whole);
  const octavesOf: OctavesOf = (event) => ottava.get(event) ?? 0;
  const counts = {
    heads: 0,
    accidentals: 0,
    stems: 0,
    beams: 0,
    rests: 0,
    courtesies: 0,
    graces: 0,
    dots: 0,
    tuplets: 0,
    flags: 0,
  };
  const found: string[] = [];
  for (const system of engraveScore(whole, { widthPx, title: '' }).systems) {
    const drawn = readSystem(system.svg);
    const scale = system.widthPx / drawn.width;
    const fills = [...drawn.svg.querySelectorAll('.sn-staff')].map((group) =>
      [...group.children]
        .flatMap((c) => (c.localName === 'path' && !c.hasAttribute('stroke-width') ? [c.getAttribute('d') ?? ''] : []))
        .join(''),
    );
    system.bars.forEach((place, placeInLine) => {
      const index = whole.bars.findIndex(({ number }) => number === place.number);
      const bar = whole.bars[index];
      if (bar === undefined) return;
      const missing = missingBefore(bar);
      const [left, right] = [place.xPx / scale - 0.5, (place.xPx + place.widthPx) / scale - 0.5];
      drawn.staves.forEach((staff, staffIndex) => {
        const written = bar.staves[staffIndex];
        if (written === undefined) return;
        const tell = (what: string): void => {
          found.push(`bar ${String(bar.number)}, staff ${String(staffIndex + 1)}: ${what}`);
        };
        const clefBreaks = written.clefChanges?.map(({ start }) => start) ?? [];
        const second = secondOpinion(bar, staffIndex, octavesOf);
        const two = second.voices.length > 1;
        const signs = staff.glyphs.filter(({ x, scale: size }) => x >= left && x < right && size === 1);
        const like = (pattern: RegExp): string[] => signs.filter(({ code }) => pattern.test(code)).map(nameOf);

        const heads = like(/^E0[AB]/);
        const expected = second.heads.map(nameOf);
        counts.heads += expected.length;
        for (const head of without(heads, expected)) tell(`head ${head} is too much`);
        for (const head of without(expected, heads)) {
          // One head for both voices.
          if (!two || !heads.includes(head)) tell(`head ${head} is missing`);
        }

        const rests = signs.filter(({ code }) => /^E4E/.test(code)).map(({ code }) => code);
        counts.rests += second.rests.length;
        for (const rest of without(second.rests, rests))
          if (!two || !rests.includes(rest)) tell(`rest ${rest} is missing`);

        const before = written.fifths === undefined ? bar.changedFromFifths : written.changedFromFifths;
        const fifths = written.fifths ?? bar.fifths;
        const inHead = placeInLine === 0 ? fifths : before === undefined ? 0 : fifths === 0 ? before : fifths;
        const accidentals = signs
          .filter(({ code }) => /^E26/.test(code))
          .sort((a, b) => a.x - b.x)
          .slice(written.clef === 'percussion' ? 0 : Math.abs(inHead))
          .map(nameOf);
        const wanted = second.accidentals.map(nameOf);
        counts.accidentals += wanted.length;
        for (const sign of without(wanted, accidentals)) tell(`accidental ${sign} is missing`);
        // A courtesy takes back, or says again, what the bar before or another octave or voice had otherwise (Gould).
        const around = [...pitchesOf(whole.bars[index - 1], staffIndex), ...pitchesOf(bar, staffIndex)];
        for (const sign of without(accidentals, wanted)) {
          counts.courtesies += 1;
          const place = second.places.find(
            ({ pitch, y }) => nameOf({ code: ALTERATIONS.get(pitch.alter) ?? '', y }) === sign,
          );
          const doubted =
            place !== undefined &&
            around.some(({ step, alter }) => step === place.pitch.step && alter !== place.pitch.alter);
          if (!doubted) tell(`accidental ${sign} has no reason`);
        }
        if (bar.showMeter && placeInLine > 0 && staffIndex === 0) {
          const meter = like(/^E08/).filter((sign) => /@(10|30)$/.test(sign));
          for (const sign of without(secondMeter(bar.meter).map(nameOf), meter)) tell(`meter ${sign} is missing`);
        }

        const small = staff.glyphs
          .filter(({ x, code, scale: size }) => x >= left && x < right && size < 0.8 && code === 'E0A4')
          .map(({ y }) => y);
        counts.graces += second.graces.length;
        if (small.length !== second.graces.length || small.some((y) => !second.graces.includes(y)))
          tell(`small notes at ${small.join(' ')} where they should be at ${second.graces.join(' ')}`);

        const dots = like(/^E1E7$/).map((sign) => Number(sign.replace(/.*@/, '')));
        const wantedDots = second.dots.ys.length + second.dots.others;
        counts.dots += wantedDots;
        // Two voices share the dots of a shared head, and move them out of each other's way.
        if (two ? dots.length > wantedDots : dots.length !== wantedDots)
          tell(`${String(dots.length)} dots where there should be ${String(wantedDots)}`);
        if (!two && second.dots.others === 0)
          for (const y of without(second.dots.ys.map(String), dots.map(String))) tell(`a dot at ${y} is missing`);

        const figures = staff.glyphs
          .filter(({ x, code }) => x >= left && x < right && /^E88\d$/.test(code))
          .map(({ code }) => code.slice(-1));
        counts.tuplets += second.tuplets.length;
        for (const figure of without(Array.from(second.tuplets.join('')), figures))
          tell(`tuplet figure ${figure} is missing`);

        const flags = like(/^E24/).map((sign) => (Number.parseInt(sign, 16) & ~1).toString(16).toUpperCase());
        counts.flags += second.flags.length;
        if (clefBreaks.length === 0 && [...flags].sort().join(' ') !== [...second.flags].sort().join(' '))
          tell(`flags ${flags.join(' ')} where there should be ${second.flags.join(' ')}`);

        const stems = stemsOf(staff, left, right);
        const groups = groupsOf(fills[staffIndex] ?? '', stems);
        second.voices.forEach(({ stemmed, beams }, voiceIndex) => {
          const own = two ? stems.filter(({ up }) => up === (voiceIndex === 0)) : stems;
          counts.stems += stemmed.length;
          if (own.length !== stemmed.length) {
            tell(`${String(own.length)} stems where there should be ${String(stemmed.length)}`);
            return;
          }
          const eventOf = new Map(own.map((stem, i) => [stem, stemmed[i]]));
          const runs = groups
            .map((group) => group.flatMap((stem) => eventOf.get(stem) ?? []))
            .filter((run) => run.length > 1);
          const runOf = new Map(runs.flatMap((run) => run.map((event) => [event, run] as const)));
          for (const [stem, event] of eventOf) {
            if (event === undefined) continue;
            const up = two ? voiceIndex === 0 : secondStem(runOf.get(event) ?? [event], written, octavesOf);
            if (stem.up !== up) tell(`the stem of ${JSON.stringify(event.heads[0]?.pitch)} goes the wrong way`);
          }
          counts.beams += beams.length;
          for (const beam of beams) {
            const run = runOf.get(beam[0] ?? ({} as WrittenEvent));
            const cut = beam.some((event, i) => i > 0 && clefBreaks.includes(event.start));
            // Where a half is the beat, shorter notes than eighths still show the quarters.
            const inQuarters = bar.meter.denominator === 2 && !beam.every(isPlain);
            if (!cut && !inQuarters && !beam.every((event) => run?.includes(event) === true))
              tell(`a beam of ${String(beam.length)} is not whole`);
          }
          for (const run of runs) {
            const parts = new Set(run.map((event) => beams.find((beam) => beam.includes(event))));
            // Plain eighths are joined over beats.
            const places = run.map(({ start }) => start - bar.startDivisions + missing);
            const half = 2 * DIVISIONS_PER_QUARTER;
            const overHalf = Math.floor((places[0] ?? 0) / half) !== Math.floor((places.at(-1) ?? 0) / half);
            const byHalves =
              bar.meter.denominator === 2 || (bar.meter.denominator === 4 && bar.meter.numerator % 2 === 0);
            if (byHalves && overHalf && run.every(isPlain)) tell(`a beam of ${String(run.length)} hides a half bar`);
            if (parts.size > 1 && !run.every(isPlain)) tell(`a beam of ${String(run.length)} is joined`);
          }
        });
      });
    });
  }
  return { ...counts, found };
}
