/** Findings of every rule about one stage. */
import { beatsOf } from '../model/music/beats.ts';
import { foregroundByBar } from '../analyse/lines/foreground-lookup.ts';
import { gainWithoutVolumeDb, levelModelOf } from '../analyse/level/level-model.ts';
import { judgedBalance } from '../analyse/level/measured/judged-balance.ts';
import { markedDynamics } from '../analyse/level/marked-dynamics.ts';
import { flatVelocity, unshapedVelocities } from '../analyse/level/shaping.ts';
import { byVelocity, partsOnAnotherScale } from '../analyse/level/two-scales.ts';
import type { MovedSince } from '../analyse/misplaced/moved-since.ts';
import { placeParts } from '../analyse/placed-notes/placed-notes.ts';
import { slicesOf } from '../analyse/placed-notes/slices.ts';
import type { AcceptedFinding, Stage } from '../model/music/arrangement.ts';
import type { Finding, StageReadings } from '../model/readings/readings.ts';
import type { RuleName } from '../model/readings/rule-names.ts';
import type { WrittenNotes } from '../model/music/written.ts';
import { idiomOf } from './idiom.ts';
import { leadsOf } from './leads.ts';
import type { Judged } from './order-of-findings.ts';
import { inOrder, judgedBy } from './order-of-findings.ts';
import { oneStop } from '../model/words/plain-words.ts';
import type { DraftFinding, JudgedPart, Rule, RuleContext } from './rule.ts';
import { RULES } from './all-rules.ts';

export interface AdviseInput {
  readonly stage: Stage;
  readonly written: WrittenNotes;
  readonly readings: StageReadings;
  /** Thresholds by rule name, from the settings. */
  readonly limits: Readonly<Record<string, number>>;
  readonly accepted: readonly AcceptedFinding[];
  /** Passages that stood elsewhere in the stage before. */
  readonly moved?: readonly MovedSince[];
}

/** Rules that count beats, phrases or chords by the beat: they say nothing of a stage that was played without a click. */
const NEED_BEATS: ReadonlySet<RuleName> = new Set([
  'foreground-ends-first',
  'incomplete-chord',
  'root-not-in-bass',
  'parallel-perfects',
  'static-part',
  'restless-part',
  'unchanged-texture',
  'entry-off-phrase',
  'all-at-once',
  'late-part',
  'displaced-part',
  'broken-line',
]);

/**
 * Why a finding was accepted: the reason of the first entry that names its rule, this stage (or none), at least one of its
 * parts (or none) and bars that hold all of it (or none). A finding that has grown beyond the accepted bars is open again.
 */
function acceptedReason(
  finding: Pick<Finding, 'rule' | 'from' | 'to' | 'partIds'>,
  stageId: string,
  accepted: readonly AcceptedFinding[],
): string | undefined {
  return accepted.find(
    (entry) =>
      entry.rule === finding.rule &&
      (entry.stageId === undefined || entry.stageId === stageId) &&
      (entry.from === undefined || entry.from <= finding.from) &&
      (entry.to === undefined || entry.to >= finding.to) &&
      (entry.partIds === undefined || entry.partIds.some((id) => finding.partIds.includes(id))),
  )?.reason;
}

function finish(draft: DraftFinding, rule: Rule, input: AdviseInput): Finding {
  const { level, from, to, partIds, notes } = draft;
  const [message, advice] = [oneStop(draft.message), oneStop(draft.advice)];
  const source = draft.source ?? rule.source;
  const about = notes === undefined ? {} : { notes };
  const finding = { rule: rule.name, level, from, to, partIds, message, advice, source, ...about };
  const reason = acceptedReason(finding, input.stage.id, input.accepted);
  return reason === undefined ? finding : { ...finding, accepted: reason };
}

/** True where a rule that this one yields to has found the same bars, or those beside them, and, where both name the parts, the same part. */
function isSaidElsewhere({ draft, rule }: Judged, all: readonly Judged[]): boolean {
  const { yieldsTo = [], yieldsBeside = [] } = draft;
  const stronger = [...(rule.yieldsTo ?? []), ...yieldsTo];
  const reachOf = (name: RuleName): number => (yieldsBeside.includes(name) ? 1 : 0);
  return all.some(
    (other) =>
      (stronger.includes(other.rule.name) || yieldsBeside.includes(other.rule.name)) &&
      other.draft.from - reachOf(other.rule.name) <= draft.to &&
      other.draft.to + reachOf(other.rule.name) >= draft.from &&
      (draft.partIds.length === 0 || other.draft.partIds.some((id) => draft.partIds.includes(id))),
  );
}

/** So much of the bars of a finding that follows from a passage out of its place are those of the passage. */
const FOLLOWING_SHARE = 0.5;

/** True where a passage of the same part that stands out of its place is the cause of a finding. */
function followsFromPlace({ draft, rule }: Judged, all: readonly Judged[]): boolean {
  const { from, to, partIds } = draft;
  return (
    rule.followsFromPlace === true &&
    all.some(({ rule: other, draft: { from: first, to: last, partIds: ids } }) => {
      const common = Math.min(to, last) - Math.max(from, first) + 1;
      const isOfPart = other.name === 'displaced-part' && ids.some((id) => partIds.includes(id));
      return isOfPart && common >= FOLLOWING_SHARE * (to - from + 1);
    })
  );
}

/** The marks by bar index as the bars are told: by velocity where a bar is not as the parts were shaped. */
function toldMarksOf(
  marks: RuleContext['marks'],
  parts: readonly JudgedPart[],
  stage: Stage,
  { balance, asShaped }: StageReadings,
): RuleContext['marks'] {
  if (asShaped === undefined) return marks;
  const byVelocities = parts.map((judged) => ({ ...judged, model: judged.modelByVelocity ?? judged.model }));
  const read = markedDynamics(byVelocities, stage.timeline.bars);
  const isAsShaped = (index: number): boolean => balance[index]?.marginDb === asShaped[index]?.marginDb;
  return marks.map((own, index) => (isAsShaped(index) ? own : (read[index] ?? own)));
}

/** All findings in their order (see `order-of-findings`). Accepted ones stay, marked with their reason. */
export function adviseStage(input: AdviseInput): readonly Finding[] {
  const { stage, written, readings, limits } = input;
  const silentVolumeDb = gainWithoutVolumeDb(stage);
  const placed = placeParts(stage, written);
  const apart = partsOnAnotherScale(stage.parts);
  const parts = placed.map(({ part, notes }): JudgedPart => ({
    part,
    notes,
    model: levelModelOf(part, silentVolumeDb),
    ...(apart.has(part.id) ? { modelByVelocity: levelModelOf(byVelocity(part), silentVolumeDb) } : {}),
  }));
  const marks = markedDynamics(parts, stage.timeline.bars);
  const shared: Omit<RuleContext, 'limit'> = {
    stage: written.onGrid ? stage : { ...stage, timeline: { ...stage.timeline, isFree: true } },
    readings: { ...readings, balance: judgedBalance(readings) },
    parts,
    partById: new Map(parts.map((judged) => [judged.part.id, judged])),
    beats: beatsOf(stage.timeline),
    slices: slicesOf(placed, stage.timeline),
    chords: written.chords,
    moved: input.moved ?? [],
    front: foregroundByBar(stage),
    leads: leadsOf(stage),
    idiom: idiomOf(stage, written.style.style),
    marks,
    toldMarks: toldMarksOf(marks, parts, stage, readings),
    unshaped: unshapedVelocities(stage.parts),
    flatVelocity: flatVelocity(stage),
  };
  const rules = written.onGrid ? RULES : RULES.filter((rule) => !NEED_BEATS.has(rule.name));
  const judged = rules.flatMap((rule) =>
    judgedBy(rule, { ...shared, limit: limits[rule.name] ?? rule.limit?.standard ?? 0 }),
  );
  return judged
    .filter((item) => !isSaidElsewhere(item, judged) && !followsFromPlace(item, judged))
    .sort(inOrder)
    .map(({ draft, rule }) => finish(draft, rule, input));
}
