/**
 * The cheapest reading of a piece as chords in keys (Viterbi over key, root and quality, in the manner of C. Raphael and J. Stoddard,
 * "Functional harmonic analysis using probabilistic models", Computer Music Journal 28(3), 2004, 45-52). A frame speaks for a chord by its
 * tones inside minus tones outside minus tones absent (B. Pardo and W. Birmingham, Computer Music Journal 26(2), 2002, 27-49), and by its bass;
 * a change costs less on a strong beat and where the bass moves (D. Temperley 2001, chapter 6: the strong beat rule), a usual chord less than a rare one.
 */
import type { Frame } from './chord-frames.ts';
import { MOST_CLASS_WEIGHT } from './chord-frames.ts';
import { DIRECTIONS, ROOT_STEPS, directionOf } from './chord-priors.ts';
import type { ChordRules } from './chord-rules.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import { KEY_COUNT, logProfile, modeOf } from '../keys/key-profiles.ts';
import { keyChangeCost } from '../keys/key-path.ts';

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
/** How much dearer one step, or one change of key, can be than another. */
const STEP_SPAN = 1.001 * (Math.max(...STEP_COSTS) - Math.min(...STEP_COSTS));
const KEY_COSTS = Float64Array.from(
  { length: KEY_COUNT * KEY_COUNT },
  (_, index) => keyChangeCost(Math.floor(index / KEY_COUNT), index % KEY_COUNT) * SEARCH.keyChange,
);
const KEY_SPAN = 1.001 * (Math.max(...KEY_COSTS) - Math.min(...KEY_COSTS));
const PROFILES = Array.from({ length: KEY_COUNT }, (_, key) => logProfile(key));
/** About the mean of the profiles, so that a key gains by its own notes and loses by foreign ones. */
const PROFILE_MEAN = -2.5;

/** A tone outside a chord of which only a share counts against it. */
interface Colour {
  readonly pitchClass: number;
  readonly spared: number;
}

const NO_COLOURS: readonly Colour[] = [];

/** The rules of a style as the loops want them. */
interface Tables {
  readonly count: number;
  /** What each chord costs, and where its tones begin and end in the three lists. */
  readonly costs: Float64Array;
  readonly starts: Uint16Array;
  readonly classes: Uint8Array;
  /** What a tone costs where it does not sound, and what it speaks for the chord as its bass. */
  readonly absents: Float64Array;
  readonly asBass: Float64Array;
  /** Of chords that have any. */
  readonly colours: readonly (readonly Colour[] | undefined)[];
  /** What each chord costs in each key, key by key, once; and what share of it for each half beat that it lasts. */
  readonly prices: Float64Array;
}

function asBassOf(place: number, tones: number, rules: ChordRules): number {
  if (place === 0) return rules.rootInBass;
  return place === 2 && tones === 3 ? SEARCH.sixFour : SEARCH.bassInChord;
}

function coloursOf({ root, quality, members }: Template, rules: ChordRules): readonly Colour[] | undefined {
  if (quality.intervals.length <= 3) return undefined;
  const colours = rules.colour.flatMap((counted, interval): Colour[] => {
    const pitchClass = (root + interval) % 12;
    return counted < 1 && members[pitchClass] === 0 ? [{ pitchClass, spared: 1 - counted }] : [];
  });
  return colours.length === 0 ? undefined : colours;
}

function tablesOf(rules: ChordRules): Tables {
  const { count } = rules;
  const templates = TEMPLATES.slice(0, count);
  const starts = new Uint16Array(count + 1);
  for (const [index, { quality }] of templates.entries())
    starts[index + 1] = (starts[index] as number) + quality.intervals.length;
  const places = templates.flatMap(({ quality }) => quality.intervals.map((_, place) => ({ place, quality })));
  const prices = Float64Array.from({ length: KEY_COUNT * count }, (_, state) => {
    const key = Math.floor(state / count);
    const index = state % count;
    const relative = Math.floor(index / 12) * 12 + (((index % 12) - (key % 12) + 12) % 12);
    return (rules.inKey[modeOf(key)][relative] ?? 0) * SEARCH.chordCost;
  });
  return {
    count,
    costs: Float64Array.from(templates, ({ quality }) => rules.byQuality[quality.name] ?? quality.cost),
    starts,
    classes: Uint8Array.from(
      templates.flatMap(({ root, quality }) => quality.intervals.map((interval) => (root + interval) % 12)),
    ),
    absents: Float64Array.from(places, ({ place }) => rules.absent[place] ?? 0),
    asBass: Float64Array.from(places, ({ place, quality }) => asBassOf(place, quality.intervals.length, rules)),
    colours: templates.map((template) => coloursOf(template, rules)),
    prices,
  };
}

const known = new Map<ChordRules, Tables>();

function knownTables(rules: ChordRules): Tables {
  const tables = known.get(rules) ?? tablesOf(rules);
  known.set(rules, tables);
  return tables;
}

/**
 * Sees the score of every state after a frame, key by key, then template by template, and may take states out of the search by setting theirs to
 * minus infinity: so a search that is asked again tells what another chord would have cost.
 */
export type VisitFrame = (frame: number, scores: Float64Array) => void;

export interface FrameReading {
  /** Index into the templates, -1 in silence. */
  readonly template: number;
  /** 0..11 major, 12..23 minor. */
  readonly key: number;
}

/** What a frame says for each template. */
function evidence({ inside, outside, bass, bassWeight }: Frame, tables: Tables, into: Float64Array): void {
  const { count, costs, starts, classes, absents, asBass, colours } = tables;
  let whole = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++) whole += outside[pitchClass] ?? 0;
  for (let index = 0; index < count; index++) {
    let score = -whole - (costs[index] as number);
    let isBassIn = false;
    for (let tone = starts[index] as number; tone < (starts[index + 1] as number); tone++) {
      const pitchClass = classes[tone] as number;
      const weight = inside[pitchClass] as number;
      score += weight + (outside[pitchClass] as number);
      if (weight === 0) score -= absents[tone] as number;
      if (pitchClass === bass) {
        isBassIn = true;
        score += (asBass[tone] as number) * bassWeight;
      }
    }
    for (const { pitchClass, spared } of colours[index] ?? NO_COLOURS) score += (outside[pitchClass] ?? 0) * spared;
    if (bass >= 0 && !isBassIn) score -= SEARCH.foreignBass;
    into[index] = score;
  }
}

/** What the sounding notes say for each key, per quarter. */
function keyEvidence(frame: Frame, key: number): number {
  const profile = PROFILES[key] ?? [];
  let score = 0;
  for (let pitchClass = 0; pitchClass < 12; pitchClass++)
    score += Math.min(MOST_CLASS_WEIGHT, frame.raw[pitchClass] ?? 0) * ((profile[pitchClass] ?? 0) - PROFILE_MEAN);
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
  /** Keys that another may be entered from. */
  readonly sources: Uint8Array;
  sourceCount: number;
  /** What the frame says for each template, as long as it lasts. */
  readonly gained: Float64Array;
  /** Best way into a chord by its root, from another chord of its key or from another key; used again for every key. */
  readonly waysIn: Float64Array;
  readonly waysFrom: Uint16Array;
  readonly slotBest: Float64Array;
  readonly slotFrom: Uint16Array;
  readonly live: Uint8Array;
  /** Frame by frame: 1 where the chord of a state was entered there, 0 where it lasts; and from which state each root of each key is entered. */
  readonly entered: Uint8Array;
  readonly entries: Uint16Array;
}

// The loops below run for every frame, key and chord; their indices lie within the arrays.

/** The best chord of each key, and the keys that another may be entered from; gives the best of all. */
function bestsOfKeys(search: Search): number {
  const { scores, bestOfKey, argOfKey, sources } = search;
  const { count } = search.tables;
  let first = -Infinity;
  let second = -Infinity;
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
    second = Math.max(second, Math.min(first, best));
    first = Math.max(first, best);
  }
  search.sourceCount = 0;
  for (let key = 0; key < KEY_COUNT; key++)
    if ((bestOfKey[key] as number) >= second - KEY_SPAN) sources[search.sourceCount++] = key;
  return first;
}

/** The best chord of the key to come from for every root, the step of the root paid. */
function stepsWithin(search: Search, key: number): void {
  const { scores, waysIn, waysFrom, slotBest, slotFrom, live } = search;
  const { count } = search.tables;
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
  // What lies further behind than any step can make good is nobody's best.
  const least = (search.bestOfKey[key] as number) - STEP_SPAN;
  let alive = 0;
  for (let slot = 0; slot < SLOT_COUNT; slot++) if ((slotBest[slot] as number) >= least) live[alive++] = slot;
  for (let to = 0; to < 12; to++) {
    let best = -Infinity;
    let from = 0;
    for (let at = 0; at < alive; at++) {
      const slot = live[at] as number;
      const score = (slotBest[slot] as number) - (STEP_COSTS[to * SLOT_COUNT + slot] as number);
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
function entriesInto({ bestOfKey, argOfKey, waysIn, waysFrom, sources, sourceCount }: Search, key: number): void {
  let entry = -Infinity;
  let from = 0;
  for (let at = 0; at < sourceCount; at++) {
    const other = sources[at] as number;
    if (other === key) continue;
    const score = (bestOfKey[other] as number) - (KEY_COSTS[other * KEY_COUNT + key] as number);
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

/**
 * One frame further, with its ways back written from the places `at` of a stage on. Templates stand quality by quality, each on its twelve roots.
 */
function advance(search: Search, frame: Frame, change: number, pull: readonly number[], at: number): void {
  const { tables, scores, next, evidence: spoken, gained, waysIn, waysFrom, bestOfKey } = search;
  const { count, prices } = tables;
  const { entered, entries } = search;
  const half = (2 * frame.length) / 480;
  const held = (half * SEARCH.chordCostHeld) / SEARCH.chordCost;
  evidence(frame, tables, spoken);
  for (let index = 0; index < count; index++) gained[index] = (spoken[index] as number) * half;
  const followed = bestsOfKeys(search) - BEAM;
  let state = 0;
  let flag = at * KEY_COUNT * count;
  for (let key = 0; key < KEY_COUNT; key++) {
    const keyScore = ((pull[key] ?? 0) + keyEvidence(frame, key)) * (frame.length / 480);
    if ((bestOfKey[key] as number) < followed) waysIn.fill(-Infinity);
    else stepsWithin(search, key);
    entriesInto(search, key);
    entries.set(waysFrom, (at * KEY_COUNT + key) * 12);
    for (let root = 0; root < 12; root++) waysIn[root] = (waysIn[root] as number) - change;
    for (let index = 0; index < count;) {
      for (let root = 0; root < 12; root++, index++, state++, flag++) {
        const price = prices[state] as number;
        const way = (waysIn[root] as number) - price;
        const stayed = scores[state] as number;
        const gain = (gained[index] as number) - price * held + keyScore;
        if (way > stayed) {
          next[state] = way + gain;
          entered[flag] = 1;
        } else next[state] = stayed + gain;
      }
    }
  }
  search.scores = next;
  search.next = scores;
}

function isSilent({ inside }: Frame): boolean {
  return inside.every((weight) => weight === 0);
}

/**
 * Chord and key of every frame. `pullOf` says how much each of the 24 keys is favoured in a bar, by the key that is stated or found for the
 * section, per quarter. `visit` is called after each frame that sounds.
 */
export function chordPath(
  frames: readonly Frame[],
  pullOf: (barIndex: number) => readonly number[],
  rules: ChordRules,
  visit?: VisitFrame,
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
    sources: new Uint8Array(KEY_COUNT),
    sourceCount: 0,
    waysIn: new Float64Array(12),
    waysFrom: new Uint16Array(12),
    slotBest: new Float64Array(SLOT_COUNT),
    slotFrom: new Uint16Array(SLOT_COUNT),
    live: new Uint8Array(SLOT_COUNT),
    entered: new Uint8Array(frames.length * states),
    entries: new Uint16Array(frames.length * KEY_COUNT * 12),
  };
  let bassBefore = -1;
  for (const [at, frame] of frames.entries()) {
    if (isSilent(frame)) continue;
    advance(search, frame, changeCost(frame, bassBefore, rules.change), pullOf(frame.barIndex), at);
    visit?.(at, search.scores);
    if (frame.bass >= 0) bassBefore = frame.bass;
  }
  let state = 0;
  for (let index = 1; index < states; index++)
    if ((search.scores[index] ?? 0) > (search.scores[state] ?? 0)) state = index;
  const path: FrameReading[] = [];
  for (let at = frames.length - 1; at >= 0; at--) {
    const frame = frames[at];
    const key = Math.floor(state / count);
    if (frame === undefined || isSilent(frame)) {
      path.push({ template: -1, key });
      continue;
    }
    path.push({ template: state % count, key });
    if (search.entered[at * states + state] === 1)
      state = search.entries[(at * KEY_COUNT + key) * 12 + ((state % count) % 12)] ?? 0;
  }
  return path.reverse();
}
