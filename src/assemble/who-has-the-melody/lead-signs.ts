/**
 * Signs of a main melody, by part and beat. They are those of the literature on finding it (from memory): register and skyline (Uitdenbogerd and
 * Zobel 1999), register, note density, interval sizes and share of long notes (Rizo, Ponce de León, Pérez-Sancho, Pertusa and Iñesta 2006),
 * entropy of pitch, interval and rhythm as what draws the ear (Madsen and Widmer 2007), level, register, articulation and timbre
 * (Friberg and Ahlbäck 2009); what accompaniment looks like (repeated figures, broken chords, after-beats, the bass) is common practice. Each is
 * taken over the three bars around the beat, within the phrase of its part, so that a pickup has the signs of its phrase.
 */
import type { PlayedNote, Section } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { LineNote, LinePhrase } from './line.ts';
import { lineOf, phrasesOf } from './line.ts';
import { lineSigns, repetitionByBar } from './line-signs.ts';
import type { TextureSigns } from './texture-signs.ts';
import { textureSigns } from './texture-signs.ts';

export const SIGNS = [
  'height',
  'octaveAbove',
  'top',
  'lowest',
  'strength',
  'sounding',
  'density',
  'runs',
  'stepwise',
  'pitchEntropy',
  'intervalEntropy',
  'rhythmEntropy',
  'zigzag',
  'repeated',
  'held',
  'offBeat',
  'chords',
  'repetition',
  'still',
] as const;

export type Sign = (typeof SIGNS)[number];

/** A beat: the step of the search. */
export interface LeadStep {
  readonly startQuarters: number;
  readonly endQuarters: number;
  readonly bar: number;
  /** True at the first beat of a section. */
  readonly opensSection: boolean;
}

export interface PartSigns {
  /** Signs by step, `SIGNS.length` each. */
  readonly signs: Float64Array;
  /** 1 where the part is within a phrase at this step. */
  readonly within: Uint8Array;
  /** 1 where a phrase begins in this step. */
  readonly begins: Uint8Array;
}

/** A bar of more beats is stepped through in so many: no meter has more to tell. */
const MOST_STEPS = 12;
const BARS_AROUND = 1;
/** At most so many notes that begin in a bar make it a still one. */
const STILL_NOTES = 1;
/** A note this little before a beat begins with it, one this little after it has ended. */
const EARLY_QUARTERS = 0.1;

export function leadSteps(bars: readonly Bar[], sections: readonly Section[]): readonly LeadStep[] {
  const opening = new Set(sections.map(({ from }) => from));
  return bars.flatMap(({ startQuarters, lengthQuarters, meter, number }, bar) => {
    const count = Math.min(MOST_STEPS, Math.max(1, Math.round(lengthQuarters / pulseQuarters(meter))));
    return Array.from({ length: count }, (_, beat): LeadStep => ({
      startQuarters: startQuarters + (beat * lengthQuarters) / count,
      endQuarters: startQuarters + ((beat + 1) * lengthQuarters) / count,
      bar,
      opensSection: beat === 0 && opening.has(number),
    }));
  });
}

/** Mean over the bars of the window in which the part sounds. */
function meanOf(values: Float64Array, sounding: Float64Array, from: number, to: number): number {
  let sum = 0;
  let weight = 0;
  for (let bar = from; bar <= to; bar++) {
    sum += (values[bar] ?? 0) * (sounding[bar] ?? 0);
    weight += sounding[bar] ?? 0;
  }
  return weight === 0 ? 0 : sum / weight;
}

/** Index of the first note that begins in each bar or after it, and after the last bar the number of notes. */
function firstByBar(line: readonly LineNote[], bars: number): Int32Array {
  const firsts = new Int32Array(bars + 1).fill(line.length);
  for (let index = line.length - 1; index >= 0; index--) firsts[line[index]?.bar ?? 0] = index;
  for (let bar = bars - 1; bar >= 0; bar--) firsts[bar] = Math.min(firsts[bar] ?? 0, firsts[bar + 1] ?? 0);
  return firsts;
}

interface ReadLine {
  readonly line: readonly LineNote[];
  readonly firsts: Int32Array;
  readonly repetition: Float64Array;
  readonly texture: TextureSigns;
}

/** Writes the signs of a phrase around a bar into `into`, in the order of `SIGNS`; false where nothing of it sounds there. */
function readSigns(own: ReadLine, phrase: LinePhrase, bar: number, bars: readonly Bar[], into: Float64Array): boolean {
  const { line, firsts, texture } = own;
  const from = bar - BARS_AROUND;
  const to = bar + BARS_AROUND;
  const begin = Math.max(phrase.first, firsts[Math.max(0, from)] ?? 0);
  const end = Math.min(phrase.last + 1, firsts[Math.min(bars.length, to + 1)] ?? line.length);
  // Where none begins, the one that is held from long before.
  const notes = begin < end ? line.slice(begin, end) : line.slice(Math.max(phrase.first, begin - 1), begin);
  if (notes.length === 0) return false;
  const first = Math.min(bar, Math.max(from, line[phrase.first]?.bar ?? 0, 0));
  const last = Math.max(bar, Math.min(to, line[phrase.last]?.bar ?? 0, bars.length - 1));
  const begun =
    Math.min(phrase.last + 1, firsts[bar + 1] ?? line.length) - Math.max(phrase.first, firsts[bar] ?? line.length);
  const signs = lineSigns(notes, bars);
  let place = 0;
  into[place++] = meanOf(texture.height, texture.sounding, first, last);
  into[place++] = meanOf(texture.octavesAbove, texture.sounding, first, last);
  into[place++] = meanOf(texture.top, texture.sounding, first, last);
  into[place++] = meanOf(texture.lowest, texture.sounding, first, last);
  into[place++] = meanOf(texture.strength, texture.sounding, first, last);
  into[place++] = texture.sounding[bar] ?? 0;
  into[place++] = signs.density;
  into[place++] = signs.runs;
  into[place++] = signs.stepwise;
  into[place++] = signs.pitchEntropy;
  into[place++] = signs.intervalEntropy;
  into[place++] = signs.rhythmEntropy;
  into[place++] = signs.zigzag;
  into[place++] = signs.repeated;
  into[place++] = signs.held;
  into[place++] = signs.offBeat;
  into[place++] = signs.chords;
  into[place++] = meanOf(own.repetition, texture.sounding, first, last);
  into[place] = begun <= STILL_NOTES ? 1 : 0;
  return true;
}

function partSigns(own: ReadLine, steps: readonly LeadStep[], bars: readonly Bar[]): PartSigns {
  const size = SIGNS.length;
  const signs = new Float64Array(steps.length * size);
  const within = new Uint8Array(steps.length);
  const begins = new Uint8Array(steps.length);
  const inBar = new Float64Array(size);
  let step = 0;
  for (const phrase of phrasesOf(own.line, bars)) {
    while ((steps[step]?.endQuarters ?? Infinity) <= phrase.startQuarters + EARLY_QUARTERS) step++;
    if (step < steps.length) begins[step] = 1;
    let bar = -1;
    let sounds = false;
    for (let at = step; (steps[at]?.startQuarters ?? Infinity) < phrase.endQuarters - EARLY_QUARTERS; at++) {
      const place = steps[at]?.bar ?? 0;
      if (place !== bar) sounds = readSigns(own, phrase, place, bars, inBar);
      bar = place;
      if (!sounds) continue;
      within[at] = 1;
      signs.set(inBar, at * size);
    }
  }
  return { signs, within, begins };
}

/** Signs of every part by beat. */
export function leadSigns(
  parts: readonly { readonly notes: readonly PlayedNote[] }[],
  bars: readonly Bar[],
  steps: readonly LeadStep[],
): readonly PartSigns[] {
  const lines = parts.map(({ notes }) => lineOf(notes, bars));
  const textures = textureSigns(lines, bars);
  return lines.map((line, index) => {
    const texture = textures[index];
    if (texture === undefined) throw new Error('a line without its texture');
    const firsts = firstByBar(line, bars.length);
    return partSigns({ line, firsts, repetition: repetitionByBar(line, bars), texture }, steps, bars);
  });
}
