/**
 * Church modes by where the music rests: one signature is shared by D major, B minor, E dorian, A mixolydian and F sharp phrygian, and which of them a
 * piece is in is heard from its final: the chord on which it begins and ends and to which it comes back most (common practice, no source).
 */
import { MODES, classAt } from '../../model/music/pitch.ts';
import type { ModeName } from '../../model/music/pitch.ts';
import type { KeySpan } from '../../model/music/written.ts';
import { lengthOf, soundOf } from '../chords/chord-frames.ts';
import type { ChordRun } from '../chords/chord-run.ts';
import { bassOf } from '../chords/chord-runs.ts';
import { pitchClassAt, signatureOf } from '../keys/line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { runsIn } from './key-by-chords.ts';

const FEWEST_CHORDS = 6;
const FEWEST_BARS = 8;
/** So much more time on the chord of the final than on that of the major or minor key of the signature. Our convention. */
const RESTING_TIMES = 1.25;
/** Modes that are looked for: in the lydian few pieces stay. */
const HEARD: readonly ModeName[] = ['dorian', 'phrygian', 'mixolydian'];

const QUALITIES: Readonly<Record<'major' | 'minor', ReadonlySet<string>>> = {
  major: new Set(['major', 'major-sixth']),
  minor: new Set(['minor', 'minor-seventh']),
};

/** Share of the other form's sound that the degree of the mode needs: a signature in the file says by itself which of them is meant. */
const LEAST_OF_OTHER = { file: 0.5, estimate: 1.5 } as const;

function modeIn(span: KeySpan, runs: readonly ChordRun[]): KeySpan['modal'] {
  if (span.by !== 'file' && span.by !== 'estimate') return undefined;
  const [first, last] = [runs[0], runs.at(-1)];
  if (runs.length < FEWEST_CHORDS || first === undefined || last === undefined) return undefined;
  const signature = signatureOf(span.tonic, span.mode);
  const timeOn = (root: number, kind: 'major' | 'minor'): number =>
    runs
      .filter(({ template }) => template.root === root && QUALITIES[kind].has(template.quality.name))
      .reduce((sum, run) => sum + lengthOf(run.frames), 0);
  const plain = Math.max(timeOn(pitchClassAt(signature), 'major'), timeOn(pitchClassAt(signature + 3), 'minor'));
  const frames = runs.flatMap((run) => run.frames);
  const soundIn = (pitch: number): number => soundOf(pitch % 12, frames);
  const name = HEARD.find((mode) => {
    const { fifths, kind, degree, plain: other } = MODES[mode];
    const final = pitchClassAt(signature + fifths);
    const rests = ({ template, frames: under }: ChordRun): boolean =>
      template.root === final && QUALITIES[kind].has(template.quality.name) && bassOf(template, under) === final;
    const own = soundIn(final + degree);
    const isOfMode =
      own > 0 && own >= LEAST_OF_OTHER[span.by === 'file' ? 'file' : 'estimate'] * soundIn(final + other);
    return rests(first) && rests(last) && isOfMode && timeOn(final, kind) >= RESTING_TIMES * plain;
  });
  return name === undefined ? undefined : { name, tonic: classAt(signature + MODES[name].fifths) };
}

/** The keys, those of whole stretches that begin, stay and end on the final of a church mode with it. */
export function withModes(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): KeySpan[] {
  return keys.map((span) => {
    const isOpen = span.restsOnDominant !== true && span.modal === undefined && span.rival === undefined;
    if (!isOpen || span.to - span.from + 1 < FEWEST_BARS) return span;
    const modal = modeIn(span, runsIn(span, runs, time));
    return modal === undefined ? span : { ...span, modal };
  });
}
