/** Numbers of the data export: few decimals, no `-0`, nothing that JSON cannot hold. */

/** A number with at most `decimals` decimals (6 by default, as the data contract has it for quarters and seconds). */
export function rounded(amount: number, decimals = 6): number {
  const factor = 10 ** decimals;
  const result = Math.round(amount * factor) / factor;
  return result === 0 ? 0 : result;
}

/** Decibels with two decimals; undefined where there is no finite level. */
export function roundedDb(db: number | undefined): number | undefined {
  return db === undefined || !Number.isFinite(db) ? undefined : rounded(db, 2);
}
