/** Keys of a stage, bar span by bar span: stated ones first, else estimated from the sounding pitch classes. */
import type { Section, StatedKey } from '../../model/music/arrangement.ts';
import type { SpelledClass } from '../../model/music/pitch.ts';
import { MODES, classAt, className, fifthsOf } from '../../model/music/pitch.ts';
import type { KeySpan } from '../../model/music/written.ts';
import { estimatedSpans, nearestKey } from './key-estimate.ts';
import type { SoundingNote } from './key-path.ts';
import { barHistograms, signatureByIndex, sumOf } from './key-path.ts';
import { keyDistances, modeOf } from './key-profiles.ts';
import { signatureOf } from './line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';

export interface KeyReading {
  readonly keys: readonly KeySpan[];
  readonly remarks: readonly string[];
}

function keyText(tonic: SpelledClass, mode: string): string {
  const name = className(tonic);
  return `${name.replace('#', '♯').replace('b', '♭')} ${mode}`;
}

/** Keys by bar span, covering all bars; empty only where the stage has no bars. */
export function keysOf(
  notes: readonly SoundingNote[],
  time: ScoreTime,
  sections: readonly Section[],
  stated: readonly StatedKey[],
  isSong = false,
): KeyReading {
  const histograms = barHistograms(notes, time);
  const first = time.bars[0];
  const last = time.bars.at(-1);
  if (first === undefined || last === undefined) return { keys: [], remarks: [] };
  const usable = [...stated]
    .filter((key) => key.fromBar <= last.number)
    .sort((a, b) => a.fromBar - b.fromBar)
    .filter((key, index, all) => all[index + 1]?.fromBar !== key.fromBar);
  if (usable.length === 0) return { keys: estimatedSpans(histograms, time, sections), remarks: [] };
  const keys = usable.map((key, index): KeySpan => {
    const from = index === 0 ? first.number : key.fromBar;
    const to = (usable[index + 1]?.fromBar ?? last.number + 1) - 1;
    return {
      from,
      to,
      tonic: key.tonic,
      mode: key.mode,
      fifths: signatureOf(key.tonic, key.mode),
      confidence: 1,
      by: key.by,
      ...(key.modal === undefined ? {} : { modal: key.modal }),
      ...(key.isPhrygianDominant === true ? { restsOnDominant: true } : {}),
    };
  });
  const only = keys[0];
  if (keys.length === 1 && only?.by === 'file' && notes.length > 0) {
    const checked = checkedFileKey(only, histograms, time, sections);
    return isSong ? withLifts(checked, histograms, time, sections) : checked;
  }
  return { keys: keys.filter((key) => key.to >= key.from), remarks: [] };
}

/** A song that is lifted into another key stays there for this long, and is as clearly there. */
const FEWEST_LIFTED_BARS = 8;
const LEAST_LIFTED_LEAD = 0.3;

/**
 * The one key of a file, but where the notes of a song stay for long in one of another signature: nobody puts the signature of the last chorus into
 * a sketch (common practice, no source).
 */
function withLifts(
  reading: KeyReading,
  histograms: readonly (readonly number[])[],
  time: ScoreTime,
  sections: readonly Section[],
): KeyReading {
  const [stated] = reading.keys;
  if (reading.keys.length !== 1 || stated === undefined || stated.by !== 'file') return reading;
  const lifted = estimatedSpans(histograms, time, sections).filter(
    ({ from, to, confidence, fifths }) =>
      to - from + 1 >= FEWEST_LIFTED_BARS && confidence >= LEAST_LIFTED_LEAD && Math.abs(fifths - stated.fifths) > 1,
  );
  if (lifted.length === 0) return reading;
  const keys: KeySpan[] = [];
  let next = stated.from;
  for (const span of lifted) {
    if (span.from > next) keys.push({ ...stated, from: next, to: span.from - 1 });
    keys.push(span);
    next = span.to + 1;
  }
  if (next <= stated.to) keys.push({ ...stated, from: next });
  const where = lifted.map((span) => `${keyText(span.tonic, span.mode)} from bar ${String(span.from)}`).join(', ');
  return {
    keys,
    remarks: [
      ...reading.remarks,
      `The file states ${keyText(stated.tonic, stated.mode)} once; the notes go to ${where}, which is used there. Put key signatures into the file to decide.`,
    ],
  };
}

/**
 * A lone signature in a file may be a default that nobody chose: C major is doubted where the notes speak clearly for another signature,
 * and a mode is corrected where the notes speak for the relative key (many files mark every key as major).
 */
function checkedFileKey(
  stated: KeySpan,
  histograms: readonly (readonly number[])[],
  time: ScoreTime,
  sections: readonly Section[],
): KeyReading {
  const whole = sumOf(histograms, 0, time.bars.length - 1);
  const estimate = nearestKey(whole);
  const mode = modeOf(estimate.key);
  const isDefault = stated.fifths === 0 && stated.mode === 'major' && fifthsOf(stated.tonic) === 0;
  const signature = signatureByIndex(estimate.key);
  if (isDefault && signature !== 0 && estimate.confidence >= 0.1) {
    const distances = keyDistances(whole);
    const statedDistance = Math.min(distances[0] ?? 1, distances[9 + 12] ?? 1);
    if ((distances[estimate.key] ?? 0) < 0.8 * statedDistance) {
      const keys = estimatedSpans(histograms, time, sections);
      const heard = keys[0];
      const name = heard === undefined ? 'another key' : keyText(heard.tonic, heard.mode);
      return {
        keys,
        remarks: [
          `The file's key signature is C major, as files have it where nobody set one; the notes speak for ${name}, which is used. Set "key" in the settings to decide.`,
        ],
      };
    }
  }
  const sameSignature = (signature - stated.fifths) % 12 === 0;
  if (stated.mode === 'major' && mode === 'minor' && sameSignature && estimate.confidence >= 0.05) {
    const tonic = classAt(stated.fifths + 3);
    return {
      keys: [{ ...stated, tonic, mode }],
      remarks: [
        `The file's key signature names ${keyText(stated.tonic, stated.mode)}; the notes speak for its relative ${keyText(tonic, mode)}, which has the same signature and is used.`,
      ],
    };
  }
  return { keys: [stated], remarks: [] };
}

/** The key in force in a bar. */
export function keyAtBar(keys: readonly KeySpan[], barNumber: number): KeySpan | undefined {
  return keys.find((key) => barNumber >= key.from && barNumber <= key.to) ?? keys[0];
}

/** The final of a key that is told as a mode, with the mode of its third; undefined for a plain key. */
export function finalOf(
  span: KeySpan,
): { readonly tonic: KeySpan['tonic']; readonly mode: 'major' | 'minor'; readonly modal: string } | undefined {
  if (span.restsOnDominant === true)
    return { tonic: classAt(fifthsOf(span.tonic) + 1), mode: 'major', modal: 'phrygian dominant' };
  if (span.modal === undefined) return undefined;
  return { tonic: span.modal.tonic, mode: MODES[span.modal.name].kind, modal: span.modal.name };
}
