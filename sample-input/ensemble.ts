/** The ensemble. Sounding pitch throughout; what a later stage changes stands under the line it changes. */

export const VIOLIN_I = `
  5 G4:6 | F4:6 | =:6 | F#4:3
  9 D4:6 | G4:6 | =:6 | F4:6
  13 Eb4:6 | D4:3 Eb4:3 | D4:6 | =:6
  17 Eb4:6 F4:4 | G4:6 Ab4:4 | =:10 | G4:10
  21 Ab4:10 | G4:6 F4:4 | Eb4:6 F4:4 | Eb4:10
  25 D4:4 F4:2 Bb4:4 | =:6 G4:4 | =:6 F#4:4 | =:6
  33 G4:6 | F4:6 | =:6 | F#4:3
  37 G4:6 | C5:6 | D5:6 | C5:6 Bb4:3
  41 G4:3 F#4:3 | G4:6
  43 =:6 | G4:6 | F4:6 | Eb4:6
  47 D4:6 | =:5`;

/** Plucked, on its own track, where the tune returns. */
export const VIOLIN_I_PIZZ = `
  29 -:3 G4:1 -:1 D4:1 | -:3 G4:1 -:1 C4:1 | -:3 G4:1 -:1 D4:1 | -:3 F4:1 -:1 D4:1`;

export const VIOLIN_II = `
  5 Eb4:6 | C4:6 | D4:6 | =:3
  9 Bb3:6 | C4:6 | D4:6 | =:6
  13 Bb3:6 | =:3 C4:3 | Bb3:3 C4:3 | Bb3:6
  17 Bb3:10 | Eb4:10 | =:6 F4:4 | Eb4:10
  21 =:10 | Eb4:6 D4:4 | C4:6 D4:4 | C4:10
  25 Bb3:6 F4:4 | G4:6 Eb4:4 | D4:10 | =:6
  29 D4:6 | C4:6 | Bb3:6 | C4:6
  33 Eb4:6 | C4:6 | D4:6 | =:3
  37 D4:6 | G4:6 | =:6 | G4:9
  41 D4:6 | =:6
  43 C4:6 | D4:6 | C4:6 | =:6
  47 B3:6 | =:5`;

/** Last stage: bars 33-35 rock with the solo instead of lying still. */
export const VIOLIN_II_COMPLETE = `${VIOLIN_II}
  33 Eb4:2 C4:1 Eb4:2 C4:1 | C4:2 A3:1 C4:2 A3:1 | D4:2 Bb3:1 D4:3 | =:3`;

export const VIOLA = `
  5 Bb3:6 | A3:6 | Bb3:6 | A3:3
  9 G3:6 | =:6 | Bb3:6 | =:6
  13 G3:6 | =:6 | =:3 A3:3 | G3:6
  17 G3:6 F3:4 | Bb3:6 C4:4 | =:6 D4:4 | Bb3:10
  21 Ab3:10 | Bb3:6 Ab3:4 | G3:10 | Bb3:6 A3:4
  25 F3:4 Bb3:6 | D4:6 C4:4 | Bb3:6 C4:4 | =:6
  29 Bb3:6 | G3:6 | =:6 | F3:6
  33 Bb3:6 | A3:6 | Bb3:6 | A3:3
  37 Bb3:6 | C4:6 | Bb3:6 | Eb4:9
  41 Bb3:3 C4:3 | Bb3:6
  43 G3:6 | Bb3:6 | F3:6 | G3:6
  47 =:6 | =:5`;

export const CELLO = `
  5 C3:6 | F2:6 | Bb2:6 | D3:3
  9 G2:6 | E3:6 | Eb3:6 | D3:6
  13 C3:6 | Bb2:3 A2:3 | D3:6 | G2:6
  17 Eb3:6 D3:4 | C3:6 Ab2:4 | F2:6 Bb2:4 | Eb3:6 Db3:4
  21 C3:6 Cb3:4 | Bb2:10 | C3:6 B2:4 | C3:6 F2:4
  25 Bb2:6 D3:4 | Eb3:6 A2:4 | D3:10 | =:6
  29 G2:6 | E3:6 | Eb3:6 | D3:6
  33 C3:6 | F2:6 | Bb2:6 | D3:3
  37 G2:6 | E3:6 | Eb3:6 | C3:9
  41 D3:6 | G2:6
  43 E3:6 | Eb3:6 | D3:6 | C3:6
  47 G2:6 | =:5`;

/** Last stage: the cellos hand the bass over in bars 37-40 and sing. */
export const CELLO_COMPLETE = `${CELLO}
  37 Bb3:3 D4:3 | C4:3 E4:3 | D4:3 Eb4:3 | =:3 G3:3 Eb3:3`;

export const DOUBLE_BASS = `
  9 G1:6 | E2:6 | Eb2:6 | D2:6
  13 C2:6 | Bb1:3 A1:3 | D2:6 | G1:6
  21 C2:6 Cb2:4 | Bb1:10 | C2:6 B1:4 | C2:6 F1:4
  25 Bb1:6 D2:4 | Eb2:6 A1:4 | D2:10 | =:6
  33 C2:6 | F1:6 | Bb1:6 | D2:3
  37 G1:6 | E2:6 | Eb2:6 | C2:9
  41 D2:6 | G1:6
  46 C2:6 | G1:6 | =:5`;

/** In bars 16-17 it tells the pickup before the soloist does: the idea that the last stage takes out. */
export const FLUTE = `
  16 -:6 D5:1 G5:1 A5:1 | Bb5:4
  29 Bb5:4 A5:1 G5:1 | E6:3 D6:1 C6:2 | D6:3 C6:1 Bb5:2 | A5:4
  33 Eb6:4 D6:1 C6:1 | A5:3 C6:1 F6:2 | F6:3 D6:2 Bb5:1 | A5:3
  37 -:3 G5:3 | C6:6 | D6:6 | C6:6 Bb5:2`;

export const FLUTE_COMPLETE = `${FLUTE}
  16 -:9 | -:10`;

export const CLARINET = `
  13 -:3 G3:3 | =:3 C4:3 | Bb3:3 C4:3 | Bb3:6
  17 -:6 D4:2 F4:2 | Eb4:4 D4:2 C4:4 | =:5 -:1 D4:2 F4:2 | Eb4:6
  21 -:6 Eb4:2 Ab4:2 | G4:4 Eb4:2 D4:4 | Eb4:6
  24 -:6 C4:2 Eb4:2 | D4:4 F4:2 D4:3 -:1 | D4:6 Eb4:4 | D4:5 -:1 C4:4 | =:6
  37 D4:6 | G4:6 | =:6 | G4:9
  45 -:3 A3:3 | G3:6 | B3:6 | =:4`;

export const BASSOON = `
  13 C3:6 | Bb2:3 A2:3 | D3:6 | G2:6
  21 C3:6 Cb3:4 | Bb2:8 | C3:6 B2:4
  33 C3:6 | F2:6 | Bb2:6 | D3:3
  37 D3:6 | G3:6 | =:6 | G3:6
  41 D3:5 | G2:6
  46 C3:6 | G2:6 | =:5`;

/** Last stage: the bass of bars 37-40 in octaves with the double basses. */
export const BASSOON_COMPLETE = `${BASSOON}
  37 G2:6 | E3:6 | Eb3:6 | C3:9`;

export const HORN = `
  25 F3:9 -:1 | G3:9 -:1 | D3:10 | =:6
  37 Bb3:6 | C4:6 | Bb3:6 | Eb4:9
  47 D3:6 | =:5`;

export const TIMPANI = `
  27 D3:2 | D3:2
  36 D3:1 | G2:1 -:4 G2:1
  39 G2:1
  41 D3:1 | G2:1
  47 G2:1`;
