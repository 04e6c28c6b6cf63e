/** What a bar must fulfil to be drawn. A bar that does not is a fault of the notation step, so it is an Error that names the bar. */
import type { NoteFigure, ScoreBar, WrittenEvent } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';

const WHOLE = 4 * DIVISIONS_PER_QUARTER;

/** Tuplets whose share is no whole number of divisions (seven in the time of four) are rounded. */
const ROUNDING = 1;

/** Length of a written figure in divisions; not a whole number for some tuplets. */
function figureDivisions(figure: NoteFigure): number {
  const plain = (WHOLE / figure.base) * (2 - 1 / 2 ** figure.dots);
  return figure.tuplet === undefined ? plain : (plain * figure.tuplet.normal) / figure.tuplet.actual;
}

function checkEvent(event: WrittenEvent, where: string): void {
  if (!(event.length > 0)) throw new Error(`${where}: an event has the length ${String(event.length)}.`);
  const figure = figureDivisions(event.figure);
  if (event.wholeBar !== true && event.stemless !== true && Math.abs(figure - event.length) > ROUNDING) {
    throw new Error(
      `${where}: a figure of ${String(figure)} divisions is said to last ${String(event.length)} at ${String(event.start)}.`,
    );
  }
  if (event.kind === 'notes' && event.heads.length === 0) throw new Error(`${where}: a chord without notes.`);
}

/** Throws an Error that names the bar, staff and voice where a voice does not fill its bar or a figure belies its length. */
export function checkBar(bar: ScoreBar, staffCount: number): void {
  const name = `Bar ${String(bar.number)}`;
  if (bar.staves.length !== staffCount) {
    throw new Error(`${name}: ${String(bar.staves.length)} staves where the score has ${String(staffCount)}.`);
  }
  if (!(bar.lengthDivisions > 0)) throw new Error(`${name}: a length of ${String(bar.lengthDivisions)} divisions.`);
  const end = bar.startDivisions + bar.lengthDivisions;
  bar.staves.forEach((staff, staffIndex) => {
    if (staff.voices.length > 2) throw new Error(`${name}, staff ${String(staffIndex + 1)}: more than two voices.`);
    staff.voices.forEach((voice, voiceIndex) => {
      if (voice.length === 0) return;
      const where = `${name}, staff ${String(staffIndex + 1)}, voice ${String(voiceIndex + 1)}`;
      let position = bar.startDivisions;
      for (const event of voice) {
        checkEvent(event, where);
        if (Math.abs(event.start - position) > ROUNDING) {
          throw new Error(`${where}: an event starts at ${String(event.start)} where ${String(position)} is due.`);
        }
        position = event.start + event.length;
      }
      if (Math.abs(position - end) > ROUNDING) {
        throw new Error(`${where}: it ends at ${String(position)} and the bar at ${String(end)}.`);
      }
    });
  });
}
