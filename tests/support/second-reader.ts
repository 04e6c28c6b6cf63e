/**
 * MusicXML as another program's engine understands it: verovio, which knows nothing of this project. It counts by values where our other readers
 * count by durations, and says on the console what it does not like.
 */
import createVerovioModule from 'verovio/wasm';
import { VerovioToolkit } from 'verovio/esm';
import midiLibrary from '@tonejs/midi';
import { groupedBy } from '../../src/model/grouped.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { midiOf } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { fullScoreXml, reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';

/** A note as it is struck (tied ones are one): quarters from the start of the first bar, sounding MIDI key. */
interface StruckNote {
  readonly quarters: number;
  readonly midi: number;
  /** A small note takes its time from its neighbours, as each reader likes. */
  readonly isSmall?: boolean;
}

interface SecondReading {
  /** What it complains of. */
  readonly warnings: readonly string[];
  readonly struck: readonly StruckNote[];
  readonly measures: number;
}

let toolkit: Promise<VerovioToolkit> | undefined;

async function started(): Promise<VerovioToolkit> {
  toolkit ??= createVerovioModule().then((module) => new VerovioToolkit(module));
  return toolkit;
}

/** Reads a score. Its engine writes warnings with `console.warn` and `console.error` only. */
async function readSecondly(xml: string): Promise<SecondReading> {
  const engine = await started();
  const warnings: string[] = [];
  const { warn, error } = console;
  const note = (...words: readonly unknown[]): void => void warnings.push(words.map(String).join(' '));
  console.warn = note;
  console.error = note;
  try {
    engine.setOptions({ breaks: 'none', footer: 'none', header: 'none', pageHeight: 60_000, pageWidth: 60_000 });
    if (!engine.loadData(xml)) warnings.push('refused');
    const file = new midiLibrary.Midi(Buffer.from(engine.renderToMIDI(), 'base64'));
    const struck = file.tracks
      .flatMap(({ notes }) => notes)
      .map((each) => ({ quarters: each.ticks / file.header.ppq, midi: each.midi }))
      // What has no pitch is played on key 0.
      .filter(({ midi }) => midi > 0);
    const measures = engine.getMEI({ removeIds: true }).match(/<measure\b/g)?.length ?? 0;
    return { warnings, struck, measures };
  } finally {
    console.warn = warn;
    console.error = error;
  }
}

function notesOfParts(stage: Stage, { parts }: WrittenStage): StruckNote[] {
  return parts.flatMap(({ notes }, index) =>
    stage.parts[index]?.unpitched === true
      ? []
      : notes.flatMap(({ start, midi, ornament }): StruckNote[] => [
          ...(ornament?.graces ?? []).map((grace) => ({ quarters: start, midi: grace.midi, isSmall: true })),
          { quarters: start, midi },
        ]),
  );
}

function notesOfReduction({ reduced }: WrittenStage): StruckNote[] {
  const events = reduced.bars.flatMap(({ staves }) => staves.flatMap(({ voices }) => voices.flat()));
  return events.flatMap(({ start, heads, ornament }): StruckNote[] => [
    ...(ornament?.graces ?? []).map(({ pitch }) => ({ quarters: start, midi: midiOf(pitch), isSmall: true })),
    ...heads.filter((head) => !head.tieFromPrevious).map(({ pitch }) => ({ quarters: start, midi: midiOf(pitch) })),
  ]);
}

/** A note after small ones may come a little late; a small one may stand anywhere about its beat. */
const LATE_QUARTERS = 0.05;
const SMALL_QUARTERS = 0.6;

/** Each of these that has none of the others at its place. Unisons are one note in both. */
function without(notes: readonly StruckNote[], others: readonly StruckNote[]): readonly StruckNote[] {
  const byMidi = groupedBy(others, ({ midi }) => midi);
  return notes.filter(({ quarters, midi, isSmall: small }) => {
    const near = byMidi.get(midi) ?? [];
    return !near.some((other) => {
      const allowed = small === true || other.isSmall === true ? SMALL_QUARTERS : LATE_QUARTERS;
      return Math.abs(other.quarters - quarters) <= allowed;
    });
  });
}

const text = ({ quarters, midi }: StruckNote): string => `${String(midi)} at ${quarters.toFixed(2)}`;

/** What another reader makes of the scores of a stage: all it complains of, and where its notes are not ours. */
export async function secondReaderDoubts(stage: Stage, written: WrittenStage): Promise<readonly string[]> {
  const origin = scoreTimeOf(stage.timeline.bars).start;
  const scores = [
    { name: 'full', xml: fullScoreXml, notes: notesOfParts(stage, written) },
    { name: 'reduced', xml: reducedScoreXml, notes: notesOfReduction(written) },
  ];
  const doubts: string[] = [];
  for (const { name, xml, notes } of scores) {
    const own = notes.map((note) => ({ ...note, quarters: (note.quarters - origin) / DIVISIONS_PER_QUARTER }));
    const { warnings, struck, measures } = await readSecondly(
      xml({ arrangement: { title: stage.title }, stage, written }),
    );
    const bars = stage.timeline.bars.length;
    doubts.push(
      ...[...new Set(warnings)].map((warning) => `${name}: ${warning}`),
      ...(measures === bars ? [] : [`${name}: ${String(measures)} measures for ${String(bars)} bars`]),
      ...without(own, struck).map((note) => `${name}: it lacks ${text(note)}`),
      ...without(struck, own).map((note) => `${name}: it has ${text(note)}`),
    );
  }
  return doubts;
}
