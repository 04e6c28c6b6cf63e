/** Every rule, in the order in which they are explained (see also `order-of-findings`). A new rule is one file and one line here. */
import type { Rule } from './rule.ts';
import { allAtOnce } from './rules/time/all-at-once.ts';
import { backgroundAboveMelody } from './rules/foreground/background-above-melody.ts';
import { backgroundAsLoud } from './rules/foreground/background-as-loud.ts';
import { backgroundCovers } from './rules/foreground/background-covers.ts';
import { bassDoubledTooClose } from './rules/spacing/bass-doubled-too-close.ts';
import { brassEndurance } from './rules/players/brass-endurance.ts';
import { breath } from './rules/players/breath.ts';
import { brokenLine } from './rules/sketch-faults/broken-line.ts';
import { clashingSecond } from './rules/spacing/clashing-second.ts';
import { coveredFromAbove } from './rules/foreground/covered-from-above.ts';
import { crossing } from './rules/spacing/crossing.ts';
import { crowdedLow } from './rules/spacing/crowded-low.ts';
import { displacedPart } from './rules/sketch-faults/displaced-part.ts';
import { divisi } from './rules/players/divisi.ts';
import { doubleStop } from './rules/players/double-stop.ts';
import { edgeOfRange } from './rules/range/edge-of-range.ts';
import { entryOffPhrase } from './rules/time/entry-off-phrase.ts';
import { farFromForeground } from './rules/foreground/far-from-foreground.ts';
import { flatDynamics } from './rules/foreground/flat-dynamics.ts';
import { foregroundEndsFirst } from './rules/foreground/foreground-ends-first.ts';
import { handSpan } from './rules/players/hand-span.ts';
import { harpPedals } from './rules/players/harp-pedals.ts';
import { highEntry } from './rules/range/high-entry.ts';
import { holeBetweenParts } from './rules/spacing/hole-between-parts.ts';
import { hollowWithoutForeground } from './rules/foreground/hollow-without-foreground.ts';
import { inaudibleEntry } from './rules/sketch-faults/inaudible-entry.ts';
import { incompleteChord } from './rules/spacing/incomplete-chord.ts';
import { latePart } from './rules/sketch-faults/late-part.ts';
import { leftoverTrack } from './rules/sketch-faults/leftover-track.ts';
import { neverRests } from './rules/players/never-rests.ts';
import { oneString } from './rules/players/one-string.ts';
import { outsideRange } from './rules/range/outside-range.ts';
import { parallelPerfects } from './rules/spacing/parallel-perfects.ts';
import { repeatedNotes } from './rules/players/repeated-notes.ts';
import { restlessPart } from './rules/time/restless-part.ts';
import { rootNotInBass } from './rules/spacing/root-not-in-bass.ts';
import { stamina } from './rules/players/stamina.ts';
import { staticPart } from './rules/time/static-part.ts';
import { stringSkip } from './rules/players/string-skip.ts';
import { supportOverLead } from './rules/sketch-faults/support-over-lead.ts';
import { tessitura } from './rules/range/tessitura.ts';
import { timpaniTuning } from './rules/players/timpani-tuning.ts';
import { tooManyNotes } from './rules/players/too-many-notes.ts';
import { unresolvedTone } from './rules/spacing/unresolved-tone.ts';
import { unchangedTexture } from './rules/time/unchanged-texture.ts';
import { wideLeap } from './rules/players/wide-leap.ts';

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
