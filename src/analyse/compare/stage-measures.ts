/** Density, register and balance of a stage in a few numbers. */
import type { Stage } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { StageMeasures, StageReadings } from '../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER, type WrittenNotes } from '../../model/music/written.ts';
import { onceEach } from '../../model/once-each.ts';

/** How many bars of the stage have a note of the part under them. */
function countSoundingBars(
  { timeline: { bars } }: Stage,
  notes: readonly { readonly start: number; readonly length: number }[],
): number {
  const starts = Float64Array.from(bars, ({ startQuarters }) => (startQuarters - 1e-6) * DIVISIONS_PER_QUARTER);
  const isSounding = new Uint8Array(bars.length);
  let near = 0;
  // Notes mostly stand in order: the bar of one is at or near that of the one before it.
  for (let at = 0; at < notes.length; at++) {
    const start = notes[at]?.start ?? 0;
    const end = start + (notes[at]?.length ?? 0) - 1;
    while (near > 0 && (starts[near] ?? 0) > start) near--;
    while (near + 1 < bars.length && (starts[near + 1] ?? Infinity) <= start) near++;
    for (let bar = near; bar === near || (starts[bar] ?? Infinity) <= end; bar++) isSounding[bar] = 1;
  }
  return isSounding.reduce((sum, one) => sum + one, 0);
}

/** Measures a stage; a margin only where readings are given. */
export function stageMeasures(stage: Stage, written: WrittenNotes, readings: StageReadings | undefined): StageMeasures {
  return { ...writtenMeasures(stage)(written), ...(readings === undefined ? {} : medianMargin(readings)) };
}

const medianMargin = onceEach(({ balance }: StageReadings): Pick<StageMeasures, 'marginDb'> => {
  const marginDb = median(balance.flatMap((bar) => bar.marginDb ?? []));
  return marginDb === undefined ? {} : { marginDb };
});

const writtenMeasures = onceEach((stage: Stage) => onceEach((written: WrittenNotes) => measured(stage, written)));

function measured(stage: Stage, written: WrittenNotes): StageMeasures {
  const barCount = Math.max(1, stage.timeline.bars.length);
  const unpitched = new Set(stage.parts.flatMap((part) => (part.unpitched ? [part.id] : [])));
  let notes = 0;
  let sounding = 0;
  let low = 128;
  let high = -1;
  for (const part of written.parts) {
    notes += part.notes.length;
    sounding += countSoundingBars(stage, part.notes);
    if (unpitched.has(part.partId)) continue;
    for (let at = 0; at < part.notes.length; at++) {
      const midi = part.notes[at]?.midi ?? low;
      if (midi < low) low = midi;
      if (midi > high) high = midi;
    }
  }
  return {
    notesPerBar: notes / barCount,
    partsPerBar: sounding / barCount,
    ...(high < 0 ? {} : { low, high }),
  };
}
