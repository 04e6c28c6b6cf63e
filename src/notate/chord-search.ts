/**
 * The cheapest reading of a piece as chords in keys (Viterbi over key, root and quality, in the manner of C. Raphael and J. Stoddard,
 * "Functional harmonic analysis using probabilistic models", Computer Music Journal 28(3), 2004, 45-52). A frame speaks for a chord by its
 * tones inside minus tones outside minus tones absent (B. Pardo and W. Birmingham, Computer Music Journal 26(2), 2002, 27-49), and by its bass;
 * a change costs less on a strong beat and where the bass moves (D. Temperley 2001, chapter 6: the strong beat rule), a usual chord less than a rare one.
 */
import type { Frame } from './chord-frames.ts';
import { CHORD_COSTS, DIRECTIONS, ROOT_STEPS, directionOf } from './chord-priors.ts';
import { TEMPLATES } from './chord-templates.ts';
import { KEY_COUNT, logProfile, modeOf } from './key-profiles.ts';
import { keyChangeCost } from './key-path.ts';

/**
 * Weights of the search. They were set by judgement and then moved a little on human analyses of seven movements and songs (1788 to 1841); half or
 * twice of most of them changes the share of right roots by less than a point.
 */
const SEARCH = {
  /** A chord tone that does not sound: root and third, the others. */
  absentCore: 0.55,
  absent: 0.38,
  /** The bass is the root, another tone, the fifth of a triad, foreign. */
  rootInBass: 0.45,
  bassInChord: 0.2,
  sixFour: 0.1,
  foreignBass: 0.2,
  /** A change of chord at the bar line, in mid-bar, on a beat, on half a beat, on less. */
  change: [1.6, 1.5, 1.85, 1.9, 3.4],
  bassMoves: 0.6,
  noOnset: 1.8,
  /** Times the cost of a chord in its key: once, and for each half beat that it lasts. */
  chordCost: 1,
  chordCostHeld: 0.4,
  rootStep: 1,
  /** Times the likelihood of the sounding notes in a key, and the cost of a change of key. */
  keyWeight: 0.36,
  keyChange: 0.9,
} as const;

const COUNT = TEMPLATES.length;
const STATES = KEY_COUNT * COUNT;
/** Keys whose best reading lies further behind than this are only entered anew, not followed. */
const BEAM = 9;
const ROOTS = TEMPLATES.map((template) => template.root);
const QUALITY_COSTS = TEMPLATES.map((template) => template.quality.cost);
/** Root and direction of each template in one number, and what a step from such a slot to a root costs. */
const SLOTS = TEMPLATES.map(({ root, quality }) => root * DIRECTIONS + directionOf(quality.name));
const SLOT_COUNT = 12 * DIRECTIONS;
const STEP_COSTS = Float64Array.from({ length: 12 * SLOT_COUNT }, (_, index) => {
  const to = Math.floor(index / SLOT_COUNT);
  const slot = index % SLOT_COUNT;
  return ROOT_STEPS[slot % DIRECTIONS]?.[(to - Math.floor(slot / DIRECTIONS) + 12) % 12] ?? 0;
});
const KEY_COSTS = Float64Array.from({ length: KEY_COUNT * KEY_COUNT }, (_, index) =>
  keyChangeCost(Math.floor(index / KEY_COUNT), index % KEY_COUNT),
);
const PROFILES = Array.from({ length: KEY_COUNT }, (_, key) => logProfile(key));
/** About the mean of the profiles, so that a key gains by its own notes and loses by foreign ones. */
const PROFILE_MEAN = -2.5;
const KEYS = Array.from({ length: KEY_COUNT }, (_, key) => key);

/** Cost of each template in each key, key by key. */
const COSTS = Float64Array.from({ length: STATES }, (_, state) => {
  const key = Math.floor(state / COUNT);
  const index = state % COUNT;
  const relative = Math.floor(index / 12) * 12 + (((index % 12) - (key % 12) + 12) % 12);
  return CHORD_COSTS[modeOf(key)][relative] ?? 0;
});

export interface FrameReading {
  /** Index into the templates, -1 in silence. */
  readonly template: number;
  /** 0..11 major, 12..23 minor. */
  readonly key: number;
}

/** What a frame says for each template. */
function evidence({ inside, outside, bass }: Frame, into: Float64Array): void {
  let whole = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++) whole += outside[pitchClass] ?? 0;
  for (const [index, { root, quality }] of TEMPLATES.entries()) {
    let score = -whole - (QUALITY_COSTS[index] ?? 0);
    let isBassIn = false;
    for (const [place, interval] of quality.intervals.entries()) {
      const pitchClass = (root + interval) % 12;
      const weight = inside[pitchClass] ?? 0;
      score += weight + (outside[pitchClass] ?? 0);
      if (weight === 0) score -= place < 2 ? SEARCH.absentCore : SEARCH.absent;
      if (pitchClass === bass) {
        isBassIn = true;
        score +=
          place === 0
            ? SEARCH.rootInBass
            : place === 2 && quality.intervals.length === 3
              ? SEARCH.sixFour
              : SEARCH.bassInChord;
      }
    }
    if (bass >= 0 && !isBassIn) score -= SEARCH.foreignBass;
    into[index] = score;
  }
}

/** What the sounding notes say for each key, per quarter. */
function keyEvidence(frame: Frame, key: number): number {
  const profile = PROFILES[key] ?? [];
  let score = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++)
    score += Math.min(1.5, frame.raw[pitchClass] ?? 0) * ((profile[pitchClass] ?? 0) - PROFILE_MEAN);
  return score * SEARCH.keyWeight;
}

function changeCost(frame: Frame, bassBefore: number): number {
  const base = SEARCH.change[Math.min(SEARCH.change.length - 1, frame.strength)] ?? 0;
  const moved = frame.bass >= 0 && frame.bass !== bassBefore ? SEARCH.bassMoves : 0;
  return base - moved + (frame.onset ? 0 : SEARCH.noOnset);
}

interface Search {
  scores: Float64Array;
  next: Float64Array;
  readonly evidence: Float64Array;
  readonly bestOfKey: Float64Array;
  readonly argOfKey: Int32Array;
  /** Room for `stepsWithin`, used again for every key. */
  readonly steps: Steps;
  readonly slotBest: Float64Array;
  readonly slotFrom: Int32Array;
}

interface Steps {
  readonly best: Float64Array;
  readonly from: Int32Array;
}

function bestsOfKeys({ scores, bestOfKey, argOfKey }: Search): number {
  let bestOfAll = -Infinity;
  for (const key of KEYS) {
    let arg = key * COUNT;
    for (let state = arg + 1; state < (key + 1) * COUNT; state++)
      if ((scores[state] ?? 0) > (scores[arg] ?? 0)) arg = state;
    argOfKey[key] = arg;
    bestOfKey[key] = scores[arg] ?? 0;
    bestOfAll = Math.max(bestOfAll, scores[arg] ?? 0);
  }
  return bestOfAll;
}

/** The best key to come from, and its cost paid. */
function entryOf({ bestOfKey, argOfKey }: Search, key: number): { readonly score: number; readonly from: number } {
  let score = -Infinity;
  let from = 0;
  for (const other of KEYS) {
    if (other === key) continue;
    const candidate = (bestOfKey[other] ?? 0) - (KEY_COSTS[other * KEY_COUNT + key] ?? 0) * SEARCH.keyChange;
    if (candidate > score) {
      score = candidate;
      from = argOfKey[other] ?? 0;
    }
  }
  return { score, from };
}

/** For every root the best chord of the key to come from, the step of the root paid. */
function stepsWithin({ scores, steps, slotBest, slotFrom }: Search, key: number): Steps {
  slotBest.fill(-Infinity);
  for (let index = 0; index < COUNT; index++) {
    const slot = SLOTS[index] ?? 0;
    const score = scores[key * COUNT + index] ?? 0;
    if (score > (slotBest[slot] ?? 0)) {
      slotBest[slot] = score;
      slotFrom[slot] = key * COUNT + index;
    }
  }
  const { best, from } = steps;
  best.fill(-Infinity);
  for (let to = 0; to < 12; to++) {
    for (let slot = 0; slot < SLOT_COUNT; slot++) {
      const score = (slotBest[slot] ?? 0) - (STEP_COSTS[to * SLOT_COUNT + slot] ?? 0) * SEARCH.rootStep;
      if (score > (best[to] ?? 0)) {
        best[to] = score;
        from[to] = slotFrom[slot] ?? 0;
      }
    }
  }
  return steps;
}

/** One frame further; gives for each state the state before. */
function advance(search: Search, frame: Frame, change: number, pull: readonly number[]): Uint16Array {
  const { scores, next } = search;
  const pointers = new Uint16Array(STATES);
  const half = (2 * frame.length) / 480;
  evidence(frame, search.evidence);
  const bestOfAll = bestsOfKeys(search);
  for (const key of KEYS) {
    const keyScore = ((pull[key] ?? 0) + keyEvidence(frame, key)) * (frame.length / 480);
    const entry = entryOf(search, key);
    const steps = (search.bestOfKey[key] ?? 0) < bestOfAll - BEAM ? undefined : stepsWithin(search, key);
    for (let index = 0; index < COUNT; index++) {
      const state = key * COUNT + index;
      const cost = COSTS[state] ?? 0;
      const price = change + cost * SEARCH.chordCost;
      let best = scores[state] ?? 0;
      let from = state;
      const root = ROOTS[index] ?? 0;
      if (steps !== undefined && (steps.best[root] ?? 0) - price > best) {
        best = (steps.best[root] ?? 0) - price;
        from = steps.from[root] ?? 0;
      }
      if (entry.score - price > best) {
        best = entry.score - price;
        from = entry.from;
      }
      next[state] = best + ((search.evidence[index] ?? 0) - cost * SEARCH.chordCostHeld) * half + keyScore;
      pointers[state] = from;
    }
  }
  search.scores = next;
  search.next = scores;
  return pointers;
}

/**
 * Chord and key of every frame. `pullOf` says how much each of the 24 keys is favoured in a bar, by the key that is stated or found for the
 * section, per quarter.
 */
export function chordPath(frames: readonly Frame[], pullOf: (barIndex: number) => readonly number[]): FrameReading[] {
  const search: Search = {
    scores: Float64Array.from(COSTS, (cost) => -cost * SEARCH.chordCost),
    next: new Float64Array(STATES),
    evidence: new Float64Array(COUNT),
    bestOfKey: new Float64Array(KEY_COUNT),
    argOfKey: new Int32Array(KEY_COUNT),
    steps: { best: new Float64Array(12), from: new Int32Array(12) },
    slotBest: new Float64Array(SLOT_COUNT),
    slotFrom: new Int32Array(SLOT_COUNT),
  };
  const back: (Uint16Array | undefined)[] = [];
  let bassBefore = -1;
  for (const frame of frames) {
    if (frame.inside.every((weight) => weight === 0)) {
      back.push(undefined);
      continue;
    }
    back.push(advance(search, frame, changeCost(frame, bassBefore), pullOf(frame.barIndex)));
    if (frame.bass >= 0) bassBefore = frame.bass;
  }
  let state = 0;
  for (let index = 1; index < STATES; index++)
    if ((search.scores[index] ?? 0) > (search.scores[state] ?? 0)) state = index;
  const path: FrameReading[] = [];
  for (let index = frames.length - 1; index >= 0; index--) {
    const pointers = back[index];
    path.push({ template: pointers === undefined ? -1 : state % COUNT, key: Math.floor(state / COUNT) });
    state = pointers?.[state] ?? state;
  }
  return path.reverse();
}
