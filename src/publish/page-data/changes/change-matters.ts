/** Which sentences of a note speak of what was done: by the parts, the bars and the deed that both name. */
import type { Matter, Memo } from '../../../model/music/arrangement.ts';
import type { ToldChange } from './change-words.ts';

type Span = Matter['bars'][number];

/** The bars that a matter names, else those of its note. */
function spansOf({ from, to }: Memo, { bars }: Matter): readonly Span[] {
  if (bars.length > 0) return bars;
  return from === undefined ? [] : [{ from, to: to ?? from }];
}

/** At least this much of the bars of either is in the other. */
const LEAST_SHARED = 0.5;

/** Bars of those told that lie in spans; a span without an end reaches as far as what is told. */
function within(bars: readonly number[], spans: readonly Span[]): readonly number[] {
  return bars.filter((bar) => spans.some(({ from = -Infinity, to = Infinity }) => bar >= from && bar <= to));
}

/** How many bars spans hold, of those that are told where they have no end. */
function sizeOf(spans: readonly Span[], bars: readonly number[]): number {
  const [first, last] = [Math.min(...bars), Math.max(...bars)];
  const numbers = spans.flatMap(({ from = first, to = last }) =>
    Array.from({ length: Math.max(1, Math.min(to - from, 9999) + 1) }, (_, index) => from + index),
  );
  return new Set(numbers).size;
}

/** What share of the bars of both they have in common, from 0 to 1. */
function sharedBars(bars: readonly number[], spans: readonly Span[]): number {
  if (bars.length === 0 || spans.length === 0) return 0;
  const shared = within(bars, spans).length;
  return shared / (bars.length + Math.max(shared, sizeOf(spans, bars)) - shared);
}

/** True where spans are the bars that are told, or most of them, or most of the spans is told. */
function isThere(bars: readonly number[], spans: readonly Span[]): boolean {
  const shared = within(bars, spans).length;
  return shared > 0 && (shared / bars.length >= LEAST_SHARED || shared / sizeOf(spans, bars) >= LEAST_SHARED);
}

/** Whether sentences of a note speak of what a sentence tells. */
export function fitsMatter(told: ToldChange, memo: Memo, matter: Matter): boolean {
  if (told.isSum === true) return false;
  const spans = spansOf(memo, matter);
  const sharesParts = told.partIds.some((id) => matter.partIds.includes(id));
  const isDeed = told.deed !== undefined && matter.deeds.includes(told.deed);
  switch (told.deed) {
    case 'split':
    case 'joined':
    case 'named':
      return sharesParts && isDeed;
    case 'cut':
      return isDeed && isThere(told.barsBefore ?? [], spans);
    case 'fresh':
      return isDeed && isThere(told.bars, spans);
    case 'lower':
    case 'higher':
    case 'slower':
    case 'faster':
      return isDeed && matter.isOfAll && (spans.length === 0 || sharedBars(told.bars, spans) >= LEAST_SHARED);
    default:
      break;
  }
  if (spans.length === 0) return false;
  if (matter.partIds.length > 0) return sharesParts && isThere(told.bars, spans);
  return told.bars.length > 0 && sharedBars(told.bars, spans) === 1;
}

/** How well sentences of a note fit what a sentence tells: by parts, bars and deed, of 3. */
export function matterFit(told: ToldChange, memo: Memo, matter: Matter): number {
  const both = told.partIds.filter((id) => matter.partIds.includes(id)).length;
  const parts = both / Math.max(1, told.partIds.length + matter.partIds.length - both);
  const isDeed = told.deed !== undefined && matter.deeds.includes(told.deed);
  return parts + sharedBars(told.barsBefore ?? told.bars, spansOf(memo, matter)) + Number(isDeed);
}
