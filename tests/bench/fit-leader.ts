/**
 * Sets the weights of the signs of a leader (src/assemble/who-has-the-melody/lead-weights.ts) by a conditional logit over beats: the chance of a part among
 * all that sound. Only halves for tuning are read; every source weighs the same. Prints the weights, for a person to round and judge.
 */
import { leadSigns, leadSteps, SIGNS } from '../../src/assemble/who-has-the-melody/lead-signs.ts';
import { KNOWN, SELDOM, WEIGHTS } from '../../src/assemble/who-has-the-melody/lead-weights.ts';
import type { KnownLeaders } from '../support/leaders/leader-truth.ts';
import { knownKinds, knownMovements, knownSongs, knownTextures } from '../support/leaders/leader-truth.ts';

interface Choice {
  readonly rows: readonly Float64Array[];
  readonly right: readonly boolean[];
  readonly weight: number;
  readonly set: string;
}

const SIZE = SIGNS.length;

function choicesOf(known: KnownLeaders): Choice[] {
  const candidates = known.candidates.filter(({ unpitched, notes }) => !unpitched && notes.length > 0);
  const steps = leadSteps(known.bars, known.sections);
  const signs = leadSigns(candidates, known.bars, steps);
  const choices = steps.flatMap(({ startQuarters }, step): Choice[] => {
    const leaders = known.leadersAt(startQuarters + 0.01);
    const sounding = candidates.flatMap((part, index) => (signs[index]?.within[step] === 1 ? [{ part, index }] : []));
    const right = sounding.map(({ part }) => leaders.includes(part.id));
    if (sounding.length < 2 || !right.includes(true)) return [];
    return [
      {
        rows: sounding.map(({ index, part }) =>
          Float64Array.of(
            ...(signs[index]?.signs.subarray(step * SIZE, (step + 1) * SIZE) ?? []),
            SELDOM.get(part.instrument) ?? 0,
          ),
        ),
        right,
        weight: 1,
        set: known.set,
      },
    ];
  });
  return choices.map((choice) => ({ ...choice, weight: 1 / Math.sqrt(choices.length) }));
}

function evaluate(choices: readonly Choice[], weights: Float64Array): number {
  let right = 0;
  let all = 0;
  for (const { rows, right: good, weight } of choices) {
    const scores = rows.map((row) => row.reduce((sum, own, index) => sum + own * (weights[index] ?? 0), 0));
    if (good[scores.indexOf(Math.max(...scores))] === true) right += weight;
    all += weight;
  }
  return right / all;
}

function fit(choices: readonly Choice[], start: Float64Array, rounds: number): Float64Array {
  const weights = Float64Array.from(start);
  const momentum = new Float64Array(weights.length);
  const total = choices.reduce((sum, { weight }) => sum + weight, 0);
  for (let round = 0; round < rounds; round++) {
    const slope = new Float64Array(weights.length);
    for (const { rows, right, weight } of choices) {
      const scores = rows.map((row) => {
        let sum = 0;
        for (let index = 0; index <= SIZE; index++) sum += (row[index] ?? 0) * (weights[index] ?? 0);
        return sum - (row[SIZE + 1] ?? 0);
      });
      const most = Math.max(...scores);
      const powers = scores.map((score) => Math.exp(score - most));
      const all = powers.reduce((sum, power) => sum + power, 0);
      const good = powers.reduce((sum, power, index) => sum + (right[index] === true ? power : 0), 0);
      rows.forEach((row, part) => {
        const wanted = right[part] === true ? (powers[part] ?? 0) / good : 0;
        const given = (powers[part] ?? 0) / all;
        for (let index = 0; index <= SIZE; index++)
          slope[index] = (slope[index] ?? 0) + (weight / total) * (wanted - given) * (row[index] ?? 0);
      });
    }
    for (let index = 0; index <= SIZE; index++) {
      momentum[index] = 0.9 * (momentum[index] ?? 0) + (slope[index] ?? 0) - 0.003 * (weights[index] ?? 0);
      weights[index] = (weights[index] ?? 0) + 0.3 * (momentum[index] ?? 0);
    }
  }
  return weights;
}

const annotations = process.env['LEADER_ANNOTATIONS'];
const known = [
  ...knownSongs(),
  ...knownTextures(),
  ...(await knownKinds()),
  ...(annotations === undefined ? [] : knownMovements(annotations)),
];
const bySet = new Map<string, Choice[]>();
for (const own of known.filter(({ half }) => half === 'tuning'))
  bySet.set(own.set, [...(bySet.get(own.set) ?? []), ...choicesOf(own)]);
const choices = [...bySet.values()].flatMap((own) => {
  const total = own.reduce((sum, { weight }) => sum + weight, 0);
  return own.map((choice) => ({ ...choice, weight: (choice.weight / total) * (choice.set === 'orchestra' ? 3 : 1) }));
});
const start = Float64Array.of(...SIGNS.map((sign) => WEIGHTS[sign]), KNOWN.second, -1);
const weights = fit(choices, start, 400);
for (const [label, own] of [
  ['before', start],
  ['after', weights],
] as const) {
  console.log(
    label,
    ...[...bySet.keys()].map(
      (set) =>
        `${set} ${(
          100 *
          evaluate(
            choices.filter((choice) => choice.set === set),
            own,
          )
        ).toFixed(1)} %`,
    ),
  );
}
for (const [index, sign] of SIGNS.entries()) console.log(`  ${sign}: ${(weights[index] ?? 0).toFixed(2)},`);
console.log(`  second: ${(weights[SIZE] ?? 0).toFixed(2)}`);
