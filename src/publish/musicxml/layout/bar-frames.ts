/** What the bars of a stage have besides notes. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { KeySpan, WrittenNotes } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { sectionMarks } from '../../../notate/reduction/bar-texts.ts';
import type { GridBar } from '../../../notate/score-time/score-time.ts';
import { swingDirections } from '../../../notate/swing/swing-mark.ts';
import { FREE_TIME } from '../../../notate/free-time/unmeasured.ts';
import type { TempoDirection } from '../../../notate/score-time/tempo-text.ts';
import { tempoDirections } from '../../../notate/score-time/tempo-text.ts';
import type { BarFrame } from './score-layout.ts';

interface FrameInput {
  readonly stage: Stage;
  readonly written: WrittenNotes;
  readonly bars: readonly Pick<GridBar, 'number' | 'start' | 'length' | 'meter'>[];
  /** Sounding signatures, by bar index. */
  readonly signatures: readonly number[];
}

function keyAt(keys: readonly KeySpan[], from: number, bar: number): number {
  let index = from;
  while ((keys[index]?.to ?? Infinity) < bar) index++;
  return index;
}

/** Words of the tempo; that there is none stands over the first bar. */
function wordsOver(
  { onGrid }: WrittenNotes,
  index: number,
  tempo: TempoDirection | undefined,
): Pick<BarFrame, 'words' | 'wordsAt'> {
  if (!onGrid) return index > 0 ? {} : { words: FREE_TIME };
  if (tempo?.words === undefined) return {};
  const { words, at } = tempo;
  return { words, ...(at === undefined ? {} : { wordsAt: Math.round(at * DIVISIONS_PER_QUARTER) }) };
}

/** Frames without chord symbols. */
export function barFrames({ stage, written, bars, signatures }: FrameInput): BarFrame[] {
  const tempi = tempoDirections(stage.timeline.bars, stage.timeline.tempo);
  const sections = sectionMarks(stage);
  const swing = swingDirections(written.swing);
  let keyIndex = 0;
  return bars.map((bar, index): BarFrame => {
    keyIndex = keyAt(written.keys, keyIndex, bar.number);
    const key = written.keys[keyIndex];
    const before = bars[index - 1];
    const sectionName = sections.get(bar.number);
    const swingHere = swing.get(bar.number);
    return {
      number: bar.number,
      startDivisions: bar.start,
      lengthDivisions: bar.length,
      meter: bar.meter,
      showMeter: before?.meter.numerator !== bar.meter.numerator || before.meter.denominator !== bar.meter.denominator,
      ...(key === undefined || key.fifths !== signatures[index] ? {} : { mode: key.modal?.name ?? key.mode }),
      ...(sectionName === undefined ? {} : { sectionName }),
      tempo: stage.timeline.bars[index]?.tempo ?? 120,
      showTempo: written.onGrid && tempi[index]?.mark !== undefined,
      ...(swingHere === undefined ? {} : { swing: swingHere }),
      ...wordsOver(written, index, tempi[index]),
      harmonies: [],
    };
  });
}
