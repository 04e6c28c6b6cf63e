/** Pitches used by each part against what its instrument can play. */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById, openStringsOf, sourcesOf } from '../../model/music/catalogue.ts';
import { isElectricGuitar } from '../../model/music/ensemble.ts';
import type { SourcedRange } from '../../model/music/instrument.ts';
import type { RangeNote, RangeReading } from '../../model/readings/readings.ts';
import type { Timeline } from '../../model/music/timeline.ts';
import { barAndBeat } from '../../model/music/timeline.ts';
import { inKeyOf } from './crooked-range.ts';
import type { PlacedNote, PlacedPart } from '../placed-notes/placed-notes.ts';

interface Span {
  readonly low: number;
  readonly high: number;
}

export interface RangeLimits {
  readonly absolute?: Span;
  readonly practical?: Span;
  /** Notes outside the absolute range that some players or instruments have. */
  readonly extension?: SourcedRange;
  readonly sources: readonly string[];
}

/** Stops of 16, 8, 4 and 2 feet, the pedal board and the buttons of the left hand make any key of these sound in any octave. */
const ANY_OCTAVE: readonly string[] = ['organ', 'harmonium', 'accordion', 'synthesizer', 'synth-bass', 'sound-effect'];
/** All keys that MIDI has. */
const EVERY_KEY: Span = { low: 0, high: 127 };

/** `[low, high]` of one span cut to another; undefined where nothing is left. */
function intersection(one: Span, other: Span): Span | undefined {
  const low = Math.max(one.low, other.low);
  const high = Math.min(one.high, other.high);
  return low <= high ? { low, high } : undefined;
}

const NONE = { below: 0, above: 0 };

/** Semitones by which a stated number of strings reaches further than the usual one; `NONE` where it does not. */
function furtherStrings({ instrument, strings }: Part): { readonly below: number; readonly above: number } {
  const usual = openStringsOf(instrument, undefined);
  const own = openStringsOf(instrument, strings);
  const below = (usual?.[0] ?? 0) - (own?.[0] ?? 0);
  const above = (own?.at(-1) ?? 0) - (usual?.at(-1) ?? 0);
  return below === 0 && above === 0 ? NONE : { below, above };
}

/** An electric guitar has up to 24 frets, to E6, where the catalogue's classical one ends at B5 with 19; from memory. */
const FURTHER_FRETS = 5;

function widened({ low, high }: Span, { below, above }: typeof NONE): Span {
  return { low: low - below, high: high + above };
}

/** From the lowest to the highest that any of these reaches; undefined where one has no figure. */
function union(spans: readonly (Span | undefined)[]): Span | undefined {
  const known = spans.filter((span) => span !== undefined);
  if (known.length < spans.length || known.length === 0) return undefined;
  return { low: Math.min(...known.map(({ low }) => low)), high: Math.max(...known.map(({ high }) => high)) };
}

/** Of a track that holds several instruments: what any of them has. Which of them plays a note is not said. */
function limitsOfMembers(members: readonly string[]): RangeLimits {
  const records = members.map((id) => instrumentById(id));
  const absolute = union(records.map((record) => record?.extremeRange));
  const practical = union(records.map((record) => record?.practicalRange));
  const used = records.flatMap((record) => [record?.extremeRange, record?.practicalRange]);
  const sources = sourcesOf([...new Set(used.flatMap((range) => range?.src ?? []))]).map(({ title }) => title);
  if (absolute === undefined) return { sources: [] };
  return { absolute, ...(practical === undefined ? {} : { practical }), sources };
}

/**
 * Limits of a part, sounding: those set for the player where there are any, else the catalogue's. A practical range is
 * cut to the absolute one. Every key where an instrument has any of them in any octave. All undefined for an unknown instrument.
 */
export function rangeLimitsOf(part: Part): RangeLimits {
  if (part.members !== undefined && part.range === undefined) return limitsOfMembers(part.members);
  const instrument = instrumentById(part.instrument);
  const ranges = [instrument?.extremeRange, instrument?.practicalRange, instrument?.extension];
  const titles = sourcesOf([...new Set(ranges.flatMap((range) => range?.src ?? []))]).map((source) => source.title);
  if (part.range === undefined && ANY_OCTAVE.includes(part.instrument)) return { absolute: EVERY_KEY, sources: titles };
  const usual = instrument?.extremeRange === undefined ? undefined : inKeyOf(part, instrument.extremeRange, 'absolute');
  const strings = furtherStrings(part);
  const hasFrets = isElectricGuitar(part);
  const further = hasFrets ? { below: strings.below, above: strings.above + FURTHER_FRETS } : strings;
  const absolute = part.range ?? (usual === undefined ? undefined : widened(usual, further));
  if (absolute === undefined) return { sources: [] };
  const practical =
    instrument?.practicalRange === undefined
      ? undefined
      : intersection(widened(inKeyOf(part, instrument.practicalRange, 'practical'), further), absolute);
  // Who has said how many strings there are has said which is the lowest; a double bass may have its extension all the same.
  const isStated = part.strings !== undefined && part.family === 'plucked';
  const extension = part.range === undefined && !isStated ? instrument?.extension : undefined;
  return {
    absolute: { low: absolute.low, high: absolute.high },
    ...(practical === undefined ? {} : { practical }),
    ...(extension === undefined ? {} : { extension }),
    sources: [
      ...(part.range === undefined ? [] : ['set for this player']),
      ...(part.range === undefined && strings !== NONE
        ? [`${String(part.strings)} strings as its name or a note says, tuning from memory`]
        : []),
      ...(part.range === undefined && hasFrets ? ['electric by its program or name, 24 frets, from memory'] : []),
      ...titles,
    ],
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
  return limits.practical === undefined || within(midi, limits.practical) ? 'inside' : 'edge';
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
  const { absolute, practical, sources } = limits;
  return [
    {
      partId: part.id,
      low,
      high,
      writtenLow: low - semitones,
      writtenHigh: high - semitones,
      ...(absolute === undefined ? {} : { absolute }),
      ...(practical === undefined ? {} : { practical }),
      outside,
      edge,
      sources,
    },
  ];
}

/**
 * Range of every pitched part that plays. `outside` lies beyond the absolute range and its extension, `edge` between the
 * practical and the absolute range or in the extension.
 */
export function rangesOf(placed: readonly PlacedPart[], timeline: Timeline): readonly RangeReading[] {
  return placed.flatMap((part) => rangeReading(part, timeline));
}
