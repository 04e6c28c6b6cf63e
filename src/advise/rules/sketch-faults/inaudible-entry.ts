import { prepareCurve, settingAt } from '../../../model/music/controller-curve.ts';
import { levelAtDb } from '../../../analyse/level/level-model.ts';
import { softEntry } from '../../../analyse/level/soft-entries.ts';
import { beatIndexAt } from '../../../model/music/beats.ts';
import { barSpanText, listText } from '../../../model/words/plain-words.ts';
import type { PresenceSpan } from '../../../model/readings/readings.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { beatsText, placeText, playsOrSings, rounded, verb } from '../../words.ts';

/** So far under the instrument's softest tone is silence for the listener. */
const SILENCE_DB = 20;
/** Inside a span, silent playing counts from this many times the limit on. */
const INSIDE_FACTOR = 4;
/** A rise from nothing counts from this many times the limit on. */
const LONG_RISE_FACTOR = 6;
/** A fade-out is looked for in so many quarters. */
const FADE_QUARTERS = 16;

interface SilentRun {
  readonly firstBeat: number;
  lastBeat: number;
  /** Beats in which a written note sounds. */
  beats: number;
  onsets: number;
  readonly isEntry: boolean;
  endsInside: boolean;
}

/** By beat: share of it in which a note is written, and the number of onsets. */
interface WrittenBeats {
  readonly shares: Float64Array;
  readonly onsets: Uint16Array;
}

function writtenBeats({ notes }: JudgedPart, { beats }: RuleContext): WrittenBeats {
  const shares = new Float64Array(beats.length);
  const onsets = new Uint16Array(beats.length);
  let coveredTo = Number.NEGATIVE_INFINITY;
  for (const note of notes) {
    const first = beatIndexAt(beats, note.startQuarters);
    onsets[first] = (onsets[first] ?? 0) + 1;
    for (let index = first; index >= 0; index++) {
      const beat = beats[index];
      if (beat === undefined || beat.startQuarters >= note.endQuarters - 1e-6) break;
      const from = Math.max(beat.startQuarters, note.startQuarters, coveredTo);
      const to = Math.min(beat.startQuarters + beat.lengthQuarters, note.endQuarters);
      if (to > from) shares[index] = (shares[index] ?? 0) + (to - from) / beat.lengthQuarters;
    }
    coveredTo = Math.max(coveredTo, note.endQuarters);
  }
  return { shares, onsets };
}

/** Level under which the part counts as silent. */
function silenceDb({ model }: JudgedPart): number {
  return levelAtDb(model, { dynamic: 0, gainDb: 0 }, undefined) - SILENCE_DB;
}

function silentRuns(
  judged: JudgedPart,
  { shares, onsets }: WrittenBeats,
  span: PresenceSpan,
  context: RuleContext,
): readonly SilentRun[] {
  const { beats, readings } = context;
  const silence = silenceDb(judged);
  const runs: SilentRun[] = [];
  let open: SilentRun | undefined;
  let heard = false;
  const last = beatIndexAt(beats, span.lastQuarters - 1e-4);
  for (let index = beatIndexAt(beats, span.firstQuarters); index >= 0 && index <= last; index++) {
    const share = shares[index] ?? 0;
    if (share < 1e-6) continue;
    const levelDb = readings.beats[index]?.partsDb[judged.part.id];
    if (levelDb !== undefined && levelDb > silence) {
      if (open !== undefined) open.endsInside = true;
      open = undefined;
      heard = true;
      continue;
    }
    if (open === undefined) {
      open = { firstBeat: index, lastBeat: index, beats: 0, onsets: 0, isEntry: !heard, endsInside: false };
      runs.push(open);
    }
    open.lastBeat = index;
    open.beats += share;
    open.onsets += onsets[index] ?? 0;
  }
  return runs;
}

/** Settings up to this one are "at or near zero". */
const NEAR_ZERO = 8;
const CONTROLLER_OF = { velocity: undefined, cc1: 1, cc2: 2, cc11: 11 } as const;

/** The controllers of the part's tracks that stand near zero at a moment, in words. */
function causeText({ part }: JudgedPart, quarters: number): string {
  const near = new Set<number>();
  for (const track of part.tracks) {
    for (const curve of track.curves) {
      const counts = [7, 11, CONTROLLER_OF[part.dynamics]].includes(curve.controller);
      if (counts && settingAt(prepareCurve(curve), quarters) <= NEAR_ZERO) near.add(curve.controller);
    }
  }
  const numbers = [...near].sort((a, b) => a - b).map(String);
  if (numbers.length === 0) return 'volume and expression leave next to nothing';
  return numbers.length === 1
    ? `controller ${listText(numbers)} is at or near zero`
    : `controllers ${listText(numbers)} are at or near zero`;
}

/** Whether volume or expression stands near zero: gains by General MIDI practice. Under 1 or 2 many instruments go on softly. */
function isShut({ part }: JudgedPart, quarters: number): boolean {
  return part.tracks.some(({ curves }) =>
    curves.some((curve) => [7, 11].includes(curve.controller) && settingAt(prepareCurve(curve), quarters) <= NEAR_ZERO),
  );
}

/** Whether a controller climbs through the silence, as in an entry from nothing, rather than being left where it was. */
function isClimbing({ part }: JudgedPart, fromQuarters: number, toQuarters: number): boolean {
  return part.tracks.some((track) =>
    track.curves.some((curve) => {
      if (![7, 11, CONTROLLER_OF[part.dynamics]].includes(curve.controller)) return false;
      const within = curve.points.filter(({ quarters }) => quarters >= fromQuarters && quarters < toQuarters);
      const climbs = within.every(({ setting }, index) => index === 0 || setting >= (within[index - 1]?.setting ?? 0));
      return climbs && new Set(within.map(({ setting }) => setting)).size >= 3;
    }),
  );
}

/** Whether a controller falls towards a passage by steps, as in a fade-out. */
function isFading({ part }: JudgedPart, quarters: number): boolean {
  return part.tracks.some((track) =>
    track.curves.some((curve) => {
      if (![7, 11, CONTROLLER_OF[part.dynamics]].includes(curve.controller)) return false;
      const before = curve.points.filter(
        (point) => point.quarters >= quarters - FADE_QUARTERS && point.quarters <= quarters,
      );
      const falls = before.every(({ setting }, index) => index === 0 || setting <= (before[index - 1]?.setting ?? 127));
      return falls && new Set(before.map(({ setting }) => setting)).size >= 3;
    }),
  );
}

/** Whether the part is heard anywhere: one that never is was muted. */
function isHeardSomewhere(judged: JudgedPart, { readings }: RuleContext): boolean {
  const silence = silenceDb(judged);
  return readings.beats.some(({ partsDb }) => (partsDb[judged.part.id] ?? Number.NEGATIVE_INFINITY) > silence);
}

function findingOf(judged: JudgedPart, span: PresenceSpan, run: SilentRun, context: RuleContext): DraftFinding[] {
  const { beats, limit, stage } = context;
  const counts = run.isEntry ? run.beats > limit : run.onsets >= 2 && run.beats > limit * INSIDE_FACTOR;
  const first = beats[run.firstBeat];
  const last = beats[run.lastBeat];
  if (!counts || first === undefined || last === undefined) return [];
  const { timeline } = stage;
  const { part } = judged;
  const start = run.isEntry ? span.firstQuarters : first.startQuarters;
  const from = barAndBeat(timeline.bars, start).bar;
  const to = timeline.bars[last.barIndex]?.number ?? from;
  const does = run.isEntry ? verb([part], 'enters', 'enter') : `${playsOrSings([part])} on`;
  const isNot = `${verb([part], 'is', 'are')} not heard`;
  const until = run.endsInside
    ? `${isNot} until ${placeText(timeline, last.startQuarters + last.lengthQuarters)}`
    : `${isNot} at all in ${barSpanText(from, to)}`;
  const end = last.startQuarters + last.lengthQuarters;
  const climbs = run.isEntry && run.endsInside && isClimbing(judged, start - 0.25, end);
  // An entry from nothing is a device; it is worth a word where it takes bars to be heard.
  if (climbs && run.beats < limit * LONG_RISE_FACTOR) return [];
  // Towards the end of its playing a part that fades out is done.
  if (!run.isEntry && !run.endsInside && isFading(judged, first.startQuarters)) return [];
  const isSure =
    !climbs && isHeardSomewhere(judged, context) && isShut(judged, first.startQuarters + first.lengthQuarters / 2);
  return [
    {
      level: isSure ? 'fix' : 'look',
      from,
      to,
      partIds: [part.id],
      message: `${part.name} ${does} at ${placeText(timeline, start)} but ${until} (${beatsText(run.beats)}): ${climbs ? verb([part], 'it rises from nothing', 'they rise from nothing') : causeText(judged, first.startQuarters + first.lengthQuarters / 2)}.`,
      advice: 'Draw the controller up to the entry, or take the notes out if the part should not play here.',
      notes: foundNotes(
        part,
        judged.notes.filter((note) => note.startQuarters >= start - 1e-6 && note.startQuarters < end - 1e-6),
      ),
      amount: run.beats,
    },
  ];
}

/** An entry at next to nothing, from which the part steps up while the others stay as they are. */
function softFindings({ part, notes }: JudgedPart, span: PresenceSpan, context: RuleContext): DraftFinding[] {
  const { bars } = context.stage.timeline;
  const first = bars[0]?.number ?? 1;
  if (context.unshaped.has(part.id) || context.flatVelocity !== undefined) return [];
  const soft = softEntry(context.marks, part.id, span.from - first, span.to - first);
  if (soft === undefined) return [];
  const [from, to] = [soft.from + first, soft.to + first];
  const end = bars[soft.to + 1]?.startQuarters ?? Number.POSITIVE_INFINITY;
  return [
    {
      level: 'look',
      from,
      to,
      partIds: [part.id],
      message: `${part.name} ${verb([part], 'enters', 'enter')} at ${placeText(context.stage.timeline, span.firstQuarters)} at next to nothing and ${verb([part], 'goes', 'go')} on about ${rounded(soft.grades, 0)} dynamic grades louder after ${barSpanText(from, to)}, while the others stay as they are.`,
      advice: 'Bring the entry up to what follows, or let it rise by degrees if it is meant to come from nothing.',
      notes: foundNotes(
        part,
        notes.filter(({ startQuarters }) => startQuarters >= span.firstQuarters - 1e-6 && startQuarters < end - 1e-6),
      ),
      amount: soft.grades,
    },
  ];
}

export const inaudibleEntry = defineRule(
  {
    name: 'inaudible-entry',
    title: 'An inaudible entry',
    looksAt:
      'Whether a part that is written to enter stays silent, 20 dB or more under the softest tone of its instrument, because a controller is at or near zero. It is certain only for volume and expression (7 and 11) of a part that is heard elsewhere; fades are left out. An entry at the softest grade that steps up by two and a half grades and more within four bars, while the others stay as they are, is told as well.',
    why: 'Notes on paper that nobody hears in the sketch were mostly forgotten there, and nobody has judged them by ear.',
    limit: {
      standard: 1,
      unit: 'beats',
      meaning: 'how long an entry may stay silent; inside a passage four times that',
    },
    source: COMMON_PRACTICE,
    level: 'fix',
  },
  (context) =>
    context.parts.flatMap((judged) => {
      const written = writtenBeats(judged, context);
      return context.readings.presence
        .filter((span) => span.partId === judged.part.id)
        .flatMap((span) => {
          const silent = silentRuns(judged, written, span, context).flatMap((run) =>
            findingOf(judged, span, run, context),
          );
          return silent.length > 0 ? silent : softFindings(judged, span, context);
        });
    }),
);
