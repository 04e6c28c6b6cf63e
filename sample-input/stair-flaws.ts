/** What is wrong with the third stage of *The Salt Stair* on purpose, and is mended in the fourth. */
import type { Flaw } from './flaws.ts';

export const STAIR_FLAWS: readonly Flaw[] = [
  {
    rule: 'inaudible-entry',
    from: 5,
    to: 8,
    parts: ['Violoncello'],
    story: 'Expression was left at zero after a try without the cello; the curve begins with the next phrase.',
  },
  {
    rule: 'outside-range',
    from: 16,
    to: 16,
    parts: ['Violino II'],
    story:
      'F sharp 3, a semitone under the open G string: the third of the chord, put in without looking who plays it.',
    music: { 'Violino II': '16 F#3:6' },
  },
  {
    rule: 'parallel-perfects',
    from: 19,
    to: 20,
    parts: ['Violino II', 'Violoncello'],
    story:
      'Fifths with the cello twice in a row, the second into the dominant, where the leading note should have been.',
    music: { 'Violino II': '18 D4:8 | B3:8 | C#4:8' },
  },
  {
    rule: 'background-above-melody',
    from: 21,
    to: 22,
    parts: ['Violino I'],
    story: 'The first violin climbs over the viola just where her line is highest.',
    music: { 'Violino I': '21 F#5:4 A5:4 | B5:8' },
  },
  {
    rule: 'breath',
    from: 24,
    to: 38,
    parts: ['Clarinetto in La'],
    story: 'The rests were filled to make one long forte line of the dance; nobody has that much air.',
    music: {
      'Clarinetto in La': `28 C#5:2 E5:1 A5:2 G5:1
        32 D5:2 E5:1 F#5:2 A5:1
        36 D5:2 C#5:1 D5:2 C#5:1`,
    },
  },
  {
    rule: 'crowded-low',
    from: 37,
    to: 39,
    parts: ['Arpa'],
    story: 'Close chords at the bottom of the harp: an octave lower was tried for a dark close and left in.',
    music: { Arpa: '37 G1+B1+D2:6 | G1+Bb1+D2:6 | A1+D2+F#2:4 A1+C#2+E2:2' },
  },
];

/** What is left in the last stage: the track stays late until the player has been asked. */
export const STAIR_LEFT: Flaw = {
  rule: 'late-part',
  from: 1,
  to: 40,
  parts: ['Arpa'],
  story: 'The harp lies 50 ms behind from the first reading on: played in with a delay that nobody took out.',
};
