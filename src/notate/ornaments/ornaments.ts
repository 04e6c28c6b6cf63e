/**
 * Ornaments in the playing of a part, found beside a first reading of its rhythm: notes too short and too irregular to be counted are
 * signs or small notes, not rhythm. What can be counted stays written out.
 */
import type { Part } from '../../model/music/arrangement.ts';
import { findFlams } from './flams.ts';
import { findGraces } from './grace-notes.ts';
import { findRolls } from './rolled-chords.ts';
import { findTrillsAndTremolos } from './trills-and-tremolos.ts';
import type { Roll, TrillOrTremolo, StreamReading } from './found-ornaments.ts';

/** All by indices into the part's notes. */
export interface PartOrnaments {
  /** The main note of each small note. */
  readonly graces: ReadonlyMap<number, number>;
  readonly rolls: readonly Roll[];
  readonly trills: readonly TrillOrTremolo[];
  /** Notes that are not written with a value of their own. */
  readonly unwritten: ReadonlySet<number>;
}

export const NO_ORNAMENTS: PartOrnaments = { graces: new Map(), rolls: [], trills: [], unwritten: new Set() };

/** The ornaments of a part; `streams` are its hands, or all of it. */
export function ornamentsOf(part: Part, streams: readonly StreamReading[]): PartOrnaments {
  const trills = streams.flatMap((stream) => findTrillsAndTremolos(part, stream));
  const taken = new Set(trills.flatMap((trill) => trill.covers));
  for (const trill of trills) {
    taken.add(trill.main);
    if (trill.partner !== undefined) taken.add(trill.partner);
  }
  const spreadMs = Math.max(0, ...streams.map((stream) => stream.spreadMs));
  const rolls = findRolls(part, taken, spreadMs);
  for (const roll of rolls) for (const note of roll.notes) taken.add(note);
  const graces = new Map(
    streams.flatMap((stream) => [
      ...(part.unpitched
        ? findFlams(
            part,
            stream.notes.filter((index) => !taken.has(index)),
          )
        : findGraces(part, stream, taken)),
    ]),
  );
  const unwritten = new Set([...graces.keys(), ...trills.flatMap((trill) => trill.covers)]);
  return { graces, rolls, trills, unwritten };
}
