/** Density, register and balance of a stage in a few numbers. */
import type { Stage } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { StageMeasures, StageReadings } from '../../model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER, type WrittenNotes } from '../../model/music/written.ts';
import { onceEach } from '../../model/once-each.ts';

/** Marks the bars under a note with 1, of which one is at or near `near`; returns the one that it begins in. `starts`: where bars begin. */
function markUnder(starts: Float64Array, near: number, start: number, length: number, marks: Uint8Array): number {
  let own = near;
  while (own > 0 && (starts[own] ?? 0) > start) own--;
  while (own + 1 < starts.length && (starts[own + 1] ?? Infinity) <= start) own++;
  const end = start + length - 1;
  for (let bar = own; bar === own || (starts[bar] ?? Infinity) <= end; bar++) marks[bar] = 1;
  return own;
}

/** How many bars have a note of the part under them; `starts`: where they begin. */
function countSoundingBars(
  starts: Float64Array,
  notes: readonly { readonly start: number; readonly length: number }[],
): number {
  const isSounding = new Uint8Array(starts.length);
  let near = 0;
  // Notes mostly stand in order: the bar of one is at or near that of the one before it.
  for (let at = 0; at < notes.length; at++) {
    const note = notes[at];
    near = markUnder(starts, near, note?.start ?? 0, note?.length ?? 0, isSounding);
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
  const { bars } = stage.timeline;
  const barCount = Math.max(1, bars.length);
  const starts = Float64Array.from(bars, ({ startQuarters }) => (startQuarters - 1e-6) * DIVISIONS_PER_QUARTER);
  const unpitched = new Set(stage.parts.flatMap((part) => (part.unpitched ? [part.id] : [])));
  let notes = 0;
  let sounding = 0;
  let low = 128;
  let high = -1;
  for (const part of written.parts) {
    notes += part.notes.length;
    sounding += countSoundingBars(starts, part.notes);
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
