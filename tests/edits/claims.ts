/** What was done to a sheet, in terms of its parts and bars: the truth that a comparison is held against. */
import type { PartEditKind, PartTiming } from '../../src/model/readings/readings.ts';
import type { Sheet, SheetPart } from './sheet.ts';

/** Bars are ids of sheet bars, parts are keys of sheet parts. */
export type Claim =
  | { readonly kind: 'added' | 'removed' | 'renamed'; readonly part: number }
  | { readonly kind: 'split' | 'joined'; readonly part: number; readonly others: readonly number[] }
  | {
      readonly kind: 'order';
      readonly inserted: number;
      readonly appended: number;
      readonly cut: number;
      readonly moved: number;
    }
  | { readonly kind: 'shifted'; readonly semitones: number; readonly bars: readonly number[] | 'all' }
  | { readonly kind: 'tempo' | 'rebarred'; readonly bars: readonly number[] }
  | {
      readonly kind: 'edit';
      readonly part: number;
      /** Any of these tells it rightly. */
      readonly as: readonly PartEditKind[];
      readonly bars: readonly number[] | 'any';
      readonly semitones?: number;
      readonly how?: PartTiming['how'];
      /** Louder or softer. */
      readonly sign?: 1 | -1;
    }
  | { readonly kind: 'given'; readonly part: number; readonly to: number; readonly bars: readonly number[] }
  | {
      readonly kind: 'doubles';
      readonly part: number;
      readonly of: number;
      readonly octaves: number;
      readonly bars: readonly number[];
    }
  | { readonly kind: 'enters-later'; readonly part: number; readonly bars: readonly number[] };

/** Two stages under way. */
export interface Pair {
  readonly before: Sheet;
  readonly after: Sheet;
  /** Ids of bars that were parted, each with that of its second half. */
  readonly halves?: ReadonlyMap<number, number>;
}

export interface Edited extends Pair {
  readonly claims: readonly Claim[];
  /** Keys of parts that it touched: a second edit takes others. */
  readonly touched: readonly number[];
}

export interface Draw {
  /** Uniform in [0, 1). */
  readonly next: () => number;
  /** Parts that may be taken. */
  readonly isFree: (part: SheetPart) => boolean;
  readonly isEven: boolean;
  /** True where the later stage was played in anew. */
  readonly isTake: boolean;
}

/** An edit; undefined where this piece has nothing that it could be done to. */
export type Edit = (pair: Pair, draw: Draw) => Edited | undefined;
