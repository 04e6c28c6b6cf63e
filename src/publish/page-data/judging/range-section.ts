/** The range appendix: what each part uses, what its instrument allows, and the notes beyond. */
import type { RangeNote, RangeReading } from '../../../model/readings/readings.ts';
import { barLink, cell, plain, type LinkedTable, type Run, type SheetSection } from '../page-frame/sheet.ts';
import { downloadsOf, type StageContext } from '../page-frame/stage-context.ts';

/** Most notes that a cell names one by one. */
const MOST_NOTES = 12;

function span(low: string, high: string): string {
  return low === high ? low : `${low}–${high}`;
}

/** Notes with their places; what lies beyond the limits, and only some players have, after those that nobody has. */
function outsideCell(context: StageContext, { partId, outside, edge, absolute }: RangeReading): readonly Run[] {
  const some = edge.filter(({ midi }) => isBeyond(midi, absolute));
  if (some.length === 0) return notesCell(context, partId, outside);
  const forSome = [plain('not for every player: '), ...notesCell(context, partId, some)];
  return outside.length === 0 ? forSome : [...notesCell(context, partId, outside), plain('; '), ...forSome];
}

function isBeyond(midi: number, limits: Limits | undefined): boolean {
  return limits !== undefined && (midi < limits.low || midi > limits.high);
}

function notesCell(context: StageContext, partId: string, notes: readonly RangeNote[]): readonly Run[] {
  if (notes.length === 0) return cell('none');
  const shown = notes
    .slice(0, MOST_NOTES)
    .flatMap((note, index): readonly Run[] => [
      plain(`${index === 0 ? '' : ', '}${context.soundingLabel(partId, note.midi)} in `),
      barLink(note.bar, `bar ${String(note.bar)}, beat ${String(Number(note.beat.toFixed(2)))}`),
    ]);
  return notes.length > MOST_NOTES ? [...shown, plain(` and ${String(notes.length - MOST_NOTES)} more`)] : shown;
}

type Limits = NonNullable<RangeReading['absolute']>;

/** All keys that MIDI has are no range of an instrument. */
function isEveryKey({ low, high }: Limits): boolean {
  return low <= 0 && high >= 127;
}

function rangeRow(
  context: StageContext,
  reading: RangeReading,
  sources: readonly string[],
): readonly (readonly Run[])[] {
  const { partId } = reading;
  const sounding = (midi: number): string => context.soundingLabel(partId, midi);
  const written = (midi: number): string => context.writtenLabel(partId, midi);
  const limits = (range: Limits | undefined): string => {
    if (range === undefined) return 'not known';
    return isEveryKey(range) ? 'no limit' : span(sounding(range.low), sounding(range.high));
  };
  return [
    cell(context.partName(partId)),
    cell(context.partById.get(partId)?.instrumentName ?? ''),
    cell(span(sounding(reading.low), sounding(reading.high))),
    cell(span(written(reading.low), written(reading.high))),
    cell(limits(reading.practical)),
    cell(limits(reading.absolute)),
    outsideCell(context, reading),
    notesCell(
      context,
      partId,
      reading.edge.filter(({ midi }) => !isBeyond(midi, reading.absolute)),
    ),
    cell(reading.sources.map((source) => String(sources.indexOf(source) + 1)).join(', ')),
  ];
}

/** The section "Ranges". */
export function rangeSection(context: StageContext): SheetSection {
  const { ranges } = context.published.readings;
  const sources = [...new Set(ranges.flatMap((reading) => reading.sources))];
  const table: LinkedTable = {
    caption: 'Range of each part',
    columns: [
      'Part',
      'Instrument',
      'Sounding',
      'Written',
      'Practical',
      'Extreme',
      'Out of range',
      'Notes in the extreme range',
      'Sources',
    ].map((label) => ({ label, isNumeric: false })),
    rows: ranges.map((reading) => rangeRow(context, reading, sources)),
    remark: '',
  };
  const without = context.published.stage.parts.filter((part) => !ranges.some((reading) => reading.partId === part.id));
  return {
    id: 'ranges',
    heading: 'Ranges',
    partial: 'ranges.njk',
    downloads: downloadsOf(context, [{ name: 'ranges', label: 'Ranges as CSV' }]),
    body: {
      intro:
        ranges.length === 0
          ? 'No part has a pitched note, so there is no range to show.'
          : 'Lowest and highest note of each part, as it sounds and as the player reads it. Limits (as they sound) are published figures for the instrument; the player who will play it knows better, and what a player can do goes before what a table says.',
      table,
      sources,
      without: without.map((part) => part.name),
    },
  };
}
