/** Stages as files, in the manners in which people export. */
import type { TimedEvent, WrittenTrack } from '../../../sample-input/midi-writer.ts';
import { keyEvent, meterEvent, midiFile, tempoEvent, textEvent } from '../../../sample-input/midi-writer.ts';
import type { TrueNote } from '../kind.ts';
import type { MeterFrom, PieceBar } from './bars.ts';
import { barNumbered, barsOf, endOf } from './bars.ts';
import type { Plan } from './perform.ts';
import { performed } from './perform.ts';
import { writtenIn } from './shorthand.ts';

export interface Piece {
  readonly lastBar: number;
  readonly meters: readonly MeterFrom[];
  /** Quarters before bar 1. */
  readonly pickup?: number;
  /** Quarters a minute from each bar on. */
  readonly tempi: readonly { readonly fromBar: number; readonly tempo: number }[];
  readonly keys?: readonly { readonly fromBar: number; readonly fifths: number; readonly minor: boolean }[];
  readonly markers?: readonly { readonly bar: number; readonly text: string }[];
  readonly swing?: number;
  readonly ticksPerQuarter: number;
}

export function piecesBars(piece: Piece): PieceBar[] {
  return barsOf(piece.lastBar, piece.meters, piece.pickup ?? 0);
}

function conductor(piece: Piece, bars: readonly PieceBar[], name?: string): WrittenTrack {
  const origin = bars[0]?.start ?? 0;
  const tickOf = (bar: number): number =>
    bar === bars[0]?.number
      ? 0
      : Math.round((barNumbered(bars, Math.max(bar, 1)).start - origin) * piece.ticksPerQuarter);
  const events: TimedEvent[] = name === undefined ? [] : [textEvent(0, 3, name)];
  const first = bars[0];
  if (first?.number === 0) {
    // The pickup is written as a short bar of its own.
    const eighths = Math.round(first.length * 2);
    events.push(eighths % 2 === 0 ? meterEvent(0, eighths / 2, 4) : meterEvent(0, eighths, 8));
  }
  for (const { fromBar, numerator, denominator } of piece.meters) {
    const tick = fromBar <= 1 ? Math.round(-origin * piece.ticksPerQuarter) : tickOf(fromBar);
    events.push(meterEvent(tick, numerator, denominator));
  }
  piece.tempi.forEach(({ fromBar, tempo }, index) => {
    events.push(tempoEvent(index === 0 ? 0 : tickOf(fromBar), tempo));
  });
  (piece.keys ?? []).forEach(({ fromBar, fifths, minor }, index) => {
    events.push(keyEvent(index === 0 ? 0 : tickOf(fromBar), fifths, minor));
  });
  for (const { bar, text } of piece.markers ?? []) events.push(textEvent(tickOf(bar), 6, text));
  return { events, lastTick: Math.round((endOf(bars) - origin) * piece.ticksPerQuarter) };
}

export interface ExportManner {
  readonly seed: number;
  readonly offAsZero?: boolean;
  /** Name of the first track, which has tempo and meter. */
  readonly conductorName?: string;
  /** Tracks that hold nothing, a click and the like, written as they are. */
  readonly leftovers?: readonly Plan[];
}

function tracksOf(piece: Piece, plans: readonly Plan[], manner: ExportManner): WrittenTrack[] {
  const bars = piecesBars(piece);
  const { ticksPerQuarter } = piece;
  const tempoAt = (quarters: number): number => {
    const bar = bars.findLast((each) => each.start <= quarters + 1e-6)?.number ?? 1;
    return (piece.tempi.findLast((each) => each.fromBar <= bar) ?? piece.tempi[0])?.tempo ?? 120;
  };
  const clock = { bars, ticksPerQuarter, tempoAt, swing: piece.swing ?? 1 };
  return plans.map((plan) => performed(plan, clock, manner.seed, manner.offAsZero ?? false));
}

/** One file with a track a part. */
export function oneFile(piece: Piece, plans: readonly Plan[], manner: ExportManner): Uint8Array {
  const first = conductor(piece, piecesBars(piece), manner.conductorName);
  return midiFile(piece.ticksPerQuarter, [first, ...tracksOf(piece, plans, manner)]);
}

/** One file a part, each with tempo and meter of its own, by the given file names. */
export function fileByPart(
  piece: Piece,
  plans: readonly Plan[],
  manner: ExportManner,
  nameOf: (plan: Plan, index: number) => string,
): Map<string, Uint8Array> {
  const first = conductor(piece, piecesBars(piece), manner.conductorName);
  return new Map(
    tracksOf(piece, plans, manner).flatMap((track, index) => {
      const plan = plans[index];
      return plan === undefined
        ? []
        : [[nameOf(plan, index), midiFile(piece.ticksPerQuarter, [first, track])] as const];
    }),
  );
}

/** Everything in the one track of a format 0 file: who plays is told by channel and program alone. */
export function oneTrack(piece: Piece, plans: readonly Plan[], manner: ExportManner): Uint8Array {
  const first = conductor(piece, piecesBars(piece));
  const isName = (event: TimedEvent): boolean => event.bytes[0] === 0xff && event.bytes[1] === 3;
  const events = tracksOf(piece, plans, manner).flatMap((track) => track.events.filter((event) => !isName(event)));
  const title = manner.conductorName === undefined ? [] : [textEvent(0, 3, manner.conductorName)];
  const all = [...title, ...first.events, ...events];
  return midiFile(piece.ticksPerQuarter, [{ events: all, lastTick: first.lastTick }], 0);
}

/** All written notes of these plans, as truth. */
export function notesOfPlans(piece: Piece, plans: readonly Plan[]): TrueNote[] {
  const bars = piecesBars(piece);
  return plans.flatMap((plan) =>
    plan.lines
      .flatMap((text) => writtenIn(bars, text))
      .map(({ start, length, midi, pitch, short }): TrueNote => {
        const note = { track: plan.name, start, length, midi, ...(short ? { short } : {}) };
        return pitch === undefined ? note : { ...note, pitch };
      }),
  );
}
