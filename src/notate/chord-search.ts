/**
 * The cheapest reading of a piece as chords in keys (Viterbi over key, root and quality, in the manner of C. Raphael and J. Stoddard,
 * "Functional harmonic analysis using probabilistic models", Computer Music Journal 28(3), 2004, 45-52). A frame speaks for a chord by its
 * tones inside minus tones outside minus tones absent (B. Pardo and W. Birmingham, Computer Music Journal 26(2), 2002, 27-49), and by its bass;
 * a change costs less on a strong beat and where the bass moves (D. Temperley 2001, chapter 6: the strong beat rule), a usual chord less than a rare one.
 */
import type { Frame } from './chord-frames.ts';
import { DIRECTIONS, ROOT_STEPS, directionOf } from './chord-priors.ts';
import type { ChordRules } from './chord-rules.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import { KEY_COUNT, logProfile, modeOf } from './key-profiles.ts';
import { keyChangeCost } from './key-path.ts';

/**
 * Weights of the search. They were set by judgement and then moved a little on human analyses of seven movements and songs (1788 to 1841); half or
 * twice of most of them changes the share of right roots by less than a point.
 */
const SEARCH = {
  /** The bass is another tone than the root, the fifth of a triad, foreign. */
  bassInChord: 0.2,
  sixFour: 0.1,
  foreignBass: 0.2,
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

/** Keys whose best reading lies further behind than this are only entered anew, not followed. */
const BEAM = 9;
/** Root and direction of each template in one number, and what a step from such a slot to a root costs. */
const SLOTS = Uint8Array.from(TEMPLATES, ({ root, quality }) => root * DIRECTIONS + directionOf(quality.name));
const SLOT_COUNT = 12 * DIRECTIONS;
const STEP_COSTS = Float64Array.from({ length: 12 * SLOT_COUNT }, (_, index) => {
  const to = Math.floor(index / SLOT_COUNT);
  const slot = index % SLOT_COUNT;
  return (ROOT_STEPS[slot % DIRECTIONS]?.[(to - Math.floor(slot / DIRECTIONS) + 12) % 12] ?? 0) * SEARCH.rootStep;
});
const KEY_COSTS = Float64Array.from({ length: KEY_COUNT * KEY_COUNT }, (_, index) =>
  keyChangeCost(Math.floor(index / KEY_COUNT), index % KEY_COUNT),
);
const PROFILES = Array.from({ length: KEY_COUNT }, (_, key) => logProfile(key));
/** About the mean of the profiles, so that a key gains by its own notes and loses by foreign ones. */
const PROFILE_MEAN = -2.5;

interface Tone {
  readonly pitchClass: number;
  /** What it costs where it does not sound, and what it speaks for the chord as its bass. */
  readonly absent: number;
  readonly asBass: number;
}

/** A tone outside a chord of which only a share counts against it. */
interface Colour {
  readonly pitchClass: number;
  readonly spared: number;
}

interface SearchedChord {
  readonly cost: number;
  readonly tones: readonly Tone[];
  readonly colours: readonly Colour[];
}

/** The rules of a style as the loops want them. */
interface Tables {
  readonly count: number;
  readonly chords: readonly SearchedChord[];
  /** What each chord costs in each key, key by key, once; and what share of it for each half beat that it lasts. */
  readonly prices: Float64Array;
}

function searchedChord({ root, quality, members }: Template, rules: ChordRules): SearchedChord {
  const { intervals } = quality;
  const hasColours = intervals.length > 3;
  return {
    cost: rules.byQuality[quality.name] ?? quality.cost,
    tones: intervals.map((interval, place): Tone => {
      const other = place === 2 && intervals.length === 3 ? SEARCH.sixFour : SEARCH.bassInChord;
      return {
        pitchClass: (root + interval) % 12,
        absent: rules.absent[place] ?? 0,
        asBass: place === 0 ? rules.rootInBass : other,
      };
    }),
    colours: rules.colour.flatMap((counted, interval): Colour[] => {
      const pitchClass = (root + interval) % 12;
      return hasColours && counted < 1 && members[pitchClass] === 0 ? [{ pitchClass, spared: 1 - counted }] : [];
    }),
  };
}

function tablesOf(rules: ChordRules): Tables {
  const { count } = rules;
  const prices = Float64Array.from({ length: KEY_COUNT * count }, (_, state) => {
    const key = Math.floor(state / count);
    const index = state % count;
    const relative = Math.floor(index / 12) * 12 + (((index % 12) - (key % 12) + 12) % 12);
    return (rules.inKey[modeOf(key)][relative] ?? 0) * SEARCH.chordCost;
  });
  return {
    count,
    chords: TEMPLATES.slice(0, count).map((template) => searchedChord(template, rules)),
    prices,
  };
}

const known = new Map<ChordRules, Tables>();

function knownTables(rules: ChordRules): Tables {
  const tables = known.get(rules) ?? tablesOf(rules);
  known.set(rules, tables);
  return tables;
}

export interface FrameReading {
  /** Index into the templates, -1 in silence. */
  readonly template: number;
  /** 0..11 major, 12..23 minor. */
  readonly key: number;
}

/** What a frame says for each template. */
function evidence(
  { inside, outside, bass, bassWeight }: Frame,
  chords: readonly SearchedChord[],
  into: Float64Array,
): void {
  let whole = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++) whole += outside[pitchClass] ?? 0;
  let index = 0;
  for (const { cost, tones, colours } of chords) {
    let score = -whole - cost;
    let isBassIn = false;
    for (const { pitchClass, absent, asBass } of tones) {
      const weight = inside[pitchClass] ?? 0;
      score += weight + (outside[pitchClass] ?? 0);
      if (weight === 0) score -= absent;
      if (pitchClass === bass) {
        isBassIn = true;
        score += asBass * bassWeight;
      }
    }
    for (const { pitchClass, spared } of colours) score += (outside[pitchClass] ?? 0) * spared;
    if (bass >= 0 && !isBassIn) score -= SEARCH.foreignBass;
    into[index++] = score;
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

function changeCost(frame: Frame, bassBefore: number, change: readonly number[]): number {
  const base = change[Math.min(change.length - 1, frame.strength)] ?? 0;
  const moved = frame.bass >= 0 && frame.bass !== bassBefore ? SEARCH.bassMoves : 0;
  return base - moved + (frame.onset ? 0 : SEARCH.noOnset);
}

interface Search {
  readonly tables: Tables;
  scores: Float64Array;
  next: Float64Array;
  readonly evidence: Float64Array;
  readonly bestOfKey: Float64Array;
  readonly argOfKey: Int32Array;
  /** What the frame says for each template, as long as it lasts. */
  readonly gained: Float64Array;
  /** Best way into a chord by its root, from another chord of its key or from another key; used again for every key. */
  readonly waysIn: Float64Array;
  readonly waysFrom: Uint16Array;
  readonly slotBest: Float64Array;
  readonly slotFrom: Uint16Array;
}

// The loops below run for every frame, key and chord; their indices lie within the arrays.

function bestsOfKeys({ tables: { count }, scores, bestOfKey, argOfKey }: Search): number {
  let bestOfAll = -Infinity;
  for (let key = 0; key < KEY_COUNT; key++) {
    let arg = key * count;
    let best = scores[arg] as number;
    for (let state = arg + 1; state < (key + 1) * count; state++) {
      const score = scores[state] as number;
      if (score > best) {
        best = score;
        arg = state;
      }
    }
    argOfKey[key] = arg;
    bestOfKey[key] = best;
    bestOfAll = Math.max(bestOfAll, best);
  }
  return bestOfAll;
}

/** The best chord of the key to come from for every root, the step of the root paid. */
function stepsWithin({ tables: { count }, scores, waysIn, waysFrom, slotBest, slotFrom }: Search, key: number): void {
  slotBest.fill(-Infinity);
  const start = key * count;
  for (let index = 0; index < count; index++) {
    const slot = SLOTS[index] as number;
    const score = scores[start + index] as number;
    if (score > (slotBest[slot] as number)) {
      slotBest[slot] = score;
      slotFrom[slot] = start + index;
    }
  }
  let at = 0;
  for (let to = 0; to < 12; to++) {
    let best = -Infinity;
    let from = 0;
    for (let slot = 0; slot < SLOT_COUNT; slot++) {
      const score = (slotBest[slot] as number) - (STEP_COSTS[at++] as number);
      if (score > best) {
        best = score;
        from = slotFrom[slot] as number;
      }
    }
    waysIn[to] = best;
    waysFrom[to] = from;
  }
}

/** Where the best key to come from is better than any chord of the key itself, it takes its place. */
function entriesInto({ bestOfKey, argOfKey, waysIn, waysFrom }: Search, key: number): void {
  let entry = -Infinity;
  let from = 0;
  for (let other = 0; other < KEY_COUNT; other++) {
    if (other === key) continue;
    const score = (bestOfKey[other] as number) - (KEY_COSTS[other * KEY_COUNT + key] as number) * SEARCH.keyChange;
    if (score > entry) {
      entry = score;
      from = argOfKey[other] as number;
    }
  }
  for (let root = 0; root < 12; root++) {
    if (entry <= (waysIn[root] as number)) continue;
    waysIn[root] = entry;
    waysFrom[root] = from;
  }
}

/** One frame further; gives for each state the state before. Templates stand quality by quality, each on its twelve roots. */
function advance(search: Search, frame: Frame, change: number, pull: readonly number[]): Uint16Array {
  const { tables, scores, next, evidence: spoken, gained, waysIn, waysFrom, bestOfKey } = search;
  const { count, prices } = tables;
  const pointers = new Uint16Array(KEY_COUNT * count);
  const half = (2 * frame.length) / 480;
  const held = (half * SEARCH.chordCostHeld) / SEARCH.chordCost;
  evidence(frame, tables.chords, spoken);
  for (let index = 0; index < count; index++) gained[index] = (spoken[index] as number) * half;
  const followed = bestsOfKeys(search) - BEAM;
  let state = 0;
  for (let key = 0; key < KEY_COUNT; key++) {
    const keyScore = ((pull[key] ?? 0) + keyEvidence(frame, key)) * (frame.length / 480);
    if ((bestOfKey[key] as number) < followed) waysIn.fill(-Infinity);
    else stepsWithin(search, key);
    entriesInto(search, key);
    for (let root = 0; root < 12; root++) waysIn[root] = (waysIn[root] as number) - change;
    for (let index = 0, root = 0; index < count; index++, state++) {
      const price = prices[state] as number;
      const entered = (waysIn[root] as number) - price;
      const stayed = scores[state] as number;
      const gain = (gained[index] as number) - price * held + keyScore;
      if (entered > stayed) {
        next[state] = entered + gain;
        pointers[state] = waysFrom[root] as number;
      } else {
        next[state] = stayed + gain;
        pointers[state] = state;
      }
      root = root === 11 ? 0 : root + 1;
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
export function chordPath(
  frames: readonly Frame[],
  pullOf: (barIndex: number) => readonly number[],
  rules: ChordRules,
): FrameReading[] {
  const tables = knownTables(rules);
  const { count } = tables;
  const states = KEY_COUNT * count;
  const search: Search = {
    tables,
    scores: tables.prices.map((price) => -price),
    next: new Float64Array(states),
    evidence: new Float64Array(count),
    gained: new Float64Array(count),
    bestOfKey: new Float64Array(KEY_COUNT),
    argOfKey: new Int32Array(KEY_COUNT),
    waysIn: new Float64Array(12),
    waysFrom: new Uint16Array(12),
    slotBest: new Float64Array(SLOT_COUNT),
    slotFrom: new Uint16Array(SLOT_COUNT),
  };
  const back: (Uint16Array | undefined)[] = [];
  let bassBefore = -1;
  for (const frame of frames) {
    if (frame.inside.every((weight) => weight === 0)) {
      back.push(undefined);
      continue;
    }
    back.push(advance(search, frame, changeCost(frame, bassBefore, rules.change), pullOf(frame.barIndex)));
    if (frame.bass >= 0) bassBefore = frame.bass;
  }
  let state = 0;
  for (let index = 1; index < states; index++)
    if ((search.scores[index] ?? 0) > (search.scores[state] ?? 0)) state = index;
  const path: FrameReading[] = [];
  for (let index = frames.length - 1; index >= 0; index--) {
    const pointers = back[index];
    path.push({ template: pointers === undefined ? -1 : state % count, key: Math.floor(state / count) });
    state = pointers?.[state] ?? state;
  }
  return path.reverse();
}
