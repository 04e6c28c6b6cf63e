/**
 * Which parts of the ensemble share staves in the short score: all of them two, or, where more lines play than two staves hold, each
 * choir or neighbouring choirs one or two of their own.
 */
import { groupedBy } from '../../model/grouped.ts';
import type { Stage } from '../../model/music/arrangement.ts';
import type { Choir } from '../choirs/choirs.ts';
import { choirWords, choirsOf } from '../choirs/choirs.ts';
import type { DoubledLines } from './doubled-lines.ts';
import { collapseDoublings, spansByHost } from './doubled-lines.ts';
import type { Line } from './lines.ts';
import { linesAsRead, soundsByOf } from './lines.ts';
import { alignEnds, rhythmOf, withoutUnisons } from './rhythm-units.ts';
import type { GridBar } from '../score-time/score-time.ts';
import type { SplitBar } from './staff-split.ts';
import { isOffStaff, searchSplit } from './staff-split.ts';

/** Parts that share one staff, or two under a brace. */
export interface StaffBlock {
  readonly id: string;
  readonly label: string;
  readonly abbreviation: string;
  readonly staves: 1 | 2;
  /** Ids of its parts; absent where it is the whole ensemble. */
  readonly partIds?: ReadonlySet<string>;
}

export interface StaffBlocks {
  readonly blocks: readonly [StaffBlock, ...StaffBlock[]];
  /** The lines that are written, doublings taken away within each block. */
  readonly doubled: DoubledLines;
  /** Why choirs have staves of their own: absent where they have none. */
  readonly choirs?: { readonly by: 'settings' | 'density'; readonly crowded: number };
}

const WHOLE: StaffBlock = { id: 'background', label: 'Ensemble', abbreviation: 'Ens.', staves: 2 };

/** An ensemble of up to so many pitched parts, the lead among them, is read on two staves whatever it plays: two voices on each hold four lines. */
const MOST_PARTS_ON_TWO = 5;
/** A longer piece stays on two staves unless choirs are asked for: on choirs its page would take a quarter more elements and half as many sheets again. Of our own. */
const MOST_BARS_UNASKED = 80;
/** Staves of the whole score where nothing is said. */
const MOST_STAVES = 6;
/** Rhythms that two voices on a staff can show. */
const MOST_RHYTHMS = 2;
/** Share of the sounding bars that may be crowded before choirs get staves of their own. Of our own, set by reading scores. */
const MOST_CROWDED = 0.25;
/** What one more staff must save in a bar, on the scale of the costs of `staff-split`: where we choose, and where as many are asked for. */
const LEAST_SAVED = { density: 1, settings: 0.5 };
/** Choirs of different groups that sound together on the same staves, a bar; voices, wherever they sound, share them with nobody if they can help it. */
const MIXED_COST = 4;
const MIXED_WITH_VOICES_COST = 12;

/** More rhythms than two voices hold, or a line on a third ledger line. */
function isCrowded({ upper, lower }: SplitBar, bar: GridBar): boolean {
  return [upper, lower].some((lines, index) => {
    const rhythms = new Set(alignEnds(lines, bar).map(rhythmOf));
    return rhythms.size > MOST_RHYTHMS || lines.some((line) => isOffStaff(line, index === 0 ? 'upper' : 'lower'));
  });
}

/** Share of the sounding bars that are crowded. */
function crowdedShare(split: readonly SplitBar[], bars: readonly GridBar[]): number {
  let [sounding, crowded] = [0, 0];
  for (const [index, bar] of bars.entries()) {
    const here = split[index];
    if (here === undefined || here.upper.length + here.lower.length === 0) continue;
    sounding++;
    if (isCrowded(here, bar)) crowded++;
  }
  return sounding === 0 ? 0 : crowded / sounding;
}

interface Candidate {
  readonly choirs: readonly Choir[];
  readonly staves: 1 | 2;
}

interface Layout {
  readonly cost: number;
  readonly candidates: readonly Candidate[];
}

function partIdsOf(choirs: readonly Choir[]): ReadonlySet<string> {
  return new Set(choirs.flatMap(({ parts }) => parts.map(({ id }) => id)));
}

/** What it costs that choirs of different groups share staves. */
function mixedCost(choirs: readonly Choir[], lines: readonly (readonly Line[])[]): number {
  const groupOf = new Map(choirs.flatMap(({ group, parts }) => parts.map(({ id }) => [id, group])));
  const groups = new Set(groupOf.values());
  if (groups.size < 2) return 0;
  return lines.reduce((sum, inBar) => {
    const here = new Set(inBar.map(({ partId }) => groupOf.get(partId)));
    return sum + (here.has('voices') ? MIXED_WITH_VOICES_COST : here.size > 1 ? MIXED_COST : 0);
  }, 0);
}

/** The best way to give neighbouring choirs exactly so many staves, by what their lines cost on them; by the number of staves, up to `most`. */
function bestLayouts(
  choirs: readonly Choir[],
  lines: readonly (readonly Line[])[],
  bars: readonly GridBar[],
  most: number,
): readonly (Layout | undefined)[] {
  // Of the choirs so far.
  const best: (readonly (Layout | undefined)[])[] = [[{ cost: 0, candidates: [] }]];
  for (let to = 1; to <= choirs.length; to++) {
    const here: (Layout | undefined)[] = [];
    for (let from = 0; from < to; from++) {
      const own = choirs.slice(from, to);
      const ids = partIdsOf(own);
      const ownLines = lines.map((inBar) => inBar.filter(({ partId }) => ids.has(partId)));
      const mixed = mixedCost(own, ownLines);
      for (const staves of [1, 2] as const) {
        const { cost } = searchSplit(ownLines, bars, staves);
        for (const [used, before] of (best[from] ?? []).entries()) {
          const all = used + staves;
          if (before === undefined || all > most) continue;
          const total = before.cost + cost + mixed;
          if (total < (here[all]?.cost ?? Infinity)) {
            here[all] = { cost: total, candidates: [...before.candidates, { choirs: own, staves }] };
          }
        }
      }
    }
    best.push(here);
  }
  return best.at(-1) ?? [];
}

/** Lines of the background by bar index, unisons within each block taken away. */
export function backgroundLines(
  { lines, spans }: DoubledLines,
  front: readonly ReadonlySet<string>[],
  blockOf: (partId: string) => number,
): Line[][] {
  const hosts = spansByHost(spans, lines.length);
  return lines.map((inBar, bar) => {
    const behind = inBar.filter(({ partId }) => front[bar]?.has(partId) !== true);
    const byBlock = groupedBy(behind, ({ partId }) => blockOf(partId));
    const keys = new Set(hosts[bar]?.keys());
    return [...byBlock.values()].flatMap((own) => withoutUnisons(own, keys));
  });
}

/** Index of the block of each part. */
export function blockFinder(blocks: readonly StaffBlock[]): (partId: string) => number {
  return (partId) =>
    Math.max(
      0,
      blocks.findIndex(({ partIds }) => partIds?.has(partId) !== false),
    );
}

/** Who of the ensemble has the drums beside them: the rhythm section, where there is one. */
const BESIDE_DRUMS = /^(percussion|keyboard|plucked)$/;

/** Index of the block over which the unpitched parts are named: the one with most of those who play with them, the first where none do. */
export function blockOfDrums({ parts }: Stage, blocks: readonly StaffBlock[]): number {
  const counts = blocks.map(
    ({ partIds }) =>
      parts.filter(
        ({ id, unpitched, family, instrument }) =>
          !unpitched && partIds?.has(id) === true && (BESIDE_DRUMS.test(family) || instrument === 'double-bass'),
      ).length,
  );
  return Math.max(0, counts.indexOf(Math.max(0, ...counts)));
}

interface BlocksInput {
  readonly stage: Stage;
  readonly bars: readonly GridBar[];
  /** What each voice plays, by bar index. */
  readonly played: readonly (readonly Line[])[];
  readonly front: readonly ReadonlySet<string>[];
  /** Staves of those in front. */
  readonly frontStaves: number;
}

/** Chooses the blocks of a stage; those of choirs in score order. */
export function staffBlocks({ stage, bars, played, front, frontStaves }: BlocksInput): StaffBlocks {
  const doubled = collapseDoublings(played, front);
  const asOne: StaffBlocks = { blocks: [WHOLE], doubled };
  const all = choirsOf(stage);
  const count = all.reduce((sum, { parts }) => sum + parts.length, 0);
  const by = stage.staves === undefined ? 'density' : 'settings';
  if (by === 'density' && (count <= MOST_PARTS_ON_TWO || bars.length > MOST_BARS_UNASKED)) return asOne;
  const soundsByPart = soundsByOf(stage.parts);
  const asRead = (inBars: readonly (readonly Line[])[], blockOf: (partId: string) => number): Line[][] =>
    inBars.map((inBar) => linesAsRead(inBar, soundsByPart, blockOf));
  const whole = searchSplit(
    asRead(
      backgroundLines(doubled, front, () => 0),
      () => 0,
    ),
    bars,
    2,
  ).split;
  const crowded = crowdedShare(whole, bars);
  if (by === 'density' && crowded <= MOST_CROWDED) return asOne;
  const choirAt = new Map(all.flatMap((choir, index) => choir.parts.map(({ id }) => [id, index])));
  const choirOf = (partId: string): number => choirAt.get(partId) ?? 0;
  const lines = asRead(backgroundLines(collapseDoublings(played, front, choirOf), front, choirOf), choirOf);
  const behind = new Set(lines.flatMap((inBar) => inBar.map(({ partId }) => partId)));
  const choirs = all.flatMap((choir): Choir[] => {
    const parts = choir.parts.filter(({ id }) => behind.has(id));
    return parts.length === 0 ? [] : [{ ...choir, parts }];
  });
  const most = Math.max(2, (stage.staves ?? MOST_STAVES) - frontStaves);
  const costOf = ({ cost, candidates }: Layout): number =>
    cost + candidates.reduce((sum, { staves }) => sum + staves, 0) * LEAST_SAVED[by] * bars.length;
  const [chosen] = bestLayouts(choirs, lines, bars, most)
    .flatMap((layout) => (layout === undefined ? [] : [layout]))
    .sort((a, b) => costOf(a) - costOf(b));
  const candidates = chosen?.candidates ?? [];
  const blocks = candidates.map(({ choirs: own, staves }): StaffBlock => ({
    ...choirWords(own),
    id: `background-${own.map(({ id }) => id).join('-')}`,
    staves,
    partIds: partIdsOf(own),
  }));
  const [first, ...rest] = blocks;
  if (first === undefined || rest.length === 0) return asOne;
  return {
    blocks: [first, ...rest],
    doubled: collapseDoublings(played, front, blockFinder(blocks)),
    choirs: { by, crowded },
  };
}
