/** The pieces that are edited: folders of many kinds and the samples, in two halves. */
import { basename } from 'node:path';
import type { Part } from '../../src/model/music/arrangement.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { KINDS } from '../kinds/folders.ts';
import { KEPT_ASIDE } from '../kinds/kept-aside/folders.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { gaussian, seeded } from '../support/playing.ts';
import { currentStageIn } from '../support/read-stages.ts';
import { sampleFolders } from '../support/sample.ts';
import { sheetOf, type PlaceOf, type Sheet } from './sheet.ts';
import { notated } from '../support/notated.ts';

export interface Base {
  readonly name: string;
  readonly half: 'tuning' | 'kept aside';
  /** True where the beats are played to a click and evenly, so that a part can be quantised. */
  readonly isEven: boolean;
  /** Takes of the same music by the same players, bars and parts with the same ids. */
  readonly takes: readonly [Sheet, ...Sheet[]];
}

/** Written places from the folder's truth: the notes of a track and pitch in order; where counts differ the nearest ones. */
function truePlaces({ truth }: KindFolder): PlaceOf {
  const places = new Map<string, number[]>();
  for (const { track, midi, start } of truth.notes) {
    const key = `${track} ${String(midi)}`;
    places.set(
      key,
      [...(places.get(key) ?? []), start].sort((a, b) => a - b),
    );
  }
  const known = new Map<Part, readonly (number | undefined)[]>();
  const placesOf = (part: Part): readonly (number | undefined)[] => {
    const found = part.notes.map((): number | undefined => undefined);
    for (const midi of new Set(part.notes.map((note) => note.midi))) {
      const own = part.notes.flatMap((note, index) => (note.midi === midi ? [index] : []));
      const starts = part.tracks
        .flatMap(({ name }) => places.get(`${name} ${String(midi)}`) ?? [])
        .sort((a, b) => a - b);
      own.forEach((index, rank) => {
        const played = part.notes[index]!.startQuarters;
        const near = starts.reduce(
          (best, start) => (Math.abs(start - played) < Math.abs(best - played) ? start : best),
          Infinity,
        );
        const place = starts.length === own.length ? starts[rank] : near;
        if (place !== undefined && Math.abs(place - played) < 0.5) found[index] = place;
      });
    }
    return found;
  };
  return (part, note) => {
    const places_ = known.get(part) ?? placesOf(part);
    known.set(part, places_);
    return places_[note];
  };
}

/** The second take has the bars and parts of the first; a part that is not read the same twice keeps its first take. */
function sameIds(one: Sheet, other: Sheet): Sheet {
  const byName = new Map(other.parts.map((part) => [part.name, part]));
  const parts = one.parts.map((part) => {
    const again = byName.get(part.name);
    const isSame = again?.notes.length === part.notes.length;
    return isSame ? { ...part, notes: again.notes, controls: again.controls } : part;
  });
  return { ...one, parts };
}

/** Seeds of the takes of a piece. */
const TAKES = [1, 2, 3, 4] as const;

/** A piece of which the truth is known, in four takes. */
export async function kindBase(folder: KindFolder): Promise<Base> {
  const [one, ...others] = (await Promise.all(
    TAKES.map(async (seed) => sheetOf(await stageOfKind(folder, seed), truePlaces(folder))),
  )) as [Sheet, ...Sheet[]];
  const again = others.map((other) => (other.bars.length === one.bars.length ? sameIds(one, other) : one));
  return {
    name: folder.id,
    half: folder.half === 'tuning' ? 'tuning' : 'kept aside',
    isEven: folder.truth.onGrid && folder.truth.swing === 1,
    takes: [one, ...again],
  };
}

/** Standard deviation of a hand at a keyboard, in quarters at about 90 to the minute (common practice, no source). */
const HAND_QUARTERS = 0.02;

/** A sample has one take: the second scatters its notes around the places where the program writes them. */
async function sampleBase(folder: string, half: Base['half']): Promise<Base> {
  const stage = await currentStageIn(folder);
  const places = new Map(
    notated(stage).parts.map((part) => [
      part.partId,
      new Map(part.notes.map((note) => [note.played, note.start / DIVISIONS_PER_QUARTER])),
    ]),
  );
  const one = sheetOf(stage, (part, note) => places.get(part.id)?.get(note));
  const spread = gaussian(seeded(29));
  const take = (sheet: Sheet): Sheet => ({
    ...sheet,
    parts: sheet.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, late: HAND_QUARTERS * spread() })),
    })),
  });
  return { name: basename(folder), half, isEven: true, takes: [take(one), ...TAKES.slice(1).map(() => take(one))] };
}

/** All pieces of one half. */
export async function basesOf(half: Base['half']): Promise<readonly Base[]> {
  const [first, ...rest] = sampleFolders();
  const bases: Base[] = [];
  for (const folder of half === 'tuning' ? KINDS : KEPT_ASIDE) bases.push(await kindBase(folder));
  for (const folder of half === 'tuning' ? [first ?? ''] : rest) bases.push(await sampleBase(folder, half));
  return bases;
}
