/** Where a part is louder or softer than before, or was silenced, by settings and keys struck otherwise and not by consequence of another edit. */
import { controllerGainDb, median } from '../../../model/music/dynamics.ts';
import type { ControllerCurve, Part, PlayedNote } from '../../../model/music/arrangement.ts';
import { numbersIn, runsOf } from '../../../model/words/plain-words.ts';
import { isByHand, setBesideScatter } from '../scattered-levels.ts';
import type { PartEdit } from '../../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { firstReaching } from '../../../model/sorted-search.ts';
import type { Bar } from '../../../model/music/timeline.ts';
import { endsInItsBar, type BarNote } from '../bars/bar-notes.ts';
import type { KeptNotes } from '../matches/match-notes.ts';
import { onceEach } from '../../../model/once-each.ts';
import { medianOf } from './played-timing.ts';
import {
  barsUnderNote,
  lastBarUnder,
  LEAST_HELD_DIVISIONS,
  numbersOf,
  overlapWith,
  type PartSides,
} from '../matches/part-sides.ts';

/** A little above the smallest difference of level that is heard, about 1 dB (Zwicker and Fastl, from memory). */
const LEVEL_APART_DB = 1.5;
const VOLUME = 7;

function settingAt(curve: ControllerCurve, quarters: number): number {
  const next = firstReaching(curve.points, (point) => point.quarters > quarters + 1e-6);
  return curve.points[next - 1]?.setting ?? curve.settingBefore;
}

/** Controllers that only one of the two stages moves in this part: their curve was drawn, or taken out, and not played. */
function drawnControllers({ match }: PartSides): readonly number[] {
  const before = movedIn(match.kept.before[0]?.part);
  const after = movedIn(match.kept.after[0]?.part);
  return [...new Set([...before, ...after])].filter((controller) => before.has(controller) !== after.has(controller));
}

function movedIn(part: Part | undefined): ReadonlySet<number> {
  return new Set(
    (part?.tracks ?? []).flatMap(({ curves }) =>
      curves.flatMap(({ controller, points }) => (points.length > 1 ? [controller] : [])),
    ),
  );
}

/** What a function says of every played note of a part, each asked once. */
function ofNotes<Said>(
  say: (part: Part, note: PlayedNote) => Said,
): (part: Part) => (played: number) => Said | undefined {
  return onceEach((part) => {
    const said: (Said | undefined)[] = [];
    return (played) => {
      const note = part.notes[played];
      return note === undefined ? undefined : (said[played] ??= say(part, note));
    };
  });
}

function playersSaid({ playersBy, players }: Part): number | '' {
  return playersBy === 'default' ? '' : players;
}

export const hasCurves = onceEach((part: Part): boolean => part.tracks.some(({ curves }) => curves.length > 0));

const controllerAt = (controller: number): ((part: Part) => (played: number) => number | '' | undefined) =>
  ofNotes((part, note) => {
    const curve = part.tracks[note.trackIndex]?.curves.find((each) => each.controller === controller);
    return curve === undefined ? '' : settingAt(curve, note.startQuarters);
  });
/** By number of a controller: its setting under each note of a part, by place among the played ones; '' where the note's track has no such curve. */
export const CONTROLLERS_AT = Array.from({ length: 128 }, (_, controller) => controllerAt(controller));

/** The parts are alike in all that is asked of them where notes of one stand for those of the other. */
export function isSetUpAlike(one: Part, other: Part): boolean {
  const [moved, movedAfter] = [movedIn(one), movedIn(other)];
  return (
    one.instrument === other.instrument &&
    one.unpitched === other.unpitched &&
    one.playersBy === other.playersBy &&
    one.players === other.players &&
    one.trimDb === other.trimDb &&
    moved.size === movedAfter.size &&
    [...moved].every((controller) => movedAfter.has(controller))
  );
}

/** Two notes of two parts, asked again and again of the same two. */
type NoteTest = (one: BarNote, other: BarNote) => boolean;

/** The same test, prepared once for each two parts that follow one another. */
function byParts(prepared: (one: Part, other: Part) => NoteTest): NoteTest {
  let parts: readonly [Part, Part] | undefined;
  let test: NoteTest = () => true;
  return (one, other) => {
    if (parts?.[0] !== one.part || parts[1] !== other.part) {
      parts = [one.part, other.part];
      test = prepared(one.part, other.part);
    }
    return test(one, other);
  };
}

/** How a part is set in the mix, whoever plays and however: volume, what was `drawn`, and its players where somebody said so. */
function mixedAlike(drawn: readonly number[]): NoteTest {
  return byParts((before, after) => {
    if (playersSaid(before) !== playersSaid(after) || before.trimDb !== after.trimDb) return () => false;
    if (!hasCurves(before) && !hasCurves(after)) return () => true;
    const settings = [VOLUME, ...drawn].flatMap((controller) => {
      const at = CONTROLLERS_AT[controller];
      return at === undefined ? [] : [[at(before), at(after)] as const];
    });
    return (one, other) => settings.every(([old, fresh]) => old(one.played) === fresh(other.played));
  });
}

function velocityOf({ part, played }: BarNote): number | undefined {
  return part.notes[played]?.velocity;
}

/** Curves are asked at a note's start, middle and near its end. */
const curvesUnder = ofNotes((part, note): string => {
  const curves = part.tracks[note.trackIndex]?.curves ?? [];
  const places = [0, 0.5, 0.95].map((share) => note.startQuarters + share * (note.endQuarters - note.startQuarters));
  return curves.map((curve) => `${curve.controller}:${places.map((at) => settingAt(curve, at)).join('/')}`).join(' ');
});

/** Whether nothing in the file makes a note louder or softer than the other. */
export function shapedAlike(): NoteTest {
  return byParts((before, after) => {
    const isAlike =
      playersSaid(before) === playersSaid(after) &&
      before.trimDb === after.trimDb &&
      before.instrument === after.instrument;
    if (!isAlike) return (one, other) => one === other;
    if (!hasCurves(before) && !hasCurves(after)) return (one, other) => velocityOf(one) === velocityOf(other);
    const [old, fresh] = [curvesUnder(before), curvesUnder(after)];
    return (one, other) => velocityOf(one) === velocityOf(other) && old(one.played) === fresh(other.played);
  });
}

/** What only another assumption about the number of players does to the estimated level: nobody edited that. */
function assumedPlayersDb({ match }: PartSides): number {
  const before = match.kept.before[0]?.part;
  const after = match.kept.after[0]?.part;
  if (before?.playersBy !== 'default' || after?.playersBy !== 'default') return 0;
  return 10 * Math.log10(after.players / before.players);
}

/** So many times the scatter of a part that was played in anew is more than touch: the largest of a hundred bars lies at three. */
const SCATTERS = 4;

/** Least change that counts: what is heard at all, and more than the small differences of a part that was played in anew. */
function leastChangeDb(changes: Float64Array): number {
  let sum = 0;
  let count = 0;
  for (let at = 0; at < changes.length; at++) {
    const change = changes[at] ?? 0;
    if (Math.abs(change) >= LEVEL_APART_DB) continue;
    sum += change * change;
    count++;
  }
  return Math.max(LEVEL_APART_DB, SCATTERS * Math.sqrt(sum / Math.max(1, count)));
}

/** The bars in which a part is silent, by its levels. */
const silentBars = onceEach((levels: Float64Array): readonly number[] => {
  const silent: number[] = [];
  for (let bar = 0; bar < levels.length; bar++) if (levels[bar] === Infinity) silent.push(bar);
  return silent;
});

const MUTED = 1;
const UNMUTED = 2;

/** Bars that are written as before and were silenced, or are heard again, by controllers. */
export function silenceEdits(sides: PartSides): readonly PartEdit[] {
  const { partId, bars, match, isOne, beforeOf, afterOf, levelBefore, levelAfter, isMeasured } = sides;
  if (!isOne) return [];
  const changed = new Uint8Array(bars.length);
  for (const bar of silentBars(levelAfter)) {
    if ((levelBefore[beforeOf[bar] ?? -1] ?? Infinity) < Infinity && isMeasured(bar)) changed[bar] = MUTED;
  }
  for (const before of silentBars(levelBefore)) {
    const bar = afterOf[before] ?? -1;
    if ((levelAfter[bar] ?? Infinity) < Infinity && isMeasured(bar)) changed[bar] = UNMUTED;
  }
  if (!changed.includes(MUTED) && !changed.includes(UNMUTED)) return [];
  const muted = new Set<number>();
  const unmuted = new Set<number>();
  const isHeardIn = (note: BarNote, bar: number): boolean =>
    overlapWith(note, bars[bar]) >= Math.min(LEAST_HELD_DIVISIONS, note.length);
  const look = (before: BarNote, after: BarNote): void => {
    if (changed[after.bar] === 0 && endsInItsBar(bars, after)) return;
    const last = lastBarUnder(bars, after);
    for (let bar = after.bar; bar <= last; bar++) {
      const how = changed[bar] ?? 0;
      if (how !== 0 && isHeardIn(before, bar) && isHeardIn(after, bar)) (how === MUTED ? muted : unmuted).add(bar);
    }
  };
  const same = match.kept.same();
  for (let at = 0; at < same.length; at++) {
    const note = same[at];
    if (note !== undefined) look(note, note);
  }
  for (const [olds, news] of [match.kept.restruck.pairs(), [match.kept.before, match.kept.after] as const]) {
    for (let place = 0; place < news.length; place++) {
      const before = olds[place];
      const after = news[place];
      if (before !== undefined && after !== undefined) look(before, after);
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
function changeOfUnedited(unedited: Float64Array): number {
  return unedited.length < FEWEST_UNEDITED ? 0 : medianOf(unedited.sort());
}

/** Bars in which the part sounds in both stages, ascending, and by how much it is louder there. */
interface LevelChanges {
  readonly compared: Int32Array;
  readonly changesDb: Float64Array;
}

function levelChanges(sides: PartSides, touched: ReadonlySet<number>): LevelChanges {
  const { bars, beforeOf, levelBefore, levelAfter } = sides;
  const assumedDb = assumedPlayersDb(sides);
  const sounded = changesAsSounded(sides);
  const struck = changesWhereReread(sides);
  const compared = new Int32Array(bars.length);
  const changesDb = new Float64Array(bars.length);
  let count = 0;
  for (let bar = 0; bar < bars.length; bar++) {
    const before = levelBefore[beforeOf[bar] ?? -1] ?? Infinity;
    const after = levelAfter[bar] ?? Infinity;
    if (before === Infinity || after === Infinity || touched.has(bar)) continue;
    if (struck?.isReread.has(bar) === true && !struck.changes.has(bar)) continue;
    compared[count] = bar;
    const asStruck = sounded ?? (struck?.isReread.has(bar) === true ? struck.changes : undefined);
    changesDb[count++] = asStruck === undefined ? after - before - assumedDb : (asStruck.get(bar) ?? 0);
  }
  return { compared: compared.subarray(0, count), changesDb: changesDb.subarray(0, count) };
}

/** The changes in bars that are not marked. */
function changesUnmarked({ compared, changesDb }: LevelChanges, marks: Uint8Array): Float64Array {
  const found = new Float64Array(compared.length);
  let count = 0;
  for (let at = 0; at < compared.length; at++) {
    if (marks[compared[at] ?? -1] === 0) found[count++] = changesDb[at] ?? 0;
  }
  return found.subarray(0, count);
}

/** Notes of the later stage that are set otherwise. */
function resetNotes(
  [olds, news]: readonly [readonly BarNote[], readonly BarNote[]],
  isSetAlike: NoteTest,
): readonly BarNote[] {
  const reset: BarNote[] = [];
  for (let place = 0; place < news.length; place++) {
    const before = olds[place];
    const after = news[place];
    if (before !== undefined && after !== undefined && before !== after && !isSetAlike(before, after))
      reset.push(after);
  }
  return reset;
}

/** Marks each bar under the notes with 1. */
function markUnder(notes: readonly BarNote[], bars: readonly Bar[], found: Uint8Array): void {
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    if (note === undefined) continue;
    if (endsInItsBar(bars, note)) found[note.bar] = 1;
    else found.fill(1, note.bar, lastBarUnder(bars, note) + 1);
  }
}

/** 1 at each bar under a note that is set otherwise; of bars that were recorded `anew`, not how it is played. */
function resetBars(sides: PartSides, anew: Uint8Array): Uint8Array {
  const { bars, match, isAnew, transposed } = sides;
  const { before, after, restruck } = match.kept;
  const isSetAlike = settingTest(sides);
  // Without curves what is restruck is told by the keys struck alone, where those are asked at all.
  const isStruck = !restruck.haveCurves && !isAnew && transposed !== 'alone';
  const found = isStruck ? restruck.struckBars(bars) : new Uint8Array(bars.length);
  if (restruck.haveCurves) markUnder(resetNotes(restruck.pairs(), isSetAlike), bars, found);
  const isMixedAlike = anew.includes(1) ? mixedAlike(drawnControllers(sides)) : isSetAlike;
  const isKeptAlike = (one: BarNote, other: BarNote): boolean =>
    anew[other.bar] === 1 ? isMixedAlike(one, other) : isSetAlike(one, other);
  markUnder(resetNotes([before, after], isKeptAlike), bars, found);
  return found;
}

/** Notes that are moved together in a file differ by less than this, in seconds: less than a tick. */
const TOGETHER_SECONDS = 0.002;
/** A note that is played nearer to where it was is played there. */
const STILL_SECONDS = 1e-4;
/** Nearer to its written place, in quarters, a note was put there by the file and not by a hand. */
const ON_GRID_QUARTERS = 0.002;
const MOSTLY = 0.9;

/**
 * 1 at each bar that is written as before and was recorded anew: bars on end, each note of them played at another time, by different amounts and not on
 * the grid; beside bars that were rewritten a single note tells. A passage is recorded as a whole, and how loud it is then is touch.
 */
function recordedAnew({ after, laterSeconds }: KeptNotes, written: ReadonlySet<number>, barCount: number): Uint8Array {
  const anew = new Uint8Array(barCount);
  if (laterSeconds.every((later) => Math.abs(later) < STILL_SECONDS)) return anew;
  const least = new Float64Array(barCount).fill(Infinity);
  const most = new Float64Array(barCount).fill(-Infinity);
  const counts = new Uint32Array(barCount);
  const onGrid = new Uint32Array(barCount);
  const still = new Uint8Array(barCount);
  for (let place = 0; place < after.length; place++) {
    const note = after[place];
    if (note === undefined) continue;
    const later = laterSeconds[place] ?? 0;
    const { bar, playedOnset = Number.NaN, onset } = note;
    if (Math.abs(later) < STILL_SECONDS) still[bar] = 1;
    counts[bar] = (counts[bar] ?? 0) + 1;
    if (Math.abs(playedOnset - onset / DIVISIONS_PER_QUARTER) < ON_GRID_QUARTERS) onGrid[bar] = (onGrid[bar] ?? 0) + 1;
    least[bar] = Math.min(least[bar] ?? Infinity, later);
    most[bar] = Math.max(most[bar] ?? -Infinity, later);
  }
  const isMoved = (bar: number): boolean => (counts[bar] ?? 0) > 0 && still[bar] === 0;
  for (let from = 0; from < barCount; from++) {
    if (!isMoved(from)) continue;
    let [to, low, high, count, exact] = [from, Infinity, -Infinity, 0, 0];
    for (; isMoved(to); to++) {
      low = Math.min(low, least[to] ?? Infinity);
      high = Math.max(high, most[to] ?? -Infinity);
      count += counts[to] ?? 0;
      exact += onGrid[to] ?? 0;
    }
    const isBeside = written.has(from - 1) || written.has(to);
    const isByHand = exact < MOSTLY * count;
    if (isByHand && (isBeside || high - low > TOGETHER_SECONDS)) anew.fill(1, from, to);
    from = to;
  }
  return anew;
}

const EXPRESSION = 11;

/** Gain of controller 11 and of the key struck, dB: 40 log10 of the share of 127, as General MIDI Level 2 recommends for both. */
const struckGainDb = ofNotes((part, note): number => {
  const curve = part.tracks[note.trackIndex]?.curves.find(({ controller }) => controller === EXPRESSION);
  const setting = curve === undefined ? 127 : settingAt(curve, (note.startQuarters + note.endQuarters) / 2);
  return controllerGainDb(setting) + controllerGainDb(note.velocity);
});

/**
 * Where one stage has its dynamics from the keys struck and the other from controller 11, two scales that are not one: what an instrument of General
 * MIDI makes of both, as the median over the notes that begin in each bar; undefined where the scale is the same.
 */
function changesAsSounded({ match }: PartSides): ReadonlyMap<number, number> | undefined {
  const { before, after } = match.kept;
  const scales = new Set([before[0]?.part.dynamics, after[0]?.part.dynamics]);
  return scales.has('velocity') && scales.has('cc11') ? changesAsStruck(match.kept) : undefined;
}

/** Bars in which the same strokes read otherwise are estimated by that reading: there it counts how they are struck. */
function changesWhereReread({
  match,
  bars,
}: PartSides): { readonly isReread: ReadonlySet<number>; readonly changes: ReadonlyMap<number, number> } | undefined {
  const { reread = [], kept } = match;
  if (reread.length === 0) return undefined;
  return { isReread: new Set(reread.flatMap((note) => barsUnderNote(bars, note))), changes: changesAsStruck(kept) };
}

/** By how much more of each note a gain makes, dB, by the index of the bar in which it begins. */
function changesByBar(
  { before, after, restruck }: KeptNotes,
  gainDb: (note: BarNote) => number | undefined,
): ReadonlyMap<number, readonly number[]> {
  const byBar = new Map<number, number[]>();
  for (const [olds, news] of [[before, after] as const, restruck.pairs()]) {
    olds.forEach((old, place) => {
      const note = news[place];
      const [oldDb, db] = [gainDb(old), note && gainDb(note)];
      if (note === undefined || oldDb === undefined || db === undefined) return;
      const own = byBar.get(note.bar);
      if (own === undefined) byBar.set(note.bar, [db - oldDb]);
      else own.push(db - oldDb);
    });
  }
  return byBar;
}

/** What the keys struck and controller 11 make of a part: the median over the notes that begin in each bar, by its index. */
function changesAsStruck(kept: KeptNotes): ReadonlyMap<number, number> {
  const byBar = changesByBar(kept, ({ part, played }) => struckGainDb(part)(played));
  // Of two tracks that are one part one may be set and the other not: what was set tells by how much.
  return new Map([...byBar].map(([bar, changes]) => [bar, median(changes.filter((db) => db !== 0)) ?? 0]));
}

/** Beside bars that were plainly set, one that was set with them has at least so much of their change, and so much of a passage was set plainly. Our conventions. */
const SHARE_SET_WITH = 0.6;
const MOST_SET_PLAINLY = 0.3;

/**
 * Places of bars that were set louder, or softer, by at least so much; and of those on end with them that were set the same way by nearly as much, or
 * are as much louder though their notes also stand a little otherwise: who sets a passage sets all of it.
 */
function setTogether(
  { compared, changesDb }: LevelChanges,
  isReshaped: Uint8Array,
  sign: number,
  leastDb: number,
): readonly number[] {
  const places = [...compared.keys()];
  const isSet = (at: number, least: number): boolean =>
    isReshaped[compared[at] ?? -1] === 1 && sign * (changesDb[at] ?? 0) >= least;
  const plain = places.filter((at) => isSet(at, leastDb));
  if (plain.length === 0) return plain;
  const typical = Math.abs(medianAt(changesDb, plain));
  const isSetWith = (at: number): boolean =>
    isSet(at, Math.max(LEVEL_APART_DB, SHARE_SET_WITH * typical)) ||
    Math.abs(sign * (changesDb[at] ?? 0) - typical) <= ONE_SETTING_DB;
  const nearly = places.filter(isSetWith);
  return runsOf(nearly).flatMap((run) => {
    const own = numbersIn(run);
    const plainly = own.filter((at) => isSet(at, leastDb));
    return plainly.length >= MOST_SET_PLAINLY * own.length ? own : plainly;
  });
}

/** By how much harder the keys of some bars are struck, dB, the median of each: what is drawn by controllers leaves them alone. */
function keysStruckDb(kept: KeptNotes, bars: Int32Array): Float64Array {
  const byBar = changesByBar(kept, (note) => {
    const velocity = velocityOf(note);
    return velocity === undefined ? undefined : controllerGainDb(velocity);
  });
  return new Float64Array(bars).map((bar) => median(byBar.get(bar) ?? []) ?? 0);
}

/** In a new take fewer bars are touch. Our convention. */
const LEAST_STRUCK_BARS = 3;

/** True where the keys struck, or controller 11, in some bars make up at least half of a change there. */
function isStruckBy(struck: ReadonlyMap<number, number>, bars: readonly number[], db: number): boolean {
  return Math.sign(db) * (median(bars.flatMap((bar) => struck.get(bar) ?? [])) ?? 0) >= Math.abs(db) / 2;
}

/** Bars that are softer and bars that are louder, each told by their own amount. */
export function balanceEdits(sides: PartSides, touched: ReadonlySet<number>): readonly PartEdit[] {
  const { bars, match } = sides;
  const { before: olds, after: news } = match.kept;
  // What another instrument, another register or another take does to the level is no edit of the balance.
  // Levels are compared of one part with one part: its first note tells what both are.
  if (!sides.isOne || olds[0]?.part.instrument !== news[0]?.part.instrument) return [];
  const isReshaped = resetBars(sides, recordedAnew(match.kept, touched, bars.length));
  if (!isReshaped.includes(1) && !sides.isAnew) return [];
  const changes = levelChanges(sides, touched);
  const { compared, changesDb } = changes;
  const unaskedDb = changeOfUnedited(changesUnmarked(changes, isReshaped));
  for (let at = 0; at < changesDb.length; at++) changesDb[at] = (changesDb[at] ?? 0) - unaskedDb;
  // What a curve does that was drawn is no scatter of a hand.
  const isDrawn = !sides.isAnew && drawnControllers(sides).length > 0;
  const leastDb = isDrawn ? LEVEL_APART_DB : leastChangeDb(changesDb);
  if (isByHand(changesDb) && isByHand(keysStruckDb(match.kept, compared)))
    return setBesideScatter(changesDb).flatMap(({ places, db, isPassage }): PartEdit[] => {
      const own = places.map((at) => compared[at] ?? -1);
      const isReset = 2 * own.filter((bar) => isReshaped[bar] === 1).length >= own.length;
      // How a whole part is struck in a new take is touch; a passage is softer where its keys are struck softer.
      const isSet =
        isReset || (isPassage && own.length >= LEAST_STRUCK_BARS && isStruckBy(changesAsStruck(match.kept), own, db));
      return isSet ? [{ partId: sides.partId, kind: 'balance', bars: numbersOf(bars, own), db }] : [];
    });
  return [-1, 1].flatMap((sign): PartEdit[] => {
    const found = setTogether(changes, isReshaped, sign, leastDb);
    if (found.length === 0) return [];
    const own = found.map((at) => compared[at] ?? -1);
    const ownDb = found.map((at) => changesDb[at] ?? 0);
    return inSteps(ownDb).map((places): PartEdit => ({
      partId: sides.partId,
      kind: 'balance',
      bars: numbersOf(
        bars,
        places.map((at) => own[at] ?? -1),
      ),
      db: medianAt(ownDb, places),
    }));
  });
}

/** Bars that were set together differ by less, in decibels, and a second setting by more; of so many bars at least, and no more settings. Our conventions. */
const ONE_SETTING_DB = 1;
const OTHER_SETTING_DB = 2;
const LEAST_BARS_SET = 2;
const MOST_SETTINGS = 3;

function medianAt(changesDb: ArrayLike<number>, places: readonly number[]): number {
  const own = new Float64Array(places.length);
  for (let at = 0; at < places.length; at++) own[at] = changesDb[places[at] ?? -1] ?? 0;
  return medianOf(own.sort());
}

/** Adds a number to some that are in ascending order. */
function addInOrder(sorted: number[], one: number): void {
  let at = sorted.length;
  while (at > 0 && (sorted[at - 1] ?? 0) > one) at--;
  sorted.splice(at, 0, one);
}

/** Places of changes, bar after bar, by the amount that they were set by: all together where they are not plainly two or three settings. */
function inSteps(changesDb: readonly number[]): readonly (readonly number[])[] {
  const all = [[...changesDb.keys()]];
  if (Math.max(...changesDb) - Math.min(...changesDb) <= ONE_SETTING_DB) return all;
  const runs: number[][] = [];
  // Of the last run, ascending.
  let sorted: number[] = [];
  for (let at = 0; at < changesDb.length; at++) {
    const run = runs.at(-1);
    const change = changesDb[at] ?? 0;
    const isAlike = run !== undefined && Math.abs(change - medianOf(sorted)) <= ONE_SETTING_DB;
    if (isAlike) {
      run.push(at);
      addInOrder(sorted, change);
    } else if (run !== undefined && run.length < LEAST_BARS_SET) return all;
    else {
      runs.push([at]);
      sorted = [change];
    }
  }
  const settings: { places: number[]; db: number }[] = [];
  for (const run of runs) {
    const db = medianAt(changesDb, run);
    const known = settings.find((setting) => Math.abs(setting.db - db) <= ONE_SETTING_DB);
    if (known === undefined) settings.push({ places: run, db });
    else known.places.push(...run);
  }
  const areApart = settings.every((one) =>
    settings.every((other) => one === other || Math.abs(one.db - other.db) >= OTHER_SETTING_DB),
  );
  const arePlain = runs.every((run) => run.length >= LEAST_BARS_SET) && settings.length <= MOST_SETTINGS;
  return areApart && arePlain ? settings.map(({ places }) => places) : all;
}

/** What must be alike for nobody to have set a note otherwise: of a new take, or of music that was moved, not how it is played. */
function settingTest(sides: PartSides): NoteTest {
  const { isAnew, transposed } = sides;
  if (!isAnew && transposed === undefined) return shapedAlike();
  const isMixedAlike = mixedAlike(drawnControllers(sides));
  if (isAnew || transposed === 'alone') return isMixedAlike;
  return (one, other) => velocityOf(one) === velocityOf(other) && isMixedAlike(one, other);
}
