/** The likeliest way of the lead through the parts, and how likely each part is at each step (Viterbi, forward and backward). */

export interface LeadOdds {
  /** By part, then step: log of how well the part fits the lead there; only differences count. */
  readonly fits: readonly Float64Array[];
  /** By part, then step: what it costs to leave the part before this step, and to take it up at this step. */
  readonly leaving: readonly Float64Array[];
  readonly entering: readonly Float64Array[];
}

export interface LeadWay {
  /** Index of the part at each step. */
  readonly parts: Uint16Array;
  /** By part, then step: chance (0..1) over all ways. */
  readonly chances: readonly Float64Array[];
}

function at(rows: readonly Float64Array[], part: number, step: number): number {
  return rows[part]?.[step] ?? 0;
}

function logSum(values: Float64Array): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of values) if (value > most) most = value;
  if (most === Number.NEGATIVE_INFINITY) return most;
  let sum = 0;
  for (const value of values) sum += Math.exp(value - most);
  return most + Math.log(sum);
}

/** The sum of all but one; where that one is nearly all of it, the others are added anew. */
function logSumWithout(values: Float64Array, sum: number, index: number): number {
  const share = Math.exp((values[index] ?? 0) - sum);
  return share < 0.999 ? sum + Math.log1p(-share) : logSum(values.filter((_, other) => other !== index));
}

function logAdd(one: number, other: number): number {
  const most = Math.max(one, other);
  return most === Number.NEGATIVE_INFINITY ? most : most + Math.log1p(Math.exp(Math.min(one, other) - most));
}

function likeliestWay({ fits, leaving, entering }: LeadOdds, steps: number): Uint16Array {
  const count = fits.length;
  const sums = Float64Array.from(fits, (own) => own[0] ?? 0);
  const origins = new Uint16Array(steps * count);
  for (let step = 1; step < steps; step++) {
    let best = 0;
    let most = Number.NEGATIVE_INFINITY;
    for (let part = 0; part < count; part++) {
      const left = (sums[part] ?? 0) - at(leaving, part, step);
      if (left <= most) continue;
      most = left;
      best = part;
    }
    for (let part = 0; part < count; part++) {
      const stayed = sums[part] ?? 0;
      const changed = most - at(entering, part, step);
      origins[step * count + part] = stayed >= changed ? part : best;
      sums[part] = Math.max(stayed, changed) + at(fits, part, step);
    }
  }
  const way = new Uint16Array(steps);
  let part = sums.indexOf(Math.max(...sums));
  for (let step = steps - 1; step >= 0; step--) {
    way[step] = part;
    if (step > 0) part = origins[step * count + part] ?? part;
  }
  return way;
}

/** Log weights of all ways up to each step (its own fit included), one row of parts a step. */
function forward({ fits, leaving, entering }: LeadOdds, steps: number): Float64Array {
  const count = fits.length;
  const rows = new Float64Array(steps * count);
  const left = new Float64Array(count);
  for (let part = 0; part < count; part++) rows[part] = at(fits, part, 0);
  for (let step = 1; step < steps; step++) {
    const row = step * count;
    for (let part = 0; part < count; part++) left[part] = (rows[row - count + part] ?? 0) - at(leaving, part, step);
    const all = logSum(left);
    for (let part = 0; part < count; part++) {
      const came = logSumWithout(left, all, part) - at(entering, part, step);
      rows[row + part] = logAdd(rows[row - count + part] ?? 0, came) + at(fits, part, step);
    }
  }
  return rows;
}

/** Log weights of all ways after each step (its own fit left out), in the same rows. */
function backward({ fits, leaving, entering }: LeadOdds, steps: number): Float64Array {
  const count = fits.length;
  const rows = new Float64Array(steps * count);
  const taken = new Float64Array(count);
  for (let step = steps - 1; step > 0; step--) {
    const row = step * count;
    for (let part = 0; part < count; part++)
      taken[part] = (rows[row + part] ?? 0) + at(fits, part, step) - at(entering, part, step);
    const all = logSum(taken);
    for (let part = 0; part < count; part++) {
      const stays = (rows[row + part] ?? 0) + at(fits, part, step);
      rows[row - count + part] = logAdd(stays, logSumWithout(taken, all, part) - at(leaving, part, step));
    }
  }
  return rows;
}

/** The way and the chances; empty where there is no part or no step. */
export function searchLead(odds: LeadOdds): LeadWay {
  const steps = odds.fits[0]?.length ?? 0;
  if (steps === 0) return { parts: new Uint16Array(), chances: odds.fits.map(() => new Float64Array()) };
  const before = forward(odds, steps);
  const after = backward(odds, steps);
  const chances = odds.fits.map(() => new Float64Array(steps));
  const together = new Float64Array(odds.fits.length);
  for (let step = 0; step < steps; step++) {
    const row = step * together.length;
    for (let part = 0; part < together.length; part++)
      together[part] = (before[row + part] ?? 0) + (after[row + part] ?? 0);
    const all = logSum(together);
    for (const [part, chance] of chances.entries()) chance[step] = Math.exp((together[part] ?? 0) - all);
  }
  return { parts: likeliestWay(odds, steps), chances };
}
