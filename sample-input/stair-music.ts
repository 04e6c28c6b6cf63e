/**
 * The second sample, *The Salt Stair*: harmony, bars and every line, at sounding pitch. What a later stage changes stands
 * under the line it changes.
 */
import { barTexts, barsInMeters } from './notation.ts';
import type { SampleBar } from './notation.ts';

export const STAIR_LAST_BAR = 40;

/** A pickup of a quarter, 3/4, then 4/4 from bar 17, 6/8 from bar 25 and 3/4 again from bar 37. */
function meterAt(bar: number): { numerator: number; denominator: 4 | 8 } {
  if (bar === 0) return { numerator: 1, denominator: 4 };
  if (bar >= 17 && bar <= 24) return { numerator: 4, denominator: 4 };
  if (bar >= 25 && bar <= 36) return { numerator: 6, denominator: 8 };
  return { numerator: 3, denominator: 4 };
}

export const STAIR_BARS: readonly SampleBar[] = barsInMeters(STAIR_LAST_BAR, meterAt);

/** Chords bar by bar; where there are two, `:n` is the length of each in eighths. */
const HARMONY = `
  1 D | Bm7 | Em7 | A7
  5 D/F# | G | Em7 | A7
  9 D | Bm7 | G | F#7/A#
  13 Bm | Em7 | D/A:4 A7:2 | D
  17 Bm | Gmaj7 | Em7 | F#7
  21 Bm:4 Bm/A:4 | G:4 Em7:4 | Bm/F#:4 F#7:4 | Bm:4 A7:4
  25 D | Bm7 | Em7 | A7
  29 D | G | Em7:3 A7:3 | D
  33 Bm | G | Em7:3 A7:3 | D
  37 G | Gm | D/A:4 A7:2 | D`;

export interface StairChord {
  readonly bar: number;
  /** In eighths from the start of the pickup. */
  readonly start: number;
  readonly length: number;
  /** As musicians write it, without the bass. */
  readonly symbol: string;
  /** Name of the lowest tone. */
  readonly bass: string;
}

/** The plan above as spans. */
export function stairChords(): StairChord[] {
  const texts = barTexts(HARMONY);
  return STAIR_BARS.flatMap((bar) => {
    let start = bar.start;
    const words = (texts.get(bar.number) ?? '').split(/\s+/).filter((word) => word !== '');
    return words.map((word): StairChord => {
      const [name = '', lengthText] = word.split(':');
      const [symbol = '', slash] = name.split('/');
      const length = lengthText === undefined ? bar.length : Number(lengthText);
      const root = /^[A-G][b#]?/.exec(symbol)?.[0] ?? symbol;
      const span = { bar: bar.number, start, length, symbol, bass: slash ?? root };
      start += length;
      return span;
    });
  });
}

/** The tune is the clarinet's but for bars 17-24; the rests inside it are where the player breathes. */
export const CLARINET = `
  0 A4:2
  1 F#5:3 E5:1 D5:2 | F#5:3 D5:1 B4:2 | G5:3 F#5:1 E5:2 | C#5:3 -:1 A4:2
  5 A5:3 F#5:1 D5:2 | B5:4 A5:1 G5:1 | F#5:1 E5:3 G5:2 | E5:3 -:1 A4:2
  9 F#5:3 E5:1 D5:2 | F#5:3 D5:1 B4:2 | G5:3 A5:1 B5:2 | A#5:3 -:1 F#5:2
  13 B5:3 A5:1 F#5:2 | G5:3 F#5:1 E5:2 | D5:2 F#5:2 E5:2 | D5:4
  24 -:7 A4:1
  25 F#5:2 E5:1 D5:2 A4:1 | F#5:2 D5:1 B4:2 D5:1 | G5:2 F#5:1 E5:2 B4:1 | C#5:2 E5:1 A5:2 -:1
  29 A5:2 F#5:1 D5:2 F#5:1 | B5:2 A5:1 G5:2 D5:1 | E5:2 G5:1 C#5:2 E5:1 | D5:4 -:1 F#5:1
  33 B5:2 A5:1 F#5:2 D5:1 | G5:2 F#5:1 D5:2 B4:1 | E5:2 G5:1 A5:2 E5:1 | D5:5
  37 B4:2 D5:2 G5:2 | G5:3 D5:1 Bb4:2 | D5:2 A4:2 C#5:2 | D5:6`;

/** The middle section as the sketch has it. */
export const VIOLA_TUNE = `
  17 -:2 F#4:2 B4:3 C#5:1 | D5:3 C#5:1 B4:4 | G4:3 F#4:1 E4:2 B4:2 | E5:3 C#5:1 E5:3
  21 D5:3 E5:1 F#5:4 | G5:3 F#5:1 E5:4 | D5:4 C#5:4 | B4:4`;

export const VIOLA = `${VIOLA_TUNE}
  9 A3:6 | =:6 | B3:6 | C#4:6
  13 B3:6 | G3:6 | A3:6 | =:6
  25 A3:6 | =:6 | B3:6 | A3:6
  29 A3:6 | B3:6 | B3:3 A3:3 | A3:6
  33 B3:6 | =:6 | B3:3 A3:3 | A3:6
  37 B3:6 | Bb3:6 | A3:6 | =:6`;

/** From the first reading on: off the beat in the dance, so that the tune has air. */
export const VIOLA_DANCE = `${VIOLA}
  25 -:2 A3:1 -:2 A3:1 | -:2 A3:1 -:2 A3:1 | -:2 B3:1 -:2 B3:1 | -:2 A3:1 -:2 A3:1
  29 -:2 A3:1 -:2 A3:1 | -:2 G3:1 -:2 G3:1 | -:2 B3:1 -:2 A3:1 | -:2 A3:1 -:2 A3:1
  33 -:2 B3:1 -:2 B3:1 | -:2 B3:1 -:2 B3:1 | -:2 B3:1 -:2 A3:1 | A3:6`;

export const VIOLIN_I = `
  9 F#4:6 | =:6 | G4:6 | F#4:6
  13 F#4:6 | E4:6 | F#4:4 G4:2 | F#4:6
  17 D4:8 | =:8 | =:8 | C#4:8
  21 D4:8 | =:8 | F#4:4 E4:4 | D4:4 E4:4
  25 F#4:6 | =:6 | G4:6 | =:6
  29 F#4:6 | G4:6 | =:6 | F#4:6
  33 F#4:6 | G4:6 | =:6 | F#4:6
  37 G4:6 | =:6 | F#4:4 G4:2 | F#4:6`;

/** From the first reading on: a line of its own under the second phrase of the dance. */
export const VIOLIN_I_DANCE = `${VIOLIN_I}
  29 F#4:3 A4:3 | B4:3 G4:3 | =:3 E4:3 | F#4:5`;

export const VIOLIN_II = `
  9 D4:6 | =:6 | =:6 | E4:6
  13 D4:6 | B3:6 | D4:4 C#4:2 | D4:6
  17 B3:8 | =:8 | =:8 | A#3:8
  21 B3:8 | =:8 | =:4 A#3:4 | B3:4 C#4:4
  25 D4:6 | =:6 | =:6 | C#4:6
  29 D4:6 | =:6 | =:3 C#4:3 | D4:6
  33 D4:6 | =:6 | =:3 C#4:3 | D4:6
  37 D4:6 | =:6 | =:4 E4:2 | D4:6`;

export const VIOLIN_II_DANCE = `${VIOLIN_II}
  25 -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 D4:1 | -:2 C#4:1 -:2 C#4:1
  29 -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 C#4:1 | -:2 D4:1 -:2 D4:1
  33 -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 D4:1 | -:2 D4:1 -:2 C#4:1 | D4:6`;

export const CELLO = `
  5 F#2:6 | G2:6 | E2:6 | A2:6
  9 D3:6 | B2:6 | G2:6 | A#2:6
  13 B2:6 | E3:6 | A2:6 | D2:6
  17 B2:8 | G2:8 | E2:8 | F#2:8
  21 B2:4 A2:4 | G2:4 E2:4 | F#2:8 | B2:4 A2:4
  25 D3:6 | B2:6 | E3:6 | A2:5
  29 D3:6 | G2:6 | E3:3 A2:3 | D3:5
  33 B2:6 | G2:6 | E3:3 A2:3 | D2:6
  37 G2:6 | =:6 | A2:6 | D2:6`;

/** Waltz, broken chords, dance and close. */
export const HARP = `
  1 D3:2 F#3+A3+D4:2 F#3+A3+D4:2 | B2:2 F#3+A3+D4:2 F#3+A3+D4:2
  3 E2:2 G3+B3+D4:2 G3+B3+D4:2 | A2:2 G3+C#4+E4:2 G3+C#4+E4:2
  5 F#2:2 A3+D4:2 A3+D4:2 | G2:2 B3+D4:2 B3+D4:2
  7 E2:2 G3+B3+D4:2 G3+B3+D4:2 | A2:2 G3+C#4+E4:2 G3+C#4+E4:2
  9 D3:2 F#3+A3+D4:2 F#3+A3+D4:2 | B2:2 F#3+A3+D4:2 F#3+A3+D4:2
  11 G2:2 G3+B3+D4:2 G3+B3+D4:2 | A#2:2 F#3+C#4+E4:2 F#3+C#4+E4:2
  13 B2:2 F#3+B3+D4:2 F#3+B3+D4:2 | E2:2 G3+B3+D4:2 G3+B3+D4:2
  15 A2:2 F#3+A3+D4:2 A2+G3+C#4+E4:2 | D3:2 A3+D4+F#4:2
  17 B2:1 F#3:1 B3:1 D4:1 F#4:1 D4:1 B3:1 F#3:1 | G2:1 D3:1 F#3:1 B3:1 D4:1 B3:1 F#3:1 D3:1
  19 E2:1 B2:1 G3:1 B3:1 D4:1 B3:1 G3:1 B2:1 | F#2:1 C#3:1 E3:1 A#3:1 C#4:1 A#3:1 E3:1 C#3:1
  21 B2:1 F#3:1 B3:1 D4:1 A2:1 F#3:1 B3:1 D4:1 | G2:1 D3:1 B3:1 D4:1 E2:1 B2:1 G3:1 D4:1
  23 F#2:1 D3:1 F#3:1 B3:1 F#2:1 C#3:1 E3:1 A#3:1 | B2:1 F#3:1 B3:1 D4:1 A2:1 E3:1 G3:1 C#4:1
  25 D3:2 F#3+A3+D4:1 D3:2 F#3+A3+D4:1 | B2:2 F#3+A3+D4:1 B2:2 F#3+A3+D4:1
  27 E3:2 G3+B3+D4:1 E3:2 G3+B3+D4:1 | A2:2 G3+C#4+E4:1 A2:2 G3+C#4+E4:1
  29 D3:2 F#3+A3+D4:1 D3:2 F#3+A3+D4:1 | G2:2 B3+D4:1 G2:2 B3+D4:1
  31 E3:2 G3+B3+D4:1 A2:2 G3+C#4+E4:1 | D3:2 F#3+A3+D4:1 D3:2 F#3+A3+D4:1
  33 B2:2 F#3+B3+D4:1 B2:2 F#3+B3+D4:1 | G2:2 G3+B3+D4:1 G2:2 G3+B3+D4:1
  35 E3:2 G3+B3+D4:1 A2:2 G3+C#4+E4:1 | D3:2 F#3+A3+D4:1 D3:2
  37 G2:2 G3+B3+D4:2 G3+B3+D4:2 | G2:2 G3+Bb3+D4:2 G3+Bb3+D4:2
  39 A2:2 F#3+A3+D4:2 A2+G3+C#4+E4:2 | D2+A2+F#3+A3+D4:6`;
