/**
 * Which drum has which pitch, and the retuning in between. One player is taken to have the whole set, and to tune one drum after
 * the other; the first pitch of every drum is tuned before the piece.
 */
import type { TimpaniReading } from '../../model/readings/readings.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';
import type { AwkwardPlace } from './gather-awkward.ts';
import type { Drum } from './timpani-drums.ts';
import { drumsWith, setFor, statedDrums, TIMPANI_SET } from './timpani-drums.ts';

/** Pedal, gauge and ear want about two seconds for a new pitch: common practice, no source. */
export const RETUNE_SECONDS = 2;
/**
 * A drum tuned by hand, as those of a pair whose pitches the part states, wants some bars of rest: about ten seconds, common practice, no source.
 */
const HAND_TUNE_SECONDS = 10;

/** Time that one change should have on the drums of this part. */
export function retuneSeconds({ part }: PlacedPart, usual: number): number {
  return setFor(midisOf(part.notes), statedDrums(part.name)).length === 2 ? Math.max(usual, HAND_TUNE_SECONDS) : usual;
}

const midisOf = (notes: readonly { readonly midi: number }[]): readonly number[] => notes.map(({ midi }) => midi);

/** The most ways of sharing out the pitches that are followed side by side: ours. */
const BEAM_WIDTH = 24;
/** A hasty change is to be avoided first, then a change at all, then a drum more than the pair: ours. */
const COSTS = { hasty: 1, change: 0.01, outerDrum: 0.001 };
const PAIR_INCHES: readonly number[] = [29, 26];

export interface Stroke {
  readonly note: PlacedNote;
  readonly drum: Drum;
  /** The drum had another pitch before, and so much time passed since its last note ended and the player was free. */
  readonly change?: { readonly fromMidi: number; readonly seconds: number };
}

interface DrumState {
  readonly midi: number;
  readonly endSecond: number;
}

interface Way {
  readonly drums: readonly (DrumState | undefined)[];
  /** From when on the player is free for another change. */
  readonly freeFrom: number;
  readonly cost: number;
  readonly last?: Stroke;
  readonly before?: Way;
}

function struck(way: Way, index: number, drum: Drum, note: PlacedNote, usual: number): Way {
  const now = note.played.startSecond;
  const state = way.drums[index];
  const endSecond = Math.max(note.played.endSecond, state?.midi === note.midi ? state.endSecond : 0);
  const drums = way.drums.with(index, { midi: note.midi, endSecond });
  if (state === undefined) {
    const cost = way.cost + (PAIR_INCHES.includes(drum.inches) ? 0 : COSTS.outerDrum);
    return { drums, freeFrom: way.freeFrom, cost, last: { note, drum }, before: way };
  }
  if (state.midi === note.midi) return { ...way, drums, last: { note, drum }, before: way };
  const begin = Math.min(now, Math.max(state.endSecond, way.freeFrom));
  const seconds = now - begin;
  const short = Math.max(0, usual - seconds - 1e-6);
  return {
    drums,
    freeFrom: Math.min(now, begin + usual),
    cost: way.cost + COSTS.change + (short > 0 ? COSTS.hasty + short / usual : 0),
    last: { note, drum, change: { fromMidi: state.midi, seconds } },
    before: way,
  };
}

/** The cheapest of the ways that leave the drums on the same pitches, and of those not more than are followed. */
function kept(ways: readonly Way[]): readonly Way[] {
  const best = new Map<string, Way>();
  for (const way of ways) {
    const key = way.drums.map((state) => state?.midi ?? '-').join(' ');
    const other = best.get(key);
    if (other === undefined || way.cost < other.cost) best.set(key, way);
  }
  return [...best.values()].sort((a, b) => a.cost - b.cost).slice(0, BEAM_WIDTH);
}

/**
 * Every note with the drum that plays it, so shared out that as few changes as can be come in haste (less than `usual` seconds)
 * and as few as can be at all. Notes that no drum has are left out.
 */
export function strokesOf(
  notes: readonly PlacedNote[],
  usual = RETUNE_SECONDS,
  set: readonly Drum[] = setFor(midisOf(notes)),
): readonly Stroke[] {
  let ways: readonly Way[] = [{ drums: set.map(() => undefined), freeFrom: Number.NEGATIVE_INFINITY, cost: 0 }];
  for (const note of notes) {
    const fitting = drumsWith(note.midi, set);
    if (fitting.length === 0) continue;
    ways = kept(
      ways.flatMap((way) => {
        // A drum that has the pitch already plays it; no other need be tried.
        const tuned = fitting.filter((drum) => way.drums[set.indexOf(drum)]?.midi === note.midi);
        return (tuned.length === 0 ? fitting : tuned.slice(0, 1)).map((drum) =>
          struck(way, set.indexOf(drum), drum, note, usual),
        );
      }),
    );
  }
  const strokes: Stroke[] = [];
  for (let way = ways[0]; way?.last !== undefined; way = way.before) strokes.push(way.last);
  return strokes.reverse();
}

/** Passages between rests in which all four drums can be tuned anew, one after the other. */
function passagesOf(notes: readonly PlacedNote[], usual: number): readonly (readonly PlacedNote[])[] {
  const passages: PlacedNote[][] = [];
  let endSecond = Number.NEGATIVE_INFINITY;
  for (const note of notes) {
    const open = passages.at(-1);
    if (open === undefined || note.played.startSecond - endSecond >= usual * TIMPANI_SET.length) passages.push([note]);
    else open.push(note);
    endSecond = Math.max(endSecond, note.played.endSecond);
  }
  return passages;
}

/** Changes with less time than so many seconds. What no passage needs of itself is not laid at its door for the sake of another. */
export function tuningPlacesOf(placed: PlacedPart, leastSeconds = RETUNE_SECONDS): readonly AwkwardPlace[] {
  const { part, notes } = placed;
  if (part.instrument !== 'timpani') return [];
  const usual = retuneSeconds(placed, leastSeconds);
  const set = setFor(midisOf(notes), statedDrums(part.name));
  const strokes =
    set.length === 2
      ? strokesOf(notes, usual, set)
      : passagesOf(notes, usual).flatMap((passage) => strokesOf(passage, usual, set));
  return strokes.flatMap(({ note, change }) =>
    change === undefined || change.seconds >= usual - 1e-6 ? [] : [{ notes: [note], amount: change.seconds, usual }],
  );
}

/** The most pitches from one rest to the next; a rest counts when a drum can be retuned in it. */
function mostBetweenRests(notes: readonly PlacedNote[]): number {
  let most = 0;
  let endSecond = 0;
  let pitches = new Set<number>();
  for (const { midi, played } of notes) {
    if (played.startSecond - endSecond >= RETUNE_SECONDS) pitches = new Set();
    pitches.add(midi);
    most = Math.max(most, pitches.size);
    endSecond = Math.max(endSecond, played.endSecond);
  }
  return most;
}

/** What a timpani part asks of drums and pedals; undefined for every other instrument. */
export function timpaniReadingOf({ part, notes }: PlacedPart): TimpaniReading | undefined {
  if (part.instrument !== 'timpani') return undefined;
  const strokes = strokesOf(notes);
  const used = [...new Set(strokes.map(({ drum }) => drum))].sort((a, b) => a.low - b.low);
  return {
    drums: used.map((drum) => {
      const keys = strokes.filter((stroke) => stroke.drum === drum).map(({ note }) => note.midi);
      return { inches: drum.inches, midi: [...new Set(keys)].sort((a, b) => a - b) };
    }),
    pitches: new Set(notes.map(({ midi }) => midi)).size,
    mostBetweenRests: mostBetweenRests(notes),
    retunings: strokes.filter(({ change }) => change !== undefined).length,
  };
}
