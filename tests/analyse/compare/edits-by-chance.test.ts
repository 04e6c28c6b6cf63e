/**
 * Edits of which we know what they are, made to pieces by chance: each must be named, and nothing else. The truth is the edit
 * itself, not what the comparison said of it.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { compareStages, type ComparedStage } from '../../../src/analyse/compare-stages.ts';
import type { StageChange } from '../../../src/model/readings/readings.ts';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { seeded } from '../../support/playing.ts';
import {
  cutBars,
  editNotes,
  editPart,
  insertBars,
  moveBars,
  pieceOf,
  stageOfPiece,
  transposed,
  withoutPart,
  type Piece,
  type PieceNote,
} from './edited-piece.ts';
import { changeOf, compared, named } from './named-change.ts';

const BARS = 20;
const seeds = fc.integer({ min: 1, max: 1e6 });
const partIds = fc.constantFrom('flute', 'clarinet', 'violin-1', 'viola', 'cello');

const numbers = (from: number, count: number): number[] => Array.from({ length: count }, (_, index) => from + index);

describe('an edit is named, and nothing else', () => {
  it('a stage does not differ from itself', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const change = changeOf(pieceOf(seed), pieceOf(seed), true);
        expect(named(change)).toEqual({});
        expect(change.bars).toEqual([]);
      }),
      { seed: 1117, numRuns: 10 },
    );
  });

  it('nor where its tracks stand in another order', () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const piece = pieceOf(seed);
        expect(named(changeOf(piece, { ...piece, parts: [...piece.parts].reverse() }))).toEqual({});
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('a part that falls silent was taken out, and one that comes was added', () => {
    fc.assert(
      fc.property(seeds, partIds, (seed, id) => {
        const piece = pieceOf(seed);
        expect(named(changeOf(piece, withoutPart(piece, id)))).toEqual({ removed: [id] });
        expect(named(changeOf(withoutPart(piece, id), piece))).toEqual({ added: [id] });
        const muted = editPart(piece, id, (part) => ({ ...part, notes: [] }));
        expect(named(changeOf(piece, muted))).toEqual({ removed: [id] });
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('a part an octave lower or higher is one change', () => {
    fc.assert(
      fc.property(seeds, partIds, fc.constantFrom(-24, -12, 12), (seed, id, semitones) => {
        const piece = pieceOf(seed);
        const after = editNotes(piece, id, (note) => ({ ...note, midi: note.midi + semitones }));
        expect(named(changeOf(piece, after))).toEqual({
          edits: [{ partId: id, kind: 'transposed', semitones, bars: BARS }],
        });
      }),
      { seed: 1117, numRuns: 30 },
    );
  });

  it('an octave in four bars alone is told by these bars', () => {
    fc.assert(
      fc.property(seeds, partIds, fc.integer({ min: 1, max: 16 }), (seed, id, at) => {
        const piece = pieceOf(seed);
        const after = editNotes(piece, id, (note) =>
          note.bar >= at && note.bar < at + 4 ? { ...note, midi: note.midi - 12 } : note,
        );
        expect(changeOf(piece, after).edits).toEqual([
          { partId: id, kind: 'transposed', semitones: -12, bars: numbers(at, 4) },
        ]);
      }),
      { seed: 1117, numRuns: 30 },
    );
  });

  it('eight bars put in, or cut, leave the others what they were', () => {
    fc.assert(
      fc.property(seeds, fc.integer({ min: 1, max: BARS + 1 }), (seed, at) => {
        const piece = pieceOf(seed);
        const longer = insertBars(piece, at, 8, seed + 1);
        const change = changeOf(piece, longer);
        expect(named(change)).toEqual({ [at > BARS ? 'appended' : 'inserted']: numbers(at, 8) });
        expect(change.bars).toEqual(numbers(at, 8));
        expect(named(changeOf(longer, piece))).toEqual({ cut: numbers(at, 8) });
        expect(named(changeOf(longer, cutBars(longer, at, 8)))).toEqual({ cut: numbers(at, 8) });
      }),
      { seed: 1117, numRuns: 40 },
    );
  });

  it('four bars moved are found where they went', () => {
    fc.assert(
      fc.property(seeds, fc.integer({ min: 1, max: 17 }), fc.integer({ min: 1, max: 17 }), (seed, at, to) => {
        // Over four bars or fewer it is as true that those were moved.
        fc.pre(Math.abs(at - to) > 4);
        const piece = pieceOf(seed);
        expect(named(changeOf(piece, moveBars(piece, at, 4, to)))).toEqual({
          moved: [{ before: at, after: to, count: 4 }],
        });
      }),
      { seed: 1117, numRuns: 40 },
    );
  });

  it('a part under another name, or given to another instrument, is the same part', () => {
    fc.assert(
      fc.property(seeds, partIds, (seed, id) => {
        const piece = pieceOf(seed);
        const renamed = editPart(piece, id, (part) => ({ ...part, name: 'Lead' }));
        expect(named(changeOf(piece, renamed))).toEqual({ renamed: [{ before: id, after: id }] });
        const given = editPart(piece, id, (part) => ({ ...part, id: 'oboe', instrument: 'oboe', name: 'Oboe' }));
        expect(named(changeOf(piece, given))).toEqual({ renamed: [{ before: id, after: 'oboe' }] });
        const lower = editNotes(given, 'oboe', (note) => ({ ...note, midi: note.midi - 12 }));
        expect(named(changeOf(piece, lower))).toEqual({
          renamed: [{ before: id, after: 'oboe' }],
          edits: [{ partId: 'oboe', kind: 'transposed', semitones: -12, bars: BARS }],
        });
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('a part parted between two players was split, and the other way round joined', () => {
    fc.assert(
      fc.property(seeds, fc.boolean(), (seed, keepsName) => {
        const piece = pieceOf(seed);
        const [first, second] = keepsName ? ['viola', 'viola-2'] : ['viola-1', 'viola-2'];
        const parts = piece.parts.flatMap((part) =>
          part.id === 'viola'
            ? [first, second].map((id, desk) => ({
                ...part,
                id: id,
                name: keepsName && desk === 0 ? part.name : id,
                notes: part.notes.filter((note) => note.bar % 2 === desk),
              }))
            : [part],
        );
        const parted = { ...piece, parts };
        expect(named(changeOf(piece, parted))).toEqual({ split: [{ before: 'viola', after: [first, second] }] });
        expect(named(changeOf(parted, piece))).toEqual({ joined: [{ before: [first, second], after: 'viola' }] });
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('parted where one ended the other’s note in their one track, it has no other rhythm', () => {
    const piece = pieceOf(5);
    const moving = piece.parts.find(({ id }) => id === 'viola')!.notes;
    const halves = Array.from({ length: 2 * BARS }, (_, index) => {
      const [bar, onset] = [1 + (index >> 1), 2 * (index % 2)];
      const inside = moving.find((note) => note.bar === bar && note.onset > onset && note.onset < onset + 2);
      const midi = inside !== undefined && index % 3 === 0 ? inside.midi : 79 + (index % 5);
      return { bar, onset, length: 2, midi, velocity: 70 };
    });
    // In one track the end of either note is taken for the end of the one that began first.
    const isMet = (one: PieceNote, other: PieceNote): boolean =>
      one.bar === other.bar && one.midi === other.midi && other.onset > one.onset && other.onset < one.onset + 2;
    const inOne = [
      ...halves.map((note) => {
        const other = moving.find((each) => isMet(note, each));
        return other === undefined ? note : { ...note, length: other.onset + other.length - note.onset };
      }),
      ...moving.map((note) => {
        const other = halves.find((each) => isMet(each, note));
        return other === undefined ? note : { ...note, length: other.onset + other.length - note.onset };
      }),
    ];
    const together = editPart(piece, 'viola', (part) => ({ ...part, notes: inOne }));
    const parts = piece.parts.flatMap((part) =>
      part.id === 'viola'
        ? [
            { ...part, id: 'viola-1', name: 'Viola 1', notes: halves },
            { ...part, id: 'viola-2', name: 'Viola 2' },
          ]
        : [part],
    );
    expect(named(changeOf(together, { ...piece, parts }))).toEqual({
      split: [{ before: 'viola', after: ['viola-1', 'viola-2'] }],
    });
  });

  it('a part that doubles another in unison is new and splits nothing', () => {
    const piece = pieceOf(5);
    const doubling = { ...piece.parts[2]!, id: 'oboe', instrument: 'oboe', name: 'Oboe' };
    expect(named(changeOf(piece, { ...piece, parts: [...piece.parts, doubling] }))).toEqual({ added: ['oboe'] });
  });

  it('a part played softer throughout was re-balanced', () => {
    fc.assert(
      fc.property(seeds, partIds, (seed, id) => {
        const piece = pieceOf(seed, 8);
        const after = editNotes(piece, id, (note) => ({ ...note, velocity: Math.round(note.velocity * 0.6) }));
        const change = changeOf(piece, after, true);
        expect(named({ ...change, edits: [] })).toEqual({});
        expect(change.edits.map(({ partId, kind }) => [partId, kind])).toEqual([[id, 'balance']]);
        expect(change.edits[0]!.db).toBeLessThan(0);
      }),
      { seed: 1117, numRuns: 12 },
    );
  });

  it('a part played up to 30 ms early or late, and notated anew, was only re-timed', () => {
    fc.assert(
      fc.property(seeds, partIds, (seed, id) => {
        const next = seeded(seed + 7);
        const piece = pieceOf(seed, 12);
        const after = editNotes(piece, id, (note) => ({ ...note, late: 0.06 * next() - 0.03 }));
        const notated = (made: Piece, name: string): ComparedStage => {
          const stage = stageOfPiece(made, name);
          return { stage, written: notateStage(stage) };
        };
        const change = compareStages(notated(piece, 'one'), notated(after, 'two'));
        expect(named({ ...change, edits: [] })).toEqual({});
        expect(change.edits.map(({ partId, kind }) => [partId, kind])).toEqual([[id, 'timing']]);
        expect(change.bars).toEqual([]);
      }),
      { seed: 1117, numRuns: 8 },
    );
  });

  it('another tempo from a bar on, another key for all, other music in two bars', () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(-5, -2, 3, 12), fc.integer({ min: 1, max: 19 }), (seed, semitones, at) => {
        const piece = pieceOf(seed);
        expect(named(changeOf(piece, { ...piece, tempo: 76 }))).toEqual({ tempo: [{ from: 1, to: BARS }] });
        expect(named(changeOf(piece, transposed(piece, semitones)))).toEqual({ semitones });
        const other = pieceOf(seed + 3).parts.find((part) => part.id === 'viola')!;
        const inBars = (bar: number): boolean => bar === at || bar === at + 1;
        const after = editPart(piece, 'viola', (part) => ({
          ...part,
          notes: [...part.notes.filter((note) => !inBars(note.bar)), ...other.notes.filter((note) => inBars(note.bar))],
        }));
        expect(changeOf(piece, after).edits).toEqual([{ partId: 'viola', kind: 'rewritten', bars: [at, at + 1] }]);
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('several edits at once are all named', () => {
    fc.assert(
      fc.property(seeds, fc.integer({ min: 1, max: 13 }), (seed, at) => {
        const piece = pieceOf(seed);
        const longer = insertBars(piece, at, 8, seed + 1);
        const lower = editNotes(longer, 'cello', (note) => ({ ...note, midi: note.midi - 12 }));
        expect(named(changeOf(withoutPart(piece, 'flute'), lower))).toEqual({
          added: ['flute'],
          inserted: numbers(at, 8),
          edits: [{ partId: 'cello', kind: 'transposed', semitones: -12, bars: BARS }],
        });
      }),
      { seed: 1117, numRuns: 20 },
    );
  });

  it('a change reads backwards as its opposite', () => {
    fc.assert(
      fc.property(seeds, seeds, fc.integer({ min: 1, max: 21 }), partIds, (seed, other, at, id) => {
        const piece = pieceOf(seed);
        const mixed = insertBars(
          editPart(piece, id, (part) => ({ ...part, notes: pieceOf(other).parts[0]!.notes })),
          at,
          3,
          other,
        );
        const there = changeOf(piece, mixed);
        const back = changeOf(mixed, piece);
        expect(back.parts.added).toEqual(there.parts.removed);
        expect(back.parts.removed).toEqual(there.parts.added);
        const { cut, ...order } = there.barOrder;
        expect([...back.barOrder.inserted, ...back.barOrder.appended]).toEqual(cut);
        expect(back.barOrder.cut).toEqual([...order.inserted, ...order.appended]);
        // A line that two parts have now is a doubling one way and a rewritten part the other.
        const done = ({ edits }: StageChange): ReadonlySet<string> =>
          new Set(edits.map(({ partId, kind }) => `${partId} ${kind}`));
        expect(done(back)).toEqual(done(there));
      }),
      { seed: 1117, numRuns: 30 },
    );
  });
});

describe('ten stages', () => {
  it('are laid out once each, however many they are compared with', () => {
    let reads = 0;
    const stages = Array.from({ length: 10 }, (_, index): ComparedStage => {
      const { stage, written } = compared(pieceOf(index < 5 ? 1 : 2, 20 + index), `stage-${String(index)}`);
      const counted = new Proxy(written, {
        get: (target, key, receiver) => {
          if (key === 'parts') reads++;
          return Reflect.get(target, key, receiver) as unknown;
        },
      });
      return { stage, written: counted };
    });
    for (const after of stages.slice(1)) compareStages(stages[0]!, after);
    const once = reads;
    for (const [index, after] of stages.entries()) {
      for (const before of stages.slice(0, index)) compareStages(before, after);
    }
    expect(once).toBeGreaterThan(0);
    expect(reads).toBe(once);
  });
});
