/** Flaws for hands, tongue, lips and feet: what a player would come to the arranger about. */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import { chordOfBar } from './ensembles.ts';
import type { Line, LineNote, Piece } from './piece.ts';
import { barOf, barQuarters, barStart, inBars, notesIn, replaced, withLine } from './piece.ts';
import type { Planting, Scene } from './planting.ts';
import { classAbove, figure, nearest, only, STRINGS, WINDS, BRASS } from './planting.ts';

/** The piece with one player more. */
function joined(piece: Piece, name: string, program: number, notes: readonly LineNote[]): Piece {
  const line: Line = { name, program, players: 1, notes };
  return { ...piece, lines: [...piece.lines, line] };
}

/** Notes of a harp or piano that double what the others hold, so that nothing is wrong but how it lies. */
function held({ piece, voices }: Scene, from: number, to: number): readonly LineNote[] {
  return voices.flatMap((name) => notesIn(piece, name, from, to)).sort((a, b) => a.start - b.start || a.midi - b.midi);
}

export const FLAWS_OF_HANDS = {
  // A single viola with two notes that only its lowest string has.
  'double-stop': (scene) => {
    if (!only(STRINGS)(scene)) return undefined;
    const part = scene.voices[2];
    const alone = withLine(scene.piece, part, (line) => ({ ...line, players: 1 }));
    return {
      from: 20,
      to: 20,
      part,
      piece: inBars(alone, part, 20, 20, (note) => [
        { ...note, midi: 49 },
        { ...note, midi: 53 },
      ]),
    };
  },
  // Two notes that only the lowest string of a guitar has, under an open one.
  'one-string': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const { ensemble, piece } = scene;
    const onLowest = (bar: number): readonly number[] => {
      const { tones } = chordOfBar(ensemble, bar);
      return [40, 41, 42, 43, 44].filter((key) => tones.includes(classAbove(key, ensemble.tuneTonic)));
    };
    const bar = [18, 19, 20, 21, 22].find((each) => onLowest(each).length > 1);
    if (bar === undefined) return undefined;
    const notes = onLowest(bar).map((midi) => ({ start: barStart(piece, bar), length: 1, midi, velocity: 20 }));
    return { from: bar, to: bar, part: 'Guitar', piece: joined(piece, 'Guitar', 24, notes) };
  },
  // Four notes for eight violins, forte.
  divisi: (scene) => {
    if (!only(STRINGS)(scene)) return undefined;
    const part = scene.voices[0];
    const { ensemble, piece } = scene;
    const chord = (note: LineNote): readonly LineNote[] => {
      const { tones } = chordOfBar(ensemble, barOf(piece, note.start));
      const keys = [note.midi];
      for (let key = note.midi - 1; keys.length < 4; key--) {
        if (tones.includes(classAbove(key, ensemble.tuneTonic))) keys.push(key);
      }
      return keys.map((midi) => ({ ...note, midi, velocity: 90 }));
    };
    return { from: 21, to: 22, part, piece: inBars(piece, part, 21, 22, chord) };
  },
  // A horn that fills its rests too and goes on from the first entry to the end, over two minutes.
  stamina: (scene) => {
    if (!only(BRASS)(scene)) return undefined;
    const part = scene.voices[2];
    const { ensemble, piece } = scene;
    const filled = [15, 16, 31, 32].reduce((changed, bar) => {
      const [, third = 4] = chordOfBar(ensemble, bar).tones;
      const midi = nearest(54, ensemble.tuneTonic, third);
      return replaced(changed, part, bar, bar, [
        { start: barStart(piece, bar), length: barQuarters(piece), midi, velocity: 46 },
      ]);
    }, piece);
    return { from: 5, to: 40, part, piece: filled };
  },
  // Chords with both hands on the outer notes and more than a ninth in each.
  'hand-span': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const { ensemble, piece } = scene;
    const notes = [21, 22].flatMap((bar) => {
      const { root, tones } = chordOfBar(ensemble, bar);
      const low = nearest(38, ensemble.tuneTonic, root);
      const third = tones[1] ?? root;
      return [
        low,
        nearest(low + 16, ensemble.tuneTonic, third),
        low + 36,
        nearest(low + 52, ensemble.tuneTonic, third),
      ].map((midi) => ({ start: barStart(piece, bar), length: barQuarters(piece), midi, velocity: 20 }));
    });
    return { from: 21, to: 22, part: 'Piano', piece: joined(piece, 'Piano', 0, notes) };
  },
  // D, C sharp, C and B: four notes for three letters, so that a pedal has to move however they are spelled.
  'harp-pedals': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const { piece } = scene;
    const turns = figure(piece, [74, 73, 72, 71], 0.5, 20, 20, 20);
    return { from: 20, to: 20, part: 'Harp', piece: joined(piece, 'Harp', 46, [...held(scene, 18, 19), ...turns]) };
  },
  // Three pitches in a row that only the two largest drums have.
  'timpani-tuning': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const { piece } = scene;
    const strokes = figure(piece, [41, 42, 43], 1, 20, 20, 20);
    return { from: 20, to: 20, part: 'Timpani', piece: joined(piece, 'Timpani', 47, strokes) };
  },
  // Thirty-seconds on one note of a reed, over twelve a second.
  'repeated-notes': (scene) => {
    if (!only(WINDS)(scene)) return undefined;
    const part = scene.voices[3];
    const [key] = notesIn(scene.piece, part, 21, 21);
    const notes = figure(scene.piece, [key?.midi ?? 48], 0.125, 21, 21, 46);
    return { from: 21, to: 22, part, piece: replaced(scene.piece, part, 21, 21, notes) };
  },
  'brass-endurance': (scene) => {
    if (!only(BRASS)(scene)) return undefined;
    const part = scene.voices[1];
    return {
      from: 17,
      to: 30,
      part,
      piece: inBars(scene.piece, part, 17, 30, (note) => ({ ...note, velocity: 92 })),
    };
  },
  // A horn among its pedal notes for a long passage.
  tessitura: (scene) => {
    if (!only(WINDS, BRASS)(scene)) return undefined;
    const { ensemble, piece } = scene;
    const part = scene.voices[2];
    return {
      from: 17,
      to: 30,
      part,
      piece: inBars(piece, part, 17, 30, (note) => {
        const { tones } = chordOfBar(ensemble, barOf(piece, note.start));
        const keys = tones.map((tone) => nearest(38, ensemble.tuneTonic, tone)).filter((key) => key > 35 && key < 41);
        return { ...note, midi: keys[0] ?? 38 };
      }),
    };
  },
  // The horn comes in on a note it has to hunt for.
  'high-entry': (scene) => {
    if (!only(WINDS, BRASS)(scene)) return undefined;
    const { ensemble, piece } = scene;
    const part = scene.voices[2];
    const keys = chordOfBar(ensemble, 17).tones.map((tone) => nearest(75, ensemble.tuneTonic, tone));
    const midi = keys.find((key) => key > 72 && key < 78) ?? 74;
    return { from: 17, to: 17, part, piece: inBars(piece, part, 17, 17, (note) => ({ ...note, midi })) };
  },
  // From the lowest string to the highest and back in semiquavers.
  'string-skip': (scene) => {
    if (!only(STRINGS)(scene)) return undefined;
    const part = scene.voices[1];
    const notes = [21, 22].flatMap((bar) => {
      const { tones } = chordOfBar(scene.ensemble, bar);
      const within = (from: number, to: number): number =>
        tones
          .map((tone) => nearest((from + to) / 2, scene.ensemble.tuneTonic, tone))
          .find((key) => key >= from && key <= to) ?? from;
      const keys = [within(55, 61), within(84, 90)];
      return figure(scene.piece, keys, 0.25, bar, bar, 30);
    });
    return { from: 21, to: 22, part, piece: replaced(scene.piece, part, 21, 22, notes) };
  },
} satisfies Partial<Record<RuleName, Planting>>;
