/** What is said of a stage that was played without a click, and what can be done about it. */

const WHAT_TO_DO =
  'For a score in bars and beats, record to a click, or fit the tempo map of the file to the playing (a tempo event on every beat) and export again.';

function steadyText(steady: number | undefined): string {
  return steady === undefined
    ? ''
    : ` The playing keeps a steady beat of its own, ${steady.toFixed(1)} to the minute (or half, or double): with that tempo in the file, and bar 1 where the music begins, it can be written down.`;
}

/** One sentence or two for the top of the score and the terminal; `steady` is a tempo that the playing would fit. */
export function freeInShort(steady: number | undefined): string {
  return `Played without a click: the notes have nothing to do with the bar lines of the file, so no rhythm is written.${steadyText(steady)} ${WHAT_TO_DO}`;
}

/** The same with how it was read. */
export function freeRemark(steady: number | undefined): string {
  return `This stage was played without a click: its notes have nothing to do with the bar lines of the file. So no rhythm is made up: the score shows each note where it was played, in proportion to the time, and bars are those of the file. Judgements that count beats, phrases or chords by the beat are left out.${steadyText(steady)} ${WHAT_TO_DO}`;
}

/** How to read the score. */
export const HOW_TO_READ =
  'Heads without stems stand where they were played, black ones short, open ones a second or longer.';
