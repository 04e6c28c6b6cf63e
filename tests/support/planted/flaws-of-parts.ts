/** Flaws of single parts: range, notes at once, breath, leaps, entries and ends, levels, rests. */
import type { RuleName } from '../../../src/model/readings/rule-names.ts';
import { VOICE_BARS, cleanPiece } from './ensembles.ts';
import { barQuarters, barStart, inBars, notesIn, replaced, withLine } from './piece.ts';
import type { Planting } from './planting.ts';
import { background, everywhere, silenced, figure, only, STRINGS, WINDS, BRASS, CHOIR } from './planting.ts';

/** A key under the lowest that the highest accompanying instrument has: violin G3, oboe B flat 3, cornet E3; alto F3 for the few. */
const UNDER_RANGE: Readonly<Record<string, number>> = { [STRINGS]: 54, [WINDS]: 57, [BRASS]: 51, [CHOIR]: 51 };

/** A part and a key that only a professional reaches. */
const AT_EDGE: Readonly<Record<string, readonly [string, number]>> = {
  [STRINGS]: ['Double Bass', 57],
  [WINDS]: ['Horn in F', 38],
  [BRASS]: ['Horn in F', 38],
  [CHOIR]: ['Bass', 38],
};

/** Velocity at which the highest part alone, in unison with the soloist, is just about as strong. Found by the level model's own figures. */
const AS_STRONG: Readonly<Record<string, number>> = { [STRINGS]: 86, [WINDS]: 96, [BRASS]: 106, [CHOIR]: 111 };

/** The loudest accompanying part at one marking, by its greatest sound power (J. Meyer; of voices an estimate) and players. */
const LOUDEST: Readonly<Record<string, string>> = {
  [STRINGS]: 'Violin I',
  [WINDS]: 'Horn in F',
  [BRASS]: 'Horn in F',
  [CHOIR]: 'Tenor',
};

export const FLAWS_OF_PARTS = {
  'outside-range': ({ ensemble, piece, voices: [part] }) => ({
    from: 13,
    to: 13,
    part,
    piece: inBars(piece, part, 13, 13, (note) => ({ ...note, midi: UNDER_RANGE[ensemble.name] ?? 0 })),
  }),
  'edge-of-range': ({ ensemble, piece }) => {
    const [part, midi] = AT_EDGE[ensemble.name] ?? ['', 0];
    return { from: 30, to: 30, part, piece: inBars(piece, part, 30, 30, (note) => ({ ...note, midi })) };
  },
  'too-many-notes': (scene) => {
    if (only(CHOIR)(scene)) return undefined;
    const part = only(STRINGS)(scene) ? scene.solo : scene.voices[2];
    return {
      from: 21,
      to: 21,
      part,
      piece: inBars(scene.piece, part, 21, 21, (note) => [note, { ...note, midi: note.midi - 4 }]),
    };
  },
  breath: (scene) => {
    if (!only(WINDS, BRASS)(scene)) return undefined;
    const part = scene.voices[1];
    const key = notesIn(scene.piece, part, 17, 17)[0]?.midi ?? 60;
    const line = figure(scene.piece, [key, key - 2, key - 4, key - 2], 1, 17, 30, 46);
    return { from: 17, to: 30, part, piece: replaced(scene.piece, part, 17, 30, line) };
  },
  'wide-leap': (scene) => {
    if (only(STRINGS)(scene)) return undefined;
    const part = scene.voices[1];
    const start = barStart(scene.piece, 21);
    // In reach of the voice: a note that it has not is another fault.
    const keys = only(CHOIR)(scene) ? [48, 68] : [55, 75];
    const leap = keys.map((midi, index) => ({ start: start + index * 0.5, length: 0.5, midi, velocity: 46 }));
    return { from: 21, to: 21, part, piece: replaced(scene.piece, part, 21, 21, leap) };
  },
  'inaudible-entry': ({ piece, voices: [, , part] }) => ({
    from: 17,
    to: 18,
    part,
    piece: withLine(piece, part, (line) => ({
      ...line,
      expression: [
        { quarters: 0, setting: 50 },
        { quarters: barStart(piece, 16), setting: 0 },
        { quarters: barStart(piece, 19), setting: 50 },
      ],
    })),
  }),
  'foreground-ends-first': ({ piece, solo }) => ({
    from: piece.bars,
    to: piece.bars,
    part: solo,
    piece: inBars(piece, solo, piece.bars, piece.bars, (note) => ({ ...note, length: 1 })),
  }),
  'background-as-loud': (scene) => ({
    from: 19,
    to: 22,
    part: LOUDEST[scene.ensemble.name] ?? '',
    piece: everywhere(scene.piece, background(scene), 19, 22, (note) => ({ ...note, velocity: 124 })),
  }),
  'background-covers': (scene) => {
    // An alto does not reach the soprano's notes, and an organ that goes with its choir carries it.
    if (only(CHOIR)(scene)) return undefined;
    const { ensemble, piece, solo, voices } = scene;
    const [part] = voices;
    const alone = silenced(piece, background(scene), 17, 22);
    const velocity = AS_STRONG[ensemble.name] ?? 100;
    const unison = notesIn(piece, solo, 17, 22).filter(({ midi }) => midi >= ensemble.tuneTonic - 2);
    // Struck again in eighths: at the same beats it would be the tune itself, doubled.
    const struck = unison.flatMap(({ length, start, ...note }) => {
      const count = Math.max(1, Math.round(length / 0.5));
      return Array.from({ length: count }, (_, index) => ({
        ...note,
        start: start + index * 0.5,
        length: length / count,
        velocity,
      }));
    });
    return { from: 17, to: 22, part, piece: replaced(alone, part, 17, 22, struck) };
  },
  'support-over-lead': (scene) => {
    if (!only(STRINGS, BRASS)(scene)) return undefined;
    const part = only(STRINGS)(scene) ? scene.voices[1] : scene.voices[0];
    return {
      from: 19,
      to: 22,
      part,
      piece: inBars(scene.piece, part, 19, 22, (note) => ({ ...note, velocity: 124 })),
    };
  },
  'late-part': ({ piece, voices: [, part] }) => ({
    from: 5,
    to: 40,
    part,
    piece: withLine(piece, part, (line) => ({
      ...line,
      // Eighty milliseconds.
      notes: line.notes.map((note) => ({ ...note, start: note.start + (0.08 * piece.tempo) / 60 })),
    })),
  }),
  // Put down again one bar too far on.
  'displaced-part': (scene) => {
    // Where the harmony changes with every bar: elsewhere much of it fits either way.
    if (!only(BRASS)(scene)) return undefined;
    const {
      piece,
      voices: [, , part],
    } = scene;
    const late = notesIn(piece, part, 18, 23).map((note) => ({ ...note, start: note.start + barQuarters(piece) }));
    return { from: 19, to: 24, part, piece: replaced(piece, part, 19, 24, late) };
  },
  'leftover-track': ({ piece, voices: [, second] }) => ({
    from: 17,
    to: 30,
    part: second,
    piece: {
      ...piece,
      lines: [
        ...piece.lines,
        {
          name: 'Old chords',
          program: 0,
          players: 1,
          notes: notesIn(piece, second, 17, 30).map((note) => ({ ...note, velocity: 20 })),
        },
      ],
    },
  }),
  'never-rests': (scene) => {
    if (!only(WINDS, BRASS)(scene)) return undefined;
    return {
      from: 5,
      to: 56,
      part: scene.voices[2],
      piece: cleanPiece(scene.ensemble, {
        form: [0, 0, 1, 0, 1, 0, 0],
        plan: [
          [
            [5, 14],
            [17, 30],
            [33, 56],
          ],
          [
            [5, 14],
            [17, 30],
            [33, 56],
          ],
          [[5, 56]],
          [
            [5, 22],
            [25, 56],
          ],
          [
            [17, 22],
            [33, 56],
          ],
        ],
      }),
    };
  },
  'static-part': (scene) => {
    if (!only(WINDS, BRASS)(scene)) return undefined;
    const part = scene.voices[2];
    const key = notesIn(scene.piece, part, 17, 17)[0]?.midi ?? 60;
    return {
      from: 17,
      to: 30,
      part,
      piece: inBars(scene.piece, part, 17, 30, (note) => ({ ...note, midi: key })),
    };
  },
  'restless-part': (scene) => {
    if (only(STRINGS)(scene)) return undefined;
    const part = scene.voices[2];
    const key = notesIn(scene.piece, part, 19, 19)[0]?.midi ?? 60;
    const length = only(CHOIR)(scene) ? 0.5 : 1;
    const jumps = figure(scene.piece, [key - 9, key], length, 19, 22, 46);
    return { from: 19, to: 22, part, piece: replaced(scene.piece, part, 19, 22, jumps) };
  },
  // A choir sings together as a rule.
  'unchanged-texture': (scene) =>
    only(CHOIR)(scene)
      ? undefined
      : {
          from: 9,
          to: 40,
          piece: cleanPiece(scene.ensemble, { plan: [[[5, 40]], [[5, 40]], [[5, 40]], [[5, 40]], [[9, 40]]] }),
        },
  // Two bars lost in the middle of a phrase that comes for the third time.
  'broken-line': ({ piece, voices: [, part] }) => ({
    from: 27,
    to: 28,
    part,
    piece: inBars(piece, part, 27, 28, () => []),
  }),
  // In the last bars of a phrase, after four bars of rest.
  'entry-off-phrase': ({ ensemble, doubling }) => {
    const bars = [
      [9, 10],
      [15, 24],
      [33, 40],
    ] as const;
    return { from: 15, to: 15, part: doubling, piece: cleanPiece(ensemble, { plan: [...VOICE_BARS, bars] }) };
  },
  'all-at-once': ({ ensemble, voices: [part] }) => {
    const together = [
      [17, 30],
      [33, 40],
    ] as const;
    return {
      from: 17,
      to: 17,
      part,
      piece: cleanPiece(ensemble, { plan: [together, together, together, together, together] }),
    };
  },
  // As a notation file is often exported: one velocity for every note.
  'flat-dynamics': ({ piece }) => ({
    from: 1,
    to: piece.bars,
    piece: {
      ...piece,
      lines: piece.lines.map((line) => ({ ...line, notes: line.notes.map((note) => ({ ...note, velocity: 80 })) })),
    },
  }),
} satisfies Partial<Record<RuleName, Planting>>;
