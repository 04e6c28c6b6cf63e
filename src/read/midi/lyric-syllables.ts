/**
 * Words in a MIDI file, as people write them: lyric events (Standard MIDI Files 1.0, FF 05), a syllable each, or text events (FF 01) of a
 * track without notes. A hyphen or the absence of a blank says that a word goes on; a stroke or a line end begins a line; what stands in braces
 * or behind an @ is about the file (MMA recommended practices for lyrics and display, from memory; strokes and @ are custom, no source).
 */
import type { Syllable } from '../../model/music/syllable.ts';
import { cleanText, decodeText } from '../clean-text.ts';

/** Text of an event as the parser gives it, a character a byte. */
export interface TextPiece {
  readonly tick: number;
  readonly binary: string;
}

export interface RawSyllable extends Syllable {
  readonly tick: number;
}

/** The longest syllables have some ten letters; what is much longer is a line of text, and is cut. */
const MOST_CHARACTERS = 30;
/** No part has so many. */
const MOST_SYLLABLES = 20_000;
/** From these shares of the pieces on, hyphens or blanks are how the file tells words. */
const WITH_HYPHENS = 0.04;
const WITH_BLANKS = 0.2;

interface Piece {
  readonly tick: number;
  readonly text: string;
  readonly breaksBefore: boolean;
  readonly breaksAfter: boolean;
  readonly hyphenBefore: boolean;
  readonly hyphenAfter: boolean;
}

function pieceOf(tick: number, whole: string): Piece {
  const said = whole.replaceAll(/\{[^{}]*\}/g, '');
  const bare = said.replaceAll(/^[\s\\/]+|[\s\\/]+$/g, '');
  return {
    tick,
    text: cleanText(bare.replaceAll(/^[-_]+|[-_]+$/g, ''), MOST_CHARACTERS),
    breaksBefore: /^[\s\\/]/.test(said),
    breaksAfter: /[\s\\/]$/.test(said),
    hyphenBefore: bare.startsWith('-'),
    hyphenAfter: bare.endsWith('-'),
  };
}

/** Pieces with letters; what stands on its own (a hyphen, a line end) is said of its neighbours. */
function joinedPieces(pieces: readonly Piece[]): Piece[] {
  const kept: Piece[] = [];
  let breaks = false;
  for (const piece of pieces) {
    const last = kept.at(-1);
    if (piece.text !== '') {
      kept.push(breaks ? { ...piece, breaksBefore: true } : piece);
      breaks = false;
    } else if (piece.hyphenBefore && last !== undefined) kept[kept.length - 1] = { ...last, hyphenAfter: true };
    else breaks ||= piece.breaksBefore;
  }
  return kept;
}

/** Whether each piece and the next one are of one word. */
function joins(pieces: readonly Piece[]): boolean[] {
  const share = (has: (piece: Piece) => boolean): number => pieces.filter(has).length / Math.max(1, pieces.length);
  const byHyphens = share(({ hyphenBefore, hyphenAfter }) => hyphenBefore || hyphenAfter) >= WITH_HYPHENS;
  const byBlanks = !byHyphens && share(({ breaksBefore, breaksAfter }) => breaksBefore || breaksAfter) >= WITH_BLANKS;
  return pieces.map((piece, index) => {
    const next = pieces[index + 1];
    if (next === undefined) return false;
    if (piece.hyphenAfter || next.hyphenBefore) return true;
    return byBlanks && !piece.breaksAfter && !next.breaksBefore;
  });
}

/** Whether text events are words to be sung: some begin a line with a stroke, or the first ones say what the file is. */
export function areWords(pieces: readonly TextPiece[]): boolean {
  return pieces.length >= 4 && pieces.some(({ binary }) => /^(@K|[\\/]\S)/.test(binary));
}

/** The syllables of a track in order; `guessed` where their encoding is a guess. */
export function syllablesOf(found: readonly TextPiece[]): {
  readonly syllables: readonly RawSyllable[];
  readonly guessed: string | undefined;
} {
  const sorted = [...found].sort((a, b) => a.tick - b.tick).slice(0, MOST_SYLLABLES);
  // One text, so that its encoding is told by all of it and not by one letter.
  const joined = sorted.map(({ binary }) => binary.replaceAll('\0', '')).join('\0');
  const { text, guessed } = decodeText(Uint8Array.from(joined, (character) => character.charCodeAt(0)));
  const texts = text.split('\0');
  const pieces = joinedPieces(
    sorted.flatMap(({ tick }, index) => {
      const whole = texts[index] ?? '';
      return whole.startsWith('@') ? [] : [pieceOf(tick, whole)];
    }),
  );
  const goesOn = joins(pieces);
  const syllables = pieces.map(({ tick, text: syllable }, index): RawSyllable => {
    const [before, after] = [goesOn[index - 1] === true, goesOn[index] === true];
    return {
      tick,
      text: syllable,
      place: before ? (after ? 'middle' : 'end') : after ? 'begin' : 'single',
    };
  });
  return { syllables, guessed };
}
