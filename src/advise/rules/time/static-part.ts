import { barsOfStretch, type PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { barSpanText, listText } from '../../../model/words/plain-words.ts';
import { barIndexAt } from '../../../model/music/timeline.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { namesText, pitchText, verb } from '../../words.ts';

/** Orchestral brass holds and repeats the notes that fit the harmony by old custom: it takes half as long again. */
const BRASS_FACTOR = 1.5;
const FAMILIES = ['woodwind', 'brass'];

interface Still {
  readonly first: PlacedNote;
  last: PlacedNote;
}

/** Stretches of notes of one pitch without a whole silent bar. */
function stillStretches({ notes }: JudgedPart, { stage }: RuleContext): readonly Still[] {
  const { bars } = stage.timeline;
  const stretches: Still[] = [];
  for (const note of notes) {
    const open = stretches.at(-1);
    const rests =
      open === undefined
        ? 0
        : barIndexAt(bars, note.startQuarters) - barIndexAt(bars, open.last.endQuarters - 1e-4) - 1;
    if (open?.first.midi === note.midi && rests < 1) open.last = note;
    else stretches.push({ first: note, last: note });
  }
  return stretches;
}

/** Share of the stretch's moments in which the part has the lowest note: a pedal point is meant to stand still. */
function pedalShare({ first, last }: Still, index: number, { slices }: RuleContext): number {
  let whole = 0;
  let lowest = 0;
  for (const { startQuarters, endQuarters, sounding } of slices) {
    if (startQuarters < first.startQuarters || endQuarters > last.endQuarters) continue;
    whole += endQuarters - startQuarters;
    if (sounding[0]?.partIndex === index) lowest += endQuarters - startQuarters;
  }
  return whole === 0 ? 0 : lowest / whole;
}

export const staticPart = defineRule(
  {
    name: 'static-part',
    title: 'A wind part that stands still',
    looksAt:
      'Wind and brass parts that have one pitch only for many bars in a row; a pedal point in the bass is left out, and so are bands and film music, which are built on ostinati. Orchestral brass may stay half as long again.',
    why: 'A part should be worth playing: on one note for long a player tires, and listeners stop hearing it.',
    limit: { standard: 12, unit: 'bars', meaning: 'how long a part may stay on one pitch' },
    source: COMMON_PRACTICE,
    level: 'note',
  },
  (context) => {
    const bySpan = new Map<string, { from: number; to: number; still: { judged: JudgedPart; note: PlacedNote }[] }>();
    // Pedals, drones and ostinati are what film music and bands are built on.
    if (!context.idiom.strictHarmony) return [];
    context.parts.forEach((judged, index) => {
      if (!FAMILIES.includes(judged.part.family)) return;
      for (const stretch of stillStretches(judged, context)) {
        const { from, to } = barsOfStretch(stretch, context.stage.timeline);
        const isNatural = judged.part.family === 'brass' && context.idiom.kind === 'orchestra';
        const limit = context.limit * (isNatural ? BRASS_FACTOR : 1);
        if (to - from + 1 <= limit || pedalShare(stretch, index, context) > 0.5) continue;
        const span = bySpan.get(`${from}/${to}`) ?? { from, to, still: [] };
        span.still.push({ judged, note: stretch.first });
        bySpan.set(`${from}/${to}`, span);
      }
    });
    return [...bySpan.values()].map(({ from, to, still }) => {
      const named = still.map(({ judged: { part } }) => part);
      const pitches = still.map(({ judged: { part }, note }) => pitchText(note.written.pitch, part));
      return {
        level: 'note' as const,
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} ${verb(named, 'has', 'have')} nothing but ${listText([...new Set(pitches)])}${named.length === 1 ? '' : ', one note each,'} for ${to - from + 1} bars, in ${barSpanText(from, to)}.`,
        advice: 'Give such a part a turn of the line, exchange notes with a neighbour, or let it rest.',
        amount: to - from + 1,
      };
    });
  },
);
