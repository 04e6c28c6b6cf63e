/** Where notes are written an octave nearer to the staff under a sign of the ottava. */
import type { Clef } from '../../../model/music/instrument.ts';
import { clefAt } from '../../../model/music/staff-clefs.ts';
import type { StaffBar, StaffInfo, WrittenEvent } from '../../../model/music/written.ts';
import { lineOf } from './clef-signs.ts';

/** 1 = written an octave lower than it sounds (8va above the staff), -1 = an octave higher (8vb below it). */
export type OttavaMap = ReadonlyMap<WrittenEvent, 1 | -1>;

/** What is asked of a score: which staves take the sign, and their bars. */
interface ReadStaves {
  readonly staves: readonly Pick<StaffInfo, 'ottava'>[];
  readonly bars: readonly { readonly staves: readonly StaffBar[] }[];
}

/** Four ledger lines read at sight; from the fifth on a sign is worth its bracket. */
const READ_AT_SIGHT = 4;
/** Beginning and ending a bracket costs as much as this many ledger lines too many. */
const CHANGE = 2.5;

function ledgers(line: number): number {
  return line > 5 ? Math.floor(line - 5) : line < 1 ? Math.floor(1 - line) : 0;
}

/** Cost of an event with its notes moved by so many octaves: ledger lines too many, and notes that need no sign under one. */
function costOf(lines: readonly number[], octaves: number): number {
  let cost = 0;
  for (const line of lines) {
    const count = ledgers(line - 3.5 * octaves);
    cost += Math.max(0, count - READ_AT_SIGHT) ** 2;
    // Under the sign a note that needs none of it is misread.
    if (octaves === 1 && line < 5) cost += 3;
    if (octaves === -1 && line > 1) cost += 3;
  }
  return cost + (octaves === 0 ? 0 : 0.05);
}

/** Whether any note of a staff has more ledger lines than are read at sight. */
function needsAny(score: ReadStaves, staffIndex: number): boolean {
  for (const bar of score.bars) {
    const staff = bar.staves[staffIndex];
    if (staff === undefined) continue;
    for (const voice of staff.voices) {
      for (const event of voice) {
        const clef = clefAt(staff, event.start);
        if (clef !== 'treble' && clef !== 'bass') continue;
        for (const head of event.heads) if (ledgers(lineOf(head.pitch, clef)) > READ_AT_SIGHT) return true;
      }
    }
  }
  return false;
}

/** The cheapest path of octaves through the events of a staff, in order of time. */
function pathOf(costs: readonly (readonly [number, number])[]): boolean[] {
  let plain = 0;
  let under = CHANGE;
  const from: (readonly [boolean, boolean])[] = [];
  for (const [plainCost, underCost] of costs) {
    const plainFromUnder = under + CHANGE < plain;
    const underFromPlain = plain + CHANGE < under;
    from.push([plainFromUnder, !underFromPlain]);
    const nextPlain = (plainFromUnder ? under + CHANGE : plain) + plainCost;
    under = (underFromPlain ? plain + CHANGE : under) + underCost;
    plain = nextPlain;
  }
  let state = under < plain;
  const path: boolean[] = [];
  for (let index = costs.length - 1; index >= 0; index--) {
    path.push(state);
    const [plainFromUnder, underFromUnder] = from[index] ?? [false, false];
    state = state ? underFromUnder : plainFromUnder;
  }
  return path.reverse();
}

/**
 * Events that stand under 8va or 8vb: passages that would need five ledger lines or more above the treble or below the
 * bass clef (E. Gould, Behind Bars: octave transposition signs where ledger lines become too many to read; the number is
 * ours). Whole events only, so that a hand is never torn; a staff that must not have the sign is left alone.
 */
export function ottavaOf(score: ReadStaves): OttavaMap {
  const found = new Map<WrittenEvent, 1 | -1>();
  score.staves.forEach((staff, staffIndex) => {
    if (staff.ottava === false || !needsAny(score, staffIndex)) return;
    for (const octaves of [1, -1] as const) {
      const wanted: Clef = octaves === 1 ? 'treble' : 'bass';
      const moments: WrittenEvent[][] = [];
      const costs: [number, number][] = [];
      let extreme = false;
      for (const bar of score.bars) {
        const here = bar.staves[staffIndex];
        if (here === undefined) continue;
        const notes = here.voices.flat().filter((event) => event.kind === 'notes');
        if (here.voices.length > 1) notes.sort((a, b) => a.start - b.start);
        for (const event of notes) {
          const clef = clefAt(here, event.start);
          const lines = event.heads.map((head) => lineOf(head.pitch, clef));
          const plain = costOf(lines, 0);
          const under = clef === wanted ? costOf(lines, octaves) : 1000;
          extreme ||= plain > 0 && clef === wanted;
          const [last, cost] = [moments.at(-1), costs.at(-1)];
          if (last?.[0]?.start === event.start && cost !== undefined) {
            last.push(event);
            cost[0] += plain;
            cost[1] += under;
          } else {
            moments.push([event]);
            costs.push([plain, under]);
          }
        }
      }
      if (!extreme) continue;
      pathOf(costs).forEach((under, index) => {
        if (under) for (const event of moments[index] ?? []) found.set(event, octaves);
      });
    }
  });
  return found;
}
