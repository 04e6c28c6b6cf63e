/** What changed between two stages, as the data export has it. */
import type { MeterDifference, PartEdit, StageChange, StageMeasures } from '../../model/readings/readings.ts';
import { meterText } from '../numbers-and-names.ts';
import { rounded, roundedDb } from './rounding.ts';

function withMeterTexts(item: MeterDifference): object {
  return { ...item, before: meterText(item.before), after: meterText(item.after) };
}

function editRecord(edit: PartEdit): object {
  return {
    part: edit.partId,
    kind: edit.kind,
    bars: edit.bars,
    semitones: edit.semitones ?? null,
    held: edit.held ?? null,
    how: edit.how ?? null,
    moved: edit.moved ?? null,
    timing: edit.timing?.how ?? null,
    milliseconds: edit.timing === undefined ? null : rounded(edit.timing.milliseconds, 1),
    db: roundedDb(edit.db) ?? null,
    toldWith: edit.toldWith ?? null,
  };
}

function measuresRecord(measures: StageMeasures): object {
  return {
    notesPerBar: rounded(measures.notesPerBar, 3),
    partsPerBar: rounded(measures.partsPerBar, 3),
    low: measures.low ?? null,
    high: measures.high ?? null,
    marginDb: roundedDb(measures.marginDb) ?? null,
  };
}

/** One step of the story as plain data. */
export function changeRecord(change: StageChange): object {
  return {
    before: change.before,
    after: change.after,
    parts: {
      ...change.parts,
      changed: change.parts.changed.map((item) => ({ part: item.partId, bars: item.bars })),
    },
    bars: change.bars,
    semitones: change.semitones,
    barOrder: change.barOrder,
    tempo: change.tempo.map((item) => ({
      ...item,
      before: rounded(item.before, 3),
      after: rounded(item.after, 3),
    })),
    meter: change.meter.map(withMeterTexts),
    rebarred: change.rebarred.map(withMeterTexts),
    shifted: change.shifted,
    given: change.given,
    doublings: change.doublings.map(({ partId, doubles, octaves, bars }) => ({ part: partId, doubles, octaves, bars })),
    entries: change.entries.map(({ partId, before, after }) => ({ part: partId, before, after })),
    chords: change.chords,
    edits: change.edits.map(editRecord),
    findings: change.findings,
    measures: { before: measuresRecord(change.measures.before), after: measuresRecord(change.measures.after) },
  };
}
