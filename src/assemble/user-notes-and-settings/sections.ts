/** Sections and stated keys of a stage. */
import type { Section, StatedKey } from '../../model/music/arrangement.ts';
import { WHOLE_PIECE } from '../../model/music/arrangement.ts';
import type { SpelledClass } from '../../model/music/pitch.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { Settings } from '../../read/settings/settings.ts';

export interface PlacedText {
  readonly quarters: number;
  readonly text: string;
}

/** The bar (by index) whose line is nearest; a text before the first or after the last bar goes to that one. */
function nearestBarIndex(bars: readonly Bar[], quarters: number): number {
  const index = barIndexAt(bars, quarters);
  const bar = bars[index];
  if (bar === undefined) return 0;
  const later = quarters - bar.startQuarters > bar.lengthQuarters / 2;
  return Math.max(0, Math.min(bars.length - 1, later ? index + 1 : index));
}

/**
 * Those that say something about these bars, in order: of what stands before the first bar only the last still holds there, and what
 * stands more than a bar after the last one is about music that is not shown.
 */
function aboutBars<Placed extends { readonly quarters: number }>(
  placed: readonly Placed[],
  bars: readonly Bar[],
): readonly Placed[] {
  const [first] = bars;
  const last = bars.at(-1);
  if (first === undefined || last === undefined) return [];
  const sorted = [...placed].sort((a, b) => a.quarters - b.quarters);
  const isBefore = ({ quarters }: Placed): boolean => quarters < first.startQuarters - first.lengthQuarters;
  const before = sorted.filter(isBefore);
  const inside = sorted.filter((one) => !isBefore(one) && one.quarters <= last.startQuarters + 2 * last.lengthQuarters);
  const isStartTaken = inside.some(({ quarters }) => nearestBarIndex(bars, quarters) === 0);
  return isStartTaken ? inside : [...before.slice(-1), ...inside];
}

/** Sections from markers: each reaches to the next. Equal texts at one bar count once, different ones are joined. */
function sectionsFromMarkers(markers: readonly PlacedText[], bars: readonly Bar[]): Section[] {
  const names = new Map<number, string[]>();
  for (const { quarters, text } of aboutBars(markers, bars)) {
    const name = text.replaceAll(/\s+/g, ' ').trim();
    if (name === '') continue;
    const index = nearestBarIndex(bars, quarters);
    const there = names.get(index) ?? [];
    if (!there.some((other) => other.toLowerCase() === name.toLowerCase())) there.push(name);
    names.set(index, there);
  }
  const starts = [...names.entries()].sort(([a], [b]) => a - b);
  if (starts.length === 0) return [];
  // A marker at bar 1 is meant for the pickup too.
  const opening = starts[0];
  if (opening?.[0] === 1 && bars[0]?.number === 0) opening[0] = 0;
  const sections: Section[] = [];
  if (opening !== undefined && opening[0] > 0) starts.unshift([0, ['Opening']]);
  starts.forEach(([index, there], place) => {
    const from = bars[index]?.number;
    const to = bars[(starts[place + 1]?.[0] ?? bars.length) - 1]?.number;
    if (from !== undefined && to !== undefined) sections.push({ name: there.join(' / '), from, to });
  });
  return sections;
}

/** Sections of a stage: those of the settings that touch its bars, else from markers, else one. */
export function sectionsOf(
  settings: Settings,
  markers: readonly PlacedText[],
  bars: readonly Bar[],
): { readonly sections: readonly Section[]; readonly by: 'settings' | 'markers' | 'none' } {
  const first = bars[0]?.number ?? 1;
  const last = bars.at(-1)?.number ?? 1;
  if (settings.sections !== undefined && settings.sections.length > 0) {
    const sections = settings.sections
      .filter((section) => section.bars.to >= first && section.bars.from <= last)
      .map((section) => ({
        name: section.name,
        from: Math.max(first, section.bars.from),
        to: Math.min(last, section.bars.to),
      }))
      .sort((a, b) => a.from - b.from || a.to - b.to);
    if (sections.length > 0) return { sections, by: 'settings' };
  }
  const marked = sectionsFromMarkers(markers, bars);
  if (marked.length > 0) return { sections: marked, by: 'markers' };
  return { sections: [{ name: WHOLE_PIECE, from: first, to: last }], by: 'none' };
}

const FIFTHS_LETTERS = ['F', 'C', 'G', 'D', 'A', 'E', 'B'] as const;

/** Tonic of a key signature: fifths from C, sharps positive. */
function tonicOf(fifths: number, mode: 'major' | 'minor'): SpelledClass {
  const place = fifths + 1 + (mode === 'minor' ? 3 : 0);
  const step = FIFTHS_LETTERS[((place % 7) + 7) % 7] ?? 'C';
  return { step, alter: Math.floor(place / 7) };
}

export interface PlacedKey {
  readonly quarters: number;
  readonly fifths: number;
  readonly mode: 'major' | 'minor';
}

/**
 * Keys stated in the settings (for the whole piece) or the files. Where files say different things at one bar, what most of
 * them say counts. A lone C major at the start is what programs write when nobody chose a key: it states nothing.
 */
export function statedKeysOf(settings: Settings, keys: readonly PlacedKey[], bars: readonly Bar[]): StatedKey[] {
  const firstBar = bars[0]?.number ?? 1;
  if (settings.key !== undefined) {
    const { step, alter, mode } = settings.key;
    return [{ fromBar: firstBar, tonic: { step, alter }, mode, by: 'settings' }];
  }
  const votes = new Map<number, Map<string, { key: PlacedKey; count: number }>>();
  const last = bars.at(-1);
  const end = last === undefined ? 0 : last.startQuarters + 2 * last.lengthQuarters;
  for (const key of keys) {
    if (key.quarters > end) continue;
    if (!Number.isInteger(key.fifths) || Math.abs(key.fifths) > 7) continue;
    const index = nearestBarIndex(bars, key.quarters);
    const there = votes.get(index) ?? new Map<string, { key: PlacedKey; count: number }>();
    const name = `${key.fifths} ${key.mode}`;
    const vote = there.get(name) ?? { key, count: 0 };
    vote.count++;
    there.set(name, vote);
    votes.set(index, there);
  }
  const chosen: { index: number; key: PlacedKey }[] = [];
  for (const [index, there] of [...votes].sort(([a], [b]) => a - b)) {
    const best = [...there.values()].reduce((one, other) => (other.count > one.count ? other : one));
    const before = chosen.at(-1)?.key;
    if (before?.fifths === best.key.fifths && before.mode === best.key.mode) continue;
    chosen.push({ index, key: best.key });
  }
  const only = chosen[0];
  if (chosen.length === 1 && only?.key.fifths === 0 && only.key.mode === 'major') return [];
  return chosen.map(({ index, key }) => ({
    fromBar: bars[index]?.number ?? firstBar,
    tonic: tonicOf(key.fifths, key.mode),
    mode: key.mode,
    by: 'file',
  }));
}
