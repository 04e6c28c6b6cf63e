/** A folder from its players: who plays what, and the truth that follows from it. */
import type { CleanPoint, KindFolder, KindTruth, PlantedFlaw, TrueLead } from '../kind.ts';
import type { PieceBar } from '../write/bars.ts';
import { oneFile } from '../write/export.ts';
import type { ExportManner, Piece } from '../write/export.ts';
import type { Plan, Touch } from '../write/perform.ts';
import type { Written } from '../write/shorthand.ts';
import { asLines } from './compose.ts';
import type { ChordSpan } from './harmony.ts';

/** One track with what it is. */
export interface Member {
  readonly plan: Plan;
  readonly ids: readonly string[];
  readonly players: number | 'section' | undefined;
  readonly notes: readonly Written[];
}

type Extra = Partial<Omit<Plan, 'name' | 'lines' | 'touch' | 'dynamics'>>;

/** A track of these notes; an instrument without pitches has `unpitched` for its ids. Channels are given by `inChannels`. */
export function member(
  bars: readonly PieceBar[],
  name: string,
  ids: readonly string[],
  players: number | 'section' | undefined,
  touch: Touch,
  dynamics: string,
  notes: readonly Written[],
  extra: Extra = {},
): Member {
  const plan: Plan = { name, lines: asLines(bars, notes), touch, dynamics, channel: 0, ...extra };
  return { plan, ids, players, notes };
}

const DRUM_CHANNEL = 9;

/** Gives each track a channel of its own, the drums' channel left out. */
export function inChannels(members: readonly Member[]): Member[] {
  let next = 0;
  return members.map((each) => {
    if (each.plan.channel === DRUM_CHANNEL) return each;
    if (next === DRUM_CHANNEL) next++;
    const channel = next;
    next = (next + 1) % 16;
    return { ...each, plan: { ...each.plan, channel } };
  });
}

export function lead(from: number, to: number, ...tracks: readonly string[]): TrueLead {
  return { tracks, bars: [from, to] };
}

export function flaw(
  id: string,
  from: number,
  to: number,
  parts: readonly string[],
  rules: readonly string[],
  say: string,
): PlantedFlaw {
  return { id, bars: [from, to], parts, rules, say, weigh: true };
}

export function clean(
  say: string,
  rules: readonly string[] | 'any',
  parts?: readonly string[],
  from?: number,
  to?: number,
): CleanPoint {
  const bars = from === undefined || to === undefined ? {} : { bars: [from, to] as const };
  return { say, rules, ...(parts === undefined ? {} : { parts }), ...bars };
}

const UNPITCHED: ReadonlySet<string> = new Set(['percussion-unpitched']);

/** What is true of the members of a piece. */
export function truthOf(
  piece: Piece,
  members: readonly Member[],
  spans: readonly ChordSpan[] | undefined,
  rest: Pick<KindTruth, 'keys' | 'style' | 'front' | 'flaws' | 'clean'> & { readonly onGrid?: boolean },
): KindTruth {
  const chords = spans?.map(({ bar, start, length, symbol }) => ({ bar, start, length, symbol }));
  return {
    parts: Object.fromEntries(members.map(({ plan, ids }) => [plan.name, ids])),
    players: Object.fromEntries(
      members.flatMap(({ plan, players }) => (players === undefined ? [] : [[plan.name, players]])),
    ),
    notes: members.flatMap(({ plan, ids, notes }) =>
      notes.map(({ start, length, midi, pitch, short }) => {
        const note = { track: plan.name, start, length, midi, ...(short ? { short } : {}) };
        return pitch === undefined || ids.length === 0 || UNPITCHED.has(ids[0] ?? '') ? note : { ...note, pitch };
      }),
    ),
    ...(chords === undefined ? {} : { chords }),
    meters: piece.meters,
    onGrid: true,
    swing: piece.swing ?? 1,
    ...rest,
  };
}

/** The folder that holds all members in one file of this name. */
export function inOneFile(
  name: string,
  piece: Piece,
  members: readonly Member[],
  manner: Omit<ExportManner, 'seed'> = {},
): KindFolder['files'] {
  const plans = members.map(({ plan }) => plan);
  return (seed) => new Map([[name, oneFile(piece, plans, { ...manner, seed })]]);
}

function folderOf(half: KindFolder['half']) {
  return (id: string, trade: string, files: KindFolder['files'], truth: KindTruth): KindFolder => ({
    id,
    trade,
    half,
    files,
    truth,
  });
}

/** A folder on which constants may be set. */
export const folder = folderOf('tuning');
/** A folder that is looked at last. */
export const keptAside = folderOf('kept-aside');
