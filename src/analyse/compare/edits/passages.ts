/** Music that went from one part to another, and lines that are doubled now: what is told of two parts together. */
import type { GivenPassage, NewDoubling } from '../../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { numbersIn } from '../../../model/words/plain-words.ts';
import { notesByBar, type BarNote, type LazyNotes, type NotesByBar } from '../bars/bar-notes.ts';
import { hasKey } from '../bars/key-sets.ts';

/** What became of a part, its notes in the bars of the later stage; a part that came or went has one side only. */
export interface PartFate {
  /** Id in the earlier stage, where it is one part there. */
  readonly oldId: string | undefined;
  readonly newId: string | undefined;
  readonly before: LazyNotes;
  readonly after: LazyNotes;
  readonly lost: readonly BarNote[];
  readonly gained: readonly BarNote[];
}

/** Both sides of a passage in the same bars begin their notes within a thirty-second. */
const TOLERANCE_DIVISIONS = DIVISIONS_PER_QUARTER / 8;
const OCTAVES = [0, -1, 1, -2, 2] as const;
/** So many notes may agree by chance. */
const LEAST_NOTES = 4;
/** Share of what a part lost in a bar that must be found with its heir. */
const GIVEN_SHARE = 0.75;
/** Share of what a part played in a bar that must have gone. */
const LEFT_SHARE = 0.6;
/** A part doubles another where so much of what it plays is the other's, and so much of the other's line is there. */
const DOUBLED_SHARE = 0.9;
const LINE_SHARE = 0.75;
const LEAST_DOUBLED_BARS = 2;
const LEAST_DOUBLED_NOTES = 6;

/** Of notes of one part. */
function isPitched(notes: readonly BarNote[]): boolean {
  return notes[0]?.part.unpitched !== true;
}

/** The same of notes of which only the first are looked at. */
function arePitched(notes: LazyNotes): boolean {
  const { bars, in: notesIn } = notes.byBar();
  const [first = -1] = bars();
  return isPitched(notesIn(first));
}

/** Where a note is played, in divisions from the start of bar 1; where it is written if it has no performance. */
function playedAt({ start, onset, playedOnset }: BarNote): number {
  return playedOnset === undefined ? start : start - onset + playedOnset * DIVISIONS_PER_QUARTER;
}

/** As written or as played: a part that is read in other company may be written otherwise. */
function beginTogether(one: BarNote, other: BarNote): boolean {
  return (
    Math.abs(other.start - one.start) <= TOLERANCE_DIVISIONS ||
    Math.abs(playedAt(other) - playedAt(one)) <= TOLERANCE_DIVISIONS
  );
}

/** True where a note of this pitch begins with another one. */
function beginsWith(note: BarNote, others: readonly BarNote[], midi: number): boolean {
  for (let at = 0; at < others.length; at++) {
    const other = others[at];
    if (other?.midi === midi && beginTogether(note, other)) return true;
  }
  return false;
}

/** How many of `notes` are among `others`, these `octaves` higher. */
function sharedCount(notes: readonly BarNote[], others: readonly BarNote[], octaves: number): number {
  let count = 0;
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note !== undefined && beginsWith(note, others, note.midi + 12 * octaves)) count++;
  }
  return count;
}

/** True where a note of this pitch, in any octave, begins with another one. */
function beginsWithOctave(note: BarNote, others: readonly BarNote[]): boolean {
  for (let at = 0; at < others.length; at++) {
    const other = others[at];
    if (other !== undefined && (other.midi - note.midi) % 12 === 0 && beginTogether(note, other)) return true;
  }
  return false;
}

interface DoublingWay {
  readonly octaves: number;
  readonly count: number;
}

/** Octaves at which most of `notes` are in another line; a line that begins nothing with the first ones is soon left. */
function waysToDouble(notes: readonly BarNote[], line: readonly BarNote[]): readonly DoublingWay[] {
  const most = Math.floor((1 - DOUBLED_SHARE) * notes.length + 1e-6);
  let isNear = false;
  for (let at = 0; at <= most && !isNear; at++) {
    const note = notes[at];
    isNear = note !== undefined && beginsWithOctave(note, line);
  }
  if (!isNear) return [];
  return OCTAVES.map((octaves) => ({ octaves, count: sharedCount(notes, line, -octaves) })).filter(
    ({ count }) => count >= DOUBLED_SHARE * notes.length,
  );
}

/** Neighbouring bars together; a bar between them in which nothing begins does not part them. */
function runsOf(bars: readonly number[], isEmpty: (bar: number) => boolean): readonly (readonly number[])[] {
  const runs: number[][] = [];
  for (const bar of bars) {
    const run = runs.at(-1);
    const last = run?.at(-1);
    if (run !== undefined && last !== undefined && (bar === last + 1 || (bar === last + 2 && isEmpty(last + 1)))) {
      if (bar === last + 2) run.push(last + 1);
      run.push(bar);
    } else runs.push([bar]);
  }
  return runs;
}

/** Bars of the passage by index, with the ids of both parts. */
export interface IndexedPassage extends Omit<GivenPassage, 'bars'> {
  readonly bars: readonly number[];
}

/** How many of `notes`, all of one bar, are in a part, for each of `OCTAVES` that it may have them higher; in that bar or beside it. */
function sharedCounts(bar: number, notes: readonly BarNote[], others: NotesByBar): readonly number[] {
  const near = [...others.in(bar - 1), ...others.in(bar), ...others.in(bar + 1)];
  return OCTAVES.map((octaves) => sharedCount(notes, near, octaves));
}

/** Share of the notes of a passage that must be new where they are now: single ones may have stood there before. */
const FRESH_SHARE = 0.5;

/** A way in which the notes that a part lost may have gone: to which part, by index, and at which of `OCTAVES`. */
interface Way {
  readonly heir: number;
  readonly place: number;
  /** Bars in which enough of the notes are there, with how many, how many of those are new, and which voice of the part they were. */
  readonly bars: Map<number, { readonly count: number; readonly fresh: number; readonly voice: Voice }>;
}

/** Of what an heir plays in a bar so much is the line, or so much of the line is at the top or the bottom of it: else it has the chord, and not the line. */
const OWN_SHARE = 0.5;
const OUTER_SHARE = 0.75;

/** True where a note of this pitch begins with another one, and no other that begins there is above it, or none below. */
function isOutermost(note: BarNote, others: readonly BarNote[], midi: number): boolean {
  const together = others.filter((other) => beginTogether(note, other)).map((other) => other.midi);
  return together.includes(midi) && (midi === Math.max(...together) || midi === Math.min(...together));
}

/** True where an heir takes a line, and does not merely have its tones in chords of its own. */
function hasLine(bar: number, notes: readonly BarNote[], count: number, heir: NotesByBar, octaves: number): boolean {
  if (count >= OWN_SHARE * (heir.counts[bar] ?? 0)) return true;
  const near = [...heir.in(bar - 1), ...heir.in(bar), ...heir.in(bar + 1)];
  return notes.filter((note) => isOutermost(note, near, note.midi + 12 * octaves)).length >= OUTER_SHARE * notes.length;
}

/** Passages that one part had and another has now, at any octave; where two parts exchanged theirs, both. */
export function givenPassages(fates: readonly PartFate[]): readonly IndexedPassage[] {
  const found = passagesGiven(fates);
  const isTold = (from: PartFate, to: PartFate): boolean =>
    found.some((passage) => passage.from === from.oldId && passage.to === to.newId);
  const back = found.flatMap((passage): IndexedPassage[] => {
    const giver = fates.find(({ newId }) => newId === passage.to);
    const heir = fates.find(({ oldId }) => oldId === passage.from);
    if (giver?.oldId === undefined || heir?.newId === undefined || isTold(giver, heir)) return [];
    const octaves = handedBackAt(giver, heir, passage.bars);
    return octaves === undefined ? [] : [{ from: giver.oldId, to: heir.newId, octaves, bars: passage.bars }];
  });
  return [...found, ...back];
}

/** By how many octaves higher who gave a line has that of the part that took it, however few notes it had; undefined where it has not. */
function handedBackAt(giver: PartFate, heir: PartFate, bars: readonly number[]): number | undefined {
  const isIn = new Set(bars);
  const [before, after] = [giver.before.byBar(), heir.after.byBar()];
  const had = bars.flatMap((bar) => before.in(bar));
  const now = bars.flatMap((bar) => after.in(bar));
  const taken = heir.gained.filter(({ bar }) => isIn.has(bar));
  if (had.length < 2 || taken.length === 0 || !isPitched(had) || !isPitched(now)) return undefined;
  return OCTAVES.find(
    (octaves) =>
      sharedCount(had, now, octaves) >= GIVEN_SHARE * had.length &&
      sharedCount(now, had, -octaves) >= GIVEN_SHARE * now.length,
  );
}

/** True where, some octaves away, so many of the notes have their key in some bars, whenever it begins: no more of them can be found. */
function hasKeys(others: NotesByBar, from: number, to: number, notes: readonly BarNote[], least: number): boolean {
  const most = notes.length - Math.max(1, least);
  const sets = others.keySets();
  return OCTAVES.some((octaves) => !areKeysMissing(sets, others.counts, from, to, notes, 12 * octaves, most));
}

/** True where more than so many of the notes, so many semitones higher, have no key in some bars. */
function areKeysMissing(
  sets: Int32Array,
  counts: Uint32Array,
  from: number,
  to: number,
  notes: readonly BarNote[],
  higher: number,
  most: number,
): boolean {
  let missing = 0;
  for (let at = 0; at < notes.length && missing <= most; at++)
    if (!hasKey(sets, counts, from, to, (notes[at]?.midi ?? 0) + higher)) missing++;
  return missing > most;
}

function passagesGiven(fates: readonly PartFate[]): readonly IndexedPassage[] {
  if (fates.every(({ lost }) => lost.length < LEAST_NOTES)) return [];
  const pitched: (boolean | undefined)[] = [];
  const sides = fates.map((fate, index) => ({
    id: fate.newId,
    isPitched: () => (pitched[index] ??= arePitched(fate.after)),
    after: fate.after.byBar,
    isTouched: fate.gained.length + fate.lost.length > 0,
    gained: notesByBar(fate.gained),
    lost: notesByBar(fate.lost),
  }));
  return fates.flatMap((from, own): IndexedPassage[] => {
    const { oldId } = from;
    if (oldId === undefined || from.lost.length < LEAST_NOTES || !isPitched(from.lost)) return [];
    const had = from.before.byBar();
    const ways = new Map<string, Way>();
    const lost = notesByBar(from.lost);
    for (const bar of lost.bars()) {
      const lines = linesLost(lost.in(bar), had.in(bar));
      for (let heir = 0; heir < sides.length; heir++) {
        const side = sides[heir];
        if (heir === own || side?.id === undefined || !side.isTouched) continue;
        // Beside bars that are new a note may be there that the part had before: the line goes to its end.
        const isTouched = (at: number): boolean => (side.gained.counts[at] ?? 0) + (side.lost.counts[at] ?? 0) > 0;
        if (!isTouched(bar) && !isTouched(bar - 1) && !isTouched(bar + 1)) continue;
        if (!side.isPitched()) continue;
        const after = side.after();
        for (const { notes, voice } of lines) {
          if (!hasKeys(after, bar - 1, bar + 1, notes, GIVEN_SHARE * notes.length)) continue;
          const counts = sharedCounts(bar, notes, after);
          let freshCounts: readonly number[] | undefined;
          for (let place = 0; place < counts.length; place++) {
            const count = counts[place] ?? 0;
            if (count === 0 || count < GIVEN_SHARE * notes.length) continue;
            const isVoice = voice === 'top' || voice === 'bass';
            if (!isVoice && !hasLine(bar, notes, count, after, OCTAVES[place] ?? 0)) continue;
            // Who takes one voice of several plays that and nothing else.
            if (isVoice && count < OUTER_SHARE * (after.counts[bar] ?? 0)) continue;
            freshCounts ??= sharedCounts(bar, notes, side.gained);
            const key = `${String(heir)} ${String(place)}`;
            const way = ways.get(key) ?? { heir, place, bars: new Map() };
            way.bars.set(bar, { count, fresh: freshCounts[place] ?? 0, voice });
            ways.set(key, way);
          }
        }
      }
    }
    const isEmpty = (bar: number): boolean => (had.counts[bar] ?? 0) === 0;
    return passagesOf([...ways.values()]).flatMap(({ heir, octaves, bars, voice }) => {
      const side = sides[heir];
      const to = side?.id;
      if (side === undefined) return [];
      // Between bars of a line one in which who had it plays some of its notes still, or somebody else takes a turn at its end.
      const isOfLine = (bar: number): boolean => {
        const notes = side.after().in(bar);
        const isFresh = (side.gained.counts[bar] ?? 0) >= FRESH_SHARE * notes.length;
        return notes.length > 0 && isFresh && sharedCount(notes, had.in(bar), -octaves) >= OUTER_SHARE * notes.length;
      };
      const runs = runsOf(withGaps(bars, isOfLine), isEmpty);
      // Single notes here and there agree by chance.
      const isPassage = runs.some((run) => run.reduce((sum, bar) => sum + (lost.counts[bar] ?? 0), 0) >= LEAST_NOTES);
      if (to === undefined || !isPassage) return [];
      return [{ from: oldId, to, octaves, ...(voice === undefined ? {} : { voice }), bars: runs.flat() }];
    });
  });
}

/** A line goes on through so many bars in which it is not found as such. */
const LONGEST_GAP = 2;

/** Bars, ascending, with those between them that are of the same line. */
function withGaps(bars: readonly number[], isOfLine: (bar: number) => boolean): readonly number[] {
  return bars.flatMap((bar, index) => {
    const missing = (bars[index + 1] ?? bar) - bar - 1;
    const between = missing < 1 || missing > LONGEST_GAP ? [] : numbersIn({ from: bar + 1, to: bar + missing });
    return [bar, ...between.filter(isOfLine)];
  });
}

/** Which of the notes of a bar went: the highest or the lowest of several at a time, most of all, or those of a part that plays one at a time. */
type Voice = NonNullable<GivenPassage['voice']> | 'most' | 'only';

interface LostLine {
  readonly notes: readonly BarNote[];
  readonly voice: Voice;
}

/** Of the notes that begin together the highest, for each place where some begin. */
function highest(notes: readonly BarNote[]): readonly BarNote[] {
  const found = new Map<number, BarNote>();
  for (const note of notes) {
    const known = found.get(note.start);
    if (known === undefined || note.midi > known.midi) found.set(note.start, note);
  }
  return [...found.values()];
}

/** The notes that begin where none above them sounds, or none below. */
function uncovered(notes: readonly BarNote[], isTop: boolean): readonly BarNote[] {
  return notes.filter(
    ({ start, midi }) =>
      !notes.some(
        (other) =>
          (isTop ? other.midi > midi : other.midi < midi) &&
          other.start <= start &&
          other.start + other.length > start + TOLERANCE_DIVISIONS,
      ),
  );
}

/**
 * What may have gone from a bar as a line: most of what was played there; of a part that plays several notes at a time its top, whether or not
 * a higher note rings on, or its bass.
 */
function linesLost(lost: readonly BarNote[], had: readonly BarNote[]): readonly LostLine[] {
  const tops = highest(had);
  const isOne = tops.length === had.length;
  const whole: readonly LostLine[] =
    lost.length < LEFT_SHARE * had.length ? [] : [{ notes: lost, voice: isOne ? 'only' : 'most' }];
  if (isOne) return whole;
  const voices: readonly LostLine[] = [
    { notes: tops, voice: 'top' },
    { notes: uncovered(had, true), voice: 'top' },
    { notes: uncovered(had, false), voice: 'bass' },
  ];
  const gone = voices.filter(
    ({ notes }) =>
      notes.length < had.length && notes.filter((note) => lost.includes(note)).length >= LEFT_SHARE * notes.length,
  );
  return [...whole, ...gone];
}

/** Bars by heir: each is told once, with whoever has most of what went; in one bar alone others may have the same tones. */
function passagesOf(
  ways: readonly Way[],
): readonly (Pick<IndexedPassage, 'octaves' | 'bars' | 'voice'> & { readonly heir: number })[] {
  const told = new Set<number>();
  const notesOf = ({ bars }: Way): number => [...bars.values()].reduce((sum, { count }) => sum + count, 0);
  const ranked = [...ways].sort((a, b) => notesOf(b) - notesOf(a) || a.place - b.place || a.heir - b.heir);
  return ranked.flatMap(({ heir, place, bars }) => {
    const left = [...bars].filter(([bar]) => !told.has(bar));
    const [notes, fresh] = [
      left.reduce((sum, [, { count }]) => sum + count, 0),
      left.reduce((sum, [, own]) => sum + own.fresh, 0),
    ];
    if (notes < LEAST_NOTES || fresh < FRESH_SHARE * notes) return [];
    for (const [bar] of left) told.add(bar);
    // Where the part played one note at a time its line was its top.
    const voices = new Set(left.map(([, own]) => own.voice));
    voices.delete('only');
    const [voice] = voices.size === 1 ? voices : [];
    return [
      {
        heir,
        octaves: OCTAVES[place] ?? 0,
        bars: left.map(([bar]) => bar).sort((a, b) => a - b),
        ...(voice === 'top' || voice === 'bass' ? { voice } : {}),
      },
    ];
  });
}

/** At how many places notes begin. */
function placesIn(notes: readonly BarNote[]): number {
  return new Set(notes.map(({ start }) => Math.round(start / TOLERANCE_DIVISIONS))).size;
}

export interface IndexedDoubling extends Omit<NewDoubling, 'bars'> {
  readonly bars: readonly number[];
}

/**
 * Lines that a part did not play before and that another one has too, in unison or octaves. `isGiven`: bars in which the part has its
 * music from another one.
 */
export function newDoublings(
  fates: readonly PartFate[],
  isGiven: (partId: string, bar: number) => boolean,
): readonly IndexedDoubling[] {
  if (fates.every(({ gained }) => gained.length < LEAST_DOUBLED_NOTES)) return [];
  const now = fates.map(({ after }) => after.byBar());
  const fresh = fates.map((fate) => notesByBar(fate.gained));
  const doubledBefore = (own: number, other: number, bar: number): boolean => {
    const [notes = [], line = []] = [own, other].map((index) => fates[index]?.before.byBar().in(bar));
    // Who had some tones of a line an octave away did not play it.
    const least = Math.max(DOUBLED_SHARE * notes.length, LINE_SHARE * placesIn(line));
    return notes.length > 0 && OCTAVES.some((octaves) => sharedCount(notes, line, octaves) >= least);
  };
  const freshShare = (index: number, bar: number): number =>
    (fresh[index]?.counts[bar] ?? 0) / Math.max(1, now[index]?.counts[bar] ?? 0);
  return fates.flatMap(({ newId, gained }, own): IndexedDoubling[] => {
    if (newId === undefined || gained.length < LEAST_DOUBLED_NOTES || !isPitched(gained)) return [];
    const found = new Map<string, { doubles: string; octaves: number; bars: number[]; notes: number }>();
    // Single notes may stand where the line that is doubled now has them too.
    for (const bar of [...(fresh[own]?.bars() ?? [])].sort((a, b) => a - b)) {
      const notes = now[own]?.in(bar) ?? [];
      if (isGiven(newId, bar)) continue;
      for (let other = 0; other < fates.length; other++) {
        const doubles = fates[other]?.newId;
        const side = now[other];
        if (other === own || doubles === undefined || side === undefined || (side.counts[bar] ?? 0) === 0) continue;
        // Of two lines that came together the first is doubled by the second.
        const isThere = other < own || freshShare(other, bar) < 0.5;
        if (!isThere || !hasKeys(side, bar, bar, notes, DOUBLED_SHARE * notes.length)) continue;
        const line = side.in(bar);
        if (!isPitched(line)) continue;
        const ways = waysToDouble(notes, line);
        if (ways.length === 0 || doubledBefore(own, other, bar)) continue;
        const onsets = placesIn(line);
        for (const { octaves, count } of ways) {
          if (count < LINE_SHARE * onsets) continue;
          const key = `${doubles} ${String(octaves)}`;
          const known = found.get(key) ?? { doubles, octaves, bars: [], notes: 0 };
          known.bars.push(bar);
          known.notes += count;
          found.set(key, known);
        }
      }
    }
    // Each bar is told once: with the line that is doubled longest, the nearest where several are.
    const ranked = [...found.values()].sort((a, b) => b.notes - a.notes || Math.abs(a.octaves) - Math.abs(b.octaves));
    const told = new Set<number>();
    return ranked.flatMap(({ doubles, octaves, bars }) => {
      const left = bars.filter((bar) => !told.has(bar));
      const runs = runsOf(left, (bar) => (now[own]?.counts[bar] ?? 0) === 0).filter((run) => {
        const notes = run.reduce((sum, bar) => sum + (now[own]?.counts[bar] ?? 0), 0);
        const news = run.reduce((sum, bar) => sum + (fresh[own]?.counts[bar] ?? 0), 0);
        return (
          run.length >= LEAST_DOUBLED_BARS && notes >= LEAST_DOUBLED_NOTES && news >= Math.max(FRESH_SHARE * notes, 1)
        );
      });
      for (const bar of runs.flat()) told.add(bar);
      return runs.length === 0 ? [] : [{ partId: newId, doubles, octaves, bars: runs.flat() }];
    });
  });
}
