/** How the texture is spread between high and low: what the register chart cannot say in numbers. */
import { familyName } from '../../../draw/chart/family-colours/families.ts';
import type { Family } from '../../../model/music/instrument.ts';
import { median } from '../../../model/music/dynamics.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { counted, listText } from '../../../model/words/plain-words.ts';
import type { FamilyEnvelope, SpacingReading } from '../../../model/readings/spacing.ts';
import { anInterval, intervalName } from '../../../model/music/interval-names.ts';
import { decimalText } from '../../numbers-and-names.ts';
import { barLink, cell, column, firstRows, plain, type LinkedTable, type Run } from '../page-frame/sheet.ts';
import { wholeTable, type StageContext } from '../page-frame/stage-context.ts';

type Cells = readonly (readonly Run[])[];

const EMPTY: SpacingReading = { families: [], octaves: [], spaces: [], lowIntervals: [] };

function label(context: StageContext, midi: number): string {
  return context.soundingLabel('', midi);
}

function largest<T>(items: readonly T[], sizeOf: (item: T) => number): T | undefined {
  return items.reduce<T | undefined>(
    (most, item) => (most === undefined || sizeOf(item) > sizeOf(most) ? item : most),
    undefined,
  );
}

function distanceCell(envelopes: readonly FamilyEnvelope[]): readonly Run[] {
  const apart = envelopes.filter(({ distance = 0 }) => distance !== 0);
  const furthest = largest(apart, ({ distance = 0 }) => Math.abs(distance));
  if (furthest?.distance === undefined) return cell('none');
  const side = furthest.distance < 0 ? 'below' : 'above';
  return [
    plain(`${counted(Math.abs(furthest.distance), 'semitone')} ${side}, `),
    barLink(furthest.bar, `bar ${furthest.bar}`),
  ];
}

function familyRow(context: StageContext, family: Family, envelopes: readonly FamilyEnvelope[]): Cells {
  const low = Math.min(...envelopes.map((envelope) => envelope.low));
  const high = Math.max(...envelopes.map((envelope) => envelope.high));
  const centre = median(envelopes.map((envelope) => envelope.centre)) ?? low;
  const beside = envelopes.filter(({ distance }) => distance !== undefined);
  const count = (has: (distance: number) => boolean): string =>
    String(beside.filter(({ distance = 0 }) => has(distance)).length);
  return [
    cell(familyName(family)),
    cell(String(envelopes.length)),
    cell(low === high ? label(context, low) : `${label(context, low)}–${label(context, high)}`),
    cell(label(context, Math.round(centre))),
    cell(count((distance) => distance < 0)),
    cell(count((distance) => distance === 0)),
    cell(count((distance) => distance > 0)),
    distanceCell(beside),
  ];
}

/** What the distances are measured from: bars in which the foreground sounds. */
function leadName(families: readonly FamilyEnvelope[]): string {
  const beside = families.filter(({ distance }) => distance !== undefined);
  return beside.length > 0 && beside.every(({ isFromTune }) => isFromTune) ? 'the melody' : 'the foreground';
}

function leadRemark(families: readonly FamilyEnvelope[]): string {
  const fromTune = families.filter(({ isFromTune }) => isFromTune);
  const fromAll = families.filter(({ distance, isFromTune }) => distance !== undefined && isFromTune === undefined);
  if (fromTune.length === 0) return 'Measured from the lowest to the highest note of the foreground in each bar.';
  const which =
    fromAll.length === 0
      ? 'Measured from the melody, the top line of the foreground in each bar, since the foreground plays chords:'
      : 'Measured from the lowest to the highest note of the foreground in each bar, but where it plays chords (keyboard, harp, guitar, several notes at once) from its top line, the melody:';
  return `${which} its whole compass would take in its own accompaniment. Bars in which the melody rests do not count.`;
}

function familyTable(context: StageContext, { families }: SpacingReading): LinkedTable {
  const byFamily = groupedBy(families, ({ family }) => family);
  return {
    caption: `Each family of the background, and where it lies from ${leadName(families)}`,
    columns: [
      column('Family'),
      column('Bars', true),
      column('Lowest to highest'),
      column('Middle'),
      column('Bars below', true),
      column('Bars in its register', true),
      column('Bars above', true),
      column('Widest empty space to it'),
    ],
    rows: [...byFamily].map(([family, envelopes]) => familyRow(context, family, envelopes)),
    remark: leadRemark(families),
  };
}

function octaveTable(context: StageContext, { octaves }: SpacingReading): LinkedTable {
  const numbers = [...new Set(octaves.map(({ octave }) => octave))].sort((a, b) => a - b);
  const { sections } = context.published.stage;
  return {
    caption: 'Notes that sound at once in each octave, mean of the bars of a section',
    columns: [column('Section'), ...numbers.map((octave) => column(`C${octave}–B${octave}`, true))],
    rows: sections.map(({ name, from, to }) => {
      const inside = octaves.filter(({ bar }) => bar >= from && bar <= to);
      return [
        [barLink(from, name)],
        ...numbers.map((octave) => {
          const sum = inside.reduce((total, item) => total + (item.octave === octave ? item.notes : 0), 0);
          return cell(decimalText(sum / (to - from + 1)));
        }),
      ];
    }),
    remark: '',
  };
}

function lowTable(context: StageContext, { lowIntervals }: SpacingReading): LinkedTable {
  const { rows, remark } = firstRows(lowIntervals, wholeTable(context, 'spacing'));
  return {
    caption: 'Intervals below the low interval limits, the worst of each bar',
    columns: [
      column('Bar', true),
      column('Notes'),
      column('Interval'),
      column('Parts'),
      column('Semitones under', true),
      column('Critical bandwidths apart', true),
      column('Lasts, in quarters', true),
    ],
    rows: rows.map(({ bar, low, high, partIds, under, bandwidths, quarters }) => [
      [barLink(bar)],
      cell(`${label(context, low)}–${label(context, high)}`),
      cell(intervalName(high - low)),
      cell(listText(partIds.map(context.partName))),
      cell(String(under)),
      cell(decimalText(bandwidths)),
      cell(decimalText(quarters)),
    ]),
    remark: [
      remark,
      'Well under one bandwidth two tones beat in the ear and are heard as roughness; tables of the trade differ by about a third, so that a semitone or two is no matter.',
    ]
      .filter((sentence) => sentence !== '')
      .join(' '),
  };
}

/** The tables of the section "Register"; none for what the stage has not. */
export function spacingTables(context: StageContext): readonly LinkedTable[] {
  const spacing = context.published.readings.spacing ?? EMPTY;
  return [familyTable(context, spacing), octaveTable(context, spacing), lowTable(context, spacing)].filter(
    ({ rows }) => rows.length > 0,
  );
}

const OCTAVE = 12;

/** Families that lie further than an octave from the foreground, with the number of bars. */
function nearnessSentence(families: readonly FamilyEnvelope[]): readonly Run[] {
  const beside = families.filter(({ distance }) => distance !== undefined);
  if (beside.length === 0) return [];
  const far = [...groupedBy(beside, ({ family }) => family)].flatMap(([family, envelopes]) => {
    const bars = envelopes.filter(({ distance = 0 }) => Math.abs(distance) > OCTAVE).length;
    return bars === 0
      ? []
      : [`${familyName(family).toLowerCase()} in ${String(bars)} of ${counted(envelopes.length, 'bar')}`];
  });
  return [
    plain(
      far.length === 0
        ? `Wherever both sound, every family of the background lies within an octave of ${leadName(families)}.`
        : `Further than an octave from ${leadName(families)}: ${listText(far)}.`,
    ),
  ];
}

/** What stands out about the spread, in sentences; bars are links. */
export function spacingSentences(context: StageContext): readonly (readonly Run[])[] {
  const { families, octaves, spaces, lowIntervals } = context.published.readings.spacing ?? EMPTY;
  const fullest = largest(octaves, ({ notes }) => notes);
  const widest = largest(spaces, ({ low, high }) => high - low);
  const worst = largest(lowIntervals, ({ under }) => under);
  return [
    nearnessSentence(families),
    fullest === undefined
      ? []
      : [
          plain(`The fullest octave is C${fullest.octave}–B${fullest.octave} in `),
          barLink(fullest.bar, `bar ${fullest.bar}`),
          plain(`: ${decimalText(fullest.notes)} notes at once on average.`),
        ],
    widest === undefined
      ? []
      : [
          plain(
            `The widest space between neighboring notes that lasts is ${anInterval(widest.high - widest.low)} (${label(context, widest.low)} to ${label(context, widest.high)}) in `,
          ),
          barLink(widest.bar, `bar ${widest.bar}`),
          plain('.'),
        ],
    worst === undefined
      ? [plain('No interval falls below the low interval limits.')]
      : [
          plain(
            `In ${counted(lowIntervals.length, 'bar')} an interval falls below the low interval limits, furthest in `,
          ),
          barLink(worst.bar, `bar ${worst.bar}`),
          plain(
            `: ${label(context, worst.low)} to ${label(context, worst.high)}, ${counted(worst.under, 'semitone')} under (tables differ by about a third).`,
          ),
        ],
  ].filter((sentence) => sentence.length > 0);
}
