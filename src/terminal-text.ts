/** How problems and findings are printed in the terminal. Untrusted text loses its control characters here. */
import type { Stage } from './model/music/arrangement.ts';
import type { Finding, FindingLevel } from './model/readings/readings.ts';
import type { WrittenNotes } from './model/music/written.ts';
import { freeInShort } from './notate/free-time/free-words.ts';
import { barSpanText, counted } from './model/words/plain-words.ts';
import type { Problem } from './problems/problem.ts';
import { placeOf } from './problems/problem.ts';
import { withoutControls } from './read/clean-text.ts';

/** Text without control and direction characters, so that a file name cannot repaint the terminal. */
export function plainText(text: string): string {
  return withoutControls(text).replaceAll(/[\v\f\r]/g, '');
}

/** The same without line breaks. */
export function plainLine(text: string): string {
  return plainText(text).replaceAll('\n', ' ');
}

/** `place: sentence`, one line a problem. */
export function problemLine(problem: Problem): string {
  const place = placeOf(problem);
  return plainLine(place === '' ? problem.message : `${place}: ${problem.message}`);
}

/** What must be known of the stages before their scores are read: which were played without a click. Empty for none. */
export function clockLines(
  stages: readonly { readonly stage: Stage; readonly written: Pick<WrittenNotes, 'onGrid' | 'steadyBeat'> }[],
): string[] {
  const free = stages.filter(({ written }) => !written.onGrid);
  return free.map(({ stage, written }) => plainLine(`Stage “${stage.title}”: ${freeInShort(written.steadyBeat)}`));
}

const LEVEL_ORDER: Readonly<Record<FindingLevel, number>> = { fix: 0, look: 1, note: 2 };

/** Whether a level is at or above the asked one (fix is the highest). */
export function isAtLeast(level: FindingLevel, asked: FindingLevel): boolean {
  return LEVEL_ORDER[level] <= LEVEL_ORDER[asked];
}

/** Findings of a stage as lines: level, bars, message, rule name; accepted ones say so. */
export function findingLines(stage: Stage, findings: readonly Finding[]): string[] {
  if (findings.length === 0) return [plainText(`${stage.title}: no findings.`)];
  const lines = [plainText(`${stage.title}: ${counted(findings.length, 'finding')}`)];
  for (const finding of findings) {
    const accepted = finding.accepted === undefined ? '' : ` (accepted: ${finding.accepted})`;
    lines.push(
      plainLine(
        `  ${finding.level.padEnd(4)}  ${barSpanText(finding.from, finding.to)}: ${finding.message} [${finding.rule}]${accepted}`,
      ),
    );
  }
  return lines;
}

/** What is said of an error of ours. */
export function faultText(error: unknown): string {
  const message = error instanceof Error ? error.message : String(error);
  const firstLine = message.split('\n')[0] ?? '';
  return plainText(
    `This is a fault of arrangement-dossier, not of your folder (${firstLine}). Please report it with the folder that shows it.\n`,
  );
}
