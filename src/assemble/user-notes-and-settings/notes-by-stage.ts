/** Notes that say by a heading, or by the name of their file, which stage they are about. */
import type { InnerHeading, RawMemo } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';
import { stageCalled, type NamedStage } from '../stage-order/stage-names.ts';

/** Words by which people count their versions, before the number; in English, German, French, Spanish and Italian. Common practice, no source. */
const COUNTED =
  /^(?:stage|version|ver|draft|take|mix|pass|round|step|v|stufe|fassung|stand|runde|etape|prise|etapa|toma|versione|stadio|bozza)\s*(?:no|nr|n)?\s*0*(\d{1,3})\b/;

const numbersOf = (name: string): readonly number[] => (comparableName(name).match(/\d+/g) ?? []).map(Number);

/** A name of one word says what a heading is about only where it stands alone and is no instrument's: “Strings” may be the players. */
const isPlain = (name: string): boolean => /[ \d]/.test(name);

/** The stage that a heading names: by its title or file name at the beginning, or by the number that only its name has. */
function stageOfHeading(text: string, stages: readonly NamedStage[], read: NameReader): NamedStage | undefined {
  const wanted = comparableName(text);
  const begins = (name: string): boolean => isPlain(name) && wanted.startsWith(`${name} `);
  const exact = stageCalled(text, stages);
  if (exact !== undefined && (isPlain(wanted) || read(text).candidates.length === 0)) return exact;
  const longestFirst = stages
    .flatMap((stage) => [stage.raw.name, stage.title].map((name) => ({ stage, name: comparableName(name) })))
    .sort((one, other) => other.name.length - one.name.length);
  const named = longestFirst.find(({ name }) => begins(name))?.stage;
  if (named !== undefined) return named;
  const counted = COUNTED.exec(wanted)?.[1];
  if (counted === undefined) return undefined;
  const numbered = stages.filter(({ raw }) => numbersOf(raw.name).includes(Number(counted)));
  return numbered.length === 1 ? numbered[0] : undefined;
}

/** The stage that a file of notes is called by: the same name, with its number (`02 Habanera.md`) or without (`Habanera.md`), or its number or letter alone (`b.md` beside `b - slower.mid`). */
function stageOfFile(file: string, stages: readonly NamedStage[], read: NameReader): NamedStage | undefined {
  const stem = (file.split('/').at(-1) ?? '').replace(/\.[^.]*$/, '');
  const wanted = comparableName(stem);
  if (wanted === '') return undefined;
  const same = stages.filter(({ raw }) => comparableName(raw.name) === wanted);
  const isPlayers = !isPlain(wanted) && read(stem).candidates.length > 0;
  const titled = isPlayers ? [] : stages.filter(({ title }) => comparableName(title) === wanted);
  const marked = /^(?:\p{L}|\d+)$/u.test(wanted)
    ? stages.filter(({ raw }) => comparableName(raw.name).split(' ')[0] === wanted)
    : [];
  return [same, titled, marked].find((found) => found.length === 1)?.[0];
}

/** Where the section of a heading ends: at the next one of its level or above. */
function endOf({ level, at }: InnerHeading, inner: readonly InnerHeading[], lineCount: number): number {
  return inner.find((one) => one.at > at && one.level <= level)?.at ?? lineCount;
}

/** Where `InnerHeading.at` has the memo's own heading. */
const OWN = -1;

/** A memo in pieces: each section whose heading names a stage for itself, what is left as it was. */
function inSections(memo: RawMemo, stageOf: (heading: string) => NamedStage | undefined): readonly RawMemo[] {
  const { inner = [], ...plain } = memo;
  const lines = memo.markdown.split('\n');
  const taken = new Set<number>();
  const sections = inner.flatMap((heading): RawMemo[] => {
    const stage = stageOf(heading.text);
    if (stage === undefined || taken.has(heading.at)) return [];
    const end = endOf(heading, inner, lines.length);
    for (let line = heading.at; line < end; line++) taken.add(line);
    const markdown = lines.slice(heading.next, end).join('\n').trim();
    if (markdown === '') return [];
    const line = memo.line + Math.max(0, heading.at);
    return [{ ...plain, line, heading: heading.text, markdown, stage: { content: stage.raw.name, line, column: 1 } }];
  });
  if (taken.size === 0) return [memo];
  const markdown = lines
    .filter((_, line) => !taken.has(line))
    .join('\n')
    .trim();
  const rest = { ...plain, heading: taken.has(OWN) ? '' : memo.heading, markdown };
  return [...(markdown === '' ? [] : [rest]), ...sections];
}

/**
 * The notes in their order, those that name no stage in front matter and lie in no stage's folder given the one that a heading over them or in
 * them names, or else the name of their file. A text whose headings name several is parted.
 */
export function notesByStage(
  memos: readonly RawMemo[],
  stages: readonly NamedStage[],
  read: NameReader,
): readonly RawMemo[] {
  const stageOf = (heading: string): NamedStage | undefined => stageOfHeading(heading, stages, read);
  return memos.flatMap((memo): readonly RawMemo[] => {
    if (memo.stage !== undefined || memo.answer !== undefined) return [memo];
    const over = (memo.under ?? []).map(stageOf).filter((stage) => stage !== undefined);
    const whole = over.at(-1) ?? stageOfFile(memo.file, stages, read);
    const parts = inSections(memo, stageOf);
    if (whole === undefined) return parts;
    const stage = { content: whole.raw.name, line: memo.line, column: 1 };
    return parts.map((part) => (part.stage === undefined ? { ...part, stage } : part));
  });
}
