/** Names of the rules, fixed: settings, findings and the data export use them. */
export const RULE_NAMES = [
  'outside-range',
  'edge-of-range',
  'too-many-notes',
  'breath',
  'wide-leap',
  'double-stop',
  'hand-span',
  'harp-pedals',
  'repeated-notes',
  'brass-endurance',
  'tessitura',
  'high-entry',
  'string-skip',
  'inaudible-entry',
  'foreground-ends-first',
  'background-above-melody',
  'background-as-loud',
  'background-covers',
  'support-over-lead',
  'far-from-foreground',
  'crowded-low',
  'hole-between-parts',
  'incomplete-chord',
  'root-not-in-bass',
  'clashing-second',
  'parallel-perfects',
  'crossing',
  'static-part',
  'restless-part',
  'unchanged-texture',
  'never-rests',
  'entry-off-phrase',
  'all-at-once',
  'late-part',
  'hollow-without-foreground',
  'bass-doubled-too-close',
] as const;

export type RuleName = (typeof RULE_NAMES)[number];

/** Rules that measure against a table and have no threshold of their own: `limits` in the settings cannot change them. */
export const RULES_WITHOUT_LIMIT: readonly RuleName[] = ['outside-range', 'edge-of-range', 'too-many-notes'];
