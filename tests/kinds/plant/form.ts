/** Music that begins, ends or is gone at the wrong place (common practice, no source). */
import type { HeldKey } from './midi-folder.ts';
import type { Place, Plant, Planting, Scene } from './scene.ts';
import {
  comesIn,
  isBackground,
  isPitched,
  leadsThrough,
  notesIn,
  placeFor,
  planted,
  plantedAt,
  soundingShare,
} from './scene.ts';

const FORM_RULES = ['entry-off-phrase', 'hole-between-parts', 'hollow-without-foreground', 'broken-line'];

/** Pitch classes of a bar in the order in which they begin: whether two bars are the same music. */
function tonesOf(scene: Scene, at: Place, bar: number): string {
  return notesIn(scene, at.track, bar, bar)
    .map(({ midi }) => String(midi))
    .join(' ');
}

/** Bars back to which these return; 0 where they return to none. */
function returnsTo(scene: Scene, at: Place): number {
  for (const back of [8, 16, 4, 12, 24]) {
    if (at.first < back) continue;
    const isSame = Array.from({ length: at.last - at.first + 1 }, (_, index) => at.first + index).every(
      (bar) => tonesOf(scene, at, bar) !== '' && tonesOf(scene, at, bar) === tonesOf(scene, at, bar - back),
    );
    if (isSame) return back;
  }
  return 0;
}

const none = (): readonly HeldKey[] => [];

export const FORM: readonly Plant[] = [
  {
    name: 'enters a bar after its phrase',
    group: 'form',
    rules: ['entry-off-phrase', 'broken-line'],
    plant: (scene) => {
      const place = placeFor(
        scene,
        1,
        (at) => comesIn(scene, at) && notesIn(scene, at.track, at.first + 1, at.first + 1).length > 0,
      );
      const made = planted(scene, place, none);
      return made === undefined ? undefined : { ...made, to: made.to + 1 };
    },
  },
  {
    name: 'gone in the repeat',
    group: 'form',
    rules: FORM_RULES,
    plant: (scene) => {
      const place = placeFor(
        scene,
        4,
        (at) =>
          isPitched(at.track) &&
          isBackground(scene, at) &&
          at.first % 4 !== 0 &&
          at.last < scene.bars.length - 1 &&
          returnsTo(scene, at) > 0 &&
          notesIn(scene, at.track, at.first - 1, at.first - 1).length > 0 &&
          notesIn(scene, at.track, at.last + 1, at.last + 1).length > 0,
      );
      return planted(scene, place, none);
    },
  },
  {
    name: 'a bass that is gone',
    group: 'form',
    rules: FORM_RULES,
    plant: (scene) => {
      const low = ({ track, first, last }: Place): number =>
        Math.min(...notesIn(scene, track, first, last).map(({ midi }) => midi), 200);
      const place = placeFor(scene, 4, (at) => {
        const others = scene.tracks.filter((track) => track !== at.track && isPitched(track));
        const rest = Math.min(...others.map((track) => low({ ...at, track })));
        return (
          isPitched(at.track) &&
          isBackground(scene, at) &&
          soundingShare(scene, at.track, at.first, at.last) > 0.6 &&
          at.first % 4 !== 0 &&
          low(at) + 5 < rest &&
          rest < 200 &&
          notesIn(scene, at.track, at.first - 1, at.first - 1).length > 0
        );
      });
      return planted(scene, place, none);
    },
  },
  {
    name: 'the tune breaks off',
    group: 'form',
    rules: ['foreground-ends-first', 'broken-line'],
    plant: (scene): Planting | undefined => {
      const leads = (at: Place, first: number, last: number): boolean => {
        const [leader, ...others] = leadsThrough(scene, first, last);
        return leader === at.track && others.length === 0;
      };
      const place = placeFor(
        scene,
        2,
        (at) =>
          at.first >= 2 &&
          at.last + 1 < scene.bars.length &&
          leads(at, at.first - 2, at.last + 1) &&
          soundingShare(scene, at.track, at.first - 2, at.last + 1) > 0.8,
      );
      return planted(scene, place, none);
    },
  },
  {
    name: 'behind the beat',
    group: 'form',
    rules: ['late-part'],
    plant: (scene) => {
      const place = placeFor(scene, 4, (at) => at.track.notes.length >= 40);
      if (place === undefined) return undefined;
      const tempo = scene.bars[0]?.tempo ?? 90;
      const by = (0.09 * tempo) / 60;
      const edit = {
        notes: (all: readonly HeldKey[]) =>
          all.map((note) => ({ ...note, start: note.start + by, end: note.end + by })),
      };
      return {
        ...plantedAt(scene, place, edit),
        from: scene.bars[0]?.number ?? 0,
        to: scene.bars.at(-1)?.number ?? 0,
      };
    },
  },
];
