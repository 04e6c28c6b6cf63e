/** Balance as it was measured on recordings of the parts, beside what was estimated. */
import { dbText } from '../../../draw/ruler/wording.ts';
import { median, sumDb } from '../../../model/music/dynamics.ts';
import type { LevelDifference, MeasuredReading } from '../../../model/readings/measured.ts';
import { agreeingWith } from '../../../model/words/part-grammar.ts';
import { barSpanText, barsText, counted, listText, percentText } from '../../../model/words/plain-words.ts';
import { signedDbText } from '../../numbers-and-names.ts';
import { barLink, cell, column, firstRows, plain, type LinkedTable, type Run } from '../page-frame/sheet.ts';
import { wholeTable, type StageContext } from '../page-frame/stage-context.ts';

type Sentence = readonly Run[];

const MOST_NAMED = 4;
const MOST_DIFFERENCES = 8;

function groupNames(context: StageContext, { groups }: MeasuredReading, group: number): readonly string[] {
  return (groups[group]?.partIds ?? []).map(context.partName);
}

function filesSentence(context: StageContext, { groups }: MeasuredReading): Sentence {
  const { stage } = context.published;
  const files = groups.flatMap((group) => group.files);
  const recorded = new Set(groups.flatMap(({ partIds }) => partIds));
  const missing = stage.parts.filter(({ id }) => !recorded.has(id)).map(({ name }) => name);
  const others =
    missing.length === 0
      ? 'every part is on one of them'
      : `${listText(missing, MOST_NAMED)} ${agreeingWith(missing, 'is on none and stays', 'are on none and stay')} estimated`;
  return [
    plain(
      `Measured on ${counted(files.length, 'recording')} (loudness by ITU-R BS.1770-5, masking from their spectra): ${others}. A recording says how loud a mock-up has a part, not how loud a player would be.`,
    ),
  ];
}

/** Bars in which both were had: by how much the measured margin is over the estimated one. */
function marginSentence(context: StageContext, { bars }: MeasuredReading): readonly Sentence[] {
  const { balance } = context.published.readings;
  const both = bars.flatMap(({ bar, marginDb }, index) => {
    const estimatedDb = balance[index]?.marginDb;
    return marginDb === undefined || estimatedDb === undefined ? [] : [{ bar, marginDb, estimatedDb }];
  });
  const measured = median(both.map(({ marginDb }) => marginDb));
  const estimated = median(both.map(({ estimatedDb }) => estimatedDb));
  if (measured === undefined || estimated === undefined) return [];
  const behind = both.filter(({ marginDb }) => marginDb < 0).map(({ bar }) => bar);
  const where =
    behind.length === 0
      ? 'it is louder in every bar that was measured'
      : `it is softer in ${barsText(behind, MOST_NAMED)}`;
  return [
    [
      plain(
        `On the recordings the foreground is ${signedDbText(measured)} over the background in the median bar (by estimate ${signedDbText(estimated)}); ${where}.`,
      ),
    ],
  ];
}

function differenceSentence(
  context: StageContext,
  measured: MeasuredReading,
  { group, from, to, db }: LevelDifference,
): Sentence {
  const names = groupNames(context, measured, group);
  const direction = db > 0 ? 'over' : 'under';
  const estimate = agreeingWith(names, 'its estimate', 'their estimate');
  return [
    plain(
      `The mock-up has ${listText(names, MOST_NAMED)} ${String(Math.round(Math.abs(db)))} dB ${direction} ${estimate} in `,
    ),
    barLink(from, barSpanText(from, to)),
    plain('.'),
  ];
}

/** Sentences under the chart of the balance; none where nothing was measured. */
export function measuredSentences(context: StageContext): readonly Sentence[] {
  const { measured } = context.published.readings;
  if (measured === undefined) return [];
  const told = measured.differences
    .toSorted((a, b) => Math.abs(b.db) * (b.to - b.from + 1) - Math.abs(a.db) * (a.to - a.from + 1))
    .slice(0, MOST_DIFFERENCES)
    .sort((a, b) => a.from - b.from);
  const more = measured.differences.length - told.length;
  return [
    filesSentence(context, measured),
    ...marginSentence(context, measured),
    ...told.map((difference) => differenceSentence(context, measured, difference)),
    ...(more > 0
      ? [[plain(`${counted(more, 'smaller difference')} ${more === 1 ? 'stands' : 'stand'} in the table.`)]]
      : []),
    ...(told.length === 0
      ? [
          [
            plain(
              'No part is a dynamic grade away from its estimate over two bars or more, once the whole stands at one level.',
            ),
          ],
        ]
      : []),
  ];
}

function filesTable(context: StageContext, measured: MeasuredReading): LinkedTable {
  const { stems = [] } = context.published.stage;
  return {
    caption: 'Recordings that were measured, and how far each is from the estimate',
    columns: [
      column('File'),
      column('Parts'),
      column('Written as'),
      column('Loudness of the whole, LUFS', true),
      column('Over the estimate, median bar, dB', true),
    ],
    rows: stems.map((stem) => [
      cell(stem.file),
      cell(stem.partIds.map(context.partName).join(', ')),
      cell(`${stem.form}, ${String(stem.rateHz)} Hz, ${counted(stem.channelCount, 'channel')}`),
      cell(dbText(stem.integratedDb)),
      cell(dbText(measured.groupDifferencesDb[measured.groups.findIndex(({ files }) => files.includes(stem.file))])),
    ]),
    remark: '',
  };
}

function marginTable(context: StageContext, { bars }: MeasuredReading): LinkedTable {
  const { balance } = context.published.readings;
  return {
    caption: 'Margin and masking bar by bar: measured on the recordings, and estimated from MIDI',
    columns: [
      column('Bar', true),
      column('Foreground, LUFS, measured', true),
      column('Background, LUFS, measured', true),
      column('Margin, dB, measured', true),
      column('Margin, dB, estimated', true),
      column('Masked, measured', true),
      column('Masked, estimated', true),
    ],
    ...firstRows(
      bars.map((bar, index) => [
        [barLink(bar.bar)],
        cell(dbText(bar.foregroundDb)),
        cell(dbText(bar.backgroundDb)),
        cell(dbText(bar.marginDb)),
        cell(dbText(balance[index]?.marginDb)),
        cell(percentText(bar.maskedShare)),
        cell(percentText(balance[index]?.maskedShare)),
      ]),
      wholeTable(context, 'balance'),
    ),
  };
}

function levelTable(context: StageContext, measured: MeasuredReading): LinkedTable {
  const { balance } = context.published.readings;
  const rows = measured.bars.flatMap(({ bar, groupsDb }, index) =>
    groupsDb.flatMap((level, group) => {
      const { partIds = [], files = [] } = measured.groups[group] ?? {};
      const levels = partIds.flatMap((id) => balance[index]?.partsDb[id] ?? []);
      const estimated = levels.length === 0 ? undefined : sumDb(levels);
      if (level === undefined && estimated === undefined) return [];
      const over =
        level === undefined || estimated === undefined ? undefined : level + measured.toEstimateDb - estimated;
      return [
        [
          [barLink(bar)],
          cell(partIds.map(context.partName).join(', ')),
          cell(dbText(level)),
          cell(dbText(estimated)),
          cell(dbText(over)),
          cell(files.join(', ')),
        ],
      ];
    }),
  );
  return {
    caption: 'Level of every recorded part bar by bar: measured, and estimated from MIDI',
    columns: [
      column('Bar', true),
      column('Parts'),
      column('Measured, LUFS', true),
      column('Estimated, dB re 1 pW', true),
      column('Measured over estimated, dB', true),
      column('Measured on'),
    ],
    ...firstRows(rows, 'dossier.json'),
  };
}

/** Tables behind them: the files, the bars, and every part in every bar. */
export function measuredTables(context: StageContext): readonly LinkedTable[] {
  const { measured } = context.published.readings;
  if (measured === undefined) return [];
  return [filesTable(context, measured), marginTable(context, measured), levelTable(context, measured)];
}

/** What the measured figures rest on. */
export function measuredAssumptions(context: StageContext): readonly string[] {
  const { measured } = context.published.readings;
  if (measured === undefined) return [];
  return [
    'Recordings: all were exported at the levels that they have in the mix, none made louder by itself; a file of one channel is played by both loudspeakers; powers of recordings add.',
    `Recordings and estimates are set side by side by ${signedDbText(measured.toEstimateDb)} on all recordings (the median over parts and bars), so that a difference is one of balance and not of the loudness of the mix.`,
  ];
}
