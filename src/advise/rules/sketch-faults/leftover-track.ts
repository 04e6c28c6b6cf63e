import type { LeftoverTrack } from '../../../analyse/misplaced/leftover-tracks.ts';
import { leftoverTracksOf } from '../../../analyse/misplaced/leftover-tracks.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';

function reasonText({ sameTiming }: LeftoverTrack): string {
  return sameTiming ? ', with the same timing to the millisecond' : '';
}

/** Copies that were joined with what they copy, as one player has the notes once. */
function joinedCopies(part: Part): readonly LeftoverTrack[] {
  return part.tracks.flatMap(({ name, copy }): LeftoverTrack[] => {
    if (copy === undefined) return [];
    const otherName = part.tracks[copy.of]?.name ?? part.name;
    const { startQuarters, endQuarters, notes: count } = copy;
    return [{ part, name, other: part, otherName, count, sameTiming: false, startQuarters, endQuarters }];
  });
}

export const leftoverTrack = defineRule(
  {
    name: 'leftover-track',
    title: 'A track that plays what another plays',
    looksAt:
      'Tracks nearly all of whose notes another track has too, at the same pitch and moment: copies with the same timing, and tracks whose names say that they are old, a copy, a guide, a sketch or a reduction.',
    why: 'A track left over from an earlier state doubles its lines, their level and their share of the score.',
    limit: { standard: 95, unit: 'per cent', meaning: 'how many of its notes another track has too' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  ({ parts, limit, stage: { timeline } }) =>
    [...leftoverTracksOf(parts, limit / 100), ...parts.flatMap(({ part }) => joinedCopies(part))].map((found) => {
      const from = barAndBeat(timeline.bars, found.startQuarters).bar;
      const to = barAndBeat(timeline.bars, found.endQuarters - 1e-4).bar;
      return {
        level: 'look' as const,
        from,
        to,
        partIds: [...new Set([found.part.id, found.other.id])],
        message: `The track “${found.name}” plays note for note what “${found.otherName}” plays in ${barSpanText(from, to)}${reasonText(found)}.`,
        advice:
          'If it is left over, leave it out of the export or set “ignore” for it; if it is meant, say so among the accepted findings.',
        amount: found.count,
      };
    }),
);
