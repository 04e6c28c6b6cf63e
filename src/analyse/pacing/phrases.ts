/**
 * Where phrases begin. A section begins one. So does the foreground where it goes on after a rest of a beat, or after a note
 * of two beats or more that is at least twice as long as its median note (rests and long notes are the first signs of a
 * boundary: Lerdahl and Jackendoff 1983, grouping preference rule 2; the figures are ours). Between these, every fourth bar
 * from the last section counts (common practice, no source), since figuration gives no sign.
 */
import type { Stage } from '../../model/arrangement.ts';
import { median } from '../../model/dynamics.ts';
import type { PhraseStart } from '../../model/pacing.ts';
import type { MelodyNote } from '../../model/readings.ts';
import { barIndexAt, pulseQuarters, type Bar } from '../../model/timeline.ts';

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

/**
 * What an entry comes with: it may stand a beat before or after the beginning or its bar line, or between the two; before
 * a section or a counted bar half a bar is the upbeat.
 */
export function comesWith(
  quarters: number,
  phrases: readonly PhraseStart[],
  bars: readonly Bar[],
): 'section' | 'phrase' | 'nothing' {
  const fits = phrases.filter((phrase) => {
    const index = barIndexAt(bars, phrase.downbeatQuarters);
    const bar = bars[index];
    if (bar === undefined) return false;
    const beat = pulseQuarters(bar.meter);
    const upbeat = phrase.by === 'melody' ? beat : Math.max(beat, (bars[index - 1] ?? bar).lengthQuarters / 2);
    return quarters >= phrase.startQuarters - upbeat - 1e-6 && quarters <= phrase.downbeatQuarters + beat + 1e-6;
  });
  if (fits.some(({ by }) => by === 'section')) return 'section';
  return fits.length > 0 ? 'phrase' : 'nothing';
}
