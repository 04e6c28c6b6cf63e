/** Places that are awkward for a player, told as passages: what the rules of playability share. */
import type { AwkwardPlace } from '../analyse/playability/gather-awkward.ts';
import { hardestOf } from '../analyse/playability/gather-awkward.ts';
import type { AwkwardKind, FoundNote } from '../model/readings/readings.ts';
import { barAndBeat } from '../model/music/timeline.ts';
import type { BarRun } from './bar-runs.ts';
import { gatheredRuns } from './bar-runs.ts';
import { foundNotes } from './found-notes.ts';
import type { JudgedPart, RuleContext } from './rule.ts';
import { barListText, elsewhereText, pitchText, placeText } from './words.ts';

/** Kinds whose places go on for bars; the others are told where they begin. */
const LASTING: readonly AwkwardKind[] = ['brass-endurance', 'repeated-notes'];

/** ` (likewise in bars 20–21 and 40)`, '' where nowhere. */
function elsewhereInBrackets<T>(run: BarRun<T>): string {
  const text = elsewhereText(run);
  return text === '' ? '' : ` (${text.slice(2)})`;
}

export interface AwkwardRun<Place extends AwkwardPlace = AwkwardPlace> {
  readonly judged: JudgedPart;
  readonly from: number;
  readonly to: number;
  readonly count: number;
  readonly hardest: Place;
  /** Those of the hardest place. */
  readonly notes: readonly FoundNote[];
  /** `bars 5 and 9`. */
  readonly bars: string;
  /** `bar 5, beat 2` of the hardest place. */
  readonly place: string;
  /** Its pitches as they sound, with the written ones of a transposing instrument. */
  readonly pitches: readonly string[];
}

/** Passages of awkward places of every part, in the order of the parts; more than three of one part are told as one. */
export function awkwardRuns<Place extends AwkwardPlace>(
  kind: AwkwardKind,
  { parts, stage: { timeline } }: RuleContext,
  placesOf: (judged: JudgedPart) => readonly Place[],
): readonly AwkwardRun<Place>[] {
  const barAt = (quarters: number): number => barAndBeat(timeline.bars, quarters).bar;
  const firstBar = ({ notes }: AwkwardPlace): number => barAt(notes[0]?.startQuarters ?? 0);
  const lastBar = (place: AwkwardPlace): number =>
    LASTING.includes(kind) ? barAt(place.notes.at(-1)?.startQuarters ?? 0) : firstBar(place);
  return parts.flatMap((judged) =>
    gatheredRuns(placesOf(judged), firstBar, 1, lastBar).flatMap((run): AwkwardRun<Place>[] => {
      const { from, to, items } = run;
      const hardest = hardestOf(kind, items);
      const [first] = hardest?.notes ?? [];
      if (hardest === undefined || first === undefined) return [];
      const distinct = [...new Map(hardest.notes.map((note) => [note.midi, note])).values()];
      return [
        {
          judged,
          from,
          to,
          count: items.length,
          hardest,
          notes: foundNotes(judged.part, hardest.notes),
          bars: `${barListText(items.map(firstBar))}${elsewhereInBrackets(run)}`,
          place: placeText(timeline, first.startQuarters),
          pitches: distinct.map((note) => pitchText(note.written.pitch, judged.part)),
        },
      ];
    }),
  );
}
