/**
 * The deliberate flaws of the last stage: what the findings should catch, as data for tests and for README.md. The music
 * without them is in `solo.ts` and `ensemble.ts`; `stages.ts` puts each in.
 */
export interface Flaw {
  readonly rule: string;
  /** First and last bar, both included. */
  readonly from: number;
  readonly to: number;
  /** Track names, as the stage has them. */
  readonly parts: readonly string[];
  /** How an export comes to have it. */
  readonly story: string;
  /** Lines that replace bars of a part. */
  readonly music?: Readonly<Record<string, string>>;
}

export const FLAWS: readonly Flaw[] = [
  {
    rule: 'support-over-lead',
    from: 9,
    to: 12,
    parts: ['Violin II'],
    story: 'The modulation wheel of the seconds was left near the top after a try.',
  },
  {
    rule: 'background-above-melody',
    from: 15,
    to: 16,
    parts: ['Violin I legato'],
    story: 'The firsts rise over the solo exactly where its phrase closes.',
    music: { 'Violin I legato': '15 D4:3 A4:3 | Bb4:6' },
  },
  {
    rule: 'background-as-loud',
    from: 21,
    to: 24,
    parts: ['Violin I legato', 'Violin II', 'Vla.', 'Violoncello', 'Kontrabass'],
    story: 'The strings swell to the climax of bar 25 four bars too early; the soloist still plays softly.',
  },
  {
    rule: 'inaudible-entry',
    from: 25,
    to: 28,
    parts: ['Horn in F'],
    story: 'Expression is at zero from the start of the track; the first curve is drawn in bar 37 only.',
  },
  {
    rule: 'outside-range',
    from: 27,
    to: 27,
    parts: ['Violin II'],
    story: 'F sharp 3, a semitone under the open G string, pasted from the violas.',
    music: { 'Violin II': '27 D4:6 F#3:4 | D4:6' },
  },
  {
    rule: 'too-many-notes',
    from: 42,
    to: 42,
    parts: ['Fagott'],
    story: 'A fifth for one bassoon, left over from the time when it was the left hand.',
    music: { Fagott: '42 G2+D3:6' },
  },
  {
    rule: 'outside-range',
    from: 44,
    to: 44,
    parts: ['Flöte'],
    story: 'A line of the clarinet, moved to the flute without looking: B flat 3 is on no flute.',
    music: { Flöte: '43 -:3 E4:3 | D4:3 Bb3:3' },
  },
  {
    rule: 'foreground-ends-first',
    from: 47,
    to: 48,
    parts: ['Piano solo'],
    story: 'The last chord of the solo was cut to a touch; strings and winds hold on without it.',
  },
  {
    rule: 'late-part',
    from: 5,
    to: 48,
    parts: ['Vla.'],
    story: 'The viola track lies 55 ms behind: a slow attack that was never pulled forward.',
  },
];
