/** What is told of two parts together, of a line that begins later, and of whole bars: each is the edit that was made here, and nothing else. */
import { describe, expect, it } from 'vitest';
import type { StageChange } from '../../../src/model/readings/readings.ts';
import { editNotes, editPart, insertBars, pieceOf, withoutPart, type Piece } from './edited-piece.ts';
import { changeOf, named } from './named-change.ts';

const piece = pieceOf(11, 20);
const bars = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, index) => from + index);
const isIn = (bar: number, from: number, to: number): boolean => bar >= from && bar <= to;

/** Edits that no list of the change tells already. */
function leftOver(change: StageChange): readonly string[] {
  return change.edits.filter(({ toldWith }) => toldWith === undefined).map(({ partId, kind }) => `${partId} ${kind}`);
}

/** The piece with a part silent in some bars. */
function resting(from: Piece, id: string, first: number, last: number): Piece {
  return editPart(from, id, (part) => ({ ...part, notes: part.notes.filter(({ bar }) => !isIn(bar, first, last)) }));
}

function playing(to: Piece, id: string, from: string, first: number, last: number, octaves = 0): Piece {
  const line = piece.parts.find((part) => part.id === from)!.notes.filter(({ bar }) => isIn(bar, first, last));
  const moved = line.map((note) => ({ ...note, midi: note.midi + 12 * octaves }));
  return editPart(to, id, (part) => ({ ...part, notes: [...part.notes, ...moved] }));
}

describe('a line that another part has now', () => {
  it('was given to it, where the first one rests', () => {
    const room = resting(piece, 'flute', 9, 16);
    const change = changeOf(room, playing(resting(room, 'clarinet', 9, 16), 'flute', 'clarinet', 9, 16));
    expect(change.given).toEqual([{ from: 'clarinet', to: 'flute', octaves: 0, bars: bars(9, 16) }]);
    expect([leftOver(change), change.doublings]).toEqual([[], []]);
    expect(change.bars).toEqual(bars(9, 16));
  });

  it('is theirs in all its bars, also in one in which they had the same notes before', () => {
    const old = resting(piece, 'viola', 12, 12);
    const had = playing(old, 'viola', 'flute', 12, 12);
    const change = changeOf(
      had,
      playing(resting(resting(had, 'viola', 9, 12), 'flute', 9, 12), 'viola', 'flute', 9, 12),
    );
    expect(change.given.map(({ to, bars: own }) => [to, own])).toEqual([['viola', bars(9, 12)]]);
    const ofHeir = change.edits.filter(({ partId }) => partId === 'viola');
    expect(ofHeir.map((edit) => [edit.kind, edit.bars, edit.toldWith])).toEqual([['rewritten', bars(9, 12), 'given']]);
  });

  it('was given to a new part of another instrument, whether the first one rests there or plays a counter-line', () => {
    const line = piece.parts[0]!.notes.filter(({ bar }) => isIn(bar, 9, 16));
    const guitar = { id: 'guitar', instrument: 'guitar', name: 'Guitar', notes: line };
    const rested = resting(piece, 'flute', 9, 16);
    const counter = line.map((note) => ({ ...note, midi: 60 + ((note.midi * 5) % 7) }));
    const rewritten = editPart(rested, 'flute', (part) => ({ ...part, notes: [...part.notes, ...counter] }));
    for (const [after, more] of [
      [rested, []],
      [rewritten, ['flute rewritten']],
    ] as const) {
      const change = changeOf(piece, { ...after, parts: [...after.parts, guitar] });
      expect([change.parts.split, change.parts.added]).toEqual([[], ['guitar']]);
      expect(change.given).toEqual([{ from: 'flute', to: 'guitar', octaves: 0, bars: bars(9, 16) }]);
      expect(leftOver(change)).toEqual(more);
    }
  });

  it('was given as a whole to a new part, though in its first bar another new part has the same tones', () => {
    const line = piece.parts[0]!.notes.filter(({ bar }) => isIn(bar, 9, 12));
    const part = (id: string, notes: typeof line) => ({ id, instrument: id, name: id, notes });
    const added = [
      part(
        'glockenspiel',
        line.filter(({ bar }) => bar === 9),
      ),
      part('guitar', line),
    ];
    const rested = resting(piece, 'flute', 9, 12);
    const change = changeOf(piece, { ...rested, parts: [...rested.parts, ...added] });
    expect(change.given).toEqual([{ from: 'flute', to: 'guitar', octaves: 0, bars: bars(9, 12) }]);
    expect(leftOver(change)).toEqual([]);
  });

  it('was given to nobody where a new part only has its tones inside chords that it strums throughout', () => {
    const strummed = piece.parts
      .find(({ id }) => id === 'flute')!
      .notes.flatMap((note) => [-8, -3, 0, 5].map((interval) => ({ ...note, midi: note.midi + interval })));
    const strum = { id: 'guitar', instrument: 'guitar', name: 'Guitar', notes: strummed };
    const rested = resting(piece, 'flute', 9, 10);
    const change = changeOf(piece, { ...rested, parts: [...rested.parts, strum] });
    expect(change.given).toEqual([]);
    expect(leftOver(change)).toEqual(['flute silenced']);
  });

  it('is doubled, where both play it: in unison, or an octave below', () => {
    const room = resting(piece, 'cello', 5, 8);
    for (const octaves of [0, -1]) {
      const change = changeOf(room, playing(room, 'cello', 'flute', 5, 8, octaves));
      expect(change.doublings).toEqual([{ partId: 'cello', doubles: 'flute', octaves, bars: bars(5, 8) }]);
      expect([leftOver(change), change.given]).toEqual([[], []]);
    }
  });

  it('is doubled by a part that came for it', () => {
    const oboe = { ...piece.parts[0]!, id: 'oboe', instrument: 'oboe', name: 'Oboe' };
    const notes = oboe.notes.filter(({ bar }) => isIn(bar, 5, 12));
    const change = changeOf(piece, { ...piece, parts: [...piece.parts, { ...oboe, notes }] });
    expect(change.parts.added).toEqual(['oboe']);
    expect(change.doublings).toEqual([{ partId: 'oboe', doubles: 'flute', octaves: 0, bars: bars(5, 12) }]);
  });
});

describe('a line that began in bar 1', () => {
  it('enters in bar 5 where its first four bars are gone', () => {
    const change = changeOf(piece, resting(piece, 'viola', 1, 4));
    expect(change.entries).toEqual([{ partId: 'viola', before: 1, after: 5 }]);
    expect(leftOver(change)).toEqual([]);
  });

  it('rests, and enters nowhere else, where bars in its middle are gone', () => {
    const change = changeOf(piece, resting(piece, 'viola', 9, 12));
    expect(change.entries).toEqual([]);
    expect(leftOver(change)).toEqual(['viola silenced']);
  });
});

describe('whole bars', () => {
  it('after the end were added there, and before it inserted', () => {
    expect(named(changeOf(piece, insertBars(piece, 21, 4, 3)))).toEqual({ appended: bars(21, 24) });
    expect(named(changeOf(piece, insertBars(piece, 13, 4, 3)))).toEqual({ inserted: bars(13, 16) });
  });

  it('an empty bar at the start moves all others by one', () => {
    const later = (note: { readonly bar: number }): number => note.bar + 1;
    const parts = piece.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, bar: later(note) })),
    }));
    expect(named(changeOf(piece, { ...piece, barCount: 21, parts }))).toEqual({ inserted: [1] });
  });

  it('from bar 13 on a minor third higher are told as that stretch', () => {
    const higher = piece.parts.reduce(
      (made, { id }) => editNotes(made, id, (note) => (note.bar >= 13 ? { ...note, midi: note.midi + 3 } : note)),
      piece,
    );
    const change = changeOf(piece, higher);
    expect(change.shifted).toEqual([{ from: 13, to: 20, semitones: 3 }]);
    expect(named(change)).toEqual({});
  });

  it('all a tone lower, and the cello an octave besides, are two edits', () => {
    const lower = piece.parts.reduce(
      (made, { id }) => editNotes(made, id, (note) => ({ ...note, midi: note.midi - (id === 'cello' ? 14 : 2) })),
      piece,
    );
    expect(named(changeOf(piece, lower))).toEqual({
      semitones: -2,
      edits: [{ partId: 'cello', kind: 'transposed', semitones: -12, bars: 20 }],
    });
  });

  it('of 4/4 written as twice as many of 2/4 are the same music', () => {
    const parts = piece.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({
        ...note,
        bar: 2 * note.bar - (note.onset < 2 ? 1 : 0),
        onset: note.onset % 2,
      })),
    }));
    const change = changeOf(piece, { ...piece, barCount: 40, meter: { numerator: 2, denominator: 4 }, parts });
    expect(change.rebarred).toEqual([
      {
        from: 1,
        to: 40,
        fromBefore: 1,
        toBefore: 20,
        before: { numerator: 4, denominator: 4 },
        after: { numerator: 2, denominator: 4 },
      },
    ]);
    expect(named(change)).toEqual({});
  });

  it('moved in music over an ostinato are found where they went', () => {
    const drum = Array.from({ length: 20 }, (_, bar) =>
      [0, 1, 2, 3].map((onset) => ({ bar: bar + 1, onset, length: 1, midi: 48 + (onset % 2) * 7, velocity: 80 })),
    ).flat();
    const ostinato = editPart(withoutPart(withoutPart(piece, 'violin-1'), 'viola'), 'cello', (part) => ({
      ...part,
      notes: drum,
    }));
    const order = [...bars(1, 4), ...bars(13, 16), ...bars(5, 12), ...bars(17, 20)];
    const placeOf = new Map(order.map((bar, index) => [bar, index + 1]));
    const parts = ostinato.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, bar: placeOf.get(note.bar)! })),
    }));
    expect(named(changeOf(ostinato, { ...ostinato, parts }))).toEqual({ moved: [{ before: 13, after: 5, count: 4 }] });
  });
});

describe('a passage between rests', () => {
  /** The viola rests about bars 9 to 12, which begin so many quarters later. */
  const at = (later: number): Piece =>
    editPart(piece, 'viola', (part) => ({
      ...part,
      notes: part.notes.flatMap((note) => {
        if (!isIn(note.bar, 7, 14)) return [note];
        if (!isIn(note.bar, 9, 12)) return [];
        const place = 4 * note.bar + note.onset + later;
        return [{ ...note, bar: Math.floor(place / 4), onset: place % 4 }];
      }),
    }));
  const editsOf = (later: number) =>
    changeOf(at(0), at(later)).edits.map(({ partId, kind, moved, bars: own }) => [partId, kind, moved, own]);

  it('that was put down a bar earlier, or a beat later, was moved by that, and not rewritten', () => {
    expect(editsOf(-4)).toEqual([['viola', 'moved', 'a bar earlier', bars(8, 12)]]);
    expect(editsOf(4)).toEqual([['viola', 'moved', 'a bar later', bars(9, 13)]]);
    const [[partId, kind, moved, own] = []] = editsOf(1);
    expect([partId, kind, moved]).toEqual(['viola', 'moved', 'a beat later']);
    expect(own).toEqual(expect.arrayContaining(bars(9, 12)));
  });

  it('of three notes on three pitches was moved by a bar note for note, and rewritten where one of them is another', () => {
    const three = (bar: number, last = 60): Piece =>
      editPart(resting(piece, 'viola', 7, 14), 'viola', (part) => ({
        ...part,
        notes: [
          ...part.notes,
          { bar, onset: 0, length: 2, midi: 67, velocity: 70 },
          { bar, onset: 2, length: 2, midi: 64, velocity: 70 },
          { bar: bar + 1, onset: 0, length: 4, midi: last, velocity: 70 },
        ],
      }));
    const kinds = (after: Piece) =>
      changeOf(three(9), after).edits.map(({ kind, moved, bars: own }) => [kind, moved, own]);
    expect(kinds(three(10))).toEqual([['moved', 'a bar later', bars(9, 11)]]);
    expect(kinds(three(8))).toEqual([['moved', 'a bar earlier', bars(8, 10)]]);
    expect(kinds(three(10, 59)).map(([kind]) => kind)).not.toContain('moved');
  });

  it('of which other pitches are played a bar earlier was rewritten', () => {
    const other = editPart(at(-4), 'viola', (part) => ({
      ...part,
      notes: part.notes.map((note, index) =>
        isIn(note.bar, 8, 11) ? { ...note, midi: 55 + ((index * 5) % 11) } : note,
      ),
    }));
    const kinds = changeOf(at(0), other).edits.map(({ kind }) => kind);
    expect(kinds).toContain('rewritten');
    expect(kinds).not.toContain('moved');
  });
});
