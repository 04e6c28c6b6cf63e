/** Whether a reduced score keeps the rules that the engraver relies on; for tests, and for whoever builds scores by hand. */
import type { ReducedScore, ScoreBar, StaffBar, WrittenEvent } from '../../model/music/written.ts';
import { midiOf } from '../../model/music/pitch.ts';
import { lengthOf } from './note-values.ts';

function place(bar: ScoreBar, staff: number, voice: number): string {
  return `bar ${String(bar.number)}, staff ${String(staff + 1)}, voice ${String(voice + 1)}`;
}

function checkVoice(bar: ScoreBar, events: readonly WrittenEvent[], where: string, faults: string[]): void {
  let position = bar.startDivisions;
  for (const event of events) {
    if (event.start !== position)
      faults.push(`${where}: an event at ${String(event.start)}, expected at ${String(position)}`);
    if (!Number.isInteger(event.length) || event.length <= 0) faults.push(`${where}: length ${String(event.length)}`);
    // Seven in the time of four are no whole number of divisions.
    const rounding = event.figure.tuplet?.actual === 7 ? 1 : 1e-9;
    if (Math.abs(lengthOf(event.figure) - event.length) > rounding) {
      faults.push(`${where}: the figure at ${String(event.start)} does not last ${String(event.length)}`);
    }
    if ((event.kind === 'rest') !== (event.heads.length === 0)) faults.push(`${where}: heads and kind disagree`);
    for (const [index, head] of event.heads.entries()) {
      const below = event.heads[index - 1];
      if (below !== undefined && midiOf(below.pitch) >= midiOf(head.pitch))
        faults.push(`${where}: heads not low to high`);
      if (head.partIds.length === 0) faults.push(`${where}: a head that nobody plays`);
    }
    position = event.start + event.length;
  }
  if (position !== bar.startDivisions + bar.lengthDivisions) {
    faults.push(`${where}: filled to ${String(position - bar.startDivisions)} of ${String(bar.lengthDivisions)}`);
  }
}

function checkTuplets(events: readonly WrittenEvent[], where: string, faults: string[]): void {
  const groups = new Map<number, { length: number; written: number; actual: number; last: number }>();
  for (const [index, event] of events.entries()) {
    const { tuplet } = event.figure;
    if (tuplet === undefined) continue;
    const known = groups.get(tuplet.id);
    if (known !== undefined && known.last !== index - 1)
      faults.push(`${where}: tuplet ${String(tuplet.id)} is interrupted`);
    const length = (known?.length ?? 0) + event.length;
    const written = (known?.written ?? 0) + (event.length * tuplet.actual) / tuplet.normal;
    groups.set(tuplet.id, { length, written, actual: tuplet.actual, last: index });
  }
  for (const [id, group] of groups) {
    const unit = group.written / (group.actual % 3 === 0 ? 3 : group.actual);
    if (![60, 120, 240, 480, 960].includes(unit)) {
      faults.push(`${where}: tuplet ${String(id)} is incomplete (${String(group.length)} divisions)`);
    }
  }
}

function checkTies(score: ReducedScore, staff: number, faults: string[]): void {
  for (const [barIndex, bar] of score.bars.entries()) {
    const voices = bar.staves[staff]?.voices ?? [];
    const next = score.bars[barIndex + 1]?.staves[staff]?.voices ?? [];
    for (const [voice, events] of voices.entries()) {
      for (const [index, event] of events.entries()) {
        const following = events[index + 1];
        const followers = following !== undefined ? [following] : next.map((other) => other[0]);
        for (const head of event.heads) {
          if (!head.tieToNext) continue;
          const met = followers.some((item) =>
            item?.heads.some((other) => other.tieFromPrevious && midiOf(other.pitch) === midiOf(head.pitch)),
          );
          if (!met) faults.push(`${place(bar, staff, voice)}: a tie at ${String(event.start)} leads nowhere`);
        }
      }
    }
  }
}

/** Clefs change inside the bar, in order, to another clef, where a note begins and no voice goes on. */
function checkClefs(
  bar: ScoreBar,
  { clef, clefChanges = [], voices }: StaffBar,
  where: string,
  faults: string[],
): void {
  let [before, last] = [clef, bar.startDivisions];
  for (const change of clefChanges) {
    if (change.start <= last || change.start >= bar.startDivisions + bar.lengthDivisions) {
      faults.push(`${where}: a clef at ${String(change.start)} is out of its place`);
    }
    if (change.clef === before) faults.push(`${where}: a clef at ${String(change.start)} changes nothing`);
    const free = voices.every((voice) => voice.some((event) => event.start === change.start));
    const begins = voices.flat().some((event) => event.start === change.start && event.kind === 'notes');
    if (!free || !begins) faults.push(`${where}: the clef at ${String(change.start)} stands before no note`);
    [before, last] = [change.clef, change.start];
  }
}

/** Faults of a score, one sentence each; empty where it is sound. */
export function checkScore(score: ReducedScore): string[] {
  const faults: string[] = [];
  for (const [barIndex, bar] of score.bars.entries()) {
    const before = score.bars[barIndex - 1];
    if (before !== undefined && before.startDivisions + before.lengthDivisions !== bar.startDivisions) {
      faults.push(`bar ${String(bar.number)} does not follow the bar before it`);
    }
    if (bar.staves.length !== score.staves.length) faults.push(`bar ${String(bar.number)} has not all staves`);
    const end = bar.startDivisions + bar.lengthDivisions;
    for (const item of [...bar.chords, ...bar.cues]) {
      if (item.start < bar.startDivisions || item.start >= end) {
        faults.push(`bar ${String(bar.number)}: "${item.text}" stands outside the bar`);
      }
    }
    for (const [staff, content] of bar.staves.entries()) {
      checkClefs(bar, content, place(bar, staff, 0), faults);
      if (content.voices.length > 2) faults.push(`${place(bar, staff, 2)}: more than two voices`);
      for (const [voice, events] of content.voices.entries()) {
        const where = place(bar, staff, voice);
        checkVoice(bar, events, where, faults);
        checkTuplets(events, where, faults);
      }
    }
  }
  for (const staff of score.staves.keys()) checkTies(score, staff, faults);
  return faults;
}
