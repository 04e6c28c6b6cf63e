import type { Slice, SoundingNote } from '../../../analyse/placed-notes/slices.ts';
import { loudnessAt } from '../../../analyse/level/level-model.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { listText } from '../../../model/words/plain-words.ts';
import type { RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, namesText, pitchText, placeText } from '../../words.ts';

/** A hole is one in a full texture: so many notes at least, two of them on each side or the bass alone below. */
const FEWEST_NOTES = 4;
/** Loud begins here on the scale of dynamics 0..1: the first of the six marks over the middle is `mf`, the next `f`. */
const LOUD_DYNAMIC = 4 / 6;
/** The hole lasts through at least this share of its bar. */
const SHARE_OF_BAR = 0.75;

interface Hole {
  readonly bar: number;
  readonly quarters: number;
  readonly below: SoundingNote;
  readonly above: SoundingNote;
  readonly semitones: number;
  readonly share: number;
}

function dynamicOf({ note, partIndex }: SoundingNote, quarters: number, { parts }: RuleContext): number {
  const track = parts[partIndex]?.model.tracks[note.played.trackIndex];
  return track === undefined ? 0 : loudnessAt(track, note.played.velocity, quarters + note.shiftQuarters).dynamic;
}

/** The widest empty space between two neighboring notes, with at least two notes above it. */
function widestSpace({ sounding }: Slice): Pick<Hole, 'below' | 'above' | 'semitones'> | undefined {
  let widest: Pick<Hole, 'below' | 'above' | 'semitones'> | undefined;
  for (let index = 1; index < sounding.length - 1; index++) {
    const below = sounding[index - 1];
    const above = sounding[index];
    if (below === undefined || above === undefined) break;
    const semitones = above.note.midi - below.note.midi;
    if (widest === undefined || semitones > widest.semitones) widest = { below, above, semitones };
  }
  return widest;
}

function holesOf(context: RuleContext): readonly Hole[] {
  const { slices, stage, limit } = context;
  const byBar = new Map<number, Hole>();
  for (const slice of slices) {
    const bar = stage.timeline.bars[slice.barIndex];
    if (bar === undefined || slice.sounding.length < FEWEST_NOTES) continue;
    const space = widestSpace(slice);
    if (space === undefined || space.semitones <= limit) continue;
    const loud = slice.sounding.reduce((sum, item) => sum + dynamicOf(item, slice.startQuarters, context), 0);
    if (loud / slice.sounding.length < LOUD_DYNAMIC) continue;
    const known = byBar.get(slice.barIndex);
    const share = (slice.endQuarters - slice.startQuarters) / bar.lengthQuarters + (known?.share ?? 0);
    const worse = known === undefined || space.semitones > known.semitones;
    byBar.set(slice.barIndex, {
      ...(worse ? { ...space, quarters: slice.startQuarters } : known),
      bar: bar.number,
      share,
    });
  }
  return [...byBar.values()].filter(({ share }) => share >= SHARE_OF_BAR - 1e-6);
}

export const holeBetweenParts = defineRule(
  {
    name: 'hole-between-parts',
    title: 'A hole between high and low',
    looksAt:
      'The widest space between two neighbouring notes in loud bars of at least four notes, where it stays open for three quarters of the bar. Rhythm sections and sketches without dynamics are left out.',
    why: 'In forte an empty middle makes heights and depths fall apart; soft music may well live with it.',
    limit: { standard: 19, unit: 'semitones', meaning: 'widest space inside the chord (a twelfth)' },
    source:
      'N. Rimsky-Korsakov, Principles of Orchestration, ch. III (the bass rarely more than an octave under the next part; no empty space between high and low in forte)',
    level: 'note',
    followsFromPlace: true,
  },
  (context) => {
    const { parts, stage, idiom, flatVelocity } = context;
    // A rhythm section has its bass far below by nature, and without dynamics nobody knows what is loud.
    if (!idiom.strictHarmony || flatVelocity !== undefined) return [];
    return gatheredRuns(holesOf(context), ({ bar }) => bar).map((run) => {
      const { from, to, items } = run;
      const widest = items.reduce((most, hole) => (hole.semitones > most.semitones ? hole : most));
      const named = [widest.above, widest.below].flatMap(({ partIndex }) => parts[partIndex]?.part ?? []);
      const pitches = [widest.below, widest.above].flatMap(({ note, partIndex }) => {
        const part = parts[partIndex]?.part;
        return part === undefined ? [] : [`${pitchText(note.written.pitch, part)} of ${part.name}`];
      });
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [...new Set(named.map(({ id }) => id))],
        message: `There is an empty space of up to ${widest.semitones} semitones in a loud chord in ${barListText(items.map(({ bar }) => bar))}, between ${listText(pitches)} at ${placeText(stage.timeline, widest.quarters)}${elsewhereText(run)}.`,
        advice: `Let a middle part fill it, or bring ${namesText(named.slice(0, 1))} down.`,
        amount: widest.semitones,
      };
    });
  },
);
