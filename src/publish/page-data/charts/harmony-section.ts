/** Keys, chord symbols bar by bar with who covers each tone, and which parts double one another. */
import {
  agreeing,
  barSpanText,
  counted as countedNoun,
  listText,
  sentenceStart,
} from '../../../model/words/plain-words.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import type { StyleReading } from '../../../model/music/style.ts';
import { STYLE_WORDS } from '../../../model/music/style.ts';
import { NON_CHORD_KINDS, NON_CHORD_RULES } from '../../../analyse/harmony/non-chord-kinds.ts';
import { decimalText, keyText, withAccidentalSigns } from '../../numbers-and-names.ts';
import { figuresOf } from './chart-sections.ts';
import { chartTable, numbersLink, tablesWithRows } from './numbers-page.ts';
import {
  barLink,
  cell,
  firstRows,
  type Link,
  type LinkedTable,
  type NumberTable,
  type Run,
  type SheetSection,
} from '../page-frame/sheet.ts';
import { downloadsOf, wholeTable, type StageContext } from '../page-frame/stage-context.ts';

function counted(count: number, { name, rule }: { readonly name: string; readonly rule: string }): string {
  return `${String(count)} × ${name}: ${rule}`;
}

/** How many foreign notes of each kind there are, with the rule by which they are told apart. */
function foreignSummary(context: StageContext): readonly string[] {
  const tones = context.published.readings.nonChordTones ?? [];
  return NON_CHORD_KINDS.flatMap((kind) => {
    const count = tones.filter((tone) => tone.kind === kind).length;
    return count === 0 ? [] : [counted(count, NON_CHORD_RULES[kind])];
  });
}

function foreignTable(context: StageContext): LinkedTable {
  const { stage, written, readings } = context.published;
  const rows = (readings.nonChordTones ?? []).map((tone): readonly (readonly Run[])[] => [
    [barLink(tone.bar)],
    cell(String(Number(barAndBeat(stage.timeline.bars, tone.startQuarters).beat.toFixed(2)))),
    cell(context.partName(tone.partId)),
    cell(context.soundingLabel(tone.partId, tone.midi)),
    cell(withAccidentalSigns(written.chords[tone.chord]?.symbol ?? '')),
    cell(NON_CHORD_RULES[tone.kind].name),
  ]);
  return {
    caption: 'Non-chord tones',
    columns: [
      { label: 'Bar', isNumeric: true },
      { label: 'Beat', isNumeric: true },
      { label: 'Part', isNumeric: false },
      { label: 'Note', isNumeric: false },
      { label: 'Over', isNumeric: false },
      { label: 'Heard as', isNumeric: false },
    ],
    ...firstRows(rows, wholeTable(context, 'foreign-notes')),
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

/** A figure where it says something: under a twentieth one key is hardly likelier than the next. */
function confidenceText(confidence: number): string {
  return confidence < 0.05 ? 'by very little' : `confidence ${decimalText(confidence, 2)}`;
}

function keySentences(context: StageContext): readonly string[] {
  return context.published.written.keys.map((key) => {
    const where = sentenceStart(barSpanText(key.from, key.to));
    const origin = {
      settings: 'as the settings say',
      file:
        key.restsOnDominant === true || key.modal !== undefined
          ? `the signature as the files say (that of ${keyText({ tonic: key.tonic, mode: key.mode })}), the tonic where the music rests, an estimate`
          : 'as the files say',
      note: 'as a note says',
      estimate: `estimated from the notes, ${confidenceText(key.confidence)}`,
    }[key.by];
    if (key.rival !== undefined) {
      return `${where}: ${keyText(key)} or ${keyText(key.rival)}, which the notes leave open (${confidenceText(key.confidence)}).`;
    }
    return `${where}: ${keyText(key)}, ${origin}.`;
  });
}

/** `Read as jazz: … (a guess, because …).` */
function styleSentence({ style, by, sure, because }: StyleReading): string {
  const origin = by === 'settings' ? 'as the settings say' : `a${sure ? '' : ' doubtful'} guess, because ${because}`;
  return `Read as ${STYLE_WORDS[style]} (${origin}).`;
}

const TENDENCIES = [
  { kind: 'leading-note', name: 'leading tone', does: ['rises', 'rise'] },
  { kind: 'seventh', name: 'seventh', does: ['falls', 'fall'] },
] as const;

/** `Of 24 leading tones at a change of chord 20 rise, 3 lie or are taken over by another part, 1 goes elsewhere.` */
function resolutionSentences(context: StageContext): readonly string[] {
  const all = context.published.readings.resolutions ?? [];
  return TENDENCIES.flatMap(({ kind, name, does: [singular, plural] }) => {
    const own = all.filter((resolution) => resolution.kind === kind);
    if (own.length === 0) return [];
    const count = (...outcomes: readonly string[]): number =>
      own.filter(({ outcome }) => outcomes.includes(outcome)).length;
    const parts = [
      { number: count('resolved'), verb: [singular, plural] },
      { number: count('held', 'taken-over'), verb: ['lies or is taken over', 'lie or are taken over'] },
      { number: count('left'), verb: ['goes elsewhere or stops', 'go elsewhere or stop'] },
    ];
    const told = parts.flatMap(({ number, verb: [one = '', many = ''] }) =>
      number === 0 ? [] : [`${String(number)} ${agreeing(number, one, many)}`],
    );
    return [`Of ${countedNoun(own.length, name)} at a change of chord ${listText(told)}.`];
  });
}

const FOREIGN_INTRO =
  'What is not in the chord is told apart by how its line comes to it and leaves it, as textbooks of harmony do (Kostka and Payne; Aldwell and Schachter; from memory).';

/** Chords bar by bar, notes foreign to them, and doublings; none of what has no row. */
function harmonyNumbers(context: StageContext): readonly NumberTable[] {
  const hasChords = context.published.written.chords.length > 0;
  const chords = hasChords ? chartTable(context, 'harmony', 'chords') : undefined;
  return tablesWithRows([
    ...(chords === undefined ? [] : [{ id: 'chords', table: chords }]),
    { id: 'foreign', intro: [FOREIGN_INTRO], points: foreignSummary(context), table: foreignTable(context) },
    { id: 'doublings', table: doublingTable(context) },
  ]);
}

/** The section "Harmony". */
export function harmonySection(context: StageContext): SheetSection {
  const { chords } = context.published.written;
  const numbers = harmonyNumbers(context);
  const linksTo = (isWanted: (id: string) => boolean): readonly Link[] =>
    numbers.filter(({ id }) => isWanted(id)).map((one) => numbersLink(context, 'harmony', one));
  return {
    id: 'harmony',
    heading: 'Harmony',
    partial: 'harmony.njk',
    downloads: downloadsOf(context, [
      { name: 'chords', label: 'Chords as CSV' },
      { name: 'foreign-notes', label: 'Non-chord tones as CSV' },
    ]),
    body: {
      intro:
        chords.length === 0
          ? 'No chords were found: too little sounds at once.'
          : 'Chords read from all parts by one search over the piece, with their numerals in the key of the moment; which part sounds which tone, and who has the bass. Where several readings fit, the plainest one is given. V(64) is the six-four chord over the dominant that resolves into it (V(64)/vi: over the dominant of the sixth degree): it counts as the dominant. A line that sounds alone has no chord.',
      keys: [...keySentences(context), styleSentence(context.published.written.style)],
      resolutions: resolutionSentences(context),
      figures:
        chords.length === 0
          ? []
          : figuresOf(
              context,
              'harmony',
              'Harmony',
              linksTo((id) => id === 'chords'),
            ),
      further: linksTo((id) => id !== 'chords'),
    },
    numbers,
  };
}
