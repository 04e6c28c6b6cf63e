/** How each part lies for its player: breath, leaps, tessitura, and what may be awkward for hands, tongue or feet. */
import type { PlayabilityReading } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barAndBeat } from '../../model/music/timeline.ts';
import type { LevelModel } from '../level/level-model.ts';
import { barsOfStretch, type PlacedNote, type PlacedPart } from '../placed-notes/placed-notes.ts';
import { rangeLimitsOf, rangeVerdict } from '../parts/ranges.ts';
import { breathSpansOf, MUCH_LONGER } from './breath.ts';
import { endurancePlacesOf } from './endurance.ts';
import { gatherAwkward } from './gather-awkward.ts';
import { spanPlacesOf } from './hand-span.ts';
import { pedalPlacesOf } from './harp-pedals.ts';
import { leapsOf } from './leaps.ts';
import { repeatedPlacesOf } from './repeated-notes.ts';
import { skipPlacesOf, stopPlacesOf } from './strings.ts';
import { timpaniReadingOf, tuningPlacesOf } from './timpani-tuning.ts';

function longestBreath(placed: PlacedPart, model: LevelModel, timeline: Timeline): PlayabilityReading['breath'] {
  const spans = breathSpansOf(placed, model, timeline);
  if (spans.length === 0) return undefined;
  const longest = spans.reduce((most, span) => (span.seconds > most.seconds ? span : most));
  const { unbroken } = spans.reduce((most, span) => (span.unbroken.seconds > most.unbroken.seconds ? span : most));
  return {
    ...barsOfStretch(longest, timeline),
    seconds: longest.seconds,
    breathSeconds: longest.breathSeconds,
    ...(unbroken.seconds >= MUCH_LONGER * longest.seconds
      ? { unbroken: { ...barsOfStretch(unbroken, timeline), seconds: unbroken.seconds } }
      : {}),
  };
}

function widestLeap(placed: PlacedPart, { bars }: Timeline): PlayabilityReading['widestLeap'] {
  const leaps = leapsOf(placed);
  if (leaps.length === 0) return undefined;
  const widest = leaps.reduce((most, leap) => (Math.abs(leap.semitones) > Math.abs(most.semitones) ? leap : most));
  return { ...barAndBeat(bars, widest.from.startQuarters), semitones: widest.semitones };
}

function soundingSeconds({ played }: PlacedNote): number {
  return Math.max(played.endSecond - played.startSecond, 0);
}

/** Shares of the sounding time by range; notes of an extension count as edge. */
function timeByRange({ part, notes }: PlacedPart): PlayabilityReading['time'] {
  const limits = rangeLimitsOf(part);
  if (limits.absolute === undefined) return undefined;
  const seconds = { practical: 0, edge: 0, outside: 0 };
  let whole = 0;
  for (const note of notes) {
    const verdict = rangeVerdict(note.midi, limits);
    const key = verdict === 'inside' ? 'practical' : verdict === 'outside' ? 'outside' : 'edge';
    seconds[key] += soundingSeconds(note);
    whole += soundingSeconds(note);
  }
  if (whole === 0) return undefined;
  return {
    practical: seconds.practical / whole,
    edge: seconds.edge / whole,
    outside: seconds.outside / whole,
  };
}

/** Pitch at or below which half of the sounding time lies. */
function medianPitch(notes: readonly PlacedNote[]): number {
  const sorted = [...notes].sort((a, b) => a.midi - b.midi);
  const half = sorted.reduce((sum, note) => sum + soundingSeconds(note), 0) / 2;
  let reached = 0;
  for (const note of sorted) {
    reached += soundingSeconds(note);
    if (reached >= half) return note.midi;
  }
  return sorted.at(-1)?.midi ?? 0;
}

/** One reading for every pitched part that plays; `models` run parallel to the parts. */
export function playabilityOf(
  placed: readonly PlacedPart[],
  models: readonly LevelModel[],
  timeline: Timeline,
): readonly PlayabilityReading[] {
  return placed.flatMap((item, index) => {
    const model = models[index];
    if (item.part.unpitched || item.notes.length === 0 || model === undefined) return [];
    const breath = longestBreath(item, model, timeline);
    const leap = widestLeap(item, timeline);
    const time = timeByRange(item);
    const timpani = timpaniReadingOf(item);
    return {
      partId: item.part.id,
      ...(breath === undefined ? {} : { breath }),
      ...(leap === undefined ? {} : { widestLeap: leap }),
      ...(time === undefined ? {} : { time }),
      medianMidi: medianPitch(item.notes),
      ...(timpani === undefined ? {} : { timpani }),
      awkward: [
        ...gatherAwkward('string-skip', skipPlacesOf(item), timeline),
        ...gatherAwkward('double-stop', stopPlacesOf(item), timeline),
        ...gatherAwkward('repeated-notes', repeatedPlacesOf(item), timeline),
        ...gatherAwkward('harp-pedals', pedalPlacesOf(item), timeline),
        ...gatherAwkward('timpani-tuning', tuningPlacesOf(item), timeline),
        ...gatherAwkward('hand-span', spanPlacesOf(item), timeline),
        ...gatherAwkward('brass-endurance', endurancePlacesOf(item, model), timeline),
      ],
    };
  });
}
