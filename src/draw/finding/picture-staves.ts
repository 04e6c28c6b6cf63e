/** Which staves a picture of a finding shows, and the few bars of the score on them. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { Finding } from '../../model/readings/readings.ts';
import type { DynamicMark, ReducedScore, ScoreBar } from '../../model/music/written.ts';
import type { PictureBars } from './picture-bars.ts';

const MOST_STAVES = 3;

/** Parts by how much they matter: those of the notes, those that the finding names, and the leader of the bars if there is no second one. */
export function pictureParts(finding: Finding, bars: PictureBars, stage: Stage): readonly string[] {
  const named = [...new Set([...(finding.notes ?? []).map(({ partId }) => partId), ...finding.partIds])];
  if (named.length > 1) return named;
  const number = stage.timeline.bars[bars.worst]?.number ?? finding.from;
  const lead = stage.foreground.find(({ from, to }) => from <= number && number <= to)?.partId;
  return lead === undefined || named.includes(lead) ? named : [...named, lead];
}

/**
 * Indices of staves in score order, at most three unless one part has more: of a second part that does not fit as a whole, the staff of
 * its notes or its upper one. `staffPartIds` has the part of every staff, `noteStaves` the staves on which notes are marked.
 */
export function pictureStaves(
  partIds: readonly string[],
  staffPartIds: readonly string[],
  noteStaves: ReadonlySet<number>,
): readonly number[] {
  const chosen: number[] = [];
  for (const partId of partIds) {
    const own = staffPartIds.flatMap((id, index) => (id === partId ? [index] : []));
    const fits = chosen.length === 0 || chosen.length + own.length <= MOST_STAVES;
    const one = own.find((index) => noteStaves.has(index)) ?? own[0];
    if (fits) chosen.push(...own);
    else if (chosen.length < MOST_STAVES && one !== undefined) chosen.push(one);
  }
  return chosen.sort((a, b) => a - b);
}

function onStaves(bar: ScoreBar, staves: readonly number[], isFirst: boolean): ScoreBar {
  const { number, startDivisions, lengthDivisions, meter, fifths, changedFromFifths } = bar;
  return {
    ...{ number, startDivisions, lengthDivisions, meter, fifths },
    ...(changedFromFifths === undefined ? {} : { changedFromFifths }),
    chords: [],
    cues: [],
    names: [],
    doublings: [],
    leftOut: [],
    showMeter: bar.showMeter || isFirst,
    dynamics: bar.dynamics.flatMap((mark): DynamicMark[] => {
      const staff = staves.indexOf(mark.staff);
      return staff < 0 ? [] : [{ ...mark, staff }];
    }),
    staves: staves.flatMap((index) => bar.staves[index] ?? []),
  };
}

/** A few bars of some staves of a full score, without the words above it, and the bar that follows. */
export function excerptOf(
  score: ReducedScore,
  staves: readonly number[],
  { from, to }: Pick<PictureBars, 'from' | 'to'>,
): { readonly score: ReducedScore; readonly next: ScoreBar | undefined } {
  const after = score.bars[to + 1];
  return {
    score: {
      staves: staves.flatMap((index) => score.staves[index] ?? []),
      bars: score.bars.slice(from, to + 1).map((bar, index) => onStaves(bar, staves, index === 0)),
    },
    next: after === undefined ? undefined : onStaves(after, staves, false),
  };
}
