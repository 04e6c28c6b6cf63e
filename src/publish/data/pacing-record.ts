/** The pacing of a stage, as the data export has it. */
import type { EntryEvent, ExitEvent, PacingReading, Peak, SectionPacing } from '../../model/readings/pacing.ts';
import { rounded, roundedDb } from './rounding.ts';

const secondsOf = (seconds: number | undefined): number | null => (seconds === undefined ? null : rounded(seconds, 3));

function entryRecord(entry: EntryEvent): object {
  return {
    part: entry.partId,
    bar: entry.bar,
    start: rounded(entry.quarters),
    second: secondsOf(entry.second),
    kind: entry.kind,
    comesWith: entry.comesWith,
    restBars: entry.restBars,
    restSeconds: secondsOf(entry.restSeconds),
    sinceBars: entry.sinceBars ?? null,
    sinceSeconds: secondsOf(entry.sinceSeconds),
  };
}

function exitRecord(exit: ExitEvent): object {
  return {
    part: exit.partId,
    bar: exit.bar,
    end: rounded(exit.quarters),
    second: secondsOf(exit.second),
    kind: exit.kind,
    restBars: exit.restBars ?? null,
    restSeconds: secondsOf(exit.restSeconds),
  };
}

function sectionRecord(section: SectionPacing): object {
  const { contrast } = section;
  return {
    name: section.name,
    from: section.from,
    to: section.to,
    seconds: secondsOf(section.seconds),
    partIds: section.partIds,
    families: section.families,
    parts: rounded(section.parts, 3),
    lines: rounded(section.lines, 3),
    onsetsPerSecond: rounded(section.onsetsPerSecond, 3),
    levelDb: roundedDb(section.levelDb) ?? null,
    low: section.low ?? null,
    high: section.high ?? null,
    contrast:
      contrast === undefined
        ? null
        : {
            sharedParts: rounded(contrast.sharedParts, 4),
            partsChange: rounded(contrast.partsChange, 3),
            levelChangeDb: roundedDb(contrast.levelChangeDb) ?? null,
            paceRatio: contrast.paceRatio === undefined ? null : rounded(contrast.paceRatio, 3),
          },
  };
}

function peakRecord(peak: Peak): object {
  return {
    bar: peak.bar,
    levelDb: roundedDb(peak.levelDb) ?? null,
    parts: peak.parts,
    share: rounded(peak.share, 4),
    risesFrom: peak.risesFrom,
    riseDb: roundedDb(peak.riseDb) ?? null,
    riseSeconds: secondsOf(peak.riseSeconds),
    entering: peak.entering,
    isSudden: peak.isSudden,
  };
}

/** Entries, exits, texture, silences, rests, sections and peak as plain data; null where a stage was not measured. */
export function pacingRecord(pacing: PacingReading | undefined): object | null {
  if (pacing === undefined) return null;
  return {
    phrases: pacing.phrases.map((phrase) => ({
      bar: phrase.bar,
      start: rounded(phrase.startQuarters),
      downbeat: rounded(phrase.downbeatQuarters),
      by: phrase.by,
    })),
    entries: pacing.entries.map(entryRecord),
    exits: pacing.exits.map(exitRecord),
    bars: pacing.bars.map((bar) => ({
      bar: bar.bar,
      parts: bar.partIds.length,
      lines: bar.lines,
      families: bar.families,
      levelDb: roundedDb(bar.levelDb) ?? null,
      onsets: bar.onsets,
    })),
    steps: pacing.steps.map((step) => ({
      from: step.from,
      to: step.to,
      seconds: secondsOf(step.seconds),
      parts: step.partIds,
      families: step.families,
      lines: step.lines,
      levelDb: roundedDb(step.levelDb) ?? null,
      came: step.came,
      went: step.went,
    })),
    silences: pacing.silences.map((silence) => ({
      from: silence.from,
      to: silence.to,
      start: rounded(silence.startQuarters),
      end: rounded(silence.endQuarters),
      second: secondsOf(silence.second),
      seconds: secondsOf(silence.seconds),
    })),
    rests: pacing.rests.map((rest) => ({
      part: rest.partId,
      soundingBars: rest.soundingBars,
      silentBars: rest.silentBars,
      longestRest: rest.longestRest ?? null,
      longestRun: rest.longestRun,
    })),
    sections: pacing.sections.map(sectionRecord),
    peak: pacing.peak === undefined ? null : peakRecord(pacing.peak),
  };
}
