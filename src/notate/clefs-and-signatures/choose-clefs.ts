/**
 * Clefs of a staff: those that need fewest ledger lines, changed only where that is clearly better, at bar lines rather than inside
 * a bar. One search over the piece.
 */
import type { Clef } from '../../model/music/instrument.ts';
import type { SpelledPitch } from '../../model/music/pitch.ts';
import { STEPS } from '../../model/music/pitch.ts';
import type { ClefChange, WrittenEvent } from '../../model/music/written.ts';
import type { GridBar } from '../score-time/score-time.ts';

/** Diatonic number of the middle line, SOUNDING: B4 in the treble clef is 7 * 4 + 6. */
const MIDDLE_LINE: Readonly<Record<Clef, number>> = {
  treble: 34,
  bass: 22,
  alto: 28,
  tenor: 26,
  'treble-8': 27,
  'bass-8': 15,
  percussion: 34,
};

/**
 * A clef change must save this much at a bar line, and more inside a bar. Costs of our own, set on the pianos of 14 printed songs (OpenScore
 * Lieder), whose editions have 35 changes and 18 inside bars: ours have 31 and 10.
 */
const CHANGE = 8;
const CHANGE_INSIDE = 10;
/** The ends of a tie would stand at different heights. */
const CHANGE_IN_TIE = 8;
/**
 * A staff that many share in short score is read by one player at the keyboard, whoever comes and goes on it: there every change costs so much
 * more (of our own, set by reading scores).
 */
const CHANGE_SHARED = 12;
/**
 * The usual clef of a staff is preferred by this much a bar: more under a brace, where readers count on treble over bass, and most over an
 * ensemble in short score, which goes below the treble staff only where it stays far below.
 */
const USUAL = { alone: 0.5, braced: 3, shared: 3, ensemble: 8 };
/** From the second ledger line on a note is counted rather than seen: each costs twice. */
const SEEN_AT_SIGHT = 1;

/** Where a staff stands: alone, under a brace, or shared by many in short score, of which `ensemble` is the upper one of two. */
export type ClefPlace = keyof typeof USUAL;

export interface StaffClefs {
  readonly clef: Clef;
  readonly clefChanges: readonly ClefChange[];
}

/** What ledger lines cost, so many above the staff or below it. */
function ledgerCost(count: number): number {
  return count + Math.max(0, count - SEEN_AT_SIGHT);
}

/** Steps of a sounding pitch above the middle line; negative below it. */
export function placeOnStaff({ step, octave }: SpelledPitch, clef: Clef): number {
  return STEPS.indexOf(step) + 7 * octave - MIDDLE_LINE[clef];
}

/** What the ledger lines of a chord cost in a clef: its notes share them, those of the outermost note stand for all. */
function chordCost(pitches: readonly SpelledPitch[], clef: Clef): number {
  let [above, below] = [0, 0];
  for (const pitch of pitches) {
    const place = placeOnStaff(pitch, clef);
    const count = Math.floor((Math.abs(place) - 4) / 2);
    if (place > 0) above = Math.max(above, count);
    else below = Math.max(below, count);
  }
  return ledgerCost(above) + ledgerCost(below);
}

type Voices = readonly (readonly WrittenEvent[])[];

/** A stretch in which the clef stays: a whole bar, or a part of it between two places where it may change. */
interface Stretch {
  readonly barIndex: number;
  readonly start: number;
  /** First of its bar. */
  readonly opens: boolean;
  /** Its first notes are tied to those before. */
  readonly tied: boolean;
  /** Share of the bar. */
  readonly share: number;
  /** Pitches of each note or chord. */
  readonly chords: readonly (readonly SpelledPitch[])[];
}

/**
 * Places inside a bar where the clef may change: beats on which a note begins and no voice goes on, so that neither a beat nor a tie
 * nor a tuplet is torn (E. Gould, Behind Bars, on changes of clef, from memory).
 */
function placesInside(bar: GridBar, voices: Voices): number[] {
  return bar.cells.slice(1).flatMap(({ start }) => {
    const here = voices.map((voice) =>
      voice.find((event) => event.start <= start && start < event.start + event.length),
    );
    const isFree = here.every(
      (event) => event === undefined || (event.start === start && event.heads.every((head) => !head.tieFromPrevious)),
    );
    return isFree && here.some((event) => event?.kind === 'notes') ? [start] : [];
  });
}

function stretchesOf(bars: readonly GridBar[], staff: readonly Voices[]): Stretch[] {
  return bars.flatMap((bar, barIndex): Stretch[] => {
    const voices = staff[barIndex] ?? [];
    const events = voices.flat().filter((event) => event.kind === 'notes');
    const starts = [bar.start, ...(events.length === 0 ? [] : placesInside(bar, voices))];
    return starts.map((start, place) => {
      const end = starts[place + 1] ?? bar.start + bar.length;
      const within = events.filter((event) => event.start >= start && event.start < end);
      return {
        barIndex,
        start,
        opens: place === 0,
        tied: within.some((event) => event.start === start && event.heads.some((head) => head.tieFromPrevious)),
        share: (end - start) / bar.length,
        chords: within.map((event) => event.heads.map((head) => head.pitch)),
      };
    });
  });
}

/** Index of the clef of each stretch. */
function pathOf(stretches: readonly Stretch[], choices: readonly Clef[], place: ClefPlace): number[] {
  const usual = USUAL[place];
  const more = place === 'shared' || place === 'ensemble' ? CHANGE_SHARED : 0;
  let costs = choices.map(() => 0);
  const back: number[][] = [];
  for (const { chords, opens, tied, share } of stretches) {
    const pointers: number[] = [];
    const change = (opens ? CHANGE : CHANGE_INSIDE) + more + (tied ? CHANGE_IN_TIE : 0);
    costs = choices.map((clef, to) => {
      let best = costs[to] ?? 0;
      let from = to;
      for (const [candidate, cost] of costs.entries()) {
        if (cost + change < best) {
          best = cost + change;
          from = candidate;
        }
      }
      pointers.push(from);
      const ledgers = chords.reduce((sum, pitches) => sum + chordCost(pitches, clef), 0);
      return best + ledgers + (to === 0 || chords.length === 0 ? 0 : usual * share);
    });
    back.push(pointers);
  }
  let state = costs.indexOf(Math.min(...costs));
  const path: number[] = [];
  for (let index = stretches.length - 1; index >= 0; index--) {
    path.push(state);
    state = back[index]?.[state] ?? state;
  }
  return path.reverse();
}

/** Clefs by bar, from the voices of the staff bar by bar; `choices` has the usual clef first and is not empty. */
export function clefsOfStaff(
  bars: readonly GridBar[],
  staff: readonly Voices[],
  choices: readonly Clef[],
  place: ClefPlace = 'alone',
): StaffClefs[] {
  const usual = choices[0] ?? 'treble';
  if (choices.length === 1) return bars.map(() => ({ clef: usual, clefChanges: [] }));
  const stretches = stretchesOf(bars, staff);
  const path = pathOf(stretches, choices, place);
  const found = bars.map((): { clef: Clef; clefChanges: ClefChange[] } => ({ clef: usual, clefChanges: [] }));
  stretches.forEach(({ barIndex, start, opens }, index) => {
    const own = found[barIndex];
    const clef = choices[path[index] ?? 0] ?? usual;
    if (own === undefined) return;
    if (opens) own.clef = clef;
    else if (clef !== choices[path[index - 1] ?? 0]) own.clefChanges.push({ start, clef });
  });
  return found;
}
