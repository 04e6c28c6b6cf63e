/** Clef of a staff bar by bar: the one that needs fewest ledger lines, changed only where that is clearly better for several bars. */
import type { Clef } from '../model/instrument.ts';
import type { SpelledPitch } from '../model/pitch.ts';
import { STEPS } from '../model/pitch.ts';

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

/** A clef change must save this many ledger lines. */
const CHANGE = 14;
/** The usual clef of a staff is preferred by this much a bar. */
const USUAL = 0.5;

/** Ledger lines that a pitch needs in a clef. */
function ledgerLines(pitch: SpelledPitch, clef: Clef): number {
  const above = STEPS.indexOf(pitch.step) + 7 * pitch.octave - MIDDLE_LINE[clef];
  return Math.max(0, Math.floor((Math.abs(above) - 4) / 2));
}

/** Clef of each bar from the pitches in it; `choices` has the usual clef first and is not empty. */
export function clefPath(bars: readonly (readonly SpelledPitch[])[], choices: readonly Clef[]): Clef[] {
  const usual = choices[0] ?? 'treble';
  if (choices.length === 1) return bars.map(() => usual);
  let costs = choices.map(() => 0);
  const back: number[][] = [];
  for (const pitches of bars) {
    const pointers: number[] = [];
    costs = choices.map((clef, to) => {
      let best = costs[to] ?? 0;
      let from = to;
      for (const [candidate, cost] of costs.entries()) {
        if (cost + CHANGE < best) {
          best = cost + CHANGE;
          from = candidate;
        }
      }
      pointers.push(from);
      const ledgers = pitches.reduce((sum, pitch) => sum + ledgerLines(pitch, clef), 0);
      return best + ledgers + (to === 0 || pitches.length === 0 ? 0 : USUAL);
    });
    back.push(pointers);
  }
  let state = costs.indexOf(Math.min(...costs));
  const path: Clef[] = [];
  for (let index = bars.length - 1; index >= 0; index--) {
    path.push(choices[state] ?? usual);
    state = back[index]?.[state] ?? state;
  }
  return path.reverse();
}
