/** What a drummer plays bar after bar, in words: the short score has no staff for it, and its reader wants the groove. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { percussionKey } from '../../model/music/percussion-keys.ts';
import { DIVISIONS_PER_QUARTER, type StaffName, type WrittenPart } from '../../model/music/written.ts';
import { barIndexAtDivision, type GridBar, type ScoreTime } from '../score-time/score-time.ts';

/** What is told together, in the order in which it is told; keys of General MIDI's percussion map. Cymbals that are crashed and toms are fills. */
const SOUNDS: readonly (readonly [name: string, keys: readonly number[]])[] = [
  ['hi-hat', [42, 46]],
  ['ride', [51, 53, 59]],
  ['snare', [38, 40]],
  ['side stick', [37]],
  ['bass drum', [35, 36]],
  ['hi-hat foot', [44]],
];
const FILLS: ReadonlySet<number> = new Set([41, 43, 45, 47, 48, 49, 50, 52, 55, 57]);
const NAME_BY_KEY = new Map(SOUNDS.flatMap(([name, keys]) => keys.map((key) => [key, name] as const)));
const ORDER = new Map(SOUNDS.map(([name], place) => [name, place]));

/** Of more sounds the first ones are told. */
const MOST_TOLD = 4;
/** A groove stands where a sound has the same places in so many of so many bars from it on. Of our own. */
const STANDS_IN = 3;
const OF_BARS = 4;

/** Words for strokes on every such value, in quarters. */
const EVERY: readonly (readonly [quarters: number, word: string])[] = [
  [1, 'quarters'],
  [0.5, 'eighths'],
  [0.25, 'sixteenths'],
];
/** How the fourths of a beat are counted (common practice, no source). */
const COUNTED = ['', 'e', '+', 'a'];

/** `2 4`, `1 2+`, `eighths`; undefined where strokes stand between those places. Places in divisions of the bar. */
function placesText(places: readonly number[], { length, meter }: GridBar): string | undefined {
  for (const [quarters, word] of EVERY) {
    const step = quarters * DIVISIONS_PER_QUARTER;
    const areEvery = (from: number, apart: number): boolean =>
      places.length > 1 &&
      places.length * apart === length &&
      places.every((place, index) => place === from + index * apart);
    if (areEvery(0, step)) return word;
    if (quarters === 0.5 && areEvery(step, 2 * step)) return 'offbeats';
  }
  const beat = (4 / meter.denominator) * DIVISIONS_PER_QUARTER;
  const counted = places.map((place) => {
    const fourth = ((place % beat) / beat) * 4;
    return Number.isInteger(fourth) ? `${String(Math.floor(place / beat) + 1)}${COUNTED[fourth] ?? ''}` : undefined;
  });
  return counted.includes(undefined) ? undefined : counted.join(' ');
}

type BarStrokes = ReadonlyMap<string, string>;

/** For each bar what is struck where, by the name of the sound. */
function strokesByBar({ notes }: WrittenPart, time: ScoreTime): BarStrokes[] {
  const places = time.bars.map(() => new Map<string, Set<number>>());
  for (const { midi, start } of notes) {
    if (FILLS.has(midi)) continue;
    const index = barIndexAtDivision(time, start);
    const name = NAME_BY_KEY.get(midi) ?? percussionKey(midi).name.toLowerCase();
    const own = places[index]?.get(name) ?? new Set<number>();
    own.add(start - (time.bars[index]?.start ?? 0));
    places[index]?.set(name, own);
  }
  return time.bars.map((bar, index) => {
    const texts = [...(places[index] ?? [])].flatMap(([name, own]) => {
      const text = placesText(
        [...own].sort((a, b) => a - b),
        bar,
      );
      return text === undefined ? [] : [[name, text] as const];
    });
    return new Map(texts);
  });
}

/** Sounds that have the same places in most of the bars from one on, each with its places, in the order in which they are told. */
function grooveFrom(strokes: readonly BarStrokes[], bar: number): readonly (readonly [name: string, places: string])[] {
  const ahead = strokes.slice(bar, bar + OF_BARS);
  const counts = new Map<string, { readonly told: readonly [string, string]; count: number }>();
  for (const told of ahead.flatMap((own) => [...own])) {
    const key = told.join(' ');
    const known = counts.get(key) ?? { told, count: 0 };
    known.count++;
    counts.set(key, known);
  }
  const rank = ([name]: readonly [string, string]): number => ORDER.get(name) ?? SOUNDS.length;
  return [...counts.values()]
    .filter(({ count }) => count >= STANDS_IN)
    .map(({ told }) => told)
    .sort((one, other) => rank(one) - rank(other))
    .slice(0, MOST_TOLD);
}

/**
 * Grooves of an unpitched part by bar index: told where the first one stands and wherever another takes its place for bars (`hi-hat eighths,
 * snare 2 4, bass drum 1 3`); undefined where nothing new is told.
 */
function groovesOf(part: Part, written: WrittenPart, time: ScoreTime): (string | undefined)[] {
  if (!part.unpitched) return time.bars.map(() => undefined);
  const strokes = strokesByBar(written, time);
  const grooves = strokes.map((_, bar) => grooveFrom(strokes, bar));
  const textAt = (bar: number): string => (grooves[bar] ?? []).map((sound) => sound.join(' ')).join(', ');
  let told: ReadonlySet<string> = new Set();
  return strokes.map((own, bar) => {
    const sounds = grooves[bar] ?? [];
    const text = textAt(bar);
    const isPlayed = ([name, places]: readonly [string, string]): boolean => own.get(name) === places;
    // The first groove is told where it begins, though a sound of it may be missing in that bar; another one where all of it is played.
    if (sounds.length === 0 || !(told.size === 0 ? sounds.some(isPlayed) : sounds.every(isPlayed))) return undefined;
    const isNew = sounds.some((sound) => !told.has(sound.join(' ')));
    // Where nothing is new, sounds stopped: not because the bars ahead already have another groove.
    const isSettled = [1, 2, 3].slice(0, isNew ? 1 : 3).every((later) => textAt(bar + later) === text);
    if (text === [...told].join(', ') || (told.size > 0 && !isSettled)) return undefined;
    told = new Set(sounds.map((sound) => sound.join(' ')));
    return text;
  });
}

/** Grooves of the drums over a staff, by bar index. */
export function drumNames(
  stage: Stage,
  written: readonly WrittenPart[],
  time: ScoreTime,
  labels: ReadonlyMap<string, string>,
  staff: number,
): StaffName[][] {
  const names = time.bars.map((): StaffName[] => []);
  for (const [index, part] of stage.parts.entries()) {
    const own = written[index];
    if (own === undefined) continue;
    for (const [bar, groove] of groovesOf(part, own, time).entries()) {
      if (groove === undefined) continue;
      const start = time.bars[bar]?.start ?? 0;
      names[bar]?.push({ start, staff, text: `${labels.get(part.id) ?? part.id}: ${groove}`, place: 'above' });
    }
  }
  return names;
}
