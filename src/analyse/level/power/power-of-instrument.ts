/** Sound power of one player by dynamic and pitch: published figures, or the assumption that stands in for them. */
import { instrumentById, sourcesOf } from '../../../model/music/catalogue.ts';
import type { Instrument, InstrumentRegister } from '../../../model/music/instrument.ts';
import type { AssumedPower, PowerFigures } from './assumed-power.ts';
import { ASSUMED_FOR_FAMILY, ASSUMED_POWER } from './assumed-power.ts';

export interface InstrumentPower {
  readonly figures: PowerFigures;
  readonly assumed: boolean;
  /** Where the figures come from, without a full stop. */
  readonly basis: string;
}

/** Where the published forte stands on our scale of dynamics 0..1: the middle of `f` of the six marks of equal width. */
const FORTE_DYNAMIC = 0.75;

/** dB for each step of a register's strength away from 3 (neutral). Our convention; the ordinal reading has no unit. */
export const REGISTER_STEP_DB = 1.5;

function publishedPower(instrument: Instrument | undefined): InstrumentPower | undefined {
  const published = instrument?.soundPowerDb;
  if (published === undefined) return undefined;
  const sources = sourcesOf(published.src).map((source) => `${source.title} (${source.basis})`);
  return { figures: published, assumed: false, basis: sources.join('; ') };
}

function assumedPower(assumption: AssumedPower): InstrumentPower {
  const relative = assumption.like === undefined ? undefined : instrumentById(assumption.like)?.soundPowerDb;
  const figures = assumption.figures ?? relative ?? { softest: 65, forte: 92, loudest: 102 };
  return { figures, assumed: true, basis: assumption.reason };
}

/** Sound power figures of an instrument of the catalogue, or the stand-in for `unknown` and those without a figure. */
export function powerOfInstrument(instrumentId: string): InstrumentPower {
  const instrument = instrumentById(instrumentId);
  return (
    publishedPower(instrument) ??
    assumedPower(ASSUMED_POWER[instrumentId] ?? ASSUMED_FOR_FAMILY[instrument?.family ?? 'unknown'])
  );
}

/**
 * Sound power level in dB of one player at a dynamic 0..1: a straight line from the softest (0) to the published forte
 * (0.75) and from there to the loudest (1).
 */
export function powerAtDynamicDb(figures: PowerFigures, dynamic: number): number {
  const { softest, forte, loudest } = figures;
  const bounded = Math.min(1, Math.max(0, dynamic));
  return bounded <= FORTE_DYNAMIC
    ? softest + ((forte - softest) * bounded) / FORTE_DYNAMIC
    : forte + ((loudest - forte) * (bounded - FORTE_DYNAMIC)) / (1 - FORTE_DYNAMIC);
}

function strengthAt(registers: readonly InstrumentRegister[], midi: number): number {
  const holding = registers.filter((register) => midi >= register.low && midi <= register.high);
  // Neighbouring registers share the pitch at their border: the mean of both.
  if (holding.length > 0) return holding.reduce((sum, register) => sum + register.strength, 0) / holding.length;
  const nearest = [...registers].sort(
    (a, b) =>
      Math.min(Math.abs(midi - a.low), Math.abs(midi - a.high)) -
      Math.min(Math.abs(midi - b.low), Math.abs(midi - b.high)),
  )[0];
  return nearest?.strength ?? 3;
}

/** Correction in dB for the strength of the register a pitch lies in; 0 where the catalogue has no registers. */
export function registerCorrectionDb(instrumentId: string, midi: number): number {
  const registers = instrumentById(instrumentId)?.registers ?? [];
  return registers.length === 0 ? 0 : (strengthAt(registers, midi) - 3) * REGISTER_STEP_DB;
}

/** Strength of the register a pitch lies in, 1 weak to 5 dominating; undefined where the catalogue has no registers. */
export function registerStrength(instrumentId: string, midi: number): number | undefined {
  const registers = instrumentById(instrumentId)?.registers ?? [];
  return registers.length === 0 ? undefined : strengthAt(registers, midi);
}
