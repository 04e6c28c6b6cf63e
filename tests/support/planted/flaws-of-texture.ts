/** Flaws between parts: spacing, doubling, harmony, voice leading, the place of the tune. */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import { chordOfBar } from './ensembles.ts';
import { inBars, notesIn, replaced } from './piece.ts';
import type { Planting } from './planting.ts';
import {
  classAbove,
  nearest,
  background,
  everywhere,
  silenced,
  withoutTone,
  sevenths,
  only,
  STRINGS,
  WINDS,
  BRASS,
  CHOIR,
  OCTAVE,
} from './planting.ts';

export const FLAWS_OF_TEXTURE = {
  // A flute in its lowest octave under the violins on their E string.
  'covered-from-above': (scene) => {
    if (!only(STRINGS)(scene)) return undefined;
    const { piece, solo, voices } = scene;
    const renamed = {
      ...piece,
      foreground: 'Flute',
      lines: piece.lines.map((line) => (line.name === solo ? { ...line, name: 'Flute', program: 73 } : line)),
    };
    const low = inBars(renamed, 'Flute', 19, 22, (note) => ({ ...note, midi: note.midi - OCTAVE }));
    const raised = inBars(low, voices[0], 19, 22, (note) => {
      let { midi } = note;
      while (midi < 79) midi += OCTAVE;
      return { ...note, midi, velocity: 74 };
    });
    return { from: 19, to: 22, part: voices[0], piece: raised };
  },
  'background-above-melody': ({ ensemble, piece, solo, voices: [part] }) => {
    const raised = inBars(piece, part, 8, 8, (note) => {
      const tune = notesIn(piece, solo, 8, 8).map(({ midi }) => midi);
      const fifth = chordOfBar(ensemble, 8).tones[2] ?? 7;
      let midi = Math.max(...tune) + 1;
      while (classAbove(midi, ensemble.tuneTonic) !== fifth) midi++;
      return { ...note, midi };
    });
    return { from: 8, to: 8, part, piece: raised };
  },
  'far-from-foreground': (scene) => {
    if (!only(STRINGS, CHOIR)(scene)) return undefined;
    const { piece, voices, doubling } = scene;
    const [s, a, t, part] = voices;
    const thinned = silenced(piece, [s, a, t, doubling], 25, 28);
    const low = inBars(thinned, part, 25, 28, (note) => ({
      ...note,
      midi: note.midi >= 48 ? note.midi - OCTAVE : note.midi,
    }));
    return { from: 25, to: 28, part, piece: low };
  },
  'crowded-low': (scene) => {
    const { piece, voices, doubling, solo } = scene;
    const part = only(CHOIR)(scene) ? doubling : voices[3];
    if (only(CHOIR)(scene)) {
      const deep = notesIn(piece, voices[3], 33, 36).flatMap((note) => [
        { ...note, midi: note.midi - OCTAVE, velocity: 32 },
        { ...note, midi: note.midi - OCTAVE + 4, velocity: 32 },
      ]);
      return { from: 33, to: 36, part, piece: replaced(piece, part, 33, 36, deep) };
    }
    const owner = only(WINDS)(scene) ? solo : doubling;
    const grounds = notesIn(piece, voices[3], 33, 36).map((note) => ({ ...note, midi: note.midi - OCTAVE }));
    const thirds = grounds.map((note) => ({ ...note, midi: note.midi + 4 }));
    const held = only(WINDS)(scene)
      ? inBars(piece, owner, 33, 36, (note) => (note.midi < 48 ? { ...note, length: 3 } : note))
      : piece;
    return { from: 33, to: 36, part, piece: replaced(held, part, 33, 36, thirds) };
  },
  'hole-between-parts': (scene) => {
    if (only(WINDS)(scene)) return undefined;
    const { piece, voices, doubling } = scene;
    const [, , tenor, bass] = voices;
    const emptied = silenced(piece, only(CHOIR)(scene) ? [voices[1], tenor, bass] : [tenor, bass], 33, 36);
    const grounds = notesIn(piece, bass, 33, 36).map((note) => ({ ...note, midi: note.midi - OCTAVE, velocity: 100 }));
    const tops = only(CHOIR)(scene) ? notesIn(piece, voices[0], 33, 36) : [];
    const lower = replaced(emptied, doubling, 33, 36, [...grounds, ...tops]);
    const loud = everywhere(lower, background(scene), 33, 36, (note) => ({ ...note, velocity: 92 }));
    return {
      from: 33,
      to: 36,
      piece: inBars(loud, scene.solo, 33, 36, (note) => ({ ...note, velocity: 120 })),
    };
  },
  'incomplete-chord': (scene) => ({
    from: 36,
    to: 36,
    piece: withoutTone(scene, scene.piece, [...background(scene), scene.solo], 36, 36, 1),
  }),
  'root-not-in-bass': (scene) => {
    const { ensemble, piece, voices, doubling, solo } = scene;
    const lines = only(WINDS)(scene) ? [voices[3], solo] : [voices[3], doubling];
    const fifth = chordOfBar(ensemble, 40).tones[2] ?? 7;
    return {
      from: 40,
      to: 40,
      piece: everywhere(piece, lines, 40, 40, (note) =>
        note.midi > 58 ? note : { ...note, midi: nearest(note.midi, ensemble.tuneTonic, fifth) },
      ),
    };
  },
  'clashing-second': ({ ensemble, piece, voices: [, upper, part] }) => {
    // A stranger to the chord, a second under its neighbour, that does not resolve by step.
    for (let bar = 33; bar <= 38; bar++) {
      const above = notesIn(piece, upper, bar, bar)[0]?.midi ?? 60;
      const after = notesIn(piece, part, bar + 1, bar + 1)[0]?.midi ?? 60;
      const midi = [above - 1, above - 2].find(
        (key) =>
          // Neither a tone of the chord nor one of its sevenths.
          ![...chordOfBar(ensemble, bar).tones, ...sevenths(ensemble, bar)].includes(
            classAbove(key, ensemble.tuneTonic),
          ) && ![1, 2].includes(Math.abs(after - key)),
      );
      if (midi === undefined) continue;
      const clashing = inBars(piece, part, bar, bar, (note) => ({ ...note, midi }));
      return { from: bar, to: bar, part, piece: clashing };
    }
    return undefined;
  },
  'parallel-perfects': ({ piece, voices: [upper, part] }) => {
    const fifths = notesIn(piece, upper, 17, 22).map((note) => ({ ...note, midi: note.midi - 7 }));
    return { from: 17, to: 22, part, piece: replaced(piece, part, 17, 22, fifths) };
  },
  'unresolved-tone': (scene) => {
    // A piano's broken chords play every tone of the resolution.
    if (only(WINDS)(scene)) return undefined;
    const { ensemble, piece, voices } = scene;
    // A part has the seventh of the dominant, which nobody else holds at the end of the bar, and goes up to the fifth of the tonic; nobody plays
    // the third where it would have fallen.
    for (let bar = 9; bar < 40; bar++) {
      if (chordOfBar(ensemble, bar).root !== 7 || chordOfBar(ensemble, bar + 1).root !== 0) continue;
      const lastBeat = (bar * piece.meter.numerator * 4) / piece.meter.denominator - 1;
      for (const part of voices) {
        const seventh = nearest(notesIn(piece, part, bar, bar).at(-1)?.midi ?? 0, ensemble.tuneTonic, 5);
        const before = inBars(piece, part, bar, bar, (note) => ({ ...note, midi: seventh }));
        const after = inBars(before, part, bar + 1, bar + 1, (note) => ({ ...note, midi: seventh + 2 }));
        const isTaken = after.lines.some(
          ({ name }) =>
            (name !== part &&
              notesIn(after, name, bar, bar).some(
                ({ midi, start, length }) =>
                  classAbove(midi, ensemble.tuneTonic) === 5 && start + length > lastBeat + 1e-6,
              )) ||
            notesIn(after, name, bar + 1, bar + 1).some(({ midi }) => [1, 2].includes(seventh - midi)),
        );
        if (!isTaken) return { from: bar, to: bar + 1, part, piece: after };
      }
    }
    return undefined;
  },
  crossing: (scene) => {
    if (!only(STRINGS)(scene)) return undefined;
    const { piece, voices } = scene;
    const [upper, part] = voices;
    const above = notesIn(piece, upper, 17, 20);
    const below = notesIn(piece, part, 17, 20);
    return {
      from: 17,
      to: 20,
      part,
      piece: replaced(replaced(piece, upper, 17, 20, below), part, 17, 20, above),
    };
  },
  'hollow-without-foreground': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    return { from: 38, to: 39, part: scene.solo, piece: withoutTone(scene, scene.piece, background(scene), 38, 39, 1) };
  },
  'bass-doubled-too-close': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const part = scene.doubling;
    return {
      from: 33,
      to: 36,
      part,
      piece: inBars(scene.piece, part, 33, 36, (note) => ({ ...note, midi: note.midi + OCTAVE })),
    };
  },
} satisfies Partial<Record<RuleName, Planting>>;
