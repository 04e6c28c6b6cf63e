/** Every rule, in the order in which they are explained. A new rule is one file and one line here. */
import type { Rule } from './rule.ts';
import { backgroundAboveMelody } from './rules/background-above-melody.ts';
import { backgroundAsLoud } from './rules/background-as-loud.ts';
import { edgeOfRange } from './rules/edge-of-range.ts';
import { foregroundEndsFirst } from './rules/foreground-ends-first.ts';
import { inaudibleEntry } from './rules/inaudible-entry.ts';
import { latePart } from './rules/late-part.ts';
import { outsideRange } from './rules/outside-range.ts';
import { supportOverLead } from './rules/support-over-lead.ts';
import { tooManyNotes } from './rules/too-many-notes.ts';

export const RULES: readonly Rule[] = [
  outsideRange,
  edgeOfRange,
  tooManyNotes,
  inaudibleEntry,
  foregroundEndsFirst,
  supportOverLead,
  backgroundAsLoud,
  backgroundAboveMelody,
  latePart,
];
