import { registerIn } from '../../../analyse/parts/register.ts';
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

/**
 * So many breaths without a written rest in the midst of shorter notes want one, though the end of a longer note may be given up; a singer's longer
 * stretches are told as `stamina`. Our conventions.
 */
const UNBROKEN_BREATHS = 1.75;
const FEWEST_SECONDS = 18;
const MOST_SUNG_SECONDS = 24;
/** Notes so long on average are held ones, of which each can give up its end. */
const HELD_SECONDS = 1.5;
/** Where more than half of the time is in notes that can, nobody has to look for a place. */
const MOVING_SHARE = 0.5;
/** Where so many others go on through most of it it is how the piece is written, and all breathe together. */
const OTHERS_UNBROKEN = 2;
const SAME_STRETCH = 0.6;

interface Held {
  readonly judged: JudgedPart;
  readonly span: BreathSpan;
  readonly from: number;
  readonly to: number;
}

/**
 * One player, as far as is known: a choir breathes in turns, and so do the players of a name in the plural. Who sings alone where all others of the
 * choir are several is its soloist.
 */
function isOnePlayer({ id, players, family, name }: Part, { idiom, stage }: RuleContext): boolean {
  if (players > 1 || isPluralName(name)) return false;
  if (family !== 'voice' || idiom.kind !== 'choir') return true;
  const others = stage.parts.filter((other) => other.family === 'voice' && other.id !== id);
  return others.length > 1 && others.every((other) => other.players > 1);
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

/** Where the figure for this instrument is from; nothing where it has no source of its own. */
function sourceOf({ instrument }: Part): { readonly source?: string } {
  const sources = sourcesOf(instrumentById(instrument)?.breathSeconds?.src ?? []);
  return sources.length === 0 ? {} : { source: sources.map(({ title }) => title).join('; ') };
}

interface Unbroken {
  readonly judged: JudgedPart;
  readonly span: BreathSpan;
  /** Seconds in which shorter notes run to a longer one. */
  readonly movingSeconds: number;
}

const secondsFrom = ({ unbroken: { first } }: BreathSpan): number => first.played.startSecond;

function movingIn(spans: readonly BreathSpan[]): number {
  return spans.reduce((sum, { first, last, seconds }) => sum + (first === last ? 0 : seconds), 0);
}

/** Stretches of every part in which there are places for a catch breath, and no written rest. */
function unbrokenOf(spans: ReadonlyMap<JudgedPart, readonly BreathSpan[]>, context: RuleContext): readonly Unbroken[] {
  const all = [...spans].flatMap(([judged, own]) => {
    const byPlace = groupedBy(own, secondsFrom);
    return [...byPlace.values()].flatMap((alike): Unbroken[] => {
      const [span] = alike;
      const isTold = alike.some(({ seconds, breathSeconds }) => seconds > context.limit * breathSeconds);
      return span === undefined || isTold || alike.length < 2 ? [] : [{ judged, span, movingSeconds: movingIn(alike) }];
    });
  });
  const isLong = ({ judged: { part }, span: { unbroken, breathSeconds } }: Unbroken): boolean =>
    unbroken.seconds >= Math.max(FEWEST_SECONDS, UNBROKEN_BREATHS * breathSeconds) &&
    (part.family !== 'voice' || unbroken.seconds <= MOST_SUNG_SECONDS);
  const isBeside = ({ span }: Unbroken, other: Unbroken): boolean => {
    const [from, to] = [secondsFrom(span), secondsFrom(span) + span.unbroken.seconds];
    const [begins, ends] = [secondsFrom(other.span), secondsFrom(other.span) + other.span.unbroken.seconds];
    return Math.min(to, ends) - Math.max(from, begins) >= SAME_STRETCH * (to - from);
  };
  const { timeline } = context.stage;
  const firstBar = timeline.bars[0]?.number ?? 1;
  const highIn = (id: string, bar: number): number | undefined => registerIn(context.readings.register, id, bar)?.high;
  /** A descant is as much of a tune as the one below it. */
  const isAbove = (id: string, bar: number, front: ReadonlySet<string>): boolean => {
    const [own, leads] = [highIn(id, bar), [...front].flatMap((other) => highIn(other, bar) ?? [])];
    return own !== undefined && leads.length > 0 && own > Math.max(...leads);
  };
  const isAnnounced = (id: string, bar: number): boolean =>
    (context.stage.announced ?? []).some((line) => line.partId === id && line.from <= bar && bar <= line.to);
  // Who accompanies drops a note for a breath, and nobody misses it; a tune has none to drop.
  const isTune = ({ judged: { part }, span: { unbroken } }: Unbroken): boolean => {
    const { from, to } = barsOfStretch(unbroken, timeline);
    const bars = context.front.slice(from - firstBar, to - firstBar + 1);
    const own = bars.filter(
      (front, index) =>
        front.has(part.id) || isAbove(part.id, from + index, front) || isAnnounced(part.id, from + index),
    );
    return 2 * own.length > bars.length;
  };
  return all.filter((item) => {
    const { judged, span } = item;
    if (!isOnePlayer(judged.part, context) || !isLong(item) || !isTune(item)) return false;
    const { first, last, seconds } = span.unbroken;
    const count = judged.notes.filter(
      ({ startQuarters }) => startQuarters >= first.startQuarters && startQuarters <= last.startQuarters,
    ).length;
    const beside = all.filter((other) => other.judged !== judged && isBeside(item, other));
    const isMoving = seconds < HELD_SECONDS * count && item.movingSeconds >= MOVING_SHARE * seconds;
    return isMoving && beside.length < OTHERS_UNBROKEN;
  });
}

export const breath = defineRule(
  {
    name: 'breath',
    title: 'No place to breathe',
    looksAt:
      'The longest stretch of a wind, brass or vocal part without a pause or written rest of 0.3 s, for which the note before it may give up three tenths of itself (four where the same pitch is struck again; none in a row of twelve and more notes of a whole bar each), against what a breath lasts on that instrument at the dynamic of the stretch. For information, a stretch of a tune, a descant or a counter-melody that a note names of 18 s and more without a written rest that is much longer than a breath, where longer notes between shorter ones are the only places to take one, and where it is not how most who blow or sing are written there. Players of one part, and choirs, can take turns and are left out, but for two to four of whom each has a note of his own.',
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
    const spans = new Map(parts.map((judged) => [judged, breathSpansOf(judged, judged.model, timeline)]));
    for (const [judged, own] of spans) {
      const isOne = isOnePlayer(judged.part, context);
      for (const span of own) {
        if (!isOne && !areAllBusy(judged, span)) continue;
        if (span.seconds <= limit * span.breathSeconds) continue;
        const places = barsOfStretch(span, timeline);
        const key = `${judged.part.instrument} ${places.from}/${places.to}`;
        bySpan.set(key, [...(bySpan.get(key) ?? []), { judged, span, ...places }]);
      }
    }
    const unbroken = unbrokenOf(spans, context).map(({ judged: { part }, span }) => {
      const { from, to } = barsOfStretch(span.unbroken, timeline);
      const performer = performerOf(part);
      return {
        level: 'note' as const,
        from,
        to,
        partIds: [part.id],
        message: `${part.name} ${playsOrSings([part])} ${rounded(span.unbroken.seconds, 0)} s without a written rest in ${barSpanText(from, to)}; a breath lasts about ${rounded(span.breathSeconds, 0)} s there (a planning value), and only the end of a longer note is left for one.`,
        advice: `Write a rest or a breath mark where the phrase ends, or leave it to the ${performer}.`,
        ...sourceOf(part),
        amount: span.unbroken.seconds / span.breathSeconds,
        // Who has no bar of rest for so long is told that.
        yieldsTo: ['never-rests'] as const,
      };
    });
    const told = [...bySpan.values()].flatMap((held) => {
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
      return {
        level: breaths > limit * LOOK_FACTOR || span.isRow ? ('look' as const) : ('note' as const),
        ...whole,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} ${playsOrSings(named)} ${without}; a breath lasts about ${rounded(span.breathSeconds, 0)} s there (a planning value).`,
        advice: span.isRow
          ? `Write a rest where the breath is meant, or ask the ${performer}: each note can give up its end, but no phrase says which.`
          : `Write a breath where the phrase allows it, let another ${performer} take over, or ask the ${performer}.`,
        ...sourceOf(judged.part),
        amount: breaths,
        ...(span.isRow ? { yieldsTo: ['stamina'] as const } : {}),
      };
    });
    return [...told, ...unbroken];
  },
);
