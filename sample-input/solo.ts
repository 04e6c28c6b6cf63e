/** The harmony of the piece and the solo piano: the tune and its own accompaniment. */
import { BARS, barTexts } from './notation.ts';

/** Chords bar by bar; where there are two, `:n` is the length of each in eighths. */
const HARMONY = `
  1 Gm | C/E | Ebmaj7 | Dm7
  5 Cm7 | F | Bb | D
  9 Gm | C/E | Ebmaj7 | Bb/D
  13 Cm7 | Gm/Bb:3 Am7b5:3 | Gm/D:3 D7:3 | Gm
  17 Eb:6 Bb/D:4 | Cm7:6 Ab:4 | Fm7:6 Bb7:4 | Eb:6 Eb7/Db:4
  21 Ab/C:6 Abm/Cb:4 | Eb/Bb:6 Bb7:4 | Cm:6 G7/B:4 | Cm7:6 F7:4
  25 Bb:6 Bb/D:4 | Ebmaj7:6 Am7b5:4 | Gm/D:6 D7:4 | D7
  29 Gm | C/E | Ebmaj7 | Dm7
  33 Cm7 | F | Bb | D
  37 Gm | C/E | Ebmaj7 | Cm7
  41 Gm/D:3 D7:3 | Gm
  43 C/E | Ebmaj7 | Dm7 | Cm7
  47 G | G`;

export interface ChordSpan {
  readonly bar: number;
  readonly start: number;
  readonly length: number;
  /** As musicians write it: `Ebmaj7`, `Am7b5`; without the bass. */
  readonly symbol: string;
  /** Name of the lowest tone. */
  readonly bass: string;
}

/** The plan above as spans, in eighths from the start of the pickup. */
export function chordSpans(): ChordSpan[] {
  const texts = barTexts(HARMONY);
  return BARS.flatMap((bar) => {
    let start = bar.start;
    const words = (texts.get(bar.number) ?? '').split(/\s+/).filter((word) => word !== '');
    return words.map((word) => {
      const [name = '', lengthText] = word.split(':');
      const [symbol = '', slash] = name.split('/');
      const length = lengthText === undefined ? bar.length : Number(lengthText);
      const span = {
        bar: bar.number,
        start,
        length,
        symbol,
        bass: slash ?? symbol.slice(0, symbol[1] === 'b' ? 2 : 1),
      };
      start += length;
      return span;
    });
  });
}

/** Tones of at least a quarter that are not of the chord and are meant: passing notes on a weak beat. */
export const PASSING: readonly { readonly bar: number; readonly name: string }[] = [
  { bar: 17, name: 'Ab4' },
  { bar: 18, name: 'D4' },
];

export const TUNE = `
  0 D4:1 G4:1 A4:1
  1 Bb4:4 A4:1 G4:1 | E5:3 D5:1 C5:2 | D5:3 C5:1 Bb4:2 | A4:5 C5:1
  5 Eb5:4 D5:1 C5:1 | A4:4 G4:1 A4:1 | Bb4:2 C5:1 D5:3 | A4:3 D4:1 G4:1 A4:1
  9 Bb4:4 A4:1 G4:1 | E5:3 D5:1 C5:2 | G5:3 F5:1 Eb5:2 | D5:4 Bb4:1 D5:1
  13 Eb5:3 D5:1 C5:2 | Bb4:3 C5:2 A4:1 | G4:3 F#4:3 | G4:6
  17 G4:4 Ab4:2 Bb4:4 | C5:4 Bb4:2 Eb5:4 | Eb5:3 C5:3 D5:3 C5:1 | Bb4:6 G4:2 Bb4:2
  21 C5:4 Eb5:2 Cb5:4 | Bb4:4 G4:2 F4:2 Ab4:2 | G4:4 Eb5:2 D5:4 | C5:4 Eb5:2 A4:2 C5:2
  25 D5:4 F5:2 Bb5:4 | G5:3 D5:3 Eb5:2 C5:2 | Bb4:6 A4:4 | A4:4 F#4:2 -:1 D4:1 G4:1 A4:1
  29 Bb4:4 A4:1 G4:1 | E5:3 D5:1 C5:2 | D5:3 C5:1 Bb4:2 | A4:5 C5:1
  33 Eb5:4 D5:1 C5:1 | A4:3 C5:1 F5:2 | F5:3 D5:2 Bb4:1 | A4:3 D4:1 G4:1 A4:1
  37 Bb4:3 D5:3 | G5:3 E5:1 C5:2 | Bb5:3 G5:1 Eb5:2 | Eb5:5 D5:1 C5:3
  41 Bb4:3 A4:2 F#4:1 | G4:6
  43 -:1 G4:1 C5:1 E5:3 | D5:3 Bb4:3 | A4:3 F4:3 | G4:3 Eb4:3
  47 D4:6 | G4:6`;

/** Bass and inner notes of each chord of the left hand, low to high; `;` where the chord changes. */
const VOICINGS = `
  1 G2 D3 G3 Bb3 | E2 C3 G3 C4 | Eb2 Bb2 G3 D4 | D2 A2 F3 C4
  5 C2 G2 Eb3 Bb3 | F2 C3 F3 A3 | Bb2 F3 Bb3 D4 | D2 A2 F#3 A3
  9 G2 D3 G3 Bb3 | E2 C3 G3 C4 | Eb2 Bb2 G3 D4 | D2 Bb2 F3 Bb3
  13 C2 G2 Eb3 Bb3 | Bb2 D3 G3 ; A2 Eb3 G3 | D2 Bb2 G3 ; D3 F#3 C4 | G2 D3 Bb3 G3
  17 Eb3 G3 Bb3 Eb4 ; D3 F3 Bb3 D4 | C3 G3 Bb3 Eb4 ; Ab2 Ab3 C4 Eb4
  19 F2 Ab3 C4 Eb4 ; Bb2 Ab3 Bb3 D4 | Eb3 G3 Bb3 Eb4 ; Db3 G3 Bb3 Eb4
  21 C3 Ab3 C4 Eb4 ; Cb3 Ab3 Cb4 Eb4 | Bb2 G3 Bb3 Eb4 ; Bb2 Ab3 Bb3 D4
  23 C3 G3 C4 Eb4 ; B2 G3 D4 F4 | C3 G3 Bb3 Eb4 ; F2 A3 C4 Eb4
  25 Bb2 F3 Bb3 D4 ; D3 Bb3 D4 F4 | Eb3 G3 Bb3 D4 ; A2 G3 C4 Eb4
  27 D3 G3 Bb3 D4 ; D2 F#3 A3 C4
  29 G2 D3 G3 Bb3 | E2 C3 G3 C4 | Eb2 Bb2 G3 D4 | D2 A2 F3 C4
  33 C2 G2 Eb3 Bb3 | F2 C3 F3 A3 | Bb2 F3 Bb3 D4 | D2 A2 F#3 A3
  37 G2 D3 G3 Bb3 | E2 C3 G3 C4 | Eb2 Bb2 G3 Eb4 | C2 G2 Eb3 Bb3
  41 D2 Bb2 G3 ; D3 F#3 C4 | G2 D3 G3 Bb3
  43 E2 C3 G3 C4 | Eb2 Bb2 G3 D4 | D2 A2 F3 C4 | C2 G2 Eb3 Bb3`;

/** The rocking figure of 6/8 and the slow chords of 5/4, from the voicings. */
function figure(bar: number, voicing: string): string {
  const chords = voicing.split(';').map((half) => half.trim().split(/\s+/));
  const [first = [], second] = chords;
  const [low = '', one = '', two = '', three = ''] = first;
  if (bar >= 17 && bar <= 28 && second !== undefined) {
    const [nextLow = '', ...nextInner] = second;
    const inner = `${one}+${two}+${three}:2`;
    return `${low}:2 ${inner} ${inner} ${nextLow}:2 ${nextInner.join('+')}:2`;
  }
  if (second !== undefined) return [...first, ...second].map((name) => `${name}:1`).join(' ');
  const rocking = [low, one, two, three, two, one];
  if (bar === 40) rocking.push(two, three, two);
  return rocking.map((name) => `${name}:1`).join(' ');
}

/** The left hand of the sketch. */
export const LEFT_HAND = [
  ...[...barTexts(VOICINGS)].map(([bar, voicing]) => `${bar} ${figure(bar, voicing)}`),
  '16 G2:1 D3:1 G3:1 Bb3:6',
  '28 D2:2 F#3+A3+C4:4',
  '47 G2:1 D3:1 G3:1 B3:3',
  '48 G1+D2+G2+D3+B3:6',
].join('\n');

/** Last stage: basses, bassoon and horn carry bars 37-40, so the left hand leaves the low notes to them; the close is cut. */
export const LEFT_HAND_COMPLETE = `${LEFT_HAND}
  37 -:1 D3:1 G3:1 Bb3:1 G3:1 D3:1 | -:1 C4:1 G4:1 C4:1 G3:1 C4:1 | -:1 Bb3:1 G4:1 Bb3:1 G3:1 Bb3:1
  40 -:1 G3:1 Bb3:1 Eb4:1 Bb3:1 G3:1 Bb3:1 Eb4:1 Bb3:1
  47 G2:1 D3:1
  48 -:6`;

export const TUNE_COMPLETE = `${TUNE}
  47 D4:2
  48 -:6`;
