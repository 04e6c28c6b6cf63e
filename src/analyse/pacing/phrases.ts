/**
 * Where phrases begin. A section begins one. So does the foreground where it goes on after a rest of a beat, or after a note
 * of two beats or more that is at least twice as long as its median note (rests and long notes are the first signs of a
 * boundary: Lerdahl and Jackendoff 1983, grouping preference rule 2; the figures are ours). Between these, every fourth bar
 * from the last section counts (common practice, no source), since figuration gives no sign.
 */
import type { Stage } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { PhraseStart } from '../../model/readings/pacing.ts';
import type { MelodyNote } from '../../model/readings/readings.ts';
import { barIndexAt, pulseQuarters, type Bar } from '../../model/music/timeline.ts';
import { firstReaching } from '../../model/sorted-search.ts';

const REST_BEATS = 1;
const LONG_BEATS = 2;
const LONG_RATIO = 2;
const COUNT = 4;

/** A note in the later half of its bar leads to the next bar line. */
function startAt(bars: readonly Bar[], quarters: number): PhraseStart | undefined {
  const index = barIndexAt(bars, quarters);
  const bar = bars[index];
  if (bar === undefined) return undefined;
  const isUpbeat = quarters - bar.startQuarters > bar.lengthQuarters / 2 - 1e-6 || bar.number === 0;
  const next = bars[index + 1];
  const downbeat = isUpbeat && next !== undefined ? next : bar;
  return {
    bar: bar.number,
    startQuarters: quarters,
    downbeatQuarters: downbeat.startQuarters,
    by: 'melody',
  };
}

function melodyStarts(melody: readonly MelodyNote[], bars: readonly Bar[]): readonly PhraseStart[] {
  const usual = median(melody.map((note) => note.lengthQuarters)) ?? 1;
  return melody.flatMap((note, index) => {
    const start = startAt(bars, note.startQuarters);
    if (start === undefined) return [];
    const previous = melody[index - 1];
    if (previous === undefined) return [start];
    const bar = bars[barIndexAt(bars, previous.startQuarters)];
    const beat = bar === undefined ? 1 : pulseQuarters(bar.meter);
    const rest = note.startQuarters - previous.startQuarters - previous.lengthQuarters;
    const isLong =
      previous.lengthQuarters >= LONG_BEATS * beat - 1e-6 && previous.lengthQuarters >= LONG_RATIO * usual - 1e-6;
    return rest >= REST_BEATS * beat - 1e-6 || isLong || note.partId !== previous.partId ? [start] : [];
  });
}

function countedStarts(stage: Stage): readonly PhraseStart[] {
  const byNumber = new Map(stage.timeline.bars.map((bar) => [bar.number, bar]));
  const sections = [...stage.sections].sort((a, b) => a.from - b.from);
  return sections.flatMap((section, index) => {
    const from = Math.max(1, section.from);
    const to = Math.min(section.to, (sections[index + 1]?.from ?? Infinity) - 1);
    const starts: PhraseStart[] = [];
    for (let number = from; number <= to; number += COUNT) {
      const bar = byNumber.get(number);
      if (bar === undefined) continue;
      const by = number === from ? ('section' as const) : ('fourth-bar' as const);
      starts.push({ bar: number, startQuarters: bar.startQuarters, downbeatQuarters: bar.startQuarters, by });
    }
    return starts;
  });
}

/** Beginnings of phrases in order; where several signs fall on one place, each stands for itself. */
export function phrasesOf(stage: Stage, melody: readonly MelodyNote[]): readonly PhraseStart[] {
  return [...countedStarts(stage), ...melodyStarts(melody, stage.timeline.bars)].sort(
    (a, b) => a.startQuarters - b.startQuarters || a.downbeatQuarters - b.downbeatQuarters,
  );
}

interface EntryWindow {
  readonly from: number;
  readonly to: number;
  readonly isSection: boolean;
}

/** Where an entry may stand to come with a phrase, in order. */
export interface EntryWindows {
  readonly windows: readonly EntryWindow[];
  readonly longest: number;
}

/**
 * An entry comes with a phrase where it stands at most a beat before or after the beginning or its bar line, or between the
 * two; before a section or a counted bar half a bar is the upbeat.
 */
export function entryWindows(phrases: readonly PhraseStart[], bars: readonly Bar[]): EntryWindows {
  const windows = phrases.flatMap((phrase): EntryWindow[] => {
    const index = barIndexAt(bars, phrase.downbeatQuarters);
    const bar = bars[index];
    if (bar === undefined) return [];
    const beat = pulseQuarters(bar.meter);
    const upbeat = phrase.by === 'melody' ? beat : Math.max(beat, (bars[index - 1] ?? bar).lengthQuarters / 2);
    const isSection = phrase.by === 'section';
    return [{ from: phrase.startQuarters - upbeat - 1e-6, to: phrase.downbeatQuarters + beat + 1e-6, isSection }];
  });
  windows.sort((a, b) => a.from - b.from);
  return { windows, longest: windows.reduce((most, { from, to }) => Math.max(most, to - from), 0) };
}

/** What an entry comes with. */
export function comesWith(quarters: number, { windows, longest }: EntryWindows): 'section' | 'phrase' | 'nothing' {
  const first = firstReaching(windows, ({ from }) => from >= quarters - longest);
  let found: 'section' | 'phrase' | 'nothing' = 'nothing';
  for (let index = first; (windows[index]?.from ?? Infinity) <= quarters; index++) {
    const window = windows[index];
    if (window === undefined || window.to < quarters) continue;
    if (window.isSection) return 'section';
    found = 'phrase';
  }
  return found;
}
