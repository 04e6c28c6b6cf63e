/** Faults that keep a line from being heard (common practice, no source). */
import type { HeldKey } from './midi-folder.ts';
import type { Place, Plant, Planting, Scene, SceneTrack } from './scene.ts';
import {
  changed,
  comesIn,
  isBackground,
  isPitched,
  leadsThrough,
  moved,
  notesIn,
  placeFor,
  plantedAt,
  planted,
  soundingShare,
} from './scene.ts';

const COVER_RULES = ['background-as-loud', 'background-covers', 'support-over-lead'];
const ABOVE_RULES = ['background-above-melody', 'covered-from-above', ...COVER_RULES];

function pitchesOf(notes: readonly HeldKey[]): { readonly low: number; readonly high: number } {
  const midi = notes.map((note) => note.midi);
  return { low: Math.min(...midi), high: Math.max(...midi) };
}

/** The one who leads throughout, not with drums and not alone. */
function leaderAt(scene: Scene, { first, last }: Place): SceneTrack | undefined {
  return leadsThrough(scene, first, last).find(
    (track) => isPitched(track) && soundingShare(scene, track, first, last) > 0.5,
  );
}

const range = ({ instrument }: SceneTrack): { readonly low: number; readonly high: number } =>
  instrument.extremeRange ?? { low: 0, high: 0 };

/** A background part that goes on through most of the place. */
function accompanies(scene: Scene, at: Place): boolean {
  return isPitched(at.track) && isBackground(scene, at) && soundingShare(scene, at.track, at.first, at.last) > 0.6;
}

function louder(scene: Scene, place: Place | undefined, factor: number, make: ReturnType<typeof changed> = {}) {
  if (place === undefined) return undefined;
  const [from, to] = [scene.bars[place.first]?.from ?? 0, scene.bars[place.last]?.to ?? 0];
  return plantedAt(scene, place, { ...make, gain: { from, to, factor } });
}

/** Semitones (whole octaves) that bring the part above the tune and leave it in its range. */
function octavesAbove(scene: Scene, at: Place): number | undefined {
  const leader = leaderAt(scene, at);
  const own = notesIn(scene, at.track, at.first, at.last);
  if (leader === undefined || own.length === 0 || !accompanies(scene, at)) return undefined;
  const tune = pitchesOf(notesIn(scene, leader, at.first, at.last));
  const { low, high } = pitchesOf(own);
  return high >= tune.low + 4
    ? undefined
    : [12, 24, 36].find((by) => low + by >= tune.high && high + by <= range(at.track).high);
}

export const INAUDIBLE: readonly Plant[] = [
  {
    name: 'held notes in the tune, loud',
    group: 'inaudible',
    rules: ABOVE_RULES,
    plant: (scene) => {
      if (scene.isFlat) return undefined;
      const middle = (at: Place): number | undefined => {
        const leader = leaderAt(scene, at);
        if (leader === undefined || !at.track.instrument.sustaining) return undefined;
        const { low, high } = pitchesOf(notesIn(scene, leader, at.first, at.last));
        const { low: bottom, high: top } = range(at.track);
        return accompanies(scene, at) && low >= bottom + 3 && high <= top - 3 ? (low + high) / 2 : undefined;
      };
      const place = placeFor(scene, 4, (at) => middle(at) !== undefined);
      const at = place === undefined ? 0 : (middle(place) ?? 0);
      const nearest = (midi: number): number => midi + 12 * Math.round((at - midi) / 12);
      return place === undefined
        ? undefined
        : louder(
            scene,
            place,
            9,
            changed(scene, place, (notes) => notes.map((note) => ({ ...note, midi: nearest(note.midi) }))),
          );
    },
  },
  {
    name: 'an octave over the tune',
    group: 'inaudible',
    rules: [...ABOVE_RULES, 'crossing', 'tessitura', 'edge-of-range'],
    plant: (scene) => {
      const place = placeFor(scene, 4, (at) => octavesAbove(scene, at) !== undefined);
      const by = place === undefined ? 0 : (octavesAbove(scene, place) ?? 0);
      return planted(scene, place, (notes) => moved(notes, by));
    },
  },
  {
    name: 'soft leader',
    group: 'inaudible',
    rules: COVER_RULES,
    plant: (scene): Planting | undefined => {
      if (scene.isFlat) return undefined;
      const place = placeFor(scene, 4, (at) => {
        const alone = leadsThrough(scene, at.first, at.last).length === 1 && leaderAt(scene, at) === at.track;
        const others = scene.tracks.filter((track) => track !== at.track && isPitched(track));
        const busy = others.filter((track) => soundingShare(scene, track, at.first, at.last) > 0.6).length;
        return alone && busy >= 3;
      });
      return louder(scene, place, 0.3);
    },
  },
  {
    name: 'one part far too loud',
    group: 'inaudible',
    rules: COVER_RULES,
    plant: (scene) =>
      scene.isFlat
        ? undefined
        : louder(
            scene,
            placeFor(
              scene,
              4,
              (at) => at.track.instrument.sustaining && accompanies(scene, at) && leaderAt(scene, at) !== undefined,
            ),
            9,
          ),
  },
  {
    name: 'drums over the tune',
    group: 'inaudible',
    rules: COVER_RULES,
    plant: (scene) => {
      const drums = scene.tracks.filter(({ instrument }) => instrument.polyphony.kind === 'unpitched');
      const place = placeFor(
        scene,
        4,
        (at) => notesIn(scene, at.track, at.first, at.last).length >= 8 && leaderAt(scene, at) !== undefined,
        drums,
      );
      return scene.isFlat ? undefined : louder(scene, place, 9);
    },
  },
  {
    name: 'an entry nobody hears',
    group: 'inaudible',
    rules: ['inaudible-entry'],
    plant: (scene) => {
      const place = placeFor(scene, 2, (at) => comesIn(scene, at));
      return scene.isFlat ? undefined : louder(scene, place, 0.1);
    },
  },
];
