/** What was done to one part, bar by bar, in a few words. */
import { median } from '../../model/dynamics.ts';
import type { ControllerCurve } from '../../model/arrangement.ts';
import type { PartEdit } from '../../model/readings.ts';
import type { Bar } from '../../model/timeline.ts';
import { barIndexAt } from '../../model/timeline.ts';
import { DIVISIONS_PER_QUARTER } from '../../model/written.ts';
import type { BarNote } from './bar-notes.ts';
import { shiftOf, type KeptNote, type NoteMatch } from './match-notes.ts';
import { playedApart, timingOf } from './played-timing.ts';
import { firstReaching } from '../../model/sorted-search.ts';

/** A little above the smallest difference of level that is heard, about 1 dB (Zwicker and Fastl, from memory). */
const LEVEL_APART_DB = 1.5;
const VOLUME = 7;

/** Two sides of one part in the later stage's bars. */
export interface PartSides {
  readonly partId: string;
  readonly before: readonly BarNote[];
  readonly after: readonly BarNote[];
  readonly match: NoteMatch;
  readonly bars: readonly Bar[];
  /** Where the music stands at another pitch: the part alone, or all that sounds. */
  readonly transposed?: 'alone' | 'with all';
  /** By bar index of the later stage. */
  readonly secondsPerQuarter: (bar: number) => number;
  /** Estimated level of the part by bar index of the later stage; missing where it is silent or nothing was estimated. */
  readonly levelBefore: (bar: number) => number | undefined;
  readonly levelAfter: (bar: number) => number | undefined;
  /** True where a missing level is silence; by bar index of the later stage. */
  readonly isMeasured: (bar: number) => boolean;
  /** True where the part was played in anew. */
  readonly isAnew: boolean;
}

/** Indices of the bars under a note. */
export function barsUnder(bars: readonly Bar[], from: number, to: number): readonly number[] {
  const first = Math.max(0, barIndexAt(bars, from / DIVISIONS_PER_QUARTER));
  const under = [first];
  // Most notes end in their bar: walking on is cheaper than searching again.
  for (let bar = first + 1; (bars[bar]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER <= to - 1 + 1e-3; bar++) {
    under.push(bar);
  }
  return under;
}

/** A note that is held into a bar for less is let go late, and does not sound there. */
const LEAST_HELD_DIVISIONS = DIVISIONS_PER_QUARTER;

/** Divisions for which a note sounds in a bar. */
function overlapWith({ start, length }: BarNote, bar: Bar | undefined): number {
  if (bar === undefined) return 0;
  const from = bar.startQuarters * DIVISIONS_PER_QUARTER;
  return Math.min(start + length, from + bar.lengthQuarters * DIVISIONS_PER_QUARTER) - Math.max(start, from);
}

function soundingBars(notes: readonly BarNote[], bars: readonly Bar[]): ReadonlySet<number> {
  const sounding = new Set<number>();
  for (const note of notes) {
    const { start, length, bar } = note;
    sounding.add(bar);
    const next = (bars[bar + 1]?.startQuarters ?? Infinity) * DIVISIONS_PER_QUARTER;
    if (start + length <= next) continue;
    for (const under of barsUnder(bars, start, start + length)) {
      if (overlapWith(note, bars[under]) >= LEAST_HELD_DIVISIONS) sounding.add(under);
    }
  }
  return sounding;
}

function byBar(notes: readonly BarNote[]): ReadonlyMap<number, readonly BarNote[]> {
  const groups = new Map<number, BarNote[]>();
  for (const note of notes) {
    const group = groups.get(note.bar);
    if (group === undefined) groups.set(note.bar, [note]);
    else group.push(note);
  }
  return groups;
}

/** Pitches of a bar in the order in which they begin; of a chord from below. */
function pitchesOf(notes: readonly BarNote[]): string {
  return [...notes]
    .sort((a, b) => a.start - b.start || a.midi - b.midi)
    .map((note) => note.midi)
    .join(' ');
}

/** A bar in which notes differ, though the part sounds there in both stages. */
function editOfBar(before: readonly BarNote[], after: readonly BarNote[]): BarEdit {
  const shift = after.some((note) => note.part.unpitched) ? undefined : shiftOf(before, after, 1);
  if (shift !== undefined && shift !== 0 && shift % 12 === 0) return { kind: 'transposed', semitones: shift };
  return { kind: pitchesOf(before) === pitchesOf(after) ? 'rhythm' : 'rewritten' };
}

function settingAt(curve: ControllerCurve, quarters: number): number {
  const next = firstReaching(curve.points, (point) => point.quarters > quarters + 1e-6);
  return curve.points[next - 1]?.setting ?? curve.settingBefore;
}

/** Controllers that only one of the two stages moves in this part: their curve was drawn, or taken out, and not played. */
function drawnControllers({ match }: PartSides): readonly number[] {
  const [kept] = match.kept;
  const movedIn = (note: BarNote | undefined): ReadonlySet<number> =>
    new Set(
      (note?.part.tracks ?? []).flatMap(({ curves }) =>
        curves.flatMap(({ controller, points }) => (points.length > 1 ? [controller] : [])),
      ),
    );
  const [before, after] = [movedIn(kept?.before), movedIn(kept?.after)];
  return [...new Set([...before, ...after])].filter((controller) => before.has(controller) !== after.has(controller));
}

/** How a part is set in the mix, whoever plays and however: volume, what was `drawn`, and its players where somebody said so. */
function mixOf({ part, played }: BarNote, drawn: readonly number[]): string {
  const note = part.notes[played];
  if (note === undefined) return '';
  const curves = part.tracks[note.trackIndex]?.curves ?? [];
  const settings = [VOLUME, ...drawn].map((controller) => {
    const curve = curves.find((each) => each.controller === controller);
    return curve === undefined ? '' : settingAt(curve, note.startQuarters);
  });
  const players = part.playersBy === 'default' ? '' : part.players;
  return [...settings, players, part.trimDb].join(' ');
}

function velocityOf({ part, played }: BarNote): number | undefined {
  return part.notes[played]?.velocity;
}

/** Everything in the file that shapes how loud a note is; curves are asked at its start, middle and near its end. */
function shapeOf({ part, played }: BarNote): string {
  const note = part.notes[played];
  if (note === undefined) return '';
  const curves = part.tracks[note.trackIndex]?.curves ?? [];
  const places = [0, 0.5, 0.95].map((share) => note.startQuarters + share * (note.endQuarters - note.startQuarters));
  const settings = curves.map((curve) => `${curve.controller}:${places.map((at) => settingAt(curve, at)).join('/')}`);
  const players = part.playersBy === 'default' ? '' : part.players;
  return [note.velocity, players, part.trimDb, part.instrument, ...settings].join(' ');
}

/** What only another assumption about the number of players does to the estimated level: nobody edited that. */
function assumedPlayersDb({ match }: PartSides): number {
  const { before, after } = match.kept[0] ?? {};
  if (before?.part.playersBy !== 'default' || after?.part.playersBy !== 'default') return 0;
  return 10 * Math.log10(after.part.players / before.part.players);
}

/** So many times the scatter of a part that was played in anew is more than touch: the largest of a hundred bars lies at three. */
const SCATTERS = 4;

/** Least change that counts: what is heard at all, and more than the small differences of a part that was played in anew. */
function leastChangeDb(changes: readonly number[]): number {
  const small = changes.filter((change) => Math.abs(change) < LEVEL_APART_DB);
  const square = small.reduce((sum, change) => sum + change * change, 0) / Math.max(1, small.length);
  return Math.max(LEVEL_APART_DB, SCATTERS * Math.sqrt(square));
}

/** Bars that are written as before and were silenced, or are heard again, by controllers. */
function silenceEdits(sides: PartSides): readonly PartEdit[] {
  const { partId, bars, match, levelBefore, levelAfter, isMeasured } = sides;
  const muted = new Set<number>();
  const unmuted = new Set<number>();
  for (const { before, after } of match.kept) {
    for (const bar of barsUnder(bars, after.start, after.start + after.length)) {
      const isHeard = [before, after].every(
        (note) => overlapWith(note, bars[bar]) >= Math.min(LEAST_HELD_DIVISIONS, note.length),
      );
      if (!isHeard || !isMeasured(bar)) continue;
      const [one, other] = [levelBefore(bar), levelAfter(bar)];
      if (one !== undefined && other === undefined) muted.add(bar);
      if (one === undefined && other !== undefined) unmuted.add(bar);
    }
  }
  return [
    ...(muted.size === 0 ? [] : [{ partId, kind: 'muted' as const, bars: numbersOf(bars, muted) }]),
    ...(unmuted.size === 0 ? [] : [{ partId, kind: 'unmuted' as const, bars: numbersOf(bars, unmuted) }]),
  ];
}

/** So many bars in which nobody changed a setting tell what the estimate itself makes of a part otherwise. */
const FEWEST_UNEDITED = 3;

/** Where bars that nobody touched are estimated otherwise, the part is read otherwise: that is no edit either. */
function changeOfUnedited(changes: ReadonlyMap<number, number>, reshaped: ReadonlySet<number>): number {
  const unedited = [...changes].flatMap(([bar, change]) => (reshaped.has(bar) ? [] : [change]));
  return unedited.length < FEWEST_UNEDITED ? 0 : (median(unedited) ?? 0);
}

/** Bars that are softer and bars that are louder, each told by their own amount. */
function balanceEdits(sides: PartSides, touched: ReadonlySet<number>): readonly PartEdit[] {
  const { bars, match } = sides;
  // What another instrument, another register or another take does to the level is no edit of the balance.
  if (match.kept.some(({ before, after }) => before.part.instrument !== after.part.instrument)) return [];
  const { isAnew } = sides;
  const { transposed } = sides;
  const drawn = isAnew || transposed !== undefined ? drawnControllers(sides) : [];
  const settingOf =
    isAnew || transposed === 'alone'
      ? (note: BarNote): string => mixOf(note, drawn)
      : transposed === 'with all'
        ? (note: BarNote): string => `${String(velocityOf(note))} ${mixOf(note, drawn)}`
        : shapeOf;
  const changes = new Map<number, number>();
  const assumedDb = assumedPlayersDb(sides);
  for (let bar = 0; bar < bars.length; bar++) {
    const before = sides.levelBefore(bar);
    const after = sides.levelAfter(bar);
    if (before === undefined || after === undefined || touched.has(bar)) continue;
    changes.set(bar, after - before - assumedDb);
  }
  const reshaped = new Set<number>();
  for (const { before, after } of match.kept) {
    const under = barsUnder(bars, after.start, after.start + after.length).filter((bar) => changes.has(bar));
    if (under.some((bar) => !reshaped.has(bar)) && settingOf(before) !== settingOf(after)) {
      for (const bar of under) reshaped.add(bar);
    }
  }
  const unaskedDb = changeOfUnedited(changes, reshaped);
  const differences = new Map([...changes].map(([bar, change]) => [bar, change - unaskedDb]));
  const leastDb = leastChangeDb([...differences.values()]);
  return [-1, 1].flatMap((sign): PartEdit[] => {
    const own = [...reshaped].filter((bar) => sign * (differences.get(bar) ?? 0) >= leastDb);
    const db = median(own.map((bar) => differences.get(bar) ?? 0));
    return db === undefined ? [] : [{ partId: sides.partId, kind: 'balance', bars: numbersOf(bars, own), db }];
  });
}

function timingEdit({ partId, match, bars, secondsPerQuarter }: PartSides): PartEdit | undefined {
  const timing = timingOf(match.kept, secondsPerQuarter);
  if (timing === undefined) return undefined;
  const touched = new Set(playedApart(match.kept).map(({ after }) => after.bar));
  return { partId, kind: 'timing', bars: numbersOf(bars, touched), timing };
}

function numbersOf(bars: readonly Bar[], indices: Iterable<number>): readonly number[] {
  return [...indices].sort((a, b) => a - b).flatMap((index) => bars[index]?.number ?? []);
}

type BarEdit = Pick<PartEdit, 'kind' | 'semitones'>;

/** Whether a note is in a chord of which most were lengthened, or shortened: a hand lets go of some keys before others. */
function lengthenedChords(kept: readonly KeptNote[]): (note: KeptNote) => boolean {
  const chords = new Map<number, { all: number; longer: number }>();
  if (!kept.some(({ isLengthened }) => isLengthened)) return () => false;
  for (const { after, isLengthened } of kept) {
    const chord = chords.get(after.start) ?? { all: 0, longer: 0 };
    chord.all++;
    if (isLengthened) chord.longer++;
    chords.set(after.start, chord);
  }
  return ({ after }) => {
    const { all, longer } = chords.get(after.start) ?? { all: 1, longer: 1 };
    return 2 * longer > all;
  };
}

/** Bars in which notes differ, by what was done there. */
function noteEdits({ before, after, match, bars }: PartSides): readonly (BarEdit & { readonly bars: Set<number> })[] {
  const sets = new Map<string, BarEdit & { readonly bars: Set<number> }>();
  const add = (edit: BarEdit, touched: readonly number[]): void => {
    const key = `${edit.kind} ${edit.semitones ?? ''}`;
    const known = sets.get(key) ?? { ...edit, bars: new Set<number>() };
    for (const bar of touched) known.bars.add(bar);
    sets.set(key, known);
  };
  const hasOthers = match.lost.length + match.gained.length > 0;
  const beforeByBar = byBar(hasOthers ? before : []);
  const afterByBar = byBar(hasOthers ? after : []);
  const soundedBefore = soundingBars(hasOthers ? before : [], bars);
  const soundsAfter = soundingBars(hasOthers ? after : [], bars);
  const editAt = (bar: number): BarEdit => {
    if (!soundedBefore.has(bar)) return { kind: 'extended' };
    if (!soundsAfter.has(bar)) return { kind: 'silenced' };
    return editOfBar(beforeByBar.get(bar) ?? [], afterByBar.get(bar) ?? []);
  };
  const editOf = new Map<number, BarEdit>();
  for (const note of [...match.lost, ...match.gained]) {
    const edit = editOf.get(note.bar) ?? editAt(note.bar);
    editOf.set(note.bar, edit);
    add(edit, barsUnder(bars, note.start, note.start + note.length));
  }
  const isLonger = lengthenedChords(match.kept);
  for (const kept of match.kept) {
    if (!kept.isLengthened || !isLonger(kept)) continue;
    const ends = [kept.before.start + kept.before.length, kept.after.start + kept.after.length];
    add(editOf.get(kept.after.bar) ?? { kind: 'rhythm' }, barsUnder(bars, Math.min(...ends), Math.max(...ends)));
  }
  // What lies over a bar line may touch a bar that was rewritten anyway: it is told once, as the graver of the two.
  const graver = new Set(
    [...sets.values()].flatMap(({ kind, bars: touched }) => (kind === 'rhythm' ? [] : [...touched])),
  );
  return [...sets.values()].flatMap((edit) => {
    const own = edit.kind === 'rhythm' ? new Set([...edit.bars].filter((bar) => !graver.has(bar))) : edit.bars;
    return own.size === 0 ? [] : [{ ...edit, bars: own }];
  });
}

/** What was done to a part besides a transposition as a whole. */
export function partEdits(sides: PartSides): readonly PartEdit[] {
  const { partId, bars } = sides;
  const notes = noteEdits(sides);
  const touched = new Set(notes.flatMap((edit) => [...edit.bars]));
  const balance = balanceEdits(sides, touched);
  const timing = timingEdit(sides);
  return [
    ...notes.map((edit): PartEdit => ({ ...edit, partId, bars: numbersOf(bars, edit.bars) })),
    ...balance,
    ...silenceEdits(sides),
    ...(timing === undefined ? [] : [timing]),
  ];
}
