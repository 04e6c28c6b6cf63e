import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { rangeLimitsOf, rangeVerdict } from '../../../analyse/parts/ranges.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import { counted, percentAtLeast } from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { barRuns } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import { defineRule } from '../../rule.ts';
import { barListText, guessText, keyText, performerOf, pitchText, placeText, playsOrSings, verb } from '../../words.ts';

function secondsOf(notes: readonly PlacedNote[]): number {
  return notes.reduce((sum, { played }) => sum + Math.max(0, played.endSecond - played.startSecond), 0);
}

/** So long in all, or so far beyond the practical range, it is worth a question. Our convention. */
const LEAST_SECONDS = 2;
const FAR_SEMITONES = 2;
/** Voices that a song or choir names without saying which, and keyboards, have no everyday range to speak of. */
const NO_EDGE: readonly string[] = ['voice', 'choir', 'string-ensemble', 'synthesizer', 'synth-bass'];

/** Tubas of bands are in E flat and B flat: half an octave lower than the orchestra's. */
const BAND_TUBA_LOWER = 7;
/** The second and third of their kind live lower, a soloist sings higher than a section. */
const LOWER_DESK = 2;
const SOLOIST_HIGHER = 3;

/** The everyday range of this part in this kind of ensemble. Common practice, no source; the figures are ours. */
function everydayOf(
  { instrument, number, family, name, players, playersBy }: Part,
  { low, high }: { readonly low: number; readonly high: number },
  kind: EnsembleKind,
): { readonly low: number; readonly high: number } {
  const isBand = kind === 'wind-band' || kind === 'brass-band';
  if (instrument === 'tuba' && isBand) return { low: low - BAND_TUBA_LOWER, high };
  if (family === 'voice') {
    const isSoloist = players === 1 && (/\bsol/i.test(name) || playersBy !== 'default');
    return isSoloist ? { low, high: high + SOLOIST_HIGHER } : { low, high };
  }
  const isLower = (family === 'brass' || family === 'woodwind') && number !== undefined && number > 1;
  return isLower ? { low: low - LOWER_DESK, high } : { low, high };
}

/** A high entry of brass and the note that it leads to: the lips have found it then. */
const ENTRY_NOTES = 2;

export const edgeOfRange = defineRule(
  {
    name: 'edge-of-range',
    title: 'Notes at the edge of the range',
    looksAt:
      'Written notes between the practical range of the instrument and the last note a professional has; two seconds of them or more, or further than a semitone; one finding a part. Not in jazz, which goes beyond the ranges of the orchestra every day.',
    why: 'Notes at the edge are there, but cost effort, security or softness: whether that is meant is worth a question.',
    source: 'ranges of the instrument catalogue, each with its source in the range appendix',
    level: 'note',
    yieldsTo: ['tessitura'],
  },
  ({ parts, idiom, stage: { timeline } }) => {
    // The everyday ranges are those of the orchestra; jazz goes beyond them every day (common practice, no source).
    if (idiom.kind === 'big-band' || idiom.kind === 'combo') return [];
    const barOf = (note: PlacedNote): number => barAndBeat(timeline.bars, note.startQuarters).bar;
    return parts
      .filter(({ part }) => !part.unpitched && part.family !== 'keyboard' && !NO_EDGE.includes(part.instrument))
      .flatMap(({ part, notes }) => {
        const limits = rangeLimitsOf(part);
        if (limits.practical === undefined) return [];
        const practical = everydayOf(part, limits.practical, idiom.kind);
        const beyond = (note: PlacedNote): number => Math.max(practical.low - note.midi, note.midi - practical.high);
        const edge = notes.filter((note) => rangeVerdict(note.midi, limits) === 'edge' && beyond(note) > 0);
        // One finding a part: whether a player is at home there is one question, however many bars it comes up in.
        const furthest = edge.reduce<PlacedNote | undefined>(
          (far, note) => (far === undefined || beyond(note) > beyond(far) ? note : far),
          undefined,
        );
        if (furthest === undefined) return [];
        // A note or two at the edge in passing are nobody's concern.
        if (secondsOf(edge) < LEAST_SECONDS && beyond(furthest) < FAR_SEMITONES) return [];
        const inBars = edge.map(barOf);
        const place = barRuns(edge, barOf, 1).find(({ items }) => items.includes(furthest));
        const usual = `${keyText(practical.low, part)} to ${keyText(practical.high, part)}`;
        const where = `${pitchText(furthest.written.pitch, part)} at ${placeText(timeline, furthest.startQuarters)}`;
        const share = secondsOf(edge) / Math.max(secondsOf(notes), 1e-6);
        return {
          level: 'note' as const,
          // The passage of the furthest note is the place; where else is said in words.
          from: place?.from ?? Math.min(...inBars),
          to: place?.to ?? Math.max(...inBars),
          partIds: [part.id],
          message: `${part.name} ${playsOrSings([part])} ${counted(edge.length, 'note')} beyond the practical range, ${percentAtLeast(share)} of ${verb([part], 'its', 'their')} time, in ${barListText(inBars)}, the furthest ${where}; the practical range is ${usual}${guessText(part)}.`,
          advice: `Ask the ${performerOf(part)}, and think of dynamics and rests: a strong ${performerOf(part)} may not mind at all.`,
          source: limits.sources.join('; '),
          notes: foundNotes(part, [furthest, ...(place?.items ?? []).filter((note) => note !== furthest)]),
          amount: share,
          // A high note or two of one phrase are told once: as a high entry, where they are one.
          ...(edge.length <= (part.family === 'brass' ? ENTRY_NOTES : 1) &&
          place?.items.length === edge.length &&
          furthest.midi > practical.high
            ? { yieldsTo: ['high-entry'] as const }
            : {}),
        };
      });
  },
);
