/** The sheet that `npm run why` prints: a table a note. */
import type { Stage } from '../../../src/model/music/arrangement.ts';
import { analyseStage } from '../../../src/analyse/analyse-stage.ts';
import { InputError } from '../../../src/problems/problem.ts';
import { nearestName } from '../../../src/problems/nearest-name.ts';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import { plainText } from '../../../src/terminal-text.ts';
import { pitchName } from '../../../src/model/music/pitch.ts';
import { scoreTimeOf } from '../../../src/notate/score-time/score-time.ts';
import { listening } from './listening.ts';
import { chordOptionsOf } from './other-chords.ts';
import type { ReadStage } from './note-rows.ts';
import { isInBar, noteRows } from './note-rows.ts';

export interface Asked {
  readonly bar: number;
  /** Name, short name or id of a part, or the beginning of one. */
  readonly part: string;
}

function refuse(message: string): InputError {
  return new InputError([{ kind: 'usage', code: 'why', file: '', message }]);
}

function partOf({ parts }: Stage, asked: string): Stage['parts'][number] {
  const wanted = asked.trim().toLowerCase();
  const namesOf = ({ name, abbreviation, id }: Stage['parts'][number]): string[] =>
    [name, abbreviation, id].map((text) => text.toLowerCase());
  const found =
    parts.find((part) => namesOf(part).includes(wanted)) ??
    parts.find((part) => namesOf(part).some((name) => name.startsWith(wanted)));
  if (found !== undefined) return found;
  const names = parts.map(({ name }) => name);
  const nearest = nearestName(asked, names);
  throw refuse(
    `There is no part “${asked}” in this stage: ${nearest === undefined ? `its parts are “${names.join('”, “')}”.` : `did you mean “${nearest}”?`}`,
  );
}

/** Lines of text, one table a note of the bar. Throws an InputError where there is no such part or bar. */
export function whySheet(stage: Stage, { bar, part: partName }: Asked): readonly string[] {
  const part = partOf(stage, partName);
  const { bars } = scoreTimeOf(stage.timeline.bars);
  const asked = bars.find(({ number }) => number === bar);
  if (asked === undefined) {
    throw refuse(
      `There is no bar ${String(bar)} in this stage: its bars are ${String(bars[0]?.number)} to ${String(bars.at(-1)?.number)}.`,
    );
  }
  const { explain, heard } = listening();
  const written = notateStage(stage, explain);
  const chords = heard.chords();
  const read: ReadStage = {
    stage,
    written,
    readings: analyseStage(stage, written),
    heard,
    chordsAt: chords === undefined ? () => undefined : chordOptionsOf(chords),
    from: asked.start,
    to: asked.start + asked.length,
  };
  const notes = (written.parts.find(({ partId }) => partId === part.id)?.notes ?? []).filter((note) =>
    isInBar(read, note),
  );
  const title = `${part.name}, bar ${String(bar)} of “${stage.title}”: ${notes.length === 0 ? 'nothing is written' : `${String(notes.length)} written`}. Costs are in nats: + is by how much the whole search would be dearer.`;
  const tables = notes.flatMap((note, index) => {
    const rows = noteRows(read, part, note);
    const width = Math.max(...rows.map(([step]) => step.length));
    return [
      '',
      `${String(index + 1)}. ${pitchName(note.pitch)}`,
      ...rows.map(([step, text]) => `   ${step.padEnd(width)}  ${text}`),
    ];
  });
  return [title, ...tables].map((line) => plainText(line).replaceAll('\n', ' '));
}
