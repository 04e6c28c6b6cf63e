/** Faults for hands, lips and lungs. What an instrument can is from the catalogue of published ranges; the rest is common practice, no source. */
import type { HeldKey } from './midi-folder.ts';
import type { Place, Plant, Scene, SceneTrack } from './scene.ts';
import { isPitched, isSingle, moved, notesIn, placeFor, planted, soundingShare } from './scene.ts';

const WINDS: ReadonlySet<string> = new Set(['woodwind', 'brass']);
const isWind = ({ instrument }: SceneTrack): boolean => WINDS.has(instrument.family);
const isBlown = (track: SceneTrack): boolean => isWind(track) || track.instrument.family === 'voice';

function secondsOf({ bars }: Scene, { first, last }: Place): number {
  return bars.slice(first, last + 1).reduce((sum, bar) => sum + bar.lengthSeconds, 0);
}

const RANGE_RULES = ['outside-range'];

/** Octaves by which these notes leave the range, two of them at least and by two semitones. */
function octaveOut(scene: Scene, { track, first, last }: Place, sign: 1 | -1): number | undefined {
  const range = track.instrument.extremeRange;
  const notes = notesIn(scene, track, first, last);
  if (range === undefined || !isPitched(track) || notes.length < 2) return undefined;
  const extension = track.instrument.extension;
  const low = Math.min(range.low, extension?.low ?? range.low);
  const high = Math.max(range.high, extension?.high ?? range.high);
  return [12, 24].find((by) => {
    const out = notes.filter(({ midi }) => midi + sign * by < low - 1 || midi + sign * by > high + 1);
    return out.length >= 2 && notes.every(({ midi }) => midi + sign * by > 10 && midi + sign * by < 118);
  });
}

function outOfRange(scene: Scene, sign: 1 | -1): ReturnType<Plant['plant']> {
  const place = placeFor(scene, 2, (at) => octaveOut(scene, at, sign) !== undefined);
  const by = place === undefined ? undefined : octaveOut(scene, place, sign);
  return planted(scene, place, (notes) => moved(notes, sign * (by ?? 0)));
}

/** Even values of this length from the beginning to the end of the place. */
function evenly(
  scene: Scene,
  { first, last }: Place,
  quarters: number,
  like: HeldKey | undefined,
  midiAt: (index: number) => number,
): HeldKey[] {
  const [from, to] = [scene.bars[first]?.from ?? 0, scene.bars[last]?.to ?? 0];
  const count = Math.floor((to - from) / quarters + 1e-6);
  return Array.from({ length: count }, (_, index) => ({
    midi: midiAt(index),
    velocity: like?.velocity ?? 64,
    channel: like?.channel ?? 0,
    start: from + index * quarters,
    end: from + (index + 0.9) * quarters,
  }));
}

/** Lowest and second string of a bowed instrument and the guitar, after published tunings (reference table of open strings). */
const LOW_STRINGS: Readonly<Record<string, readonly [number, number]>> = {
  violin: [55, 62],
  viola: [48, 55],
  cello: [36, 43],
  'classical-guitar': [40, 45],
  'acoustic-guitar': [40, 45],
};

function highPlace(scene: Scene, { track, first, last }: Place): number | undefined {
  const { extremeRange: range, practicalRange: comfort } = track.instrument;
  const notes = notesIn(scene, track, first, last);
  if (range === undefined || comfort === undefined || notes.length < 6) return undefined;
  const sorted = notes.map(({ midi }) => midi).sort((a, b) => a - b);
  const middle = sorted[Math.floor(sorted.length / 2)] ?? 0;
  const top = sorted.at(-1) ?? 0;
  // As high as it goes without leaving the range.
  return [12, 9, 7, 5].find((by) => top + by <= range.high && middle + by >= comfort.high - 3);
}

export const UNPLAYABLE: readonly Plant[] = [
  { name: 'too low', group: 'unplayable', rules: RANGE_RULES, plant: (scene) => outOfRange(scene, -1) },
  { name: 'too high', group: 'unplayable', rules: RANGE_RULES, plant: (scene) => outOfRange(scene, 1) },
  {
    name: 'two notes on a wind',
    group: 'unplayable',
    rules: ['too-many-notes'],
    plant: (scene) => {
      const held = (at: Place): readonly HeldKey[] =>
        notesIn(scene, at.track, at.first, at.last).filter(({ start, end }) => end - start >= 0.8);
      const place = placeFor(
        scene,
        2,
        (at) => isWind(at.track) && isSingle(at.track) && at.track.players === 1 && held(at).length >= 2,
      );
      return planted(scene, place, (notes) => [
        ...notes,
        ...moved(
          notes.filter(({ start, end }) => end - start >= 0.8),
          -4,
        ),
      ]);
    },
  },
  {
    name: 'two notes on one string',
    group: 'unplayable',
    rules: ['one-string', 'double-stop', 'too-many-notes'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        1,
        (at) =>
          LOW_STRINGS[at.track.instrument.id] !== undefined &&
          at.track.players === 1 &&
          notesIn(scene, at.track, at.first, at.last).length > 0,
      );
      const strings = LOW_STRINGS[place?.track.instrument.id ?? ''];
      return planted(scene, place, (notes) =>
        place === undefined || strings === undefined
          ? notes
          : evenly(scene, place, scene.bars[place.first]?.lengthQuarters ?? 4, notes[0], () => strings[0] + 1).flatMap(
              (note) => [note, { ...note, midi: strings[1] - 1 }],
            ),
      );
    },
  },
  {
    name: 'a chord too wide',
    group: 'unplayable',
    rules: ['hand-span'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        1,
        (at) => at.track.instrument.id === 'piano' && notesIn(scene, at.track, at.first, at.last).length > 2,
      );
      return planted(scene, place, (notes) => {
        const root = 36 + ((notes[0]?.midi ?? 0) % 12);
        return place === undefined
          ? notes
          : evenly(scene, place, scene.bars[place.first]?.lengthQuarters ?? 4, notes[0], () => root).flatMap((note) =>
              [0, 19, 36, 55].map((by) => ({ ...note, midi: root + by })),
            );
      });
    },
  },
  {
    name: 'no breath',
    group: 'unplayable',
    rules: ['breath', 'stamina', 'never-rests'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        8,
        (at) =>
          isBlown(at.track) &&
          isSingle(at.track) &&
          at.track.players === 1 &&
          secondsOf(scene, at) >= 22 &&
          soundingShare(scene, at.track, at.first, at.last) > 0.6,
      );
      return planted(scene, place, (notes) =>
        notes.map((note, index) => ({ ...note, end: notes[index + 1]?.start ?? note.end })),
      );
    },
  },
  {
    name: 'repeated too fast',
    group: 'unplayable',
    rules: ['repeated-notes'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        2,
        (at) => isWind(at.track) && at.track.players === 1 && notesIn(scene, at.track, at.first, at.last).length >= 4,
      );
      const tempo = scene.bars[place?.first ?? 0]?.tempo ?? 90;
      const quarters = [0.25, 0.125, 0.0625].find((size) => tempo / 60 / size >= 15) ?? 0.0625;
      return planted(scene, place, (notes) =>
        place === undefined ? notes : evenly(scene, place, quarters, notes[0], () => notes[0]?.midi ?? 60),
      );
    },
  },
  {
    name: 'leaps without time',
    group: 'unplayable',
    rules: ['wide-leap', 'restless-part'],
    plant: (scene) => {
      const low = (track: SceneTrack): number => (track.instrument.practicalRange?.low ?? 0) + 1;
      const place = placeFor(
        scene,
        2,
        (at) =>
          isBlown(at.track) &&
          isSingle(at.track) &&
          low(at.track) + 19 <= (at.track.instrument.practicalRange?.high ?? 0) &&
          notesIn(scene, at.track, at.first, at.last).length >= 4,
      );
      return planted(scene, place, (notes) =>
        place === undefined
          ? notes
          : evenly(scene, place, 0.5, notes[0], (index) => low(place.track) + (index % 2 === 0 ? 0 : 19)),
      );
    },
  },
  {
    name: 'high for long',
    group: 'unplayable',
    rules: ['tessitura', 'edge-of-range', 'brass-endurance', 'stamina', 'outside-range'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        8,
        (at) =>
          isBlown(at.track) &&
          soundingShare(scene, at.track, at.first, at.last) > 0.6 &&
          highPlace(scene, at) !== undefined,
      );
      const by = place === undefined ? 0 : (highPlace(scene, place) ?? 0);
      return planted(scene, place, (notes) => moved(notes, by));
    },
  },
];
