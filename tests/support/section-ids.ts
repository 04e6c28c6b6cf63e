/** The sections of every stage page in order, whatever the music (DESIGN: the pages). */
export const SECTION_IDS = [
  'at-a-glance',
  'findings',
  'score',
  'register',
  'entries',
  'balance',
  'harmony',
  'ranges',
  'playability',
  'notes',
  'reading',
];
