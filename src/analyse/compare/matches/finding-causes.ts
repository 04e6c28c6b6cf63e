/** Which of the things that were done in a step lets a finding appear or go: each is asked of alone. */
import { groupedBy } from '../../../model/grouped.ts';
import type { Finding, FindingCause } from '../../../model/readings/readings.ts';
import { doneAbout, type ComeAndGone, type IsDoneAbout, type Step } from './done-about.ts';

const NOBODY: ComeAndGone = { came: new Set(), went: new Set() };

/** A step in which nothing was done but to the order of the bars. */
function onlyOrder(step: Step): Step {
  const parts = { added: [], removed: [], changed: [], renamed: step.parts.renamed, split: [], joined: [] };
  const nothing = {
    tempo: [],
    meter: [],
    rebarred: [],
    shifted: [],
    given: [],
    doublings: [],
    entries: [],
    chords: [],
  };
  return { ...step, ...nothing, parts, semitones: 0, edits: [] };
}

/**
 * Tells by which of the things that were done a finding appeared or went; nothing where bars came, went or moved in it, which explains the rest too,
 * and where only several together do.
 */
export function findingCauses(
  step: Step,
  company: ComeAndGone,
): (stage: 'before' | 'after', finding: Finding) => readonly FindingCause[] {
  let known: ReturnType<typeof causesIn> | undefined;
  // Most steps are made without findings.
  return (stage, finding) => (known ??= causesIn(step, company))(stage, finding);
}

function causesIn(
  step: Step,
  company: ComeAndGone,
): (stage: 'before' | 'after', finding: Finding) => readonly FindingCause[] {
  const none = onlyOrder(step);
  const ofOrder = doneAbout(none, { ...NOBODY, ...(company.plays === undefined ? {} : { plays: company.plays }) });
  const alone = (cause: FindingCause, only: Partial<Step>, own = NOBODY): readonly [FindingCause, IsDoneAbout] => [
    cause,
    doneAbout({ ...none, ...only }, own),
  ];
  const { parts, given, edits } = step;
  // Where several came or went nobody knows whose bars let it.
  const ofPart = parts.added.length + parts.removed.length === 1 ? company : NOBODY;
  const candidates = [
    alone({ kind: 'tempo' }, { tempo: step.tempo }),
    alone({ kind: 'pitch' }, { semitones: step.semitones, shifted: step.shifted }),
    alone({ kind: 'meter' }, { meter: step.meter, rebarred: step.rebarred }),
    ...parts.added.map((id) => alone({ kind: 'added', partId: id }, { parts: { ...none.parts, added: [id] } }, ofPart)),
    ...parts.removed.map((id) =>
      alone({ kind: 'removed', partId: id }, { parts: { ...none.parts, removed: [id] } }, ofPart),
    ),
    ...[...groupedBy(edits, ({ partId }) => partId)].map(([partId, own]) =>
      alone({ kind: 'part', partId }, { edits: own, given }),
    ),
  ];
  return (stage, finding) => {
    if (ofOrder(stage, finding)) return [{ kind: 'bars' }];
    const found = candidates.flatMap(([cause, isDone]) => (isDone(stage, finding) ? [cause] : []));
    // What was done to those that it names comes before what was done beside them.
    const names = (cause: FindingCause): boolean => 'partId' in cause && finding.partIds.includes(cause.partId);
    return found.some(names) ? found.filter((cause) => !('partId' in cause) || names(cause)) : found;
  };
}
