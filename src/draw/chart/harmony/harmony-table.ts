/** Numbers of the harmony chart: a row a chord. */
import { classLabel, toneOf } from '../../../model/music/chord-tones.ts';
import type { DataTable, DrawingTable } from '../../../model/drawing.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import { printedSymbol } from '../../../notate/chords/chords.ts';
import type { ChordBox, HarmonyPlan } from './harmony-plan.ts';

function toneNames({ chord }: ChordBox, places: readonly number[]): string {
  return places
    .flatMap((place) => {
      const tone = chord.tones[place];
      return tone === undefined ? [] : [classLabel(toneOf(chord, tone))];
    })
    .join(', ');
}

function keyName({ chord }: ChordBox): string {
  return chord.key === undefined ? '' : `${classLabel(chord.key.tonic)} ${chord.key.modal ?? chord.key.mode}`;
}

/** The first column is the number of the bar. */
export function harmonyTable(plan: HarmonyPlan, readings: StageReadings): DrawingTable {
  const short = new Map(plan.parts.map((part) => [part.id, part.abbreviation]));
  const covered = new Map(readings.coverage.map((item) => [item.chord, item.covered]));
  return {
    caption: 'Chords, who sounds them and who has the bass',
    columns: [
      { label: 'Bar', numeric: true },
      { label: 'Beat', numeric: true },
      { label: 'Chord', numeric: false },
      { label: 'Degree', numeric: false },
      { label: 'In', numeric: false },
      { label: 'Sounded by', numeric: false },
      { label: 'Nobody sounds', numeric: false },
      { label: 'Only in the foreground', numeric: false },
      { label: 'Bass', numeric: false },
    ],
    rows: plan.boxes.map((box, index) => {
      const { chord } = box;
      const place = barAndBeat(plan.stage.timeline.bars, box.startQuarters);
      const voices = chord.tones.flatMap((tone) => {
        const parts = covered.get(index)?.[String(tone)] ?? [];
        if (parts.length === 0) return [];
        return [`${classLabel(toneOf(chord, tone))}: ${parts.map((partId) => short.get(partId) ?? partId).join(', ')}`];
      });
      const bass = box.bassPartIds.map((partId) => short.get(partId) ?? partId).join(', ');
      return [
        String(chord.bar),
        String(Number(place.beat.toFixed(2))),
        printedSymbol(chord.symbol),
        chord.roman,
        keyName(box),
        voices.join('; '),
        toneNames(box, box.missing),
        toneNames(box, box.onlyInFront),
        box.handover ? `${bass} (takes over)` : bass,
      ];
    }),
  };
}

export function harmonyData(plan: HarmonyPlan, readings: StageReadings): DataTable {
  const covered = new Map(readings.coverage.map((item) => [item.chord, item.covered]));
  return {
    columns: [
      'bar',
      'startQuarters',
      'endQuarters',
      'symbol',
      'roman',
      'tone',
      'pitchClass',
      'parts',
      'bassParts',
      'handover',
    ],
    rows: plan.boxes.flatMap((box, index) =>
      box.chord.tones.map((tone, place) => [
        box.chord.bar,
        box.startQuarters,
        box.endQuarters,
        box.chord.symbol,
        box.chord.roman,
        place,
        tone,
        (covered.get(index)?.[String(tone)] ?? []).join(' '),
        box.bassPartIds.join(' '),
        box.handover ? 1 : 0,
      ]),
    ),
  };
}
