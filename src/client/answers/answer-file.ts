/** An answer as the page holds it, and the file of Markdown that several of them become. */

export interface PageAnswer {
  readonly id: string;
  /** Title of the piece, and hash of the dossier. */
  readonly piece: string;
  readonly about: string;
  /** Id and hash of the music of the stage; '' for a page that is about none. */
  readonly stage: string;
  readonly music: string;
  /** As the reader writes them: `5`, `5-8`; '' for all. */
  readonly bars: string;
  /** Names or ids. */
  readonly parts: readonly string[];
  /** Rule of the finding, or name of the question; '' where it is to neither. */
  readonly finding: string;
  readonly question: string;
  readonly kind: string;
  readonly from: string;
  readonly date: string;
  readonly text: string;
  /** Whether a file has it as it is now. */
  readonly isSaved: boolean;
}

const BARS = /^\s*\d{1,5}(\s*[-–]\s*\d{1,5})?\s*$/;

/** JSON writes text as YAML's double quotation marks do (YAML 1.2, 1.3). */
function line(key: string, content: string | readonly string[]): string {
  return content.length === 0 ? '' : `${key}: ${JSON.stringify(content)}\n`;
}

function block(answer: PageAnswer): string {
  const { bars, text } = answer;
  const isBars = BARS.test(bars);
  const head = [
    line('from', answer.from),
    line('date', answer.date),
    line('about', answer.about),
    line('kind', answer.kind),
    line('stage', answer.stage),
    line('music', answer.music),
    line('bars', isBars ? bars.replaceAll('–', '-') : ''),
    line('parts', answer.parts),
    line('question', answer.question),
    line('finding', answer.finding),
  ].join('');
  // A line of hyphens would begin another answer.
  const words = text.replace(/^---/gm, '\\---').trim();
  return `---\n${head}---\n\n${isBars || bars.trim() === '' ? '' : `Bars: ${bars}\n\n`}${words}\n`;
}

/** The text of a file that the folder of the arrangement takes as it is. */
export function answerFile(answers: readonly PageAnswer[]): string {
  return answers.map(block).join('\n');
}

/** What the file is called: by who wrote, in letters that every system takes. */
export function answerFileName(from: string, about: string): string {
  const name = from
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '');
  return `answers-${name === '' ? '' : `${name.slice(0, 30)}-`}${about.slice(0, 6)}.md`;
}
