/** Density, register and balance of a stage in a few numbers. */
import type { Stage } from '../../model/arrangement.ts';
import { median } from '../../model/dynamics.ts';
import type { StageMeasures, StageReadings } from '../../model/readings.ts';
import { barIndexAt } from '../../model/timeline.ts';
import { DIVISIONS_PER_QUARTER, type WrittenStage } from '../../model/written.ts';
import { onceEach } from './once-each.ts';

/** Bars of the stage, by index, under which a part has a note. */
function soundingBars(
  stage: Stage,
  notes: readonly { readonly start: number; readonly length: number }[],
): Set<number> {
  const { bars } = stage.timeline;
  const sounding = new Set<number>();
  for (const note of notes) {
    const first = Math.max(0, barIndexAt(bars, note.start / DIVISIONS_PER_QUARTER));
    const last = barIndexAt(bars, (note.start + note.length - 1) / DIVISIONS_PER_QUARTER);
    for (let bar = first; bar <= last; bar++) sounding.add(bar);
  }
  return sounding;
}

/** Measures a stage; a margin only where readings are given. */
export function stageMeasures(stage: Stage, written: WrittenStage, readings: StageReadings | undefined): StageMeasures {
  return { ...writtenMeasures(stage)(written), ...(readings === undefined ? {} : medianMargin(readings)) };
}

const medianMargin = onceEach(({ balance }: StageReadings): Pick<StageMeasures, 'marginDb'> => {
  const marginDb = median(balance.flatMap((bar) => bar.marginDb ?? []));
  return marginDb === undefined ? {} : { marginDb };
});

const writtenMeasures = onceEach((stage: Stage) => onceEach((written: WrittenStage) => measured(stage, written)));

function measured(stage: Stage, written: WrittenStage): StageMeasures {
  const barCount = Math.max(1, stage.timeline.bars.length);
  const unpitched = new Set(stage.parts.flatMap((part) => (part.unpitched ? [part.id] : [])));
  let notes = 0;
  let sounding = 0;
  let low = 128;
  let high = -1;
  for (const part of written.parts) {
    notes += part.notes.length;
    sounding += soundingBars(stage, part.notes).size;
    if (unpitched.has(part.partId)) continue;
    for (const { midi } of part.notes) {
      low = Math.min(low, midi);
      high = Math.max(high, midi);
    }
  }
  return {
    notesPerBar: notes / barCount,
    partsPerBar: sounding / barCount,
    ...(high < 0 ? {} : { low, high }),
  };
}
