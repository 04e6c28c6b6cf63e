/** What was done to one part, bar by bar, in a few words. */
import { groupedBy } from '../../../model/grouped.ts';
import type { NotesWay, PartEdit } from '../../../model/readings/readings.ts';
import { balanceEdits, silenceEdits } from './balance-edits.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { notesByBar, type BarNote, type NotesByBar } from '../bars/bar-notes.ts';
import { type KeptNotes } from '../matches/match-notes.ts';
import { shiftOf } from './line-shift.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { commonWay, wayOfNotes } from './note-ways.ts';
import { numbersIn, runsOf } from '../../../model/words/plain-words.ts';
import { movedBars } from './moved-notes.ts';
import type { MovedPhrase } from './moved-phrases.ts';
import { KEYS } from '../bars/key-sets.ts';
import {
  barsUnder,
  lastBarUnder,
  numbersOf,
  overlapWith,
  soundingBars,
  type PartSides,
} from '../matches/part-sides.ts';
import { playedApart, quantisedBars, timingOf } from './played-timing.ts';

/** Octaves that put pitches moved below the keys among the positive numbers. */
const TONES_UP = 12 * 64;
/** Fewer notes that begin together may be two voices. */
const FEWEST_IN_CHORD = 3;

/** Pitches of a bar, chord by chord in the order in which they begin; a tone or chord that is struck again is there once. */
function pitchesOf(notes: readonly BarNote[]): readonly string[] {
  const chords: { start: number; pitches: number[] }[] = [];
  for (const { start, midi } of [...notes].sort((a, b) => a.start - b.start || a.midi - b.midi)) {
    const last = chords.at(-1);
    if (last?.start === start) last.pitches.push(midi);
    else chords.push({ start, pitches: [midi] });
  }
  const names = chords.map(({ pitches }) => pitches.join('+'));
  return names.filter((name, index) => name !== names[index - 1]);
}

/** True where the same chord is struck in both, whole or in part. */
function isOneChord(before: readonly string[], after: readonly string[]): boolean {
  const tonesOf = (chords: readonly string[]): string =>
    [...new Set(chords.flatMap((chord) => chord.split('+')))].sort().join(' ');
  const hasChord = (chords: readonly string[]): boolean =>
    chords.some((chord) => chord.split('+').length >= FEWEST_IN_CHORD);
  return hasChord(before) && hasChord(after) && tonesOf(before) === tonesOf(after);
}

/** True where two lists have the same pitches, whatever their order and however often. */
function haveTonesAlike(some: readonly BarNote[], others: readonly BarNote[]): boolean {
  const tones = new Uint8Array(KEYS);
  for (const { midi } of some) tones[midi] = 1;
  for (const { midi } of others) {
    if (tones[midi] === 0) return false;
    tones[midi] = 2;
  }
  return !tones.includes(1);
}

/** Share of the pitches of two bars that both have. */
const MOST_TONES = 0.8;

function haveMostTones(some: readonly BarNote[], others: readonly BarNote[]): boolean {
  const [was, is] = [some, others].map((notes) => new Set(notes.map(({ midi }) => midi)));
  const shared = [...(was ?? [])].filter((midi) => is?.has(midi)).length;
  return shared >= MOST_TONES * ((was?.size ?? 0) + (is?.size ?? 0) - shared);
}

/** True where only the rhythm is another: the same tones or chords in the same order, however often each is struck. */
function hasSamePitches(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  if (!haveTonesAlike(before, after)) return false;
  const [old, fresh] = [pitchesOf(before), pitchesOf(after)];
  return old.join(' ') === fresh.join(' ') || isOneChord(old, fresh);
}

/**
 * False where the notes cannot all stand at one interval of whole octaves from the old ones: by the tones, the lowest and the highest note. A bar
 * that was rewritten mostly ends here.
 */
function mayStandOctavesAway(before: readonly BarNote[], after: readonly BarNote[]): boolean {
  if (after.length < before.length) return false;
  let [tones, low, high] = [0, Infinity, -Infinity];
  for (let at = 0; at < before.length; at++) {
    const midi = before[at]?.midi ?? 0;
    tones |= 1 << ((midi + TONES_UP) % 12);
    low = Math.min(low, midi);
    high = Math.max(high, midi);
  }
  let [lowAfter, highAfter] = [Infinity, -Infinity];
  for (let at = 0; at < after.length; at++) {
    const midi = after[at]?.midi ?? 0;
    if ((tones & (1 << ((midi + TONES_UP) % 12))) === 0) return false;
    lowAfter = Math.min(lowAfter, midi);
    highAfter = Math.max(highAfter, midi);
  }
  // Every note stands where an old one would: neither below the lowest of them nor above the highest.
  const least = Math.ceil((highAfter - high) / 12);
  const most = Math.floor((lowAfter - low) / 12);
  return least <= most && (least !== 0 || most !== 0);
}

const OF_STRIKING: ReadonlySet<NotesWay> = new Set(['repeated', 'tremolo', 'sustained']);

/** A bar in which notes differ, though the part sounds there in both stages. */
function editOfBar(before: readonly BarNote[], after: readonly BarNote[], barQuarters: number): BarEdit {
  const isAsked = mayStandOctavesAway(before, after) && !after.some((note) => note.part.unpitched);
  const shift = isAsked ? shiftOf(before, after, 1) : undefined;
  if (shift !== undefined && shift !== 0 && shift % 12 === 0) return { kind: 'transposed', semitones: shift };
  const how = wayOfNotes(before, after, barQuarters);
  if (how !== undefined) return { kind: OF_STRIKING.has(how) ? 'rhythm' : 'rewritten', how };
  return { kind: hasSamePitches(before, after) ? 'rhythm' : 'rewritten' };
}

/** Notes without those of bars that are told otherwise. */
function keptBeside(kept: KeptNotes, told: ReadonlySet<number>): KeptNotes {
  const places = kept.after.flatMap(({ bar }, place) => (told.has(bar) ? [] : [place]));
  if (places.length === kept.after.length) return kept;
  return {
    ...kept,
    before: places.flatMap((place) => kept.before[place] ?? []),
    after: places.flatMap((place) => kept.after[place] ?? []),
    laterSeconds: places.map((place) => kept.laterSeconds[place] ?? Number.NaN),
    lengthened: [],
  };
}

/** What was done to the timing, by the notes beside bars that are told to have others: what is left of the old ones there follows the new. */
function timingEdit(sides: PartSides, told: ReadonlySet<number>): PartEdit | undefined {
  const { partId, match, after, bars, secondsPerQuarter, beforeOf } = sides;
  if (timingOf(match.kept, secondsPerQuarter) === undefined) return undefined;
  const kept = keptBeside(match.kept, told);
  const timing = timingOf(kept, secondsPerQuarter);
  if (timing === undefined) return undefined;
  // Another player has another hand: that is no edit of the timing.
  const isAnotherPlayer = kept.before[0]?.part.instrument !== kept.after[0]?.part.instrument;
  if (isAnotherPlayer && (timing.how === 'closer' || timing.how === 'freer')) return undefined;
  if (timing.how === 'quantised') {
    const own = quantisedBars(kept, after.byBar(), secondsPerQuarter, bars.length);
    const known = own.filter((bar) => (beforeOf[bar] ?? -1) >= 0);
    if (known.length > 0) return { partId, kind: 'timing', bars: numbersOf(bars, new Set(known)), timing };
  }
  const touched = new Set(playedApart(kept).flatMap((place) => kept.after[place]?.bar ?? []));
  return { partId, kind: 'timing', bars: numbersOf(bars, touched), timing };
}

type BarEdit = Pick<PartEdit, 'kind' | 'semitones' | 'moved' | 'isInPart' | 'held' | 'how'>;

/** Places of lengthened notes in chords of which most were lengthened, or shortened: a hand lets go of some keys before others. */
function inLengthenedChords({ after, lengthened }: KeptNotes): readonly number[] {
  if (lengthened.length === 0) return [];
  const startAt = (place: number): number => after[place]?.start ?? 0;
  const chords = new Map(lengthened.map((place) => [startAt(place), { all: 0, longer: 0 }]));
  for (const { start } of after) {
    const chord = chords.get(start);
    if (chord !== undefined) chord.all++;
  }
  for (const place of lengthened) {
    const chord = chords.get(startAt(place));
    if (chord !== undefined) chord.longer++;
  }
  return lengthened.filter((place) => {
    const { all, longer } = chords.get(startAt(place)) ?? { all: 1, longer: 1 };
    return 2 * longer > all;
  });
}

/** Lengths as played that are as much apart are another touch, in so many notes on end, each of which begins to the tick where it began: no take does that. */
const OTHER_TOUCH = 1.3;
const FEWEST_TOUCHED = 4;
const SAME_TICK_QUARTERS = 1e-3;

/** Bars in which every note begins where it began and is held longer, or shorter, one touch for neighbouring bars. */
function barsTouchedOtherwise({ before, after }: KeptNotes, { counts }: NotesByBar): readonly number[] {
  const ways = new Map<number, { longer: number; shorter: number }>();
  for (let place = 0; place < after.length; place++) {
    const [one, other] = [before[place], after[place]];
    if (one?.playedLength === undefined || other?.playedLength === undefined || other.part.unpitched) continue;
    if (Math.abs((one.playedOnset ?? 0) - (other.playedOnset ?? 0)) > SAME_TICK_QUARTERS) continue;
    const ratio = other.playedLength / one.playedLength;
    if (ratio < OTHER_TOUCH && ratio > 1 / OTHER_TOUCH) continue;
    const way = ways.get(other.bar) ?? { longer: 0, shorter: 0 };
    way[ratio > 1 ? 'longer' : 'shorter']++;
    ways.set(other.bar, way);
  }
  return (['longer', 'shorter'] as const).flatMap((touch) => {
    const whole = [...ways].flatMap(([bar, way]) => (way[touch] === counts[bar] ? [bar] : []));
    return runsOf(whole).flatMap((span) => {
      const bars = numbersIn(span);
      const notes = bars.reduce((sum, bar) => sum + (counts[bar] ?? 0), 0);
      return notes < FEWEST_TOUCHED ? [] : bars;
    });
  });
}

/** The notes that sound on at the start of a bar. */
function heldInto(notes: NotesByBar, bar: number, bars: readonly Bar[]): readonly BarNote[] {
  const start = (bars[bar]?.startQuarters ?? 0) * DIVISIONS_PER_QUARTER;
  let last = bar - 1;
  while (last > 0 && (notes.counts[last] ?? 0) === 0) last--;
  return notes.in(last).filter((note) => note.start + note.length > start);
}

/** Share of neighbouring bars. */
const MOSTLY_RHYTHM = 0.75;

/** The edits of bars, by index: how the notes of neighbouring bars came of those before is told where it holds for all of them, and else is chance. */
function wayOfRuns(
  edits: ReadonlyMap<number, BarEdit>,
  isRhythm: (bar: number) => boolean,
  hasSameTones: (bar: number) => boolean,
): ReadonlyMap<number, BarEdit> {
  const settled = new Map(edits);
  const isOfNotes = ({ kind }: BarEdit): boolean => kind === 'rewritten' || kind === 'rhythm';
  const ofNotes = [...edits].flatMap(([bar, edit]) => (isOfNotes(edit) ? [bar] : []));
  for (const span of runsOf(ofNotes)) {
    const run = numbersIn(span).map((bar) => ({ bar, how: edits.get(bar)?.how }));
    const isOne = run.every(({ how }) => how === run[0]?.how);
    const common = isOne ? undefined : commonWay(run.map(({ how }) => how));
    for (const { bar, how } of isOne ? [] : run) {
      if (common !== undefined) settled.set(bar, { kind: 'rewritten', how: common });
      else if (how !== undefined) settled.set(bar, { kind: isRhythm(bar) ? 'rhythm' : 'rewritten' });
    }
    // A bar among others in another rhythm that has its tones still, but for one of many, is one of them.
    const inRhythm = run.filter(({ bar }) => settled.get(bar)?.kind === 'rhythm').length;
    for (const { bar } of inRhythm < run.length && inRhythm >= MOSTLY_RHYTHM * run.length ? run : [])
      if (settled.get(bar)?.kind === 'rewritten' && hasSameTones(bar)) settled.set(bar, { kind: 'rhythm' });
  }
  return settled;
}

function addBars(set: Set<number> | undefined, from: number, to: number): void {
  for (let bar = from; bar <= to; bar++) set?.add(bar);
}

/** Bars in which notes differ, by what was done there. */
function noteEdits({
  before,
  after,
  match,
  bars,
  beforeOf,
}: PartSides): readonly (BarEdit & { readonly bars: Set<number> })[] {
  const sets = new Map<string, BarEdit & { readonly bars: Set<number> }>();
  const setOf = (edit: BarEdit): BarEdit & { readonly bars: Set<number> } => {
    const key = `${edit.kind} ${edit.semitones ?? ''} ${edit.how ?? ''}`;
    const set = sets.get(key) ?? { ...edit, bars: new Set<number>() };
    sets.set(key, set);
    return set;
  };
  const hasOthers = match.lost.length + match.gained.length > 0;
  const beforeByBar = hasOthers ? before.byBar() : notesByBar([]);
  const afterByBar = hasOthers ? after.byBar() : notesByBar([]);
  const soundedBefore = soundingBars(beforeByBar, bars);
  const soundsAfter = soundingBars(afterByBar, bars);
  const editAt = (bar: number): BarEdit => {
    if (!soundedBefore.has(bar)) return { kind: 'extended' };
    if (!soundsAfter.has(bar)) return { kind: 'silenced' };
    const [was, is] = [beforeByBar.in(bar), afterByBar.in(bar)];
    if (was.length > 0 && is.length > 0) return editOfBar(was, is, bars[bar]?.lengthQuarters ?? 0);
    return { kind: 'rewritten' };
  };
  const touched = new Set([...match.lost, ...match.gained].map(({ bar }) => bar));
  const own = new Map([...touched].map((bar) => [bar, editAt(bar)]));
  const isRhythm = (bar: number): boolean => hasSamePitches(beforeByBar.in(bar), afterByBar.in(bar));
  const hasSameTones = (bar: number): boolean => haveMostTones(beforeByBar.in(bar), afterByBar.in(bar));
  const settled = new Map(wayOfRuns(own, isRhythm, hasSameTones));
  /** True where a note of the bar before, and nothing else, sounds on in the one stage and is struck again in the other. */
  const isStruckAgain = (bar: number): boolean => {
    const [was, is] = [beforeByBar.in(bar), afterByBar.in(bar)];
    if (was.length > 0 === is.length > 0) return false;
    return was.length > 0
      ? haveTonesAlike(was, heldInto(afterByBar, bar, bars))
      : haveTonesAlike(heldInto(beforeByBar, bar, bars), is);
  };
  for (const [bar, { kind }] of settled) {
    const isAlone = ![bar - 1, bar + 1].some((beside) => settled.get(beside)?.kind === 'rewritten');
    if (kind === 'rewritten' && isAlone && isStruckAgain(bar)) settled.set(bar, { kind: 'rhythm' });
  }
  const setOfBar = new Map([...settled].map(([bar, edit]) => [bar, setOf(edit)]));
  for (const [bar, set] of setOfBar) set.bars.add(bar);
  for (const notes of [match.lost, match.gained]) {
    for (const note of notes) {
      // Most notes end in their bar. A bar into which one is tied a little, and in which the others stand as before, is none that was touched.
      let last = lastBarUnder(bars, note);
      const isTied = 2 * overlapWith(note, bars[last]) < (bars[last]?.lengthQuarters ?? 0) * DIVISIONS_PER_QUARTER;
      const hasOwn = (beforeByBar.counts[last] ?? 0) > 0 && (afterByBar.counts[last] ?? 0) > 0;
      if (last > note.bar && isTied && hasOwn) last--;
      if (last > note.bar) addBars(setOfBar.get(note.bar)?.bars, note.bar + 1, last);
    }
  }
  for (const place of inLengthenedChords(match.kept)) {
    const [one, other] = [match.kept.before[place], match.kept.after[place]];
    if (one === undefined || other === undefined) continue;
    const ends = [one.start + one.length, other.start + other.length];
    const set = setOfBar.get(other.bar) ?? setOf({ kind: 'rhythm' });
    const under = barsUnder(bars, Math.min(...ends), Math.max(...ends));
    // Bars that are new had no rhythm: who is held into them has longer notes where these begin.
    const known = under.filter((bar) => (beforeOf[bar] ?? -1) >= 0);
    for (const bar of known.length < under.length ? [other.bar, ...known] : known) set.bars.add(bar);
  }
  for (const bar of barsTouchedOtherwise(match.kept, after.byBar()))
    if (!setOfBar.has(bar)) setOf({ kind: 'rhythm' }).bars.add(bar);
  // What lies over a bar line may touch a bar that was rewritten anyway: it is told once, as the graver of the two.
  const graver = new Set(
    [...sets.values()].flatMap(({ kind, bars: touched }) => (kind === 'rhythm' ? [] : [...touched])),
  );
  const edits = [...sets.values()].flatMap((edit) => {
    const rest = edit.kind === 'rhythm' ? new Set([...edit.bars].filter((bar) => !graver.has(bar))) : edit.bars;
    return rest.size === 0 ? [] : [{ ...edit, bars: rest }];
  });
  const differing = new Set(edits.flatMap((edit) => [...edit.bars]));
  return withMoved(edits, movedBars(differing, beforeByBar, afterByBar, bars));
}

type NoteEdit = BarEdit & { readonly bars: Set<number> };

/** Phrases that were moved alike by less than a bar are told together; of a bar it is told from which bars to which. */
function movedAlike(moved: readonly MovedPhrase[]): readonly NoteEdit[] {
  const groups = groupedBy(moved, (item) =>
    item.moved.startsWith('a bar') ? `${item.moved} ${String(item.bars[0])}` : `${item.moved} ${String(item.isInPart)}`,
  );
  return [...groups.values()].flatMap(([first, ...rest]): readonly NoteEdit[] => {
    if (first === undefined) return [];
    const bars = new Set([first, ...rest].flatMap((item) => item.bars));
    return [{ kind: 'moved', moved: first.moved, ...(first.isInPart ? { isInPart: true } : {}), bars }];
  });
}

/** What was moved is told as that, and no more as what came and went in its bars. */
function withMoved(edits: readonly NoteEdit[], moved: readonly MovedPhrase[]): readonly NoteEdit[] {
  if (moved.length === 0) return edits;
  const told = new Set(moved.flatMap(({ bars }) => bars));
  const rest = edits.flatMap((edit) => {
    const own = new Set([...edit.bars].filter((bar) => !told.has(bar)));
    return own.size === 0 ? [] : [{ ...edit, bars: own }];
  });
  return [...rest, ...movedAlike(moved)];
}

/** Both begin their notes within a thirty-second. */
const SAME_PLACE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
/** Lengths that are less apart are another touch. */
const HELD_RATIO = 1.15;

/** Whether all notes of some bars begin where they began, and how they are held then. */
function withHeld(edit: NoteEdit, { before, after }: PartSides): NoteEdit {
  if (edit.how !== undefined) return edit;
  const [olds, news] = [before.byBar(), after.byBar()];
  const inOrder = (notes: readonly BarNote[]): readonly BarNote[] =>
    [...notes].sort((a, b) => a.midi - b.midi || a.start - b.start);
  const ratios = [...edit.bars].flatMap((bar) => {
    const [was, is] = [inOrder(olds.in(bar)), inOrder(news.in(bar))];
    if (was.length + is.length === 0) return [];
    const isSame =
      was.length === is.length &&
      was.every(({ midi, start }, place) => {
        const other = is[place];
        return other?.midi === midi && Math.abs(other.start - start) <= SAME_PLACE_DIVISIONS;
      });
    // As played, where that is known of all: what is detached may be written as it was.
    const isPlayed = [...was, ...is].every(({ playedLength }) => playedLength !== undefined);
    const sumOf = (notes: readonly BarNote[]): number =>
      notes.reduce((sum, { length, playedLength = length }) => sum + (isPlayed ? playedLength : length), 0);
    return [isSame ? sumOf(is) / sumOf(was) : Number.NaN];
  });
  if (ratios.length === 0 || ratios.some((ratio) => Number.isNaN(ratio))) return edit;
  if (ratios.every((ratio) => ratio >= HELD_RATIO)) return { ...edit, held: 'longer' };
  return { ...edit, held: ratios.every((ratio) => ratio <= 1 / HELD_RATIO) ? 'shorter' : 'otherwise' };
}

/** What was done to a part besides a transposition as a whole. */
export function partEdits(sides: PartSides): readonly PartEdit[] {
  const { partId, bars } = sides;
  const notes = noteEdits(sides).map((edit) => (edit.kind === 'rhythm' ? withHeld(edit, sides) : edit));
  const touched = new Set(notes.flatMap((edit) => [...edit.bars]));
  const balance = balanceEdits(sides, touched);
  // Notes that are only held otherwise are those of before.
  const others = notes.flatMap((edit) => (edit.held === undefined ? [...edit.bars] : []));
  const timing = timingEdit(sides, new Set(others));
  return [
    ...notes.map((edit): PartEdit => ({ ...edit, partId, bars: numbersOf(bars, edit.bars) })),
    ...balance,
    ...silenceEdits(sides),
    ...(timing === undefined ? [] : [timing]),
  ];
}
