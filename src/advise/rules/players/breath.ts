import { barsOfStretch } from '../../../analyse/placed-notes/placed-notes.ts';
import type { BreathSpan } from '../../../analyse/playability/breath.ts';
import { breathSpansOf, MUCH_LONGER } from '../../../analyse/playability/breath.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { instrumentById, sourcesOf } from '../../../model/music/catalogue.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { isPluralName } from '../../../model/words/part-grammar.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { JudgedPart, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { namesText, placeText, performerOf, playsOrSings, rounded } from '../../words.ts';

/** So far beyond that it is more than a remark. */
const LOOK_FACTOR = 1.5;

/** What has no written rest about a stretch is told with it where it is no longer than so many breaths: a phrase, no sweep. */
const MOST_BREATHS = 4;

/** So many players of a part are known one by one. */
const MOST_DESKS = 4;

interface Held {
  readonly judged: JudgedPart;
  readonly span: BreathSpan;
  readonly from: number;
  readonly to: number;
}

/** One player, as far as is known: a choir breathes in turns, and so do the players of a name in the plural. */
function isOnePlayer({ players, family, name }: Part, { idiom }: RuleContext): boolean {
  return players === 1 && !isPluralName(name) && !(family === 'voice' && idiom.kind === 'choir');
}

/** Players who all have a note of their own throughout the stretch cannot take turns. */
function areAllBusy({ part, notes }: JudgedPart, { first, last }: BreathSpan): boolean {
  if (part.players < 2 || part.players > MOST_DESKS || part.family === 'voice') return false;
  const within = notes.filter(
    (note) => note.startQuarters >= first.startQuarters && note.startQuarters <= last.startQuarters,
  );
  const byOnset = groupedBy(within, ({ startQuarters }) => startQuarters.toFixed(3));
  return [...byOnset.values()].every((together) => new Set(together.map(({ midi }) => midi)).size >= part.players);
}

export const breath = defineRule(
  {
    name: 'breath',
    title: 'No place to breathe',
    looksAt:
      'The longest stretch of a wind, brass or vocal part without a pause or written rest of 0.3 s, for which the note before it may give up three tenths of itself (four where the same pitch is struck again; none in a row of twelve and more notes of a whole bar each), against what a breath lasts on that instrument at the dynamic of the stretch. Players of one part, and choirs, can take turns and are left out, but for two to four of whom each has a note of his own.',
    why: 'A phrase longer than a breath will be broken somewhere: better where the arranger wants it.',
    limit: {
      standard: 1.15,
      unit: 'breaths',
      meaning: 'how many planning values of a breath a stretch may last, which are rough by more than a tenth',
    },
    source:
      'planning values of the instrument catalogue: four litres at an assumed flow of air (derived, no table is published)',
    level: 'look',
  },
  (context) => {
    const {
      parts,
      stage: { timeline },
      limit,
    } = context;
    const bySpan = new Map<string, Held[]>();
    for (const judged of parts) {
      const isOne = isOnePlayer(judged.part, context);
      for (const span of breathSpansOf(judged, judged.model, timeline)) {
        if (!isOne && !areAllBusy(judged, span)) continue;
        if (span.seconds <= limit * span.breathSeconds) continue;
        const places = barsOfStretch(span, timeline);
        const key = `${judged.part.instrument} ${places.from}/${places.to}`;
        bySpan.set(key, [...(bySpan.get(key) ?? []), { judged, span, ...places }]);
      }
    }
    return [...bySpan.values()].flatMap((held) => {
      const [first] = held;
      if (first === undefined) return [];
      const { judged, span, from, to } = first;
      const named = held.map((item) => item.judged.part);
      const { unbroken } = span;
      const isWider =
        !span.isRow &&
        unbroken.seconds >= MUCH_LONGER * span.seconds &&
        unbroken.seconds <= MOST_BREATHS * span.breathSeconds;
      const whole = isWider ? barsOfStretch(unbroken, timeline) : { from, to };
      const without = isWider
        ? `${rounded(unbroken.seconds, 0)} s without a written rest in ${barSpanText(whole.from, whole.to)}, ${rounded(span.seconds, 0)} s of them, in ${barSpanText(from, to)}, without a note long enough to breathe after it`
        : `${rounded(span.seconds, 0)} s without ${span.isRow ? 'a written rest, whole bars one on the other,' : 'a place to breathe'} in ${barSpanText(from, to)}, from ${placeText(timeline, span.first.startQuarters)}`;
      const performer = performerOf(judged.part);
      const breaths = Math.max(...held.map((item) => item.span.seconds / item.span.breathSeconds));
      const sources = sourcesOf(instrumentById(judged.part.instrument)?.breathSeconds?.src ?? []);
      return {
        level: breaths > limit * LOOK_FACTOR || span.isRow ? ('look' as const) : ('note' as const),
        ...whole,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} ${playsOrSings(named)} ${without}; a breath lasts about ${rounded(span.breathSeconds, 0)} s there (a planning value).`,
        advice: span.isRow
          ? `Write a rest where the breath is meant, or ask the ${performer}: each note can give up its end, but no phrase says which.`
          : `Write a breath where the phrase allows it, let another ${performer} take over, or ask the ${performer}.`,
        ...(sources.length === 0 ? {} : { source: sources.map(({ title }) => title).join('; ') }),
        amount: breaths,
        ...(span.isRow ? { yieldsTo: ['stamina'] as const } : {}),
      };
    });
  },
);
