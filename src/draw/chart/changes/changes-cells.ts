/** Signs and words of the strips: what was done to a part in a bar, told by shape and not by colour alone. */
import { anInterval } from '../../../model/music/interval-names.ts';
import type { LegendEntry } from '../../../model/drawing.ts';
import type {
  GivenPassage,
  NewDoubling,
  NotesWay,
  PartEdit,
  PartEditKind,
  PartTiming,
} from '../../../model/readings/readings.ts';
import { element, round } from '../../svg.ts';
import { legendSign } from '../frame/frame.ts';
import type { BarBox } from '../../ruler/ruler.ts';

/** Height of a part's row, in user units. */
export const ROW_HEIGHT = 19;

/** `same` and `new` tell where a part sounds, `gone` where it sounded before it was taken out. */
export type CellKind =
  'same' | 'new' | 'gone' | 'given' | 'doubling' | 'filled' | 'thinned' | 'revoiced' | PartEditKind;

/** What is drawn of an edit: other pitches that are another part's line now are that or a doubling, and notes that came or went leave the others as they were. */
export function cellKindOf({ kind, how, toldWith, partId, bars }: PartEdit, given: readonly GivenPassage[]): CellKind {
  const isGiven = ({ to, bars: own }: GivenPassage): boolean => to === partId && bars.every((bar) => own.includes(bar));
  if (toldWith === 'given' && (kind === 'rewritten' || kind === 'extended') && given.some(isGiven)) return 'given';
  if (kind !== 'rewritten' || toldWith === 'given') return kind;
  if (toldWith === 'doubling') return 'doubling';
  if (how === 'filled' || how === 'filledShorter') return 'filled';
  if (how === 'revoiced') return how;
  return how === 'thinned' || how === 'thinnedLonger' ? 'thinned' : kind;
}

/** `an octave`, `2 octaves`, whichever way. */
function octaveCount(octaves: number): string {
  return Math.abs(octaves) === 1 ? 'an octave' : `${String(Math.abs(octaves))} octaves`;
}

/** `Flute`, `Flute an octave below`: the line that is doubled, and where. */
export function doubledText({ doubles, octaves }: NewDoubling, name: (partId: string) => string): string {
  if (octaves === 0) return `${name(doubles)} in unison`;
  return `${name(doubles)} ${octaveCount(octaves)} ${octaves < 0 ? 'below' : 'above'}`;
}

/** ` an octave lower`, with a space before it: where a line stands that another part has now; '' at its own pitch. */
export function octavesText({ octaves }: GivenPassage): string {
  return octaves === 0 ? '' : ` ${octaveCount(octaves)} ${octaves < 0 ? 'lower' : 'higher'}`;
}

/** `the line of Oboe`, `the top line of Piano`, `the bass line of Piano`: what was given. */
export function givenText({ voice }: GivenPassage, from: string): string {
  return `the ${voice === undefined ? '' : `${voice} `}line of ${from}`;
}

/** Two lines that changed places in the same bars. */
type Exchange = readonly [GivenPassage, GivenPassage];

export function exchangedLines(given: readonly GivenPassage[]): readonly Exchange[] {
  return given.flatMap((one, index) =>
    given
      .slice(index + 1)
      .filter((other) => other.from === one.to && other.to === one.from && other.bars.join(' ') === one.bars.join(' '))
      .map((other): Exchange => [one, other]),
  );
}

/** `, Tenor Horn an octave lower`: who has the other's line at another octave; '' where both have it at its own pitch. */
export function exchangedAt(exchange: Exchange, name: (partId: string) => string): string {
  return exchange.map((one) => (one.octaves === 0 ? '' : `, ${name(one.to)}${octavesText(one)}`)).join('');
}

/** Passages that went to one part in the same bars, told once; those that two parts exchanged are not among them. */
export function givenTogether(given: readonly GivenPassage[]): readonly (readonly [GivenPassage, ...GivenPassage[]])[] {
  const groups = new Map<string, [GivenPassage, ...GivenPassage[]]>();
  const exchanged = new Set(exchangedLines(given).flat());
  for (const item of given) {
    if (exchanged.has(item)) continue;
    const key = [item.to, item.octaves, item.voice ?? '', ...item.bars].join(' ');
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return [...groups.values()];
}

/** `an octave lower`, `a minor ninth higher`. */
export function shiftText(semitones: number): string {
  return `${anInterval(semitones)} ${semitones < 0 ? 'lower' : 'higher'}`;
}

/** `quantised: on the grid, from which it strayed by about 14 ms`, `played about 30 ms later`. */
function timingText({ how, milliseconds, millisecondsBefore = 0 }: PartTiming): string {
  const now = String(Math.round(milliseconds));
  const then = String(Math.round(millisecondsBefore));
  switch (how) {
    case 'quantised':
      return `quantised: on the grid, from which it strayed by about ${then} ms`;
    case 'closer':
      return `played closer to the written places, about ${now} ms around them instead of ${then}`;
    case 'freer':
      return `played more freely, about ${now} ms around the written places instead of ${then}`;
    case 'earlier':
    case 'later':
      return `played about ${now} ms ${how}`;
  }
}

/** `4.5 dB`, of several that are not the same `4.5 to 5.2 dB`: everywhere alike, so that nobody takes one edit for two. */
export function amountsText(amountsDb: readonly number[]): string {
  const sorted = amountsDb.map(Math.abs).sort((a, b) => a - b);
  const [least = '', most = ''] = [sorted[0], sorted.at(-1)].map((db = 0) => db.toFixed(1));
  return `${least === most ? least : `${least} to ${most}`} dB`;
}

const WAY_TEXTS: Readonly<Record<NotesWay, string>> = {
  filled: 'notes added to those of before',
  filledShorter: 'notes added between those of before, which are held shorter',
  thinned: 'thinned out, the notes left as before',
  thinnedLonger: 'thinned out, the notes left held longer',
  repeated: 'the same notes, each of them repeated',
  tremolo: 'the same notes, as a tremolo',
  sustained: 'the same notes, held instead of repeated',
  revoiced: 'revoiced (the same tones in other octaves)',
};

/** What was done, in the words that the name of a part can stand before: `rewritten`, `an octave lower`. */
export function editText({ kind, semitones = 0, moved = 'a bar later', held, how, timing, db = 0 }: PartEdit): string {
  if (how !== undefined) return WAY_TEXTS[how];
  switch (kind) {
    case 'extended':
      return 'now plays';
    case 'silenced':
      return 'now rests';
    case 'rewritten':
      return 'rewritten';
    case 'transposed':
      return shiftText(semitones);
    case 'rhythm':
      if (held === 'longer') return 'held longer, the same notes at the same places';
      if (held === 'shorter') return 'held shorter, the same notes at the same places';
      if (held === 'otherwise') return 'held otherwise, the same notes at the same places';
      return 'in another rhythm, the same pitches';
    case 'moved':
      return `moved ${moved}, the same music`;
    case 'timing':
      return timing === undefined ? 're-timed' : `${timingText(timing)}, the written music unchanged`;
    case 'balance':
      return `${db < 0 ? 'softer' : 'louder'} by about ${amountsText([db])} (estimated)`;
    case 'muted':
      return 'written as before, but silent (a controller at or near zero)';
    case 'unmuted':
      return 'written as before, and heard again';
  }
}

/** Neighbouring boxes as spans of x. */
function spansOf(boxes: readonly BarBox[]): readonly { readonly from: number; readonly to: number }[] {
  const spans: { from: number; to: number }[] = [];
  for (const box of boxes) {
    const last = spans.at(-1);
    if (last !== undefined && Math.abs(last.to - box.x) < 0.01) last.to = box.x + box.width;
    else spans.push({ from: box.x, to: box.x + box.width });
  }
  return spans;
}

function rectangles(boxes: readonly BarBox[], top: number, height: number, inset = 0.6): string {
  return spansOf(boxes)
    .map(
      ({ from, to }) =>
        `M${round(from + inset)} ${round(top)}H${round(to - inset)}v${round(height)}H${round(from + inset)}z`,
    )
    .join('');
}

function perBar(boxes: readonly BarBox[], draw: (middle: number, box: BarBox) => string): string {
  return boxes.map((box) => draw(box.x + box.width / 2, box)).join('');
}

/** The signs of one kind in a row that begins at `y`; `hatch` is the id of the family's pattern. */
export function drawCells(kind: CellKind, isUp: boolean, boxes: readonly BarBox[], y: number, hatch: string): string {
  if (boxes.length === 0) return '';
  const middle = y + ROW_HEIGHT / 2;
  const band = rectangles(boxes, y + 3, ROW_HEIGHT - 6);
  switch (kind) {
    case 'same':
      return element('path', { class: 'strip-same', d: rectangles(boxes, middle - 2, 4, 0) });
    case 'new':
    case 'extended':
      return (
        element('path', { class: 'strip-paper', d: band }) +
        element('path', { class: 'band', fill: `url(#${hatch})`, d: band })
      );
    case 'gone':
    case 'silenced':
      return element('path', { class: 'strip-gone', d: band });
    case 'rewritten':
      return element('path', { class: 'strip-rewritten', d: band });
    case 'given':
      // One line in a frame; two are a doubling.
      return (
        element('path', { class: 'strip-notes', d: band }) +
        element('path', { class: 'strip-rewritten', d: rectangles(boxes, middle - 1.7, 3.4) })
      );
    case 'doubling': {
      const line = (top: number): string => rectangles(boxes, top, 3.4);
      return element('path', { class: 'strip-rewritten', d: line(middle - 5) + line(middle + 1.6) });
    }
    case 'filled':
    case 'thinned':
    case 'revoiced': {
      // A plus, a minus or an upright stroke in a frame.
      const sign = (x: number): string =>
        (kind === 'revoiced' ? '' : `M${round(x - 3.4)} ${round(middle)}h6.8`) +
        (kind === 'thinned' ? '' : `M${round(x)} ${round(middle - 3.4)}v6.8`);
      return (
        element('path', { class: 'strip-notes', d: band }) +
        element('path', { class: 'strip-level', d: perBar(boxes, sign) })
      );
    }
    case 'rhythm':
      return element('path', { class: 'strip-rhythm', d: band });
    case 'transposed': {
      const rise = isUp ? 4 : -4;
      const arrow = (x: number): string => `M${round(x - 3.4)} ${round(middle + rise)}h6.8l-3.4 ${round(-2 * rise)}z`;
      return (
        element('path', { class: 'strip-paper', d: band }) +
        element('path', { class: 'strip-arrow', d: perBar(boxes, arrow) })
      );
    }
    case 'moved': {
      // A triangle that lies on its side: later points to the right.
      const reach = isUp ? 4 : -4;
      const arrow = (x: number): string => `M${round(x - reach)} ${round(middle - 3.4)}v6.8l${round(2 * reach)} -3.4z`;
      return (
        element('path', { class: 'strip-paper', d: band }) +
        element('path', { class: 'strip-arrow', d: perBar(boxes, arrow) })
      );
    }
    case 'balance': {
      const slope = isUp ? -3.5 : 3.5;
      const wedge = (_: number, box: BarBox): string =>
        `M${round(box.x + 3)} ${round(middle - slope / 2 + 4)}L${round(box.x + box.width - 3)} ${round(middle + slope / 2 + 4)}`;
      return element('path', { class: 'strip-level', d: perBar(boxes, wedge) });
    }
    case 'muted':
    case 'unmuted': {
      const ring = (x: number, radius: number): string =>
        `M${round(x - radius)} ${round(middle)}a${radius} ${radius} 0 1 0 ${2 * radius} 0a${radius} ${radius} 0 1 0 ${-2 * radius} 0`;
      const rings = (x: number): string => ring(x, 4) + (kind === 'unmuted' ? ring(x, 1.5) : '');
      return element('path', { class: 'strip-level', d: perBar(boxes, rings) });
    }
    case 'timing':
      return element('path', { class: 'strip-timing', d: perBar(boxes, (x) => `M${round(x - 3)} ${round(middle)}h6`) });
  }
}

const MEANINGS: Readonly<Record<CellKind, string>> = {
  same: 'Plays as before',
  new: 'New: the part or the bar was not there, or the part was silent',
  extended: 'New: the part or the bar was not there, or the part was silent',
  gone: 'Gone: played here before',
  silenced: 'Gone: played here before',
  rewritten: 'Rewritten',
  given: 'Has the line of another part now',
  doubling: 'Doubles the line of another part now',
  filled: 'Notes added, the others in their places',
  thinned: 'Notes left out, the others in their places',
  revoiced: 'The same chords, tones of them in other octaves',
  transposed: 'The same music higher or lower',
  rhythm: 'The same pitches in another rhythm, repeated or held otherwise',
  moved: 'The same music earlier or later',
  balance: 'Louder (rising) or softer (falling), by estimate',
  muted: 'Written as before, but silent: a controller at or near zero',
  unmuted: 'Written as before, and heard again',
  timing: 'Re-timed, written the same',
};

/** Legend of the kinds in use, each meaning once; `hatch` and `defs` give the pattern of new music. */
export function cellLegend(
  kinds: ReadonlySet<CellKind>,
  hatch: string,
  defs: string,
  familyClass: string,
): LegendEntry[] {
  const box = {
    number: 1,
    startQuarters: 0,
    lengthQuarters: 4,
    meter: { numerator: 4, denominator: 4 },
    x: 2,
    width: 24,
  };
  const entries = new Map<string, LegendEntry>();
  for (const kind of Object.keys(MEANINGS) as CellKind[]) {
    if (!kinds.has(kind) || entries.has(MEANINGS[kind])) continue;
    const isNew = kind === 'new' || kind === 'extended';
    const sign = element('g', { class: familyClass }, drawCells(kind, true, [box], -0.5, hatch));
    entries.set(MEANINGS[kind], { sign: legendSign(sign, 28, isNew ? defs : ''), text: MEANINGS[kind] });
  }
  return [...entries.values()];
}
