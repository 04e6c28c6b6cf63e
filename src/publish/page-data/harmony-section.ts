/** Keys, chord symbols bar by bar with who covers each tone, and which parts double one another. */
import { barSpanText, listText, sentenceStart } from '../../model/plain-words.ts';
import { barAndBeat } from '../../model/timeline.ts';
import { className, transpose, type SpelledClass } from '../../model/pitch.ts';
import { DIVISIONS_PER_QUARTER, type ChordSpan } from '../../model/written.ts';
import { decimalText, keyText, withAccidentalSigns } from '../sentences.ts';
import { barLink, cell, firstRows, type LinkedTable, type Run, type SheetSection } from './sheet.ts';
import { downloadsOf, tablePath, type StageContext } from './stage-context.ts';

/** Letters above the root for each distance in semitones, as chords are usually spelled. */
const STEPS_ABOVE_ROOT: readonly number[] = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6];

/** Name of a chord's tone, spelled from its root: the flat fifth of a diminished chord is a fifth, not a raised fourth. */
export function toneName(chord: Pick<ChordSpan, 'root' | 'quality'>, pitchClass: number): string {
  const root = { ...chord.root, octave: 4 };
  const rootClass = transposeClass(chord.root);
  const semitones = (((pitchClass - rootClass) % 12) + 12) % 12;
  const steps =
    semitones === 9 && chord.quality.startsWith('diminished')
      ? 6
      : semitones === 8 && chord.quality.startsWith('augmented')
        ? 4
        : (STEPS_ABOVE_ROOT[semitones] ?? 0);
  return withAccidentalSigns(className(transpose(root, steps, semitones)));
}

function transposeClass(spelled: SpelledClass): number {
  const natural = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 }[spelled.step];
  return (((natural + spelled.alter) % 12) + 12) % 12;
}

function chordTable(context: StageContext): LinkedTable {
  const { stage, written, readings } = context.published;
  const coverage = new Map(readings.coverage.map((item) => [item.chord, item]));
  const rows = written.chords.map((chord, index): readonly (readonly Run[])[] => {
    const place = barAndBeat(stage.timeline.bars, chord.start / DIVISIONS_PER_QUARTER);
    const covered = coverage.get(index);
    const voices = chord.tones.flatMap((tone) => {
      const parts = covered?.covered[String(tone)] ?? [];
      if (parts.length === 0) return [];
      const names = parts.map((partId) => context.partById.get(partId)?.abbreviation ?? partId);
      return [`${toneName(chord, tone)}: ${names.join(', ')}`];
    });
    const missing = covered?.missing.map((tone) => toneName(chord, tone)) ?? [];
    return [
      [barLink(chord.bar)],
      cell(String(Number(place.beat.toFixed(2)))),
      cell(withAccidentalSigns(chord.symbol)),
      cell(chord.roman),
      cell(voices.join('; ')),
      cell(missing.join(', ')),
    ];
  });
  const whole = context.singleFile ? 'dossier.json' : tablePath(context.published.stage.id, 'chords');
  return {
    caption: 'Chords and who sounds them',
    columns: [
      { label: 'Bar', isNumeric: true },
      { label: 'Beat', isNumeric: true },
      { label: 'Chord', isNumeric: false },
      { label: 'Degree', isNumeric: false },
      { label: 'Sounded by', isNumeric: false },
      { label: 'Nobody sounds', isNumeric: false },
    ],
    ...firstRows(rows, whole),
  };
}

const INTERVAL_WORDS: Readonly<Record<string, string>> = {
  unison: 'at the unison',
  octave: 'at the octave',
  'two-octaves': 'at two octaves',
  third: 'in thirds',
  sixth: 'in sixths',
};

function doublingTable(context: StageContext): LinkedTable {
  const rows = context.published.readings.doublings.map((doubling): readonly (readonly Run[])[] => [
    cell(listText(doubling.partIds.map(context.partName))),
    cell(INTERVAL_WORDS[doubling.interval] ?? doubling.interval),
    [barLink(doubling.from, barSpanText(doubling.from, doubling.to))],
  ]);
  return {
    caption: 'Parts that double one another',
    columns: [
      { label: 'Parts', isNumeric: false },
      { label: 'How', isNumeric: false },
      { label: 'Where', isNumeric: false },
    ],
    ...firstRows(rows, 'dossier.json'),
  };
}

function keySentences(context: StageContext): readonly string[] {
  return context.published.written.keys.map((key) => {
    const where = sentenceStart(barSpanText(key.from, key.to));
    const origin = {
      settings: 'as the settings say',
      file: 'as the files say',
      estimate: `estimated from the notes, confidence ${decimalText(key.confidence, 2)}`,
    }[key.by];
    return `${where}: ${keyText(key)}, ${origin}.`;
  });
}

/** The section "Harmony". */
export function harmonySection(context: StageContext): SheetSection {
  const { chords } = context.published.written;
  return {
    id: 'harmony',
    heading: 'Harmony',
    partial: 'harmony.njk',
    downloads: downloadsOf(context, [{ name: 'chords', label: 'Chords as CSV' }]),
    body: {
      intro:
        chords.length === 0
          ? 'No chords were found: too little sounds at once.'
          : 'Chord symbols read from the sounding notes, and which parts sound each tone. Where several readings fit, the plainest one is given.',
      keys: keySentences(context),
      chords: chordTable(context),
      doublings: doublingTable(context),
    },
  };
}
