/** Tune and bass in octaves for a few bars while others go on with notes of their own: the harmony loses its ground. Limits are ours. */
import type { Part } from '../../model/music/arrangement.ts';
import type { Doubling } from '../../model/readings/readings.ts';
import type { RuleContext } from '../rule.ts';

/** For longer, or more often in a piece, it is a sound that is wanted. */
const MOST_BARS = 4;
/** So many others of the family have lines of their own. */
const FEWEST_FREE = 2;
const OCTAVES: readonly string[] = ['octave', 'two-octaves'];
const FULL: readonly string[] = ['unison', ...OCTAVES];

export interface OuterOctaves {
  readonly lead: Part;
  readonly bass: Part;
  readonly from: number;
  readonly to: number;
}

/** Passages in which the leader and the lowest part of the same strings or voices double each other, and nobody else does. */
export function outerOctavesOf({ readings, partById, front, stage }: RuleContext): readonly OuterOctaves[] {
  const first = stage.timeline.bars[0]?.number ?? 1;
  const full = readings.doublings.filter(({ interval }) => FULL.includes(interval));
  const leads = (id: string, { from, to }: Doubling): boolean =>
    front.slice(from - first, to - first + 1).every((ids) => ids.has(id));
  return full.flatMap((doubling): OuterOctaves[] => {
    const { from, to, interval, partIds } = doubling;
    const pair = partIds.flatMap((id) => partById.get(id)?.part ?? []);
    const lead = pair.find(({ id }) => leads(id, doubling));
    const bass = pair.find((part) => part !== lead);
    if (lead === undefined || bass === undefined || !OCTAVES.includes(interval)) return [];
    if (lead.family !== bass.family || !['strings', 'voice'].includes(lead.family)) return [];
    const bars = full
      .filter((other) => partIds.every((id) => other.partIds.includes(id)))
      .reduce((sum, other) => sum + other.to - other.from + 1, 0);
    if (bars > MOST_BARS) return [];
    const family = readings.register.filter(
      ({ bar, partId }) => bar >= from && bar <= to && partById.get(partId)?.part.family === lead.family,
    );
    const isLowest = family.every(({ bar, low }) =>
      family.some((own) => own.bar === bar && own.partId === bass.id && own.low <= low),
    );
    const doubled = new Set(
      full
        .filter((other) => other.from <= to && other.to >= from && other.partIds.some((id) => partIds.includes(id)))
        .flatMap((other) => other.partIds),
    );
    const free = new Set(family.map(({ partId }) => partId).filter((id) => !doubled.has(id)));
    return isLowest && free.size >= FEWEST_FREE ? [{ lead, bass, from, to }] : [];
  });
}
