import { bandwidthsApart, underLowLimit } from '../../../analyse/harmony/low-interval-limits.ts';
import type { Slice, SoundingNote } from '../../../analyse/placed-notes/slices.ts';
import { listText } from '../../../model/words/plain-words.ts';
import { pulseQuarters } from '../../../model/music/timeline.ts';
import { barRuns, toldTogether } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import { rangeLimitsOf, rangeVerdict } from '../../../analyse/parts/ranges.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { anInterval } from '../../../model/music/interval-names.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, namesText, pitchText, placeText, rounded, verb } from '../../words.ts';

/** In at least so many beats of a bar (or all of it): what passes more quickly is no mud. */
const HELD_BEATS = 2;
/** One player's own chord is his affair unless he makes a habit of it: in so many beats of a passage. */
const OWN_BEATS = 4;
/** More beats than this together are worth a look. */
const LOOK_BEATS = 8;

/** A fifth: what lies further apart is not close, however low, and opening it to a fifth would close it. */
const WIDEST = 7;

interface Mud {
  readonly bar: number;
  readonly quarters: number;
  readonly beats: number;
  readonly low: SoundingNote;
  readonly high: SoundingNote;
  readonly excess: number;
}

interface Pair {
  readonly low: SoundingNote;
  readonly high: SoundingNote;
  readonly excess: number;
}

/** The worst pair of neighbours of a moment that lies further under its limit than the tolerance. */
function worstPair({ sounding }: Slice, tolerance: number): Pair | undefined {
  let worst: Pair | undefined;
  for (let index = 1; index < sounding.length; index++) {
    const low = sounding[index - 1];
    const high = sounding[index];
    if (low === undefined || high === undefined) break;
    if (high.note.midi - low.note.midi > WIDEST) continue;
    const excess = underLowLimit(low.note.midi, high.note.midi) - tolerance;
    if (excess > 0 && (worst === undefined || excess > worst.excess)) worst = { low, high, excess };
  }
  return worst;
}

/** A drone under everything is colour; its place is settled at the desk. A patch that plays chords is an instrument like another. */
const DRONES: readonly string[] = ['synth-bass', 'synthesizer', 'sound-effect'];
/** Basses that walk: their notes of a beat pass by. Common practice of jazz and songs, no source. */
const WALKING: readonly string[] = ['double-bass', 'bass-guitar', 'synth-bass'];

/** A guitarist's thumb has roots and fifths over those of a bass player, a fourth apart or more: so songs and dances are accompanied (common practice, no source). */
const THUMB_OVER_BASS = 5;

/** True of a bass player and the thumb of a guitar over it, where harmony is free. */
function isThumbOverBass({ low, high }: Pair, { parts, idiom }: RuleContext): boolean {
  const [bass, guitar] = [parts[low.partIndex]?.part, parts[high.partIndex]?.part];
  return (
    !idiom.strictHarmony &&
    bass !== undefined &&
    WALKING.includes(bass.instrument) &&
    guitar?.instrument === 'guitar' &&
    high.note.midi - low.note.midi >= THUMB_OVER_BASS
  );
}

/** Drums have few pitches to choose from and are heard as strokes; drones and walking basses: they are left out. */
function withoutDrums(slice: Slice, { parts, idiom, stage }: RuleContext): Slice {
  const meter = stage.timeline.bars[slice.barIndex]?.meter;
  const beatQuarters = meter === undefined ? 1 : pulseQuarters(meter);
  const inPart = (index: number): number => slice.sounding.filter(({ partIndex }) => partIndex === index).length;
  return {
    ...slice,
    sounding: slice.sounding.filter(({ partIndex, note }) => {
      const part = parts[partIndex]?.part;
      if (part === undefined || part.family === 'percussion' || part.unpitched) return false;
      if (DRONES.includes(part.instrument)) return part.instrument === 'synthesizer' && inPart(partIndex) > 1;
      const walks = !idiom.strictHarmony && WALKING.includes(part.instrument);
      return !walks || note.endQuarters - note.startQuarters > beatQuarters + 1e-6;
    }),
  };
}

function muddyBars(context: RuleContext): readonly Mud[] {
  const { slices, stage, limit, front, parts } = context;
  const byBar = new Map<number, Mud>();
  for (const slice of slices) {
    const pair = worstPair(withoutDrums(slice, context), limit);
    const bar = stage.timeline.bars[slice.barIndex];
    if (pair === undefined || bar === undefined || isThumbOverBass(pair, context)) continue;
    const inFront = (item: SoundingNote): boolean =>
      front[slice.barIndex]?.has(parts[item.partIndex]?.part.id ?? '') ?? false;
    // What the soloist does alone is the soloist's own affair.
    if (inFront(pair.low) && inFront(pair.high)) continue;
    const beats = (slice.endQuarters - slice.startQuarters) / pulseQuarters(bar.meter);
    const known = byBar.get(slice.barIndex);
    const worse = known === undefined || pair.excess > known.excess;
    byBar.set(slice.barIndex, {
      ...(worse ? { ...pair, quarters: slice.startQuarters } : known),
      bar: bar.number,
      beats: beats + (known?.beats ?? 0),
    });
  }
  const wholeBar = ({ bar }: Mud): number => {
    const own = stage.timeline.bars[bar - (stage.timeline.bars[0]?.number ?? 1)];
    return own === undefined ? HELD_BEATS : own.lengthQuarters / pulseQuarters(own.meter);
  };
  return [...byBar.values()].filter((mud) => mud.beats >= Math.min(HELD_BEATS, wholeBar(mud)) - 1e-6);
}

/** True where one of the two notes lies beyond what its instrument has. */
function isOutside({ low, high }: Mud, parts: readonly JudgedPart[]): boolean {
  return [low, high].some(({ note, partIndex }) => {
    const part = parts[partIndex]?.part;
    return part !== undefined && rangeVerdict(note.midi, rangeLimitsOf(part)) === 'outside';
  });
}

export const crowdedLow = defineRule(
  {
    name: 'crowded-low',
    title: 'Close spacing in the low register',
    looksAt:
      'Neighboring notes of the whole texture, up to a fifth apart, against a table of how low each interval stays clear, in bars where it lasts two beats or more; inside the chords of one player, four in a passage.',
    why: 'Low down the ear cannot keep close notes apart: their partials beat against one another and the harmony turns to mud.',
    limit: {
      standard: 4,
      unit: 'semitones',
      meaning: 'how far an interval may lie under the table, as tables differ by about a third',
    },
    source:
      'low interval limits: common practice, no source; auditory bandwidth: B. Glasberg & B. Moore, Hearing Research 47 (1990), from memory',
    level: 'look',
    followsFromPlace: true,
  },
  (context) => {
    const { parts, stage } = context;
    const beatsIn = ({ items }: { readonly items: readonly Mud[] }): number =>
      items.reduce((sum, { beats }) => sum + beats, 0);
    const isOwn = ({ items }: { readonly items: readonly Mud[] }): boolean =>
      items.every(({ low, high }) => low.partIndex === high.partIndex);
    const passages = barRuns(muddyBars(context), ({ bar }) => bar, 1).filter(
      (run) => !isOwn(run) || beatsIn(run) >= OWN_BEATS - 1e-6,
    );
    return toldTogether(passages, () => '', beatsIn).map((run): DraftFinding => {
      const { from, to, items } = run;
      const worst = items.reduce((most, mud) => (mud.excess > most.excess ? mud : most));
      const beats = beatsIn(run);
      const indices = [...new Set(items.flatMap(({ low, high }) => [high.partIndex, low.partIndex]))];
      const named = indices.flatMap((index) => parts[index]?.part ?? []);
      const pitches = [worst.low, worst.high].flatMap(({ note, partIndex }) => {
        const part = parts[partIndex]?.part;
        return part === undefined ? [] : [pitchText(note.written.pitch, part)];
      });
      const apart = bandwidthsApart(worst.low.note.midi, worst.high.note.midi);
      return {
        level: beats > LOOK_BEATS ? 'look' : 'note',
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} ${verb(named, 'is', 'are')} closely spaced in the low register in ${barListText(items.map(({ bar }) => bar))}: ${listText(pitches)} at ${placeText(stage.timeline, worst.quarters)}, ${anInterval(worst.high.note.midi - worst.low.note.midi)} ${underLowLimit(worst.low.note.midi, worst.high.note.midi)} semitones below the low interval limit (${rounded(apart, 1)} critical bandwidths apart)${elsewhereText(run)}.`,
        advice:
          worst.high.note.midi - worst.low.note.midi === WIDEST
            ? 'Take the upper note up an octave.'
            : 'Open the interval to a fifth, sixth or octave, or take the upper note up an octave.',
        notes: [worst.low, worst.high].flatMap(({ note, partIndex }) => foundNotes(parts[partIndex]?.part, [note])),
        amount: beats,
        // A second that no chord explains is told as that, and no mud; a note that is not on its instrument will be moved.
        yieldsTo: [
          ...(worst.high.note.midi - worst.low.note.midi <= 2 && from === to ? (['clashing-second'] as const) : []),
          ...(from === to && isOutside(worst, parts) ? (['outside-range'] as const) : []),
        ],
      };
    });
  },
);
