/** A folder as one looks at it who wants to plant a fault: who plays what in which bar, who leads, and what is free of faults so far. */
import { instrumentById } from '../../../src/model/music/catalogue.ts';
import type { Instrument } from '../../../src/model/music/instrument.ts';
import type { Bar } from '../../../src/model/music/timeline.ts';
import { seeded } from '../../support/playing.ts';
import type { KindFolder } from '../kind.ts';
import type { HeldKey, TrackEdit } from './midi-folder.ts';

export interface SceneTrack {
  readonly name: string;
  readonly instrument: Instrument;
  readonly players: number | 'section' | undefined;
  readonly notes: readonly HeldKey[];
}

export interface SceneBar extends Bar {
  /** Quarters from the beginning of the file. */
  readonly from: number;
  readonly to: number;
}

export interface Scene {
  readonly folder: KindFolder;
  readonly bars: readonly SceneBar[];
  readonly tracks: readonly SceneTrack[];
  /** Velocities of one height everywhere: a sketch without dynamics. */
  readonly isFlat: boolean;
  readonly random: () => number;
}

export interface Planting {
  readonly from: number;
  readonly to: number;
  readonly parts: readonly string[];
  readonly edits: ReadonlyMap<string, TrackEdit>;
}

/** One kind of fault. `plant` gives none where the folder has no place for it. */
export interface Plant {
  readonly name: string;
  readonly group: 'unplayable' | 'inaudible' | 'wrong notes' | 'form';
  /** Names of rules that tell it, whichever comes first. */
  readonly rules: readonly string[];
  readonly plant: (scene: Scene) => Planting | undefined;
}

/** Numbers from 0 to 1, the same for the same words (their hash, FNV-1a, is the seed). */
export function randomOf(words: string): () => number {
  return seeded(Buffer.from(words).reduce((sum, byte) => Math.imul(sum ^ byte, 0x01000193) >>> 0, 0x811c9dc5));
}

export function sceneOf(
  folder: KindFolder,
  bars: readonly Bar[],
  keys: ReadonlyMap<string, readonly HeldKey[]>,
  random: () => number,
): Scene {
  const origin = bars[0]?.startQuarters ?? 0;
  const tracks = Object.entries(folder.truth.parts).flatMap(([name, ids]): SceneTrack[] => {
    const instrument = instrumentById(ids[0] ?? '');
    const notes = keys.get(name);
    return instrument === undefined || notes === undefined
      ? []
      : [{ name, instrument, players: folder.truth.players[name], notes }];
  });
  const velocities = new Set(tracks.flatMap(({ notes }) => notes.map(({ velocity }) => velocity)));
  return {
    folder,
    bars: bars.map((bar) => ({
      ...bar,
      from: bar.startQuarters - origin,
      to: bar.startQuarters - origin + bar.lengthQuarters,
    })),
    tracks,
    isFlat: velocities.size <= 2,
    random,
  };
}

/** Notes that begin in these bars (indices); playing a little early counts with the bar. */
export function notesIn(scene: Scene, { notes }: SceneTrack, first: number, last: number): readonly HeldKey[] {
  const [from, to] = [scene.bars[first]?.from ?? 0, scene.bars[last]?.to ?? 0];
  return notes.filter(({ start }) => start >= from - 0.12 && start < to - 0.12);
}

/** True where the track begins to play, pitched and behind the foreground, after four bars of rest. */
export function comesIn(scene: Scene, at: Place): boolean {
  return (
    at.first >= 4 &&
    isPitched(at.track) &&
    isBackground(scene, at) &&
    notesIn(scene, at.track, at.first - 4, at.first - 1).length === 0 &&
    notesIn(scene, at.track, at.first, at.first).length > 0
  );
}

/** The same notes so many semitones higher. */
export function moved(notes: readonly HeldKey[], semitones: number): readonly HeldKey[] {
  return notes.map((note) => ({ ...note, midi: note.midi + semitones }));
}

export function leadersIn({ folder, bars }: Scene, first: number, last: number): readonly string[] {
  const [from, to] = [bars[first]?.number ?? 0, bars[last]?.number ?? 0];
  return folder.truth.front.filter(({ bars: own }) => own[0] <= to && own[1] >= from).flatMap(({ tracks }) => tracks);
}

/** The tracks that lead in each of the bars. */
export function leadsThrough(scene: Scene, first: number, last: number): readonly SceneTrack[] {
  return scene.tracks.filter(({ name }) =>
    scene.bars
      .slice(first, last + 1)
      .every((_, index) => leadersIn(scene, first + index, first + index).includes(name)),
  );
}

export function isPitched({ instrument }: SceneTrack): boolean {
  return instrument.extremeRange !== undefined && instrument.polyphony.kind !== 'unpitched';
}

export const isSingle = ({ instrument }: SceneTrack): boolean => instrument.polyphony.kind === 'monophonic';

/** Share of the bars' time in which the track sounds, notes of a chord counted once. */
export function soundingShare(scene: Scene, track: SceneTrack, first: number, last: number): number {
  const [from, to] = [scene.bars[first]?.from ?? 0, scene.bars[last]?.to ?? 0];
  let at = from;
  let sum = 0;
  for (const { start, end } of track.notes) {
    const [begin, stop] = [Math.max(at, start), Math.min(to, end)];
    if (stop <= begin) continue;
    sum += stop - begin;
    at = stop;
  }
  return sum / (to - from);
}

export interface Place {
  readonly track: SceneTrack;
  readonly first: number;
  readonly last: number;
}

/** A flaw of more bars than these is one of its part, and others stay clear of that part alone. */
const MOST_OF_FLAW = 11;

/** A place drawn at random of so many bars, free of faults, at which the condition holds. */
export function placeFor(
  scene: Scene,
  length: number,
  holds: (place: Place) => boolean,
  tracks: readonly SceneTrack[] = scene.tracks,
): Place | undefined {
  const { bars, random, folder } = scene;
  const places = tracks.flatMap((track) =>
    bars.slice(0, Math.max(0, bars.length - length + 1)).map((_, first): Place & { readonly key: number } => ({
      track,
      first,
      last: first + length - 1,
      key: random(),
    })),
  );
  return places
    .sort((a, b) => a.key - b.key)
    .find((place) => {
      const [from, to] = [bars[place.first]?.number ?? 0, bars[place.last]?.number ?? 0];
      const isTouched = folder.truth.flaws.some((flaw) =>
        flaw.bars[1] - flaw.bars[0] > MOST_OF_FLAW
          ? flaw.parts.includes(place.track.name)
          : flaw.bars[0] <= to + 1 && flaw.bars[1] >= from - 1,
      );
      return !isTouched && holds(place);
    });
}

export function isBackground(scene: Scene, { track, first, last }: Place): boolean {
  return !leadersIn(scene, first, last).includes(track.name);
}

/** Notes of the place made anew, all others left. */
export function changed(
  scene: Scene,
  { track, first, last }: Place,
  make: (notes: readonly HeldKey[]) => readonly HeldKey[],
): TrackEdit {
  const own = new Set(notesIn(scene, track, first, last));
  const same = (key: HeldKey): boolean =>
    [...own].some((each) => each.midi === key.midi && each.start === key.start && each.end === key.end);
  return { notes: (all) => [...all.filter((key) => !same(key)), ...make(all.filter(same))] };
}

export function plantedAt(scene: Scene, { track, first, last }: Place, edit: TrackEdit): Planting {
  return {
    from: scene.bars[first]?.number ?? 0,
    to: scene.bars[last]?.number ?? 0,
    parts: [track.name],
    edits: new Map([[track.name, edit]]),
  };
}

/** The place with its notes made anew. */
export function planted(
  scene: Scene,
  place: Place | undefined,
  make: (notes: readonly HeldKey[]) => readonly HeldKey[],
): Planting | undefined {
  return place === undefined ? undefined : plantedAt(scene, place, changed(scene, place, make));
}
