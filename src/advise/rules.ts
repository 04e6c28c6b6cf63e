/**
 * Every rule, in the order in which they are explained; findings of one level stand in this order too, the worst of each
 * rule first. A new rule is one file and one line here.
 */
import type { Rule } from './rule.ts';
import { allAtOnce } from './rules/all-at-once.ts';
import { backgroundAboveMelody } from './rules/background-above-melody.ts';
import { backgroundAsLoud } from './rules/background-as-loud.ts';
import { backgroundCovers } from './rules/background-covers.ts';
import { bassDoubledTooClose } from './rules/bass-doubled-too-close.ts';
import { brassEndurance } from './rules/brass-endurance.ts';
import { breath } from './rules/breath.ts';
import { brokenLine } from './rules/broken-line.ts';
import { clashingSecond } from './rules/clashing-second.ts';
import { coveredFromAbove } from './rules/covered-from-above.ts';
import { crossing } from './rules/crossing.ts';
import { crowdedLow } from './rules/crowded-low.ts';
import { displacedPart } from './rules/displaced-part.ts';
import { divisi } from './rules/divisi.ts';
import { doubleStop } from './rules/double-stop.ts';
import { edgeOfRange } from './rules/edge-of-range.ts';
import { entryOffPhrase } from './rules/entry-off-phrase.ts';
import { farFromForeground } from './rules/far-from-foreground.ts';
import { flatDynamics } from './rules/flat-dynamics.ts';
import { foregroundEndsFirst } from './rules/foreground-ends-first.ts';
import { handSpan } from './rules/hand-span.ts';
import { harpPedals } from './rules/harp-pedals.ts';
import { highEntry } from './rules/high-entry.ts';
import { holeBetweenParts } from './rules/hole-between-parts.ts';
import { hollowWithoutForeground } from './rules/hollow-without-foreground.ts';
import { inaudibleEntry } from './rules/inaudible-entry.ts';
import { incompleteChord } from './rules/incomplete-chord.ts';
import { latePart } from './rules/late-part.ts';
import { leftoverTrack } from './rules/leftover-track.ts';
import { neverRests } from './rules/never-rests.ts';
import { oneString } from './rules/one-string.ts';
import { outsideRange } from './rules/outside-range.ts';
import { parallelPerfects } from './rules/parallel-perfects.ts';
import { repeatedNotes } from './rules/repeated-notes.ts';
import { restlessPart } from './rules/restless-part.ts';
import { rootNotInBass } from './rules/root-not-in-bass.ts';
import { stamina } from './rules/stamina.ts';
import { staticPart } from './rules/static-part.ts';
import { stringSkip } from './rules/string-skip.ts';
import { supportOverLead } from './rules/support-over-lead.ts';
import { tessitura } from './rules/tessitura.ts';
import { timpaniTuning } from './rules/timpani-tuning.ts';
import { tooManyNotes } from './rules/too-many-notes.ts';
import { unresolvedTone } from './rules/unresolved-tone.ts';
import { unchangedTexture } from './rules/unchanged-texture.ts';
import { wideLeap } from './rules/wide-leap.ts';

export const RULES: readonly Rule[] = [
  outsideRange,
  tooManyNotes,
  inaudibleEntry,
  backgroundAsLoud,
  foregroundEndsFirst,
  supportOverLead,
  backgroundCovers,
  coveredFromAbove,
  backgroundAboveMelody,
  latePart,
  displacedPart,
  leftoverTrack,
  brokenLine,
  breath,
  wideLeap,
  doubleStop,
  oneString,
  divisi,
  handSpan,
  harpPedals,
  timpaniTuning,
  repeatedNotes,
  brassEndurance,
  stamina,
  tessitura,
  highEntry,
  stringSkip,
  crowdedLow,
  bassDoubledTooClose,
  clashingSecond,
  holeBetweenParts,
  farFromForeground,
  hollowWithoutForeground,
  incompleteChord,
  parallelPerfects,
  unresolvedTone,
  crossing,
  staticPart,
  restlessPart,
  neverRests,
  unchangedTexture,
  allAtOnce,
  entryOffPhrase,
  edgeOfRange,
  rootNotInBass,
  flatDynamics,
];
