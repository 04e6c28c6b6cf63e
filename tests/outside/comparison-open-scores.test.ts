/**
 * Known edits made to printed scores of the repertoire: each is named, and nothing else. Real music repeats itself, rests and
 * doubles, which random pieces do not. Scores: OpenScore string quartets and the Hauptstimme corpus, CC0.
 */
import { describe, expect, it } from 'vitest';
import {
  barQuartersOf,
  cutBars,
  editNotes,
  editPart,
  insertBars,
  moveBars,
  pieceOf,
  transposed,
  withoutPart,
  type Piece,
  type PieceNote,
  type PiecePart,
} from '../analyse/compare/edited-piece.ts';
import { changeOf, named } from '../analyse/compare/named-change.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { seeded } from '../support/playing.ts';
import { pieceOfScore } from '../support/score-piece.ts';

const FILES = ['openscore-quartets', 'openscore-orchestra'].flatMap((set) =>
  openFiles(set).map((name) => [set, name] as const),
);
const BARS = 40;
const PASSAGES = 3;

const numbers = (from: number, count: number): number[] => Array.from({ length: count }, (_, index) => from + index);

interface Passage {
  readonly piece: Piece;
  /** A part with enough notes to be known by them, and one of the first bars of the passage. */
  readonly part: PiecePart;
  readonly at: number;
}

function passagesOf(set: string, name: string, seed: number): readonly Passage[] {
  const whole = pieceOfScore(openFile(set, name), 400);
  const next = seeded(seed);
  return Array.from({ length: PASSAGES }, (): Passage => {
    const start = Math.floor(next() * Math.max(1, whole.barCount - BARS));
    const shorter = cutBars(whole, start + BARS + 1, Math.max(0, whole.barCount - start - BARS));
    const cut = cutBars(shorter, 1, start);
    const piece = { ...cut, parts: cut.parts.filter(({ notes }) => notes.length > 0) };
    const busy = piece.parts.filter(({ notes }) =>
      [0, 1].every((odd) => notes.filter(({ bar }) => bar % 2 === odd).length >= 8),
    );
    const part = busy[Math.floor(next() * busy.length)] ?? piece.parts[0]!;
    return { piece, part, at: 1 + Math.floor(next() * (piece.barCount - 14)) };
  });
}

/** Onsets and pitches of a bar as a text: '' where nothing begins. */
function contentOf(piece: Piece, bar: number): string {
  const note = ({ onset, length, midi }: PieceNote): string => [onset, length, midi].join(':');
  return piece.parts
    .map(({ notes }) =>
      notes
        .filter((item) => item.bar === bar)
        .map(note)
        .join(' '),
    )
    .join('|')
    .replaceAll(/^\|+$/g, '');
}

/** True where each of these bars begins something that no other bar of the passage is. */
function areUnique(piece: Piece, bars: readonly number[]): boolean {
  const all = numbers(1, piece.barCount).map((bar) => contentOf(piece, bar));
  return bars.every((bar) => {
    const own = all[bar - 1];
    return own !== '' && all.filter((other) => other === own).length === 1;
  });
}

describe.each(FILES.map(([set, name], index) => ({ set, name, seed: index + 1 })))(
  '$set/$name',
  ({ set, name, seed }) => {
    const passages = passagesOf(set, name, seed);

    it('a passage does not differ from itself', () => {
      for (const { piece } of passages) expect(named(changeOf(piece, piece, true))).toEqual({});
    });

    it('a part taken out, put in, renamed, or an octave lower is one change', () => {
      for (const { piece, part } of passages) {
        const { id } = part;
        expect(named(changeOf(piece, withoutPart(piece, id)))).toEqual({ removed: [id] });
        expect(named(changeOf(withoutPart(piece, id), piece))).toEqual({ added: [id] });
        const renamed = editPart(piece, id, (item) => ({ ...item, id: 'lead', name: 'Lead' }));
        expect(named(changeOf(piece, renamed))).toEqual({ renamed: [{ before: id, after: 'lead' }] });
        const lower = editNotes(piece, id, (note) => ({ ...note, midi: note.midi - 12 }));
        const { edits, ...rest } = changeOf(piece, lower);
        expect(edits.map(({ partId, kind, semitones }) => [partId, kind, semitones])).toEqual([
          [id, 'transposed', -12],
        ]);
        expect(named({ ...rest, edits: [] })).toEqual({});
      }
    });

    it('a part parted bar by bar between two desks was split, and the other way round joined', () => {
      for (const { piece, part } of passages) {
        const desks = [0, 1].map((odd) => ({
          ...part,
          id: `desk-${String(odd)}`,
          name: `Desk ${String(odd)}`,
          notes: part.notes.filter(({ bar }) => bar % 2 === odd),
        }));
        const parted = { ...piece, parts: piece.parts.flatMap((item) => (item.id === part.id ? desks : [item])) };
        const ids = ['desk-0', 'desk-1'];
        expect(named(changeOf(piece, parted))).toEqual({ split: [{ before: part.id, after: ids }] });
        expect(named(changeOf(parted, piece))).toEqual({ joined: [{ before: ids, after: part.id }] });
      }
    });

    it('eight new bars are where they were put, and what was cut is missing there', () => {
      for (const { piece, at } of passages) {
        const longer = insertBars(piece, at, 8, 77);
        expect(named(changeOf(piece, longer))).toEqual({ inserted: numbers(at, 8) });
        expect(named(changeOf(longer, piece))).toEqual({ cut: numbers(at, 8) });
        const shorter = named(changeOf(piece, cutBars(piece, at, 8)));
        // Where the music repeats itself it is as true that the repetition was cut: eight bars then, and no other change.
        expect(Object.keys(shorter)).toEqual(['cut']);
        expect(shorter['cut']).toHaveLength(8);
        if (areUnique(piece, numbers(at, 9))) expect(shorter).toEqual({ cut: numbers(at, 8) });
      }
    });

    it('four bars moved ten bars on are found there', () => {
      for (const { piece, at } of passages) {
        if (!areUnique(piece, numbers(at, 14))) continue;
        expect(named(changeOf(piece, moveBars(piece, at, 4, at + 10)))).toEqual({
          moved: [{ before: at, after: at + 10, count: 4 }],
        });
      }
    });

    it('another tempo, another key, a softer part and two rewritten bars', () => {
      for (const { piece, part, at } of passages) {
        const { id } = part;
        expect(named(changeOf(piece, { ...piece, tempo: 76 }))).toEqual({ tempo: [{ from: 1, to: piece.barCount }] });
        expect(named(changeOf(piece, transposed(piece, -2)))).toEqual({ semitones: -2 });
        const softer = changeOf(
          piece,
          editNotes(piece, id, (note) => ({ ...note, velocity: 40 })),
          true,
        );
        expect(softer.edits.map(({ partId, kind }) => [partId, kind])).toEqual([[id, 'balance']]);
        expect(named({ ...softer, edits: [] })).toEqual({});
        const fresh = pieceOf(9, piece.barCount, 1, barQuartersOf(piece)).parts[0]!.notes;
        const isNew = ({ bar }: PieceNote): boolean => bar === at || bar === at + 1;
        const rewritten = editPart(piece, id, (item) => ({
          ...item,
          notes: [...item.notes.filter((note) => !isNew(note)), ...fresh.filter(isNew)],
        }));
        const { edits, ...rest } = changeOf(piece, rewritten);
        expect(named({ ...rest, edits: [] })).toEqual({});
        expect(edits.every(({ partId, kind }) => partId === id && (kind === 'rewritten' || kind === 'extended'))).toBe(
          true,
        );
        const touched = new Set(edits.flatMap(({ bars }) => bars));
        // A note held into the bar after, and not any more, is a difference there.
        expect([...touched].sort((a, b) => a - b).filter((bar) => bar < at + 2)).toEqual([at, at + 1]);
        expect([...touched].every((bar) => bar >= at && bar <= at + 3)).toBe(true);
      }
    });
  },
);
