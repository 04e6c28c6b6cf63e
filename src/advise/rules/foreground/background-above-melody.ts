import type { ForegroundSpan } from '../../../model/music/arrangement.ts';
import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { median } from '../../../model/music/dynamics.ts';
import type { MelodyNote } from '../../../model/readings/readings.ts';
import { barIndexAt, pulseQuarters } from '../../../model/music/timeline.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns, splitWhere, toldTogether } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { isLed } from '../../leads.ts';
import { barListText, elsewhereText, namesText, pitchText, placeText, verb } from '../../words.ts';
import { isDescant } from '../../../model/words/descant.ts';
import { firstReaching } from '../../../model/sorted-search.ts';

/** Where the background is above the melody for more than this share of it, that is how the piece is laid out. */
const LAID_OUT_SHARE = 0.5;

/** A background this much softer than the melody (a good grade) is behind it wherever it lies, but where a phrase comes to rest. */
const FAR_BEHIND_DB = 10;
/** Where a phrase comes to rest everything else is silent: there only so much softer is far. Our convention. */
const FAR_AT_CLOSE_DB = 20;
/** In so full a texture harmony in another colour over the tune is how an orchestra is written. */
const FULL_PARTS = 8;
/** A passage in which no phrase closes is worth a word from so many bars' worth of beats on. */
const TOLD_BEATS = 4;
/** Colours that die away or accompany in chords are not taken for the tune. */
const ACCOMPANYING: readonly string[] = ['keyboard', 'plucked', 'percussion'];

/** Passages parted by no more than this many bars are one finding. */
const BRIDGED_BARS = 1;
/** Middle C: under it a tune is one of tenors. */
const TENOR_MIDI = 60;
/** A beat at the close of a phrase weighs as much as so many inside it. */
const CLOSE_WEIGHT = 4;

interface Crossing {
  readonly bar: number;
  readonly judged: JudgedPart;
  readonly note: PlacedNote;
  readonly melody: MelodyNote;
  readonly fromQuarters: number;
  readonly quarters: number;
  readonly atClose: boolean;
  /** In beats. */
  readonly beats: number;
  /** Far softer than the melody there. */
  readonly farBehind: boolean;
}

function endOf(note: MelodyNote): number {
  return note.startQuarters + note.lengthQuarters;
}

function firstEndingAfter(melody: readonly MelodyNote[], quarters: number): number {
  return firstReaching(melody, (note) => endOf(note) > quarters + 1e-6);
}

/** A note that takes this many beats, and this many times the usual step of the notes before it, brings a phrase to rest. */
const LONG_BEATS = 1.5;
const LONG_FACTOR = 2;
const NOTES_BEFORE = 8;

/** From the onset of a melody note to the next, in quarters. */
function stepQuarters(melody: readonly MelodyNote[], index: number): number {
  const note = melody[index];
  const next = melody[index + 1];
  return note === undefined || next === undefined ? Number.NaN : next.startQuarters - note.startQuarters;
}

/**
 * True where a phrase of the melody closes on this note: it is the last, a rest of a beat follows, or it stands far longer
 * than the notes before it (the long step is the strongest sign of a boundary: E. Cambouropoulos, ICMC 2001, from memory).
 */
function closes(melody: readonly MelodyNote[], index: number, beatQuarters: number): boolean {
  const note = melody[index];
  const next = melody[index + 1];
  if (note === undefined || next === undefined) return note !== undefined;
  if (next.startQuarters - endOf(note) >= beatQuarters - 1e-6) return true;
  const step = stepQuarters(melody, index);
  if (step < LONG_BEATS * beatQuarters - 1e-6) return false;
  const first = Math.max(0, index - NOTES_BEFORE);
  const before = Array.from({ length: index - first }, (_, offset) => stepQuarters(melody, first + offset));
  return step >= LONG_FACTOR * (median(before) ?? Infinity) - 1e-6;
}

/** By how many dB a part is under the foreground in a bar; undefined where a level is missing, or the sketch has no dynamics and was not recorded. */
function behindDb(partId: string, bar: number, { readings, stage, flatVelocity }: RuleContext): number | undefined {
  const balance = readings.balance[bar - (stage.timeline.bars[0]?.number ?? 1)];
  const own = balance?.partsDb[partId];
  if (own === undefined || balance?.foregroundDb === undefined) return undefined;
  if (flatVelocity !== undefined && !balance.isMeasured) return undefined;
  return balance.foregroundDb - own;
}

/** Whether the ear may take this note for the tune: by its colour, its strength and who leads. */
function competes(crossing: Crossing, context: RuleContext): boolean {
  const { judged, melody, bar } = crossing;
  const lead = context.partById.get(melody.partId)?.part;
  if (lead === undefined || !isLed(context, bar)) return false;
  // A tune as low as a tenor's has its accompaniment above it by nature; only its own kind can hide it there.
  if (melody.midi < TENOR_MIDI && lead.instrument !== judged.part.instrument) return false;
  const isOneFamily = lead.family === judged.part.family;
  // A timbre that dies away or goes in chords is not taken for another's tune; among its own kind it may have one.
  if (ACCOMPANYING.includes(judged.part.family) && lead.instrument !== judged.part.instrument) return false;
  // Words carry a singer under the accompaniment.
  if (lead.family === 'voice' && !isOneFamily) return false;
  const sounding = Object.keys(
    context.readings.balance[bar - (context.stage.timeline.bars[0]?.number ?? 1)]?.partsDb ?? {},
  );
  return isOneFamily || ACCOMPANYING.includes(lead.family) || sounding.length < FULL_PARTS;
}

/**
 * Where a part came in with the notes that lead to this one without a rest of a beat. Who comes in over a held last note, when that is heard already,
 * fills or answers, as players of any trade do.
 */
function enteredAt({ notes }: JudgedPart, note: PlacedNote, beatQuarters: number): number {
  let entered = note.startQuarters;
  for (let index = notes.indexOf(note) - 1; index >= 0; index--) {
    const before = notes[index];
    if (before === undefined || before.endQuarters <= entered - beatQuarters + 1e-6) break;
    entered = before.startQuarters;
  }
  return entered;
}

/** Melody notes under which one background note lies above, doublings left out; by melody note. */
function crossingsOf(judged: JudgedPart, note: PlacedNote, context: RuleContext): readonly Crossing[] {
  const { readings, stage, limit } = context;
  const { melody } = readings;
  const { bars } = stage.timeline;
  const found: Crossing[] = [];
  let total = 0;
  for (let index = firstEndingAfter(melody, note.startQuarters); index < melody.length; index++) {
    const front = melody[index];
    if (front === undefined || front.startQuarters >= note.endQuarters - 1e-6) break;
    if (note.midi <= front.midi || (note.midi - front.midi) % 12 === 0) continue;
    const fromQuarters = Math.max(front.startQuarters, note.startQuarters);
    const quarters = Math.min(endOf(front), note.endQuarters) - fromQuarters;
    const bar = bars[barIndexAt(bars, fromQuarters)];
    if (bar === undefined || quarters <= 1e-6) continue;
    const beatQuarters = pulseQuarters(bar.meter);
    // The last note of a lead-in, held over into the tune that it brings.
    const before = melody[index - 1];
    const comesIn = before === undefined || endOf(before) <= note.startQuarters + 1e-6;
    if (comesIn && note.startQuarters < front.startQuarters - 1e-6 && quarters <= beatQuarters + 1e-6) continue;
    const isClose = closes(melody, index, beatQuarters);
    if (isClose && enteredAt(judged, note, beatQuarters) >= front.startQuarters + beatQuarters - 1e-6) continue;
    total += quarters / beatQuarters;
    const atClose = isClose && quarters >= limit * beatQuarters - 1e-6;
    const farBehind =
      (behindDb(judged.part.id, bar.number, context) ?? 0) > (atClose ? FAR_AT_CLOSE_DB : FAR_BEHIND_DB);
    const beats = quarters / beatQuarters;
    found.push({ bar: bar.number, judged, note, melody: front, fromQuarters, quarters, atClose, beats, farBehind });
  }
  return total >= limit - 1e-6 ? found : [];
}

/** Share of the melody's length under some background note. */
function crossedShare(crossings: readonly Crossing[], melody: readonly MelodyNote[]): number {
  const spans = crossings.map(({ fromQuarters, quarters }) => [fromQuarters, fromQuarters + quarters] as const);
  let crossed = 0;
  let coveredTo = Number.NEGATIVE_INFINITY;
  for (const [from, to] of [...spans].sort(([a], [b]) => a - b)) {
    crossed += Math.max(0, to - Math.max(from, coveredTo));
    coveredTo = Math.max(coveredTo, to);
  }
  const length = melody.reduce((sum, note) => sum + note.lengthQuarters, 0);
  return length === 0 ? 0 : crossed / length;
}

function furthest(crossings: readonly Crossing[]): Crossing | undefined {
  return crossings.reduce<Crossing | undefined>(
    (most, crossing) =>
      most === undefined || crossing.note.midi - crossing.melody.midi > most.note.midi - most.melody.midi
        ? crossing
        : most,
    undefined,
  );
}

/** Where a phrase closes inside the passage. */
function closeText({ from, to }: BarRun<Crossing>, closing: readonly Crossing[]): string {
  return from === to
    ? ', where a phrase closes'
    : `, with the close of a phrase in ${barListText(closing.map(({ bar }) => bar))}`;
}

function findingOf(run: BarRun<Crossing>, context: RuleContext): DraftFinding[] {
  const closing = run.items.filter((crossing) => crossing.atClose);
  const atClose = closing.length > 0;
  if (!atClose && run.items.reduce((sum, { beats, farBehind }) => sum + (farBehind ? 0 : beats), 0) < TOLD_BEATS)
    return [];
  const telling = furthest(atClose ? closing : run.items);
  if (telling === undefined) return [];
  const ids = new Set(run.items.map(({ judged }) => judged.part.id));
  const parts = context.parts.filter(({ part }) => ids.has(part.id)).map(({ part }) => part);
  const lead = context.partById.get(telling.melody.partId);
  const melodyNote = lead?.notes.find(
    (note) => note.midi === telling.melody.midi && Math.abs(note.startQuarters - telling.melody.startQuarters) < 1e-6,
  );
  const under =
    lead === undefined || melodyNote === undefined
      ? ''
      : ` over ${pitchText(melodyNote.written.pitch, lead.part)} of ${lead.part.name}`;
  // A line that a note announces is meant, also where a phrase closes.
  const isAnnounced = run.items.every(({ judged, bar }) =>
    (context.stage.announced ?? []).some(
      ({ partId, from, to }) => partId === judged.part.id && from <= bar && bar <= to,
    ),
  );
  const top = pitchText(telling.note.written.pitch, telling.judged.part);
  const bars = barListText(run.items.map(({ bar }) => bar).sort((a, b) => a - b));
  return [
    {
      level: !isAnnounced && closing.some(({ farBehind }) => !farBehind) ? 'look' : 'note',
      from: run.from,
      to: run.to,
      partIds: parts.map((part) => part.id),
      message: `${namesText(parts)} ${verb(parts, 'lies', 'lie')} above the melody in ${bars}${atClose ? closeText(run, closing) : ''}: ${telling.judged.part.name} ${verb([telling.judged.part], 'has', 'have')} ${top}${under} at ${placeText(context.stage.timeline, telling.fromQuarters)}${elsewhereText(run)}${isAnnounced ? '; a note announces it' : ''}.`,
      advice: isAnnounced
        ? 'Keep it softer than the tune, and clear of it where a phrase closes.'
        : 'Put the chord under the melody note or let it double that note, unless the melody stands out by timbre or is meant to lie inside.',
      notes: [
        ...foundNotes(telling.judged.part, [telling.note]),
        ...foundNotes(lead?.part, melodyNote === undefined ? [] : [melodyNote]),
      ],
      amount: telling.note.midi - telling.melody.midi,
    },
  ];
}

/** True where the background is above most of the tune of one leader's span. */
function isLaidOut(
  { from, to }: ForegroundSpan,
  crossings: readonly Crossing[],
  { readings, stage }: RuleContext,
): boolean {
  const { bars } = stage.timeline;
  const inSpan = (quarters: number): boolean => {
    const bar = bars[barIndexAt(bars, quarters)]?.number ?? 0;
    return bar >= from && bar <= to;
  };
  const tune = readings.melody.filter(({ startQuarters }) => inSpan(startQuarters));
  const above = crossings.filter(({ bar }) => bar >= from && bar <= to);
  return crossedShare(above, tune) > LAID_OUT_SHARE;
}

export const backgroundAboveMelody = defineRule(
  {
    name: 'background-above-melody',
    title: 'The background above the melody',
    looksAt:
      'Background notes of voices, winds and bowed strings, and of the leader’s own instrument, that lie above the top line of the foreground for a beat or more and do not double it at the unison or octave: at the close of a phrase, or for four beats in a passage where they are not far softer. Left out are tunes under middle C (but for parts of the same instrument), another timbre in a full orchestra, an accompaniment over a singer, the end of a lead-in, what answers or fills over a last note that is held already, a leader whose tune lies inside by design, and bars where it is doubtful who leads.',
    why: 'The ear takes the highest line for the melody, most of all where a phrase comes to rest.',
    limit: { standard: 1, unit: 'beats', meaning: 'how long a background note lies above the melody before it counts' },
    source: `N. Rimsky-Korsakov, Principles of Orchestration, ch. II (a melody stands out on top); nothing crosses it unless meant, as what is called a descant, which is left out, or what a note announces: ${COMMON_PRACTICE}`,
    level: 'look',
    followsFromPlace: true,
  },
  (context) => {
    const { bars } = context.stage.timeline;
    const crossings = context.parts
      .filter(({ part }) => !part.unpitched && !isDescant(part, context.stage.parts))
      .flatMap((judged) =>
        judged.notes
          .filter((note) => !(context.front[barIndexAt(bars, note.startQuarters)]?.has(judged.part.id) ?? false))
          .flatMap((note) => crossingsOf(judged, note, context)),
      );
    const barOf = ({ bar }: Crossing): number => bar;
    // Where the tune of a leader lies inside by design, as that of a tenor voice does, there is nothing to find.
    const leads = [...new Set(context.leads)];
    const laidOut = new Set(leads.filter((lead) => lead !== undefined && isLaidOut(lead, crossings, context)));
    const first = bars[0]?.number ?? 1;
    const competing = crossings.filter(
      (crossing) => !laidOut.has(context.leads[crossing.bar - first]) && competes(crossing, context),
    );
    const runs = splitWhere(barRuns(competing, barOf, BRIDGED_BARS), barOf, ({ melody }) => melody.partId);
    const kindOf = ({ items }: BarRun<Crossing>): string =>
      [items.some(({ atClose }) => atClose), ...new Set(items.map(({ judged }) => judged.part.id))].sort().join('|');
    const weigh = ({ items }: BarRun<Crossing>): number =>
      items.reduce((sum, { beats, atClose }) => sum + beats * (atClose ? CLOSE_WEIGHT : 1), 0);
    return toldTogether(runs, kindOf, weigh).flatMap((run) => findingOf(run, context));
  },
);
