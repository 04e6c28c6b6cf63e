/** Counts of folders as text: one folder in full, and totals by rule and level. */
import type { KindCount, TrackRead } from './count-kind.ts';
import type { FindingVerdict, Verdict } from './verdicts.ts';

const VERDICTS: readonly Verdict[] = ['true', 'defensible', 'false', 'unread'];

function share(right: number, all: number): string {
  return all === 0 ? '-' : `${((100 * right) / all).toFixed(1)} % of ${String(all)}`;
}

function outcomes(reads: readonly TrackRead[]): string {
  const right = reads.filter((each) => each.outcome === 'right').length;
  const asked = reads.filter((each) => each.outcome === 'asked').length;
  const wrong = reads.length - right - asked;
  return `${share(right, reads.length)} right, ${String(asked)} asked, ${String(wrong)} wrong`;
}

function tally(verdicts: readonly FindingVerdict[]): string {
  return VERDICTS.map((kind) => {
    const count = verdicts.filter((each) => each.verdict === kind).length;
    return `${kind} ${String(count)}`;
  }).join(', ');
}

function wrongReads(title: string, reads: readonly TrackRead[]): string[] {
  return reads
    .filter((each) => each.outcome !== 'right')
    .map((each) => `  ${title} ${each.outcome}: ${each.track} read as ${each.said}, is ${each.truth}`);
}

function wrongLeads({ wrongBars }: KindCount): string[] {
  const runs: { from: number; to: number; said: string; truth: string }[] = [];
  for (const { bar, said, truth } of wrongBars) {
    const last = runs.at(-1);
    if (last?.to === bar - 1 && last.said === said && last.truth === truth) last.to = bar;
    else runs.push({ from: bar, to: bar, said, truth });
  }
  return runs.map(({ from, to, said, truth }) => `  leader wrong, bars ${from}-${to}: ${said}, is ${truth}`);
}

/** Everything about one folder. */
export function kindReport(count: KindCount): string {
  const { judged, leadBars, wrongBars, verdicts, weighed, found } = count;
  const { folder } = judged;
  return [
    `${folder.id} (${folder.half}): ${folder.trade}`,
    `  leader ${share(leadBars - wrongBars.length, leadBars)} bars; instruments ${outcomes(count.instruments)}; players ${outcomes(count.players)}`,
    `  findings: ${tally(verdicts)}; flaws found ${String(found.length)} of ${String(weighed.length)}`,
    ...wrongLeads(count),
    ...wrongReads('instrument', count.instruments),
    ...wrongReads('players', count.players),
    ...verdicts.map(({ finding, verdict, why, by }) => {
      const { rule, level, from, to, tracks, message } = finding;
      return `  [${verdict}, ${by}] ${level} ${rule} ${from}-${to} {${tracks.join(' | ')}}\n      ${message}${why === '' ? '' : `\n      = ${why}`}`;
    }),
    ...weighed
      .filter((flaw) => !found.includes(flaw))
      .map((flaw) => `  not found: ${flaw.id} ${flaw.bars.join('-')} {${flaw.parts.join(' | ')}} ${flaw.say}`),
  ].join('\n');
}

function findingRows(verdicts: readonly FindingVerdict[]): string[] {
  const groups = new Map<string, FindingVerdict[]>();
  for (const each of verdicts) {
    const key = `${each.finding.level} ${each.finding.rule}`;
    groups.set(key, [...(groups.get(key) ?? []), each]);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1)).map(([key, own]) => `    ${key.padEnd(34)} ${tally(own)}`);
}

/** Totals of one half, and a line a folder. */
export function halfReport(title: string, counts: readonly KindCount[]): string {
  if (counts.length === 0) return `${title}: no folder yet`;
  const leadBars = counts.reduce((sum, each) => sum + each.leadBars, 0);
  const wrong = counts.reduce((sum, each) => sum + each.wrongBars.length, 0);
  const verdicts = counts.flatMap((each) => each.verdicts);
  const flaws = counts.reduce((sum, each) => sum + each.weighed.length, 0);
  const found = counts.reduce((sum, each) => sum + each.found.length, 0);
  const read = verdicts.filter((each) => each.verdict !== 'unread');
  const isFalse = read.filter((each) => each.verdict === 'false').length;
  return [
    `${title}: ${String(counts.length)} folders`,
    `  leader ${share(leadBars - wrong, leadBars)} bars`,
    `  instruments ${outcomes(counts.flatMap((each) => each.instruments))}`,
    `  players ${outcomes(counts.flatMap((each) => each.players))}`,
    `  findings ${tally(verdicts)}; false ${share(isFalse, read.length)} that were read`,
    `  flaws found ${share(found, flaws)}`,
    ...findingRows(verdicts),
    '  by folder',
    ...counts.map(
      (each) =>
        `    ${each.judged.folder.id.padEnd(18)} leader ${share(each.leadBars - each.wrongBars.length, each.leadBars)}; instruments ${outcomes(each.instruments)}; ${tally(each.verdicts)}; flaws ${String(each.found.length)} of ${String(each.weighed.length)}`,
    ),
  ].join('\n');
}
