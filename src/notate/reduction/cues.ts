/** Who enters and leaves where: `+Hn`, `-Fl`. An entry follows a whole silent bar or the start, an exit precedes a whole silent bar. */
import type { Part } from '../../model/music/arrangement.ts';
import type { ScoreCue, WrittenPart } from '../../model/music/written.ts';
import type { SoundsBy } from './lines.ts';
import { octaveLabel } from './lines.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { SHORTEST, barIndexAtDivision } from '../score-time/score-time.ts';

interface Presence {
  readonly label: string;
  /** Bar indices of the first and last sounding bar. */
  readonly from: number;
  readonly to: number;
  /** Divisions of the first onset and of the last end. */
  readonly start: number;
  readonly end: number;
}

/** An ensemble of so many parts that enters or leaves as one is named as one. */
const TUTTI_FROM = 6;
const TUTTI_OF_CHOIR_FROM = 3;
/** Where so many leave and so few go on, those who go on are named instead. */
const MANY_LEAVE = 4;
const FEW_STAY = 2;

/** Spans in which a part sounds without a whole silent bar, by its written notes. */
function presenceOf(part: Part, written: WrittenPart, time: ScoreTime): Presence[] {
  const spans: { label: string; from: number; to: number; start: number; end: number }[] = [];
  for (const note of written.notes) {
    const from = barIndexAtDivision(time, note.start);
    const end = note.start + note.length;
    const to = barIndexAtDivision(time, end - 1);
    const last = spans.at(-1);
    if (last !== undefined && from <= last.to + 1) {
      last.to = Math.max(last.to, to);
      last.end = Math.max(last.end, end);
    } else spans.push({ label: part.abbreviation, from, to, start: note.start, end });
  }
  return spans;
}

/** Labels of one place, short: `Vn 1, Vn 2` becomes `Vn 1, 2`. */
export function joinLabels(labels: readonly string[]): string {
  const texts: string[] = [];
  let stem = '';
  for (const label of [...new Set(labels)]) {
    const match = /^(.*\S)\s+(\d+)$/.exec(label);
    const [, name = '', number = ''] = match ?? [];
    if (match !== null && name === stem) texts.push(number);
    else texts.push(label);
    stem = match === null ? '' : name;
  }
  return texts.join(', ');
}

interface Event {
  readonly kind: 'entry' | 'exit';
  readonly staff: number;
  readonly bar: number;
  readonly place: number;
  readonly label: string;
  readonly partId: string;
}

/**
 * Index of the staff over which a part is announced in a bar; undefined where its own staff, or a name beside the line that it doubles,
 * says enough.
 */
export type CueStaff = (partId: string, barIndex: number) => number | undefined;

/** Where parts are announced, and the octaves at which they are read. */
interface CuePlaces {
  readonly staffOf: CueStaff;
  readonly soundsByPart: SoundsBy;
}

/** A part that was heard in front or doubled the tune enters the ensemble where it first plays there. */
function entryOf(
  part: Part,
  span: Presence,
  written: WrittenPart,
  time: ScoreTime,
  { staffOf, soundsByPart }: CuePlaces,
): Event[] {
  for (let bar = span.from; bar <= span.to; bar++) {
    const staff = staffOf(part.id, bar);
    if (staff === undefined) continue;
    const { start: barStart = 0 } = time.bars[bar] ?? {};
    const label = octaveLabel(span.label, soundsByPart(part.id));
    const first = bar === span.from ? span.start : written.notes.find((note) => note.start >= barStart)?.start;
    if (first === undefined || barIndexAtDivision(time, first) !== bar) continue;
    return [{ kind: 'entry', bar, place: first, label, staff, partId: part.id }];
  }
  return [];
}

function eventsOf(
  part: Part,
  spans: readonly Presence[],
  written: WrittenPart,
  time: ScoreTime,
  places: CuePlaces,
): Event[] {
  const lastBar = time.bars.length - 1;
  return spans.flatMap((span): Event[] => {
    const entry = entryOf(part, span, written, time, places);
    const staff = places.staffOf(part.id, span.to);
    if (staff === undefined || span.to >= lastBar) return entry;
    return [...entry, { kind: 'exit', bar: span.to, place: span.end, label: span.label, staff, partId: part.id }];
  });
}

/**
 * Cues by bar index. Where choirs have staves of their own (`choirOf` tells them apart), all and almost all are those of a choir. All who play are `tutti`; where almost all leave, those who go on are named.
 * No exit is given at the end of the piece.
 */
export function cuesOf(
  parts: readonly Part[],
  written: readonly WrittenPart[],
  time: ScoreTime,
  places: CuePlaces,
  choirOf?: (partId: string) => number,
): ScoreCue[][] {
  const byBar = time.bars.map((): Event[] => []);
  const presences = parts.map((part, index) => {
    const own = written[index];
    return own === undefined ? [] : presenceOf(part, own, time);
  });
  for (const [index, part] of parts.entries()) {
    const own = written[index];
    if (own === undefined) continue;
    for (const event of eventsOf(part, presences[index] ?? [], own, time, places)) byBar[event.bar]?.push(event);
  }
  const choirAt = parts.map(({ id }) => choirOf?.(id));
  const labelsWhere = (sounds: (span: Presence) => boolean, choir: number | undefined): string[] =>
    presences.flatMap((spans, index) =>
      choirAt[index] === choir && spans.some(sounds) ? [spans[0]?.label ?? ''] : [],
    );
  const from = choirOf === undefined ? TUTTI_FROM : TUTTI_OF_CHOIR_FROM;
  return byBar.map((events, bar) => {
    const inEnsemble = (choir: number | undefined): number =>
      parts.filter(({ id }, index) => choirAt[index] === choir && places.staffOf(id, bar) !== undefined).length;
    return joinNear(events, time, bar, (group) => {
      const choir = choirOf?.(group[0]?.partId ?? '');
      if (group.length >= Math.max(from, inEnsemble(choir))) return 'tutti';
      const place = Math.max(...group.map((event) => event.place));
      if (group[0]?.kind === 'entry') {
        const after = labelsWhere(({ start, end }) => start <= place && place < end, choir);
        const playing = labelsWhere(() => true, choir).length;
        if (group.length >= from && after.length === playing) return 'tutti';
      } else if (group.length >= MANY_LEAVE) {
        const stay = labelsWhere(({ start, end }) => start < place && place < end, choir);
        if (stay.length > 0 && stay.length <= FEW_STAY) return `all but ${joinLabels(stay)}`;
      }
      return joinLabels(group.map((event) => event.label));
    });
  });
}

/** Events of one bar, those of one kind, staff and beat in one cue; inside a cue the parts stand in score order. */
function joinNear(
  events: readonly Event[],
  time: ScoreTime,
  barIndex: number,
  nameOf: (group: readonly Event[]) => string,
): ScoreCue[] {
  const bar = time.bars[barIndex];
  if (bar === undefined) return [];
  const groups = new Map<string, Event[]>();
  for (const event of events) {
    const place = Math.min(event.place, bar.start + bar.length - 1);
    const cell = bar.cells.findLastIndex((item) => item.start <= place);
    const key = `${event.kind}:${String(event.staff)}:${String(cell)}`;
    const known = groups.get(key);
    if (known === undefined) groups.set(key, [event]);
    else known.push(event);
  }
  const cues = [...groups.values()].flatMap((group): ScoreCue[] => {
    const [first] = group;
    if (first === undefined) return [];
    const place = Math.min(...group.map((event) => event.place), bar.start + bar.length - SHORTEST);
    const text = (first.kind === 'entry' ? '+' : '-') + nameOf(group);
    return [{ start: Math.max(bar.start, place), text, kind: first.kind, staff: first.staff }];
  });
  return cues.sort((a, b) => a.start - b.start || (a.kind === b.kind ? 0 : a.kind === 'exit' ? -1 : 1));
}

const JOINT = ' of ';

/** `Hn 2, 1` as `Hn 2` and `Hn 1`. */
function namesIn(list: string): string[] {
  let stem = '';
  return list.split(', ').map((name) => {
    if (/^\d+$/.test(name) && stem !== '') return `${stem} ${name}`;
    stem = /^(.*\S)\s+\d+$/.exec(name)?.[1] ?? '';
    return name;
  });
}

/** Players of one instrument together, in the order of their numbers; instruments in order of appearance. */
function inOrder(names: readonly string[]): string[] {
  const byStem = new Map<string, string[]>();
  for (const name of new Set(names)) {
    const stem = name.replace(/\s+\d+$/, '');
    byStem.set(stem, [...(byStem.get(stem) ?? []), name]);
  }
  const numberOf = (name: string): number => Number(/\d+$/.exec(name)?.[0] ?? 0);
  return [...byStem.values()].flatMap((own) => own.sort((a, b) => numberOf(a) - numberOf(b)));
}

/** Texts such as `octave of Fl 2` and `octave of Hn, Fl 1` in one, `octave of Fl 1, 2, Hn`; each name once, in order of appearance. */
export function gatherLeftOut(texts: readonly string[]): string[] {
  const byKind = new Map<string, string[]>();
  for (const text of texts) {
    const at = text.indexOf(JOINT);
    const kind = at < 0 ? text : text.slice(0, at);
    const names = byKind.get(kind) ?? [];
    if (at >= 0) names.push(...namesIn(text.slice(at + JOINT.length)));
    byKind.set(kind, names);
  }
  return [...byKind].map(([kind, names]) => (names.length === 0 ? kind : kind + JOINT + joinLabels(inOrder(names))));
}
