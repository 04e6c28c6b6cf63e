/** Who plays what the staves show, said once where it begins: real doublings, and the bass wherever its players change. */
import type { StaffName } from '../../model/music/written.ts';
import type { DoublingMember, DoublingSpan } from './doubling-spans.ts';
import { spansByHost } from './doubled-lines.ts';
import type { Line } from './lines.ts';
import { joinLabels } from './cues.ts';
import { octaveMark } from './lines.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { bassOf } from './staff-split.ts';

/** Players of the bass that play it for a single bar only are not named: the next bar would take it back. */
const LEAST_BARS = 2;

/** From this many members on, the ensemble is named as one. */
const TUTTI_FROM = 6;

/** How far off members play; of an octave that is written only on which side it stands. */
function distanceText(semitones: number, isWritten: boolean): string {
  return isWritten ? (semitones > 0 ? 'above' : 'below') : octaveMark(semitones);
}

/** `Ob, Cl + Fl 8va + Vc 8vb`: unisons, then octaves from the nearest, of each the labels in score order. */
function membersText(members: readonly DoublingMember[]): readonly string[] {
  if (members.length >= TUTTI_FROM) {
    return [members.every(({ semitones }) => semitones === 0) ? 'tutti' : 'tutti in octaves'];
  }
  const distances = [...new Set(members.map(({ semitones }) => semitones))];
  distances.sort((a, b) => Math.abs(a) - Math.abs(b) || b - a);
  return distances.map((distance) => {
    const own = members.filter(({ semitones }) => semitones === distance);
    const mark = distanceText(
      distance,
      own.some(({ isWritten }) => isWritten === true),
    );
    return [joinLabels(own.map(({ label }) => label)), mark].filter((text) => text !== '').join(' ');
  });
}

/** `Vn 1 + Ob + Fl 8va`: the line that is written, and who doubles it where. */
function doublingText({ hostLabel, members }: DoublingSpan): string {
  return [hostLabel, ...membersText(members)].join(' + ');
}

/** `, to bar 12` where it lasts longer than the bar in which it begins. */
function untilText(span: DoublingSpan, bars: readonly GridBar[]): string {
  return span.to > span.from ? `, to bar ${String(bars[span.to]?.number ?? '')}` : '';
}

/** By bar index: doublings that begin there, each with its last bar. */
export function doublingTexts(spans: readonly DoublingSpan[], bars: readonly GridBar[]): string[][] {
  const texts = bars.map((): string[] => []);
  for (const span of spans) texts[span.from]?.push(doublingText(span) + untilText(span, bars));
  return texts;
}

interface NameInput {
  readonly bars: readonly GridBar[];
  readonly spans: readonly DoublingSpan[];
  /** All lines that are written, by bar index. */
  readonly lines: readonly (readonly Line[])[];
  /** By bar index, of each staff of the ensemble its lines, from the highest down. */
  readonly placed: readonly (readonly (readonly Line[])[])[];
  readonly front: readonly ReadonlySet<string>[];
  /** Index of the first staff of the ensemble; that of the foreground is 0. */
  readonly ensemble: number;
  readonly halves: readonly ('upper' | 'lower' | 'whole')[];
  /** Whether the ensemble has more staves than an upper and a lower one. */
  readonly areChoirs: boolean;
}

function startOf(bar: GridBar | undefined, line: Line | undefined): number {
  return (bar?.start ?? 0) + (line?.notes[0]?.from ?? 0);
}

/** The bass of a bar and its staff: on two staves a line of the lower one, among choirs the lowest of all. */
function lowestIn(
  staves: readonly (readonly Line[])[],
  areChoirs: boolean,
): { readonly bass: Line | undefined; readonly staff: number } {
  const last = staves.length - 1;
  if (!areChoirs) return { bass: bassOf(staves[last] ?? []), staff: last };
  const bass = bassOf(staves.flat());
  return { bass, staff: staves.findIndex((lines) => lines.some(({ key }) => key === bass?.key)) };
}

/** Names of the bass by bar index. */
function bassNames({ bars, spans, placed, ensemble, areChoirs }: NameInput): (StaffName | undefined)[] {
  const active = spansByHost(spans, bars.length);
  const basses = placed.map((staves) => lowestIn(staves, areChoirs));
  const texts = basses.map(({ bass }, index) => {
    if (bass === undefined) return '';
    const span = active[index]?.get(bass.key);
    return span === undefined ? bass.label : doublingText(span);
  });
  let shown = '';
  let silent = 0;
  return texts.map((text, index) => {
    silent = text === '' ? silent + 1 : silent;
    if (text === '') return undefined;
    const returns = silent >= LEAST_BARS;
    silent = 0;
    const following = texts.slice(index, index + LEAST_BARS);
    const lasts = following.every((other) => other === text) && following.length === LEAST_BARS;
    if ((text === shown && !returns) || (!lasts && shown !== '' && !returns)) return undefined;
    shown = text;
    const { bass, staff = 0 } = basses[index] ?? {};
    return { start: startOf(bars[index], bass), staff: ensemble + staff, text, place: 'below' };
  });
}

/** The name of a doubling at its place; undefined where it is the bass, which is named in its own way. */
function nameOf(span: DoublingSpan, input: NameInput): StaffName | undefined {
  const { bars, lines, placed, front, ensemble, halves } = input;
  const line = lines[span.from]?.find((item) => item.key === span.host);
  const start = startOf(bars[span.from], line);
  const until = untilText(span, bars);
  if (front[span.from]?.has(span.hostPartId) === true) {
    const text = `+ ${membersText(span.members).join(' + ')}${until}`;
    return { start, staff: (line?.staff ?? 1) > 1 ? 1 : 0, text, place: 'above' };
  }
  const text = doublingText(span) + until;
  const here = placed[span.from] ?? [];
  if (lowestIn(here, input.areChoirs).bass?.key === span.host) return undefined;
  const found = here.findIndex((own) => own.some(({ key }) => key === span.host));
  const staff = found < 0 ? here.length - 1 : found;
  const isAbove = halves[staff] === 'lower' || here[staff]?.[0]?.key === span.host;
  return { start, staff: ensemble + staff, text, place: isAbove ? 'above' : 'below' };
}

/** Names by bar index, sorted by staff, then start. */
export function staffNames(input: NameInput): StaffName[][] {
  const names = input.bars.map((): StaffName[] => []);
  for (const span of input.spans) {
    const name = nameOf(span, input);
    if (name !== undefined) names[span.from]?.push(name);
  }
  for (const [bar, name] of bassNames(input).entries()) if (name !== undefined) names[bar]?.push(name);
  for (const inBar of names) inBar.sort((a, b) => a.staff - b.staff || a.start - b.start);
  return names;
}
