/** Names of the rules, fixed: settings, findings and the data export use them. */
export const RULE_NAMES = [
  'outside-range',
  'edge-of-range',
  'too-many-notes',
  'breath',
  'wide-leap',
  'double-stop',
  'one-string',
  'divisi',
  'hand-span',
  'harp-pedals',
  'timpani-tuning',
  'repeated-notes',
  'brass-endurance',
  'stamina',
  'tessitura',
  'high-entry',
  'string-skip',
  'inaudible-entry',
  'foreground-ends-first',
  'background-above-melody',
  'background-as-loud',
  'background-covers',
  'covered-from-above',
  'support-over-lead',
  'far-from-foreground',
  'crowded-low',
  'hole-between-parts',
  'incomplete-chord',
  'root-not-in-bass',
  'clashing-second',
  'parallel-perfects',
  'unresolved-tone',
  'crossing',
  'static-part',
  'restless-part',
  'unchanged-texture',
  'never-rests',
  'entry-off-phrase',
  'all-at-once',
  'late-part',
  'displaced-part',
  'leftover-track',
  'broken-line',
  'hollow-without-foreground',
  'bass-doubled-too-close',
  'flat-dynamics',
] as const;

export type RuleName = (typeof RULE_NAMES)[number];

/** Rules that measure against a table and have no threshold of their own: `limits` in the settings cannot change them. */
export const RULES_WITHOUT_LIMIT: readonly RuleName[] = [
  'outside-range',
  'edge-of-range',
  'too-many-notes',
  'flat-dynamics',
  'one-string',
  'broken-line',
];

/** What the rules are about, in the order in which a reader asks; every rule stands in one of them. */
export const RULE_SUBJECTS: readonly {
  readonly id: string;
  readonly heading: string;
  readonly intro: string;
  readonly rules: readonly RuleName[];
}[] = [
  {
    id: 'front',
    heading: 'Is the foreground heard?',
    intro: 'Balance, register and timbre of the foreground against the background.',
    rules: [
      'flat-dynamics',
      'background-as-loud',
      'background-covers',
      'covered-from-above',
      'background-above-melody',
      'far-from-foreground',
      'foreground-ends-first',
      'hollow-without-foreground',
    ],
  },
  {
    id: 'players',
    heading: 'Can it be played?',
    intro:
      'Range, breath, lips, hands and feet. Whatever stands here defers to the player, who knows the instrument in hand better than any table.',
    rules: [
      'outside-range',
      'edge-of-range',
      'tessitura',
      'high-entry',
      'too-many-notes',
      'double-stop',
      'one-string',
      'divisi',
      'string-skip',
      'hand-span',
      'harp-pedals',
      'timpani-tuning',
      'repeated-notes',
      'wide-leap',
      'breath',
      'brass-endurance',
      'stamina',
      'never-rests',
    ],
  },
  {
    id: 'sketch',
    heading: 'Does the sketch say what is meant?',
    intro:
      'What is written and not heard, what lies beside the beat or the harmony, what is there twice, what is gone, who is marked louder than the leader.',
    rules: ['inaudible-entry', 'late-part', 'displaced-part', 'leftover-track', 'broken-line', 'support-over-lead'],
  },
  {
    id: 'spacing',
    heading: 'Is the harmony whole and clear?',
    intro: 'Spacing from low to high, chord tones, voice leading. Chords are estimated from the notes.',
    rules: [
      'crowded-low',
      'bass-doubled-too-close',
      'hole-between-parts',
      'incomplete-chord',
      'root-not-in-bass',
      'clashing-second',
      'parallel-perfects',
      'unresolved-tone',
      'crossing',
    ],
  },
  {
    id: 'time',
    heading: 'Is it worth playing and hearing?',
    intro: 'Lines of the single parts, entries, and how the forces are spent over the piece.',
    rules: ['static-part', 'restless-part', 'unchanged-texture', 'all-at-once', 'entry-off-phrase'],
  },
];
