/** Pitches used by each part against what its instrument can play. */
import type { Part } from '../model/arrangement.ts';
import { instrumentById, sourcesOf } from '../model/catalogue.ts';
import type { SourcedRange } from '../model/instrument.ts';
import type { RangeNote, RangeReading } from '../model/readings.ts';
import type { Timeline } from '../model/timeline.ts';
import { barAndBeat } from '../model/timeline.ts';
import { inKeyOf } from './crooked-range.ts';
import type { PlacedNote, PlacedPart } from './placed-notes.ts';

interface Span {
  readonly low: number;
  readonly high: number;
}

export interface RangeLimits {
  readonly absolute?: Span;
  readonly comfortable?: Span;
  /** Notes outside the absolute range that some players or instruments have. */
  readonly extension?: SourcedRange;
  readonly sources: readonly string[];
}

/** `[low, high]` of one span cut to another; undefined where nothing is left. */
function intersection(one: Span, other: Span): Span | undefined {
  const low = Math.max(one.low, other.low);
  const high = Math.min(one.high, other.high);
  return low <= high ? { low, high } : undefined;
}

/**
 * Limits of a part, sounding: those set for the player where there are any, else the catalogue's. A comfortable range is
 * cut to the absolute one. All undefined for an unknown instrument.
 */
export function rangeLimitsOf(part: Part): RangeLimits {
  const instrument = instrumentById(part.instrument);
  const ranges = [instrument?.absoluteRange, instrument?.comfortableRange, instrument?.extension];
  const titles = sourcesOf([...new Set(ranges.flatMap((range) => range?.src ?? []))]).map((source) => source.title);
  const usual =
    instrument?.absoluteRange === undefined ? undefined : inKeyOf(part, instrument.absoluteRange, 'absolute');
  const absolute = part.range ?? usual;
  if (absolute === undefined) return { sources: [] };
  const comfortable =
    instrument?.comfortableRange === undefined
      ? undefined
      : intersection(inKeyOf(part, instrument.comfortableRange, 'comfortable'), absolute);
  const extension = part.range === undefined ? instrument?.extension : undefined;
  return {
    absolute: { low: absolute.low, high: absolute.high },
    ...(comfortable === undefined ? {} : { comfortable }),
    ...(extension === undefined ? {} : { extension }),
    sources: part.range === undefined ? titles : ['set for this player', ...titles],
  };
}

/** True where a pitch lies in a span, both ends included. */
function within(midi: number, span: Span | undefined): boolean {
  return span !== undefined && midi >= span.low && midi <= span.high;
}

export type RangeVerdict = 'inside' | 'edge' | 'extension' | 'outside';

/** Where a pitch stands: an extension note is outside the absolute range, but not out of reach for everybody. */
export function rangeVerdict(midi: number, limits: RangeLimits): RangeVerdict {
  if (limits.absolute === undefined) return 'inside';
  if (!within(midi, limits.absolute)) return within(midi, limits.extension) ? 'extension' : 'outside';
  return limits.comfortable === undefined || within(midi, limits.comfortable) ? 'inside' : 'edge';
}

function rangeReading({ part, notes }: PlacedPart, { bars }: Timeline): RangeReading[] {
  if (part.unpitched || notes.length === 0) return [];
  const limits = rangeLimitsOf(part);
  const at = (note: PlacedNote): RangeNote => ({ ...barAndBeat(bars, note.startQuarters), midi: note.midi });
  let low = 127;
  let high = 0;
  const outside: RangeNote[] = [];
  const edge: RangeNote[] = [];
  for (const note of notes) {
    low = Math.min(low, note.midi);
    high = Math.max(high, note.midi);
    const verdict = rangeVerdict(note.midi, limits);
    if (verdict === 'outside') outside.push(at(note));
    else if (verdict !== 'inside') edge.push(at(note));
  }
  const { semitones } = part.transposition;
  const { absolute, comfortable, sources } = limits;
  return [
    {
      partId: part.id,
      low,
      high,
      writtenLow: low - semitones,
      writtenHigh: high - semitones,
      ...(absolute === undefined ? {} : { absolute }),
      ...(comfortable === undefined ? {} : { comfortable }),
      outside,
      edge,
      sources,
    },
  ];
}

/**
 * Range of every pitched part that plays. `outside` lies beyond the absolute range and its extension, `edge` between the
 * comfortable and the absolute range or in the extension.
 */
export function rangesOf(placed: readonly PlacedPart[], timeline: Timeline): readonly RangeReading[] {
  return placed.flatMap((part) => rangeReading(part, timeline));
}
