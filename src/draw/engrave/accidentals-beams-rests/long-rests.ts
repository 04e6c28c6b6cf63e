/** Which bars rest together. */
import type { ReducedScore, ScoreBar } from '../../../model/music/written.ts';

function isEmpty(bar: ScoreBar): boolean {
  return (
    bar.number > 0 &&
    bar.chords.length === 0 &&
    bar.cues.length === 0 &&
    bar.dynamics.length === 0 &&
    bar.names.length === 0 &&
    bar.staves.every((staff) =>
      staff.voices.every((voice) =>
        voice.every((event) => event.kind === 'rest' && (event.wholeBar === true || event.hidden === true)),
      ),
    )
  );
}

/** Whether a bar may only begin a rest, because something is said at its start. */
function beginsAnew(bar: ScoreBar, before: ScoreBar): boolean {
  return (
    bar.sectionName !== undefined ||
    bar.tempoText !== undefined ||
    bar.showMeter ||
    bar.changedFromFifths !== undefined ||
    bar.staves.some(
      (staff, index) => staff.changedFromFifths !== undefined || staff.clef !== before.staves[index]?.clef,
    )
  );
}

/**
 * The bars in groups: single ones, and runs of bars in which no staff has a note, which stand under one rest. Key, meter,
 * tempo, sections and double bars break a run (E. Gould, Behind Bars, on rests of many bars in parts, from memory).
 */
export function groupRests({ bars }: Pick<ReducedScore, 'bars'>): readonly (readonly ScoreBar[])[] {
  const groups: ScoreBar[][] = [];
  bars.forEach((bar, index) => {
    const before = bars[index - 1];
    const last = groups.at(-1);
    const joins = before !== undefined && isEmpty(bar) && isEmpty(before) && !beginsAnew(bar, before);
    if (joins && last !== undefined) last.push(bar);
    else groups.push([bar]);
  });
  return groups;
}
