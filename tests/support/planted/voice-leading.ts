/**
 * Four-part settings of a chord plan by search: the smoothest way through all voicings without parallel fifths and octaves,
 * crossings, doubled leading notes or a missing root or third. What any harmony course asks for (common practice, no source).
 */

/** Semitones above the tonic. */
export interface PlannedChord {
  readonly root: number;
  readonly tones: readonly number[];
  readonly bass: number;
}

const MAJOR: Readonly<Record<string, readonly number[]>> = {
  I: [0, 4, 7],
  ii: [2, 5, 9],
  iii: [4, 7, 11],
  IV: [5, 9, 0],
  V: [7, 11, 2],
  V7: [7, 11, 2, 5],
  vi: [9, 0, 4],
  II7: [2, 6, 9, 0],
};

const MINOR: Readonly<Record<string, readonly number[]>> = {
  i: [0, 3, 7],
  iio: [2, 5, 8],
  III: [3, 7, 10],
  iv: [5, 8, 0],
  V: [7, 11, 2],
  V7: [7, 11, 2, 5],
  VI: [8, 0, 3],
  VII: [10, 2, 5],
};

/** A chord by its roman name; `/6` puts the third, `/64` the fifth in the bass. */
export function plannedChord(text: string, minor: boolean): PlannedChord {
  const [name = '', figure] = text.split('/');
  const tones = (minor ? MINOR : MAJOR)[name];
  const [root, third, fifth] = tones ?? [];
  if (tones === undefined || root === undefined || third === undefined || fifth === undefined) {
    throw new Error(`not a chord: ${text}`);
  }
  return { root, tones, bass: figure === '6' ? third : figure === '64' ? fifth : root };
}

/** Lowest and highest key of a voice. */
export type Compass = readonly [number, number];

/** Soprano, alto, tenor, bass as key numbers. */
export type Voicing = readonly [number, number, number, number];

const LEADING_NOTE = 11;
const OCTAVE = 12;

function keysOf(tonic: number, tones: readonly number[], [low, high]: Compass): number[] {
  const keys: number[] = [];
  for (let key = low; key <= high; key++) {
    if (tones.includes((((key - tonic) % OCTAVE) + OCTAVE) % OCTAVE)) keys.push(key);
  }
  return keys;
}

function isGood(voicing: Voicing, chord: PlannedChord, tonic: number): boolean {
  const [soprano, alto, tenor, bass] = voicing;
  if (soprano <= alto || alto <= tenor || tenor <= bass) return false;
  if (soprano - alto > OCTAVE || alto - tenor > OCTAVE) return false;
  if (tenor - bass < (bass < 46 ? 7 : 3)) return false;
  const classes = voicing.map((key) => (((key - tonic) % OCTAVE) + OCTAVE) % OCTAVE);
  const needed = [chord.tones[0], chord.tones[1], ...chord.tones.slice(3)];
  if (!needed.every((tone) => tone === undefined || classes.includes(tone))) return false;
  return classes.filter((tone) => tone === LEADING_NOTE).length <= 1;
}

function voicingsOf(chord: PlannedChord, tonic: number, compasses: readonly Compass[], ceiling: number): Voicing[] {
  const [s = [0, 0], a = [0, 0], t = [0, 0], b = [0, 0]] = compasses;
  const upper = (compass: Compass): number[] => keysOf(tonic, chord.tones, [compass[0], Math.min(compass[1], ceiling)]);
  const found: Voicing[] = [];
  for (const bass of keysOf(tonic, [chord.bass], b)) {
    for (const tenor of upper(t)) {
      for (const alto of upper(a)) {
        for (const soprano of upper(s)) {
          const voicing: Voicing = [soprano, alto, tenor, bass];
          if (isGood(voicing, chord, tonic)) found.push(voicing);
        }
      }
    }
  }
  return found;
}

/** Both move the same way into the fifth or octave that they come from. */
function isParallel(from: readonly [number, number], to: readonly [number, number]): boolean {
  const before = Math.abs(from[0] - from[1]) % OCTAVE;
  const after = Math.abs(to[0] - to[1]) % OCTAVE;
  if (before !== after || (after !== 0 && after !== 7)) return false;
  return (to[0] - from[0]) * (to[1] - from[1]) > 0;
}

/** The tune at a change of chord: its last note before and its first after. */
export interface TuneStep {
  readonly before: number | undefined;
  readonly after: number | undefined;
}

function stepCost(from: Voicing, to: Voicing, tune: TuneStep): number {
  let cost = 0;
  for (let one = 0; one < 4; one++) {
    const movement = Math.abs((to[one] ?? 0) - (from[one] ?? 0));
    cost += one === 3 ? movement * 0.4 : movement + (movement > 5 ? 8 : 0);
    for (let other = one + 1; other < 4; other++) {
      if (isParallel([from[one] ?? 0, from[other] ?? 0], [to[one] ?? 0, to[other] ?? 0])) cost += 400;
    }
    const { before, after } = tune;
    if (before !== undefined && after !== undefined) {
      if (isParallel([before, from[one] ?? 0], [after, to[one] ?? 0])) cost += 200;
    }
  }
  return cost;
}

/** The smoothest setting; `ceilings` are the highest keys that the accompaniment may use, chord by chord. */
export function smoothest(
  chords: readonly PlannedChord[],
  tonic: number,
  compasses: readonly Compass[],
  ceilings: readonly number[],
  tune: readonly TuneStep[],
): readonly Voicing[] {
  const choices = chords.map((chord, index) => voicingsOf(chord, tonic, compasses, ceilings[index] ?? 127));
  const costs: number[][] = [];
  const origins: number[][] = [];
  choices.forEach((voicings, at) => {
    if (voicings.length === 0) throw new Error(`no voicing for chord ${String(at)}`);
    const before = choices[at - 1];
    origins.push([]);
    costs.push(
      voicings.map((voicing, index) => {
        // The middle of each compass is where the voice is at home.
        const home = voicing.reduce((sum, key, voice) => {
          const [low = 0, high = 0] = compasses[voice] ?? [];
          return sum + Math.abs(key - (low + high) / 2) * 0.15;
        }, 0);
        if (before === undefined) return home;
        let best = Infinity;
        before.forEach((from, origin) => {
          const cost = (costs[at - 1]?.[origin] ?? 0) + stepCost(from, voicing, tune[at] ?? ({} as TuneStep));
          if (cost < best) {
            best = cost;
            const row = origins[at];
            if (row !== undefined) row[index] = origin;
          }
        });
        return best + home;
      }),
    );
  });
  const path: Voicing[] = [];
  const last = costs.at(-1) ?? [];
  let index = last.indexOf(Math.min(...last));
  for (let at = choices.length - 1; at >= 0; at--) {
    const voicing = choices[at]?.[index];
    if (voicing !== undefined) path.unshift(voicing);
    index = origins[at]?.[index] ?? 0;
  }
  return path;
}
