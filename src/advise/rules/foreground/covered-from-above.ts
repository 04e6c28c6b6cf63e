import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { registerStrength } from '../../../analyse/level/power/power-of-instrument.ts';
import type { MelodyNote } from '../../../model/readings/readings.ts';
import { barIndexAt } from '../../../model/music/timeline.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, instrumentText, keyText, pitchText, placeText, verb } from '../../words.ts';

/** Registers that the sources call weak, and how many steps brighter the other one is. */
const WEAK = 2;
const BRIGHTER_BY = 2;
/** So far above it is heard as a line of its own: a minor third and more. */
const ABOVE_SEMITONES = 3;
/** For so much of the tune's time in the bar. */
const SHARE = 0.5;

interface Covered {
  readonly bar: number;
  readonly tune: MelodyNote;
  readonly above: PlacedNote;
  readonly judged: JudgedPart;
}

/** The middle strings of a violin are sweeter than the others, and a section of them is not weak. */
function isBlown({ part }: JudgedPart): boolean {
  return part.family === 'woodwind' || part.family === 'brass';
}

function overlap(tune: MelodyNote, note: PlacedNote): number {
  const end = Math.min(tune.startQuarters + tune.lengthQuarters, note.endQuarters);
  return Math.max(0, end - Math.max(tune.startQuarters, note.startQuarters));
}

/** The bar as covered by this part; undefined where it is not. */
function coveredBar(
  context: RuleContext,
  barIndex: number,
  tune: readonly MelodyNote[],
  judged: JudgedPart,
  notes: readonly PlacedNote[],
): Covered | undefined {
  const { readings, partById, limit } = context;
  const balance = readings.balance[barIndex];
  const own = balance?.partsDb[judged.part.id];
  let held = 0;
  let under = 0;
  let worst: Covered | undefined;
  for (const note of tune) {
    const lead = partById.get(note.partId);
    held += note.lengthQuarters;
    const strength =
      lead === undefined || !isBlown(lead) ? undefined : registerStrength(lead.part.instrument, note.midi);
    const leadDb = balance?.partsDb[note.partId];
    if (strength === undefined || strength > WEAK || own === undefined || leadDb === undefined) continue;
    if (own < leadDb - limit) continue;
    for (const above of notes) {
      const shared = overlap(note, above);
      const bright = registerStrength(judged.part.instrument, above.midi);
      const interval = above.midi - note.midi;
      if (shared <= 0 || bright === undefined || bright < strength + BRIGHTER_BY) continue;
      // What comes in with the tune at the octave is its colour.
      const doubles = interval % 12 === 0 && Math.abs(above.startQuarters - note.startQuarters) < 1e-6;
      if (interval < ABOVE_SEMITONES || doubles) continue;
      under += shared;
      worst ??= { bar: balance?.bar ?? 0, tune: note, above, judged };
    }
  }
  return held > 0 && under >= SHARE * held ? worst : undefined;
}

export const coveredFromAbove = defineRule(
  {
    name: 'covered-from-above',
    title: 'A weak register under a brighter one',
    looksAt:
      'Bars in which the tune of a wind or brass instrument lies in a register that the sources call weak and a sustaining instrument of the background in a register at least two steps stronger lies a third and more above it for half of the time, without being much softer.',
    why: 'The ear goes up to the bright line; what lies under it in a dull register is taken for accompaniment.',
    limit: { standard: 10, unit: 'dB', meaning: 'how far under the tune the brighter part has to stay' },
    source:
      'characters of registers: N. Rimsky-Korsakov, Principles of Orchestration, ch. I and tables B and C; their order of strength is our reading',
    level: 'look',
    yieldsTo: ['background-as-loud', 'background-covers'],
  },
  (context) => {
    const { bars } = context.stage.timeline;
    const tuneByBar = bars.map((): MelodyNote[] => []);
    for (const note of context.readings.melody) tuneByBar[barIndexAt(bars, note.startQuarters)]?.push(note);
    return context.parts.flatMap((judged) => {
      const { part } = judged;
      if (!['woodwind', 'brass', 'strings'].includes(part.family)) return [];
      const notesByBar = bars.map((): PlacedNote[] => []);
      for (const note of judged.notes) notesByBar[barIndexAt(bars, note.startQuarters)]?.push(note);
      const covered = bars.flatMap((_, index) => {
        const tune = tuneByBar[index] ?? [];
        if (tune.length === 0 || (context.front[index]?.has(part.id) ?? false)) return [];
        return coveredBar(context, index, tune, judged, notesByBar[index] ?? []) ?? [];
      });
      return gatheredRuns(covered, ({ bar }) => bar)
        .filter(({ items }) => items.length > 1)
        .flatMap((run) => {
          const [first] = run.items;
          const lead = context.partById.get(first?.tune.partId ?? '')?.part;
          if (first === undefined || lead === undefined) return [];
          return {
            level: 'look' as const,
            from: run.from,
            to: run.to,
            partIds: [part.id, lead.id],
            message: `${part.name} ${verb([part], 'lies', 'lie')} bright above ${lead.name} in ${barListText(run.items.map(({ bar }) => bar))}, where the ${instrumentText(lead)} is weak: ${pitchText(first.above.written.pitch, part)} over ${keyText(first.tune.midi, lead)} at ${placeText(context.stage.timeline, Math.max(first.tune.startQuarters, first.above.startQuarters))}${elsewhereText(run)}.`,
            advice: 'Put the tune higher or double it, or bring the part above down into the harmony.',
            amount: run.items.length,
          };
        });
    });
  },
);
