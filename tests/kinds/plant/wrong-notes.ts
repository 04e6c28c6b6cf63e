/** Slips of the hand that stand where nobody meant them (common practice, no source). */
import { Note } from 'tonal';
import type { TrueChord } from '../kind.ts';
import type { HeldKey } from './midi-folder.ts';
import type { Place, Plant, Planting, Scene, SceneTrack } from './scene.ts';
import {
  changed,
  isBackground,
  isPitched,
  isSingle,
  leadersIn,
  moved,
  notesIn,
  placeFor,
  planted,
  plantedAt,
  soundingShare,
} from './scene.ts';

const BESIDE_RULES = ['displaced-part', 'late-part', 'clashing-second', 'entry-off-phrase'];

/** A line with harmony of its own: at least three pitch classes, not of drums. */
function hasHarmony(scene: Scene, at: Place): boolean {
  const notes = notesIn(scene, at.track, at.first, at.last);
  return (
    isPitched(at.track) &&
    at.track.instrument.family !== 'percussion' &&
    isBackground(scene, at) &&
    new Set(notes.map(({ midi }) => midi % 12)).size >= 3 &&
    soundingShare(scene, at.track, at.first, at.last) > 0.4
  );
}

const byTime = (scene: Scene, length: number, quartersOf: (at: Place) => number): Planting | undefined => {
  const place = placeFor(scene, length, (at) => at.first > 0 && hasHarmony(scene, at) && company(scene, at) >= 2);
  if (place === undefined) return undefined;
  const by = quartersOf(place);
  const end = scene.bars[place.last]?.to ?? 0;
  return planted(scene, place, (notes) =>
    notes
      .map((note) => ({ ...note, start: note.start + by, end: Math.min(note.end + by, end) }))
      .filter(({ start, end: stop }) => stop - start > 0.05),
  );
};

/** How many others with pitch go on through the place. */
function company(scene: Scene, { track, first, last }: Place): number {
  return scene.tracks.filter(
    (other) => other !== track && isPitched(other) && soundingShare(scene, other, first, last) > 0.6,
  ).length;
}

const byPitch = (
  scene: Scene,
  length: number,
  semitones: number,
  holds: (at: Place) => boolean,
): Planting | undefined =>
  planted(
    scene,
    placeFor(scene, length, (at) => hasHarmony(scene, at) && company(scene, at) >= 2 && holds(at)),
    (notes) => moved(notes, semitones),
  );

const isIn = ({ instrument }: SceneTrack, notes: readonly HeldKey[], by: number): boolean =>
  notes.every(
    ({ midi }) =>
      midi + by >= (instrument.extremeRange?.low ?? 0) && midi + by <= (instrument.extremeRange?.high ?? 127),
  );

function chordsIn({ folder, bars }: Scene, first: number, last: number): readonly TrueChord[] {
  const [from, to] = [bars[first]?.number ?? 0, bars[last]?.number ?? 0];
  return (folder.truth.chords ?? []).filter(({ bar }) => bar >= from && bar <= to);
}

/** Root, third and fifth of a plain triad or seventh chord as pitch classes; undefined for any other. */
function triadOf(symbol: string): readonly [number, number, number] | undefined {
  const match = /^([A-G][b#]*)(m?)(6|7|maj7)?(\/.*)?$/.exec(symbol);
  const root = Note.chroma(match?.[1] ?? '');
  if (match === null || !Number.isFinite(root)) return undefined;
  return [root, (root + (match[2] === 'm' ? 3 : 4)) % 12, (root + 7) % 12];
}

/** The part that has the lowest notes of the bars. */
function bassOf(scene: Scene, first: number, last: number): SceneTrack | undefined {
  const lowest = (track: SceneTrack): number => {
    const notes = notesIn(scene, track, first, last);
    return notes.length === 0 ? 200 : notes.reduce((sum, { midi }) => sum + midi, 0) / notes.length;
  };
  return [...scene.tracks].filter(isPitched).sort((a, b) => lowest(a) - lowest(b))[0];
}

const ofScore = ({ folder }: Scene): boolean => folder.truth.style === 'classical';

export const WRONG_NOTES: readonly Plant[] = [
  {
    name: 'a bar late',
    group: 'wrong notes',
    rules: BESIDE_RULES,
    plant: (scene) => byTime(scene, 5, ({ first }) => scene.bars[first]?.lengthQuarters ?? 4),
  },
  {
    name: 'a bar early',
    group: 'wrong notes',
    rules: BESIDE_RULES,
    plant: (scene) => byTime(scene, 5, ({ first }) => -(scene.bars[first]?.lengthQuarters ?? 4)),
  },
  { name: 'a beat late', group: 'wrong notes', rules: BESIDE_RULES, plant: (scene) => byTime(scene, 5, () => 1) },
  { name: 'an eighth late', group: 'wrong notes', rules: BESIDE_RULES, plant: (scene) => byTime(scene, 5, () => 0.5) },
  {
    name: 'a semitone high',
    group: 'wrong notes',
    rules: ['displaced-part', 'clashing-second', 'outside-range'],
    plant: (scene) => byPitch(scene, 4, 1, (at) => at.track.instrument.family !== 'keyboard'),
  },
  {
    name: 'a whole tone low',
    group: 'wrong notes',
    rules: ['displaced-part', 'clashing-second', 'outside-range'],
    plant: (scene) => byPitch(scene, 4, -2, (at) => at.track.instrument.family !== 'keyboard'),
  },
  {
    name: 'not transposed',
    group: 'wrong notes',
    rules: ['displaced-part', 'clashing-second', 'outside-range'],
    plant: (scene) => {
      const by = ({ instrument }: SceneTrack): number => -(instrument.transposition.semitones % 12);
      const place = placeFor(scene, 4, (at) => by(at.track) !== 0 && hasHarmony(scene, at) && company(scene, at) >= 2);
      return planted(scene, place, (notes) => moved(notes, place === undefined ? 0 : by(place.track)));
    },
  },
  {
    name: 'an octave low',
    group: 'wrong notes',
    rules: [
      'crossing',
      'crowded-low',
      'hole-between-parts',
      'bass-doubled-too-close',
      'outside-range',
      'edge-of-range',
      'tessitura',
      'far-from-foreground',
    ],
    plant: (scene) =>
      byPitch(scene, 4, -12, (at) => {
        const bass = bassOf(scene, at.first, at.last);
        const notes = notesIn(scene, at.track, at.first, at.last);
        const under = bass === undefined ? [] : notesIn(scene, bass, at.first, at.last);
        const middle = (all: readonly HeldKey[]): number => all.reduce((sum, { midi }) => sum + midi, 0) / all.length;
        return bass !== at.track && isIn(at.track, notes, -12) && middle(notes) - 12 < middle(under) + 2;
      }),
  },
  {
    name: 'one wrong note',
    group: 'wrong notes',
    rules: ['clashing-second', 'incomplete-chord', 'displaced-part', 'parallel-perfects', 'unresolved-tone'],
    plant: (scene) => wrongNote(scene, false),
  },
  {
    name: 'a wrong bass note',
    group: 'wrong notes',
    rules: ['clashing-second', 'root-not-in-bass', 'displaced-part', 'unresolved-tone'],
    plant: (scene) => wrongNote(scene, true),
  },
  {
    name: 'no third',
    group: 'wrong notes',
    rules: ['incomplete-chord', 'hollow-without-foreground'],
    plant: noThird,
  },
  {
    name: 'octaves with the bass',
    group: 'wrong notes',
    rules: ['parallel-perfects'],
    plant: (scene) => {
      if (!ofScore(scene)) return undefined;
      const place = placeFor(scene, 2, (at) => {
        const bass = bassOf(scene, at.first, at.last);
        const steps = bass === undefined ? [] : notesIn(scene, bass, at.first, at.last);
        const own = notesIn(scene, at.track, at.first, at.last);
        return isSingle(at.track) || at.track.instrument.family === 'strings'
          ? bass !== at.track &&
              isBackground(scene, at) &&
              bass !== undefined &&
              own.length >= 3 &&
              new Set(steps.map(({ midi }) => midi)).size >= 3 &&
              isIn(at.track, steps, octaveTo(own, steps))
          : false;
      });
      const bass = place === undefined ? undefined : bassOf(scene, place.first, place.last);
      if (place === undefined || bass === undefined) return undefined;
      const steps = notesIn(scene, bass, place.first, place.last);
      const by = octaveTo(notesIn(scene, place.track, place.first, place.last), steps);
      return planted(scene, place, (notes) =>
        steps.map((step) => ({ ...(notes[0] ?? step), start: step.start, end: step.end, midi: step.midi + by })),
      );
    },
  },
  {
    name: 'parts that change places',
    group: 'wrong notes',
    rules: ['crossing', 'background-above-melody', 'crowded-low', 'hole-between-parts', 'bass-doubled-too-close'],
    plant: (scene) => {
      if (!ofScore(scene)) return undefined;
      const neighbour = ({ track, first, last }: Place): SceneTrack | undefined =>
        scene.tracks.find((other) => {
          if (other === track || other.instrument.family !== track.instrument.family || !isPitched(other)) return false;
          const [own, theirs] = [notesIn(scene, track, first, last), notesIn(scene, other, first, last)];
          const least = Math.max(...own.map(({ midi }) => midi));
          return (
            theirs.length >= 3 &&
            !leadersIn(scene, first, last).includes(other.name) &&
            Math.min(...theirs.map(({ midi }) => midi)) > least &&
            Math.max(...theirs.map(({ midi }) => midi)) < least + 10 &&
            isIn(track, own, 12)
          );
        });
      const place = placeFor(
        scene,
        4,
        (at) => hasHarmony(scene, at) && isSingle(at.track) && neighbour(at) !== undefined,
      );
      return planted(scene, place, (notes) => moved(notes, 12));
    },
  },
  {
    name: 'thirds in the depth',
    group: 'wrong notes',
    rules: ['crowded-low', 'bass-doubled-too-close', 'crossing', 'outside-range', 'edge-of-range', 'tessitura'],
    plant: (scene) => {
      const low = (at: Place): readonly HeldKey[] => {
        const bass = bassOf(scene, at.first, at.last);
        const notes = bass === undefined || bass === at.track ? [] : notesIn(scene, bass, at.first, at.last);
        return notes.every(({ midi }) => midi < 43) ? notes.filter(({ start, end }) => end - start > 0.8) : [];
      };
      const place = placeFor(
        scene,
        2,
        (at) =>
          at.track.instrument.sustaining && hasHarmony(scene, at) && low(at).length >= 2 && isIn(at.track, low(at), 4),
      );
      return planted(scene, place, (notes) =>
        place === undefined
          ? notes
          : low(place).map((note) => ({
              ...(notes[0] ?? note),
              start: note.start,
              end: note.end,
              midi: note.midi + 4,
            })),
      );
    },
  },
  {
    name: 'a track left over',
    group: 'wrong notes',
    rules: ['leftover-track'],
    plant: (scene) => {
      const place = placeFor(scene, 4, (at) => isPitched(at.track) && at.track.notes.length >= 16);
      if (place === undefined) return undefined;
      const addedAs = ['Audio 7', `${place.track.name} copy`, 'old'][Math.floor(scene.random() * 3)] ?? 'old';
      const made = plantedAt(scene, place, { addedAs });
      return {
        ...made,
        from: scene.bars[0]?.number ?? 0,
        to: scene.bars.at(-1)?.number ?? 0,
        parts: [addedAs, place.track.name],
      };
    },
  },
];

function octaveTo(own: readonly HeldKey[], steps: readonly HeldKey[]): number {
  const middle = (all: readonly HeldKey[]): number => all.reduce((sum, { midi }) => sum + midi, 0) / all.length;
  return 12 * Math.max(1, Math.round((middle(own) - middle(steps)) / 12));
}

/** A note of two beats and more a semitone beside the chord. */
function wrongNote(scene: Scene, inBass: boolean): Planting | undefined {
  const heldIn = (at: Place): HeldKey | undefined => {
    const [chord] = chordsIn(scene, at.first, at.first);
    const tones = triadOf(chord?.symbol ?? '');
    return tones === undefined
      ? undefined
      : notesIn(scene, at.track, at.first, at.last).find(
          ({ start, end, midi }) =>
            end - start >= 1.8 && tones.includes(midi % 12) && (tones[2] !== midi % 12 || !inBass),
        );
  };
  const place = placeFor(
    scene,
    1,
    (at) =>
      at.first > 0 &&
      isPitched(at.track) &&
      isBackground(scene, at) &&
      company(scene, at) >= 3 &&
      chordsIn(scene, at.first, at.last).length === 1 &&
      (bassOf(scene, at.first, at.last) === at.track) === inBass &&
      heldIn(at) !== undefined,
  );
  if (place === undefined) return undefined;
  const wrong = heldIn(place);
  const tones = triadOf(chordsIn(scene, place.first, place.first)[0]?.symbol ?? '') ?? [0, 0, 0];
  const by = wrong !== undefined && wrong.midi % 12 === tones[0] ? 1 : -1;
  return plantedAt(
    scene,
    place,
    changed(scene, place, (notes) =>
      notes.map((note) =>
        note.start === wrong?.start && note.midi === wrong.midi ? { ...note, midi: note.midi + by } : note,
      ),
    ),
  );
}

/** A bar whose third everybody gives up for the root. */
function noThird(scene: Scene): Planting | undefined {
  const tonesAt = (at: Place): readonly [number, number, number] | undefined => {
    const all = chordsIn(scene, at.first, at.last);
    return all.length === 1 ? triadOf(all[0]?.symbol ?? '') : undefined;
  };
  const withThird = (at: Place): readonly SceneTrack[] =>
    scene.tracks.filter(
      (track) =>
        isPitched(track) && notesIn(scene, track, at.first, at.last).some(({ midi }) => midi % 12 === tonesAt(at)?.[1]),
    );
  const place = placeFor(scene, 1, (at) => {
    const leaders = leadersIn(scene, at.first, at.last);
    const having = withThird(at);
    return (
      ofScore(scene) &&
      at.first > 0 &&
      company(scene, at) >= 3 &&
      having.length > 0 &&
      having.includes(at.track) &&
      having.every(({ name }) => !leaders.includes(name))
    );
  });
  const tones = place === undefined ? undefined : tonesAt(place);
  if (place === undefined || tones === undefined) return undefined;
  const edits = withThird(place).map((track) => {
    const edit = changed(scene, { ...place, track }, (notes) =>
      notes.map((note) =>
        note.midi % 12 === tones[1] ? { ...note, midi: note.midi - ((tones[1] - tones[0] + 12) % 12) } : note,
      ),
    );
    return [track.name, edit] as const;
  });
  return { ...plantedAt(scene, place, {}), parts: [], edits: new Map(edits) };
}
