/** The search for the leader against all ways counted one by one. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { LeadOdds } from '../../src/assemble/who-has-the-melody/lead-search.ts';
import { searchLead } from '../../src/assemble/who-has-the-melody/lead-search.ts';

/** Every way and its log weight, by counting in base `parts`. */
function everyWay({ fits, leaving, entering }: LeadOdds): { way: number[]; weight: number }[] {
  const steps = fits[0]!.length;
  return Array.from({ length: fits.length ** steps }, (_, number) => {
    const way = Array.from({ length: steps }, (_, step) => Math.floor(number / fits.length ** step) % fits.length);
    const weight = way.reduce((sum, part, step) => {
      const before = way[step - 1];
      const change = before === undefined || before === part ? 0 : leaving[before]![step]! + entering[part]![step]!;
      return sum + fits[part]![step]! - change;
    }, 0);
    return { way, weight };
  });
}

const rows = (low: number, high: number) =>
  fc.array(fc.array(fc.float({ min: low, max: high, noNaN: true }), { minLength: 4, maxLength: 4 }), {
    minLength: 3,
    maxLength: 3,
  });
const asOdds = ([fits, leaving, entering]: number[][][]): LeadOdds => ({
  fits: fits!.map((row) => Float64Array.from(row)),
  leaving: leaving!.map((row) => Float64Array.from(row)),
  entering: entering!.map((row) => Float64Array.from(row)),
});

describe('the search for the leader', () => {
  it('finds the way of most weight, and chances that add up over all ways', () => {
    fc.assert(
      fc.property(fc.tuple(rows(-4, 4), rows(0, 3), rows(0, 3)), (numbers) => {
        const odds = asOdds(numbers);
        const ways = everyWay(odds);
        const best = Math.max(...ways.map(({ weight }) => weight));
        const found = searchLead(odds);
        const chosen = ways.find(({ way }) => way.every((part, step) => part === found.parts[step]))!;
        expect(chosen.weight).toBeCloseTo(best, 4);
        const total = ways.reduce((sum, { weight }) => sum + Math.exp(weight - best), 0);
        for (let step = 0; step < 4; step++) {
          for (const [part, own] of found.chances.entries()) {
            const through = ways.filter(({ way }) => way[step] === part);
            const chance = through.reduce((sum, { weight }) => sum + Math.exp(weight - best), 0) / total;
            expect(own[step]).toBeCloseTo(chance, 5);
          }
        }
      }),
      { seed: 11, numRuns: 60 },
    );
  });

  it('a part far ahead of the others is as good as certain, two alike are even', () => {
    const free = [new Float64Array(3), new Float64Array(3)];
    const fits = [Float64Array.from([9, 9, 0]), Float64Array.from([0, 0, 0])];
    const { chances } = searchLead({ fits, leaving: free, entering: free });
    expect(chances[0]![0]).toBeGreaterThan(0.99);
    expect(chances[0]![2]).toBeCloseTo(0.5, 6);
  });
});
