/** What a rule is, and what it is given. */
import type { MovedSince } from '../analyse/misplaced/moved-since.ts';
import type { PlacedPart } from '../analyse/placed-notes/placed-notes.ts';
import type { LevelModel } from '../analyse/level/level-model.ts';
import type { JudgedBar } from '../analyse/level/measured/judged-balance.ts';
import type { Beat } from '../model/music/beats.ts';
import type { Slice } from '../analyse/placed-notes/slices.ts';
import type { ForegroundSpan, Part, Stage } from '../model/music/arrangement.ts';
import type { Finding, FindingLevel, StageReadings } from '../model/readings/readings.ts';
import type { RuleName } from '../model/readings/rule-names.ts';
import type { ChordSpan } from '../model/music/written.ts';
import type { Idiom } from './idiom.ts';

interface RuleLimit {
  readonly standard: number;
  /** As it is said after the number: `dB`, `ms`, `beats`. */
  readonly unit: string;
  /** What the number is, without a full stop. */
  readonly meaning: string;
}

/** One part with its written notes and the model of its level. */
export interface JudgedPart {
  readonly part: Part;
  readonly notes: PlacedPart['notes'];
  readonly model: LevelModel;
  /** As General MIDI reads it; only of a part whose dynamic is on another scale than that of others (`analyse/level/two-scales`). */
  readonly modelByVelocity?: LevelModel;
}

/** Readings whose balance is that of the recordings where they hold everybody who plays. */
interface JudgedReadings extends StageReadings {
  readonly balance: readonly JudgedBar[];
}

export interface RuleContext {
  readonly stage: Stage;
  readonly readings: JudgedReadings;
  /** In the order of the stage's parts. */
  readonly parts: readonly JudgedPart[];
  readonly partById: ReadonlyMap<string, JudgedPart>;
  readonly beats: readonly Beat[];
  /** Who sounds together: the texture cut at every onset and release; part indices as in `parts`. */
  readonly slices: readonly Slice[];
  readonly chords: readonly ChordSpan[];
  /** Ids of the parts in front, by bar index. */
  readonly front: readonly ReadonlySet<string>[];
  /** Who leads, by bar index, and how surely; undefined where nobody does. */
  readonly leads: readonly (ForegroundSpan | undefined)[];
  /** What the kind of music allows. */
  readonly idiom: Idiom;
  /** How loudly each part is marked, 0..1, by bar index and part id. */
  readonly marks: readonly ReadonlyMap<string, number>[];
  /** The same by the reading by which a bar is told, where parts are on two scales. */
  readonly toldMarks: readonly ReadonlyMap<string, number>[];
  /** The one velocity of each part that nobody shaped, by part id. */
  readonly unshaped: ReadonlyMap<string, number>;
  /** The one velocity of a sketch without dynamics: no level means anything then. Undefined where they are shaped. */
  readonly flatVelocity: number | undefined;
  /** Passages that stood elsewhere in the stage before. */
  readonly moved: readonly MovedSince[];
  /** The limit in force: from the settings, else the rule's own; 0 where it has none. */
  readonly limit: number;
}

/** A finding as a rule makes it: its name and whether it was accepted are added outside. */
export interface DraftFinding extends Omit<Finding, 'rule' | 'source' | 'accepted'> {
  /** Where it differs from the rule's own. */
  readonly source?: string;
  /** Further rules that this one finding yields to, besides those of its rule. */
  readonly yieldsTo?: readonly RuleName[];
  /** Those to which it yields in the bar before and after theirs as well. */
  readonly yieldsBeside?: readonly RuleName[];
  /** How much: orders the findings of one level, in the rule's own unit. */
  readonly amount: number;
}

/** A rule as written down in its file. */
export interface RuleText {
  readonly name: RuleName;
  readonly title: string;
  /** What it looks at, in one sentence. */
  readonly looksAt: string;
  /** Why that matters, in one sentence. */
  readonly why: string;
  /** The threshold that `limits` in the settings can change. */
  readonly limit?: RuleLimit;
  readonly source: string;
  /** The gravest level it gives. */
  readonly level: FindingLevel;
  /** Rules that say more about the same cause: a finding of this one is left out where one of theirs lies over it. */
  readonly yieldsTo?: readonly RuleName[];
  /** True where a passage out of its place that holds half of the bars of a finding is the cause of it. */
  readonly followsFromPlace?: true;
}

export interface Rule extends RuleText {
  /** The limit in words; empty where there is none. */
  readonly limits: readonly string[];
  readonly find: (context: RuleContext) => readonly DraftFinding[];
}

export const COMMON_PRACTICE = 'common practice, no source';

/** `1 beat`, `2 beats`, `−2 dB`. */
function amountText(amount: number, unit: string): string {
  const isOne = amount === 1 && unit !== 'ms' && unit.endsWith('s');
  return `${String(amount).replace('-', '−')} ${isOne ? unit.slice(0, -1) : unit}`;
}

/** A rule from its texts and its judgement. */
export function defineRule(text: RuleText, find: Rule['find']): Rule {
  const { limit } = text;
  return {
    ...text,
    limits: limit === undefined ? [] : [`${amountText(limit.standard, limit.unit)}: ${limit.meaning}`],
    find,
  };
}
