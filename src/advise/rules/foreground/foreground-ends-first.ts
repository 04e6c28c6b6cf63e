import { FULL_DOUBLINGS } from '../../../analyse/lines/doublings.ts';
import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { barAndBeat, barIndexAt, pulseQuarters, quartersAt, secondAt } from '../../../model/music/timeline.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import { areLed } from '../../leads.ts';
import { beatsText, namesText, placeText, rounded, verb } from '../../words.ts';

/**
 * With other notes than the held chord in at least this many later bars the background plays a postlude of its own: that is
 * composed, and only noted. A background that holds or repeats the last chord adds nothing, however long: that is the slip.
 */
const POSTLUDE_BARS = 2;
/** So much longer at least, whatever the beat: a release is not cut to the split second. */
const LEAST_SECONDS = 0.4;
/** A postlude longer than this is plainly meant. */
const LONG_POSTLUDE_BARS = 4;

/** A struck or plucked note rings as long as it likes: only who holds a note decides when it ends. */
function holds({ part }: JudgedPart): boolean {
  return !part.unpitched && part.family !== 'percussion' && (instrumentById(part.instrument)?.sustaining ?? true);
}

interface Phrase {
  readonly fromIndex: number;
  readonly toIndex: number;
  readonly isLast: boolean;
}

/** Stretches of bars between bars in which nobody plays. */
function phrasesOf({ stage: { timeline }, parts }: RuleContext): readonly Phrase[] {
  const { bars } = timeline;
  const sounds = new Uint8Array(bars.length);
  for (const { notes } of parts) {
    for (const note of notes) {
      for (let index = barIndexAt(bars, note.startQuarters); index >= 0; index++) {
        if ((bars[index]?.startQuarters ?? Infinity) >= note.endQuarters - 1e-4) break;
        sounds[index] = 1;
      }
    }
  }
  const phrases: { fromIndex: number; toIndex: number }[] = [];
  sounds.forEach((sounding, index) => {
    if (sounding === 0) return;
    const open = phrases.at(-1);
    if (open?.toIndex === index - 1) open.toIndex = index;
    else phrases.push({ fromIndex: index, toIndex: index });
  });
  return phrases.map((phrase, index) => ({ ...phrase, isLast: index === phrases.length - 1 }));
}

/** Releases within so much are one; a last chord that is let go within so much, less than anybody writes, is ragged, not left. Our conventions. */
const TOGETHER_BEATS = 0.25;
const RAGGED_BEATS = 0.6;

interface Ending {
  readonly partId: string;
  readonly note: PlacedNote;
  readonly endQuarters: number;
}

/** The benefit of the doubt goes to the foreground: its later end of written and performed, the background's earlier one. */
function endOf(note: PlacedNote, inFront: boolean, { stage: { timeline } }: RuleContext): number {
  const performed = quartersAt(timeline, note.played.endSecond) - note.shiftQuarters;
  return inFront ? Math.max(note.soundingEndQuarters, performed) : Math.min(note.endQuarters, performed);
}

function endingsByPhrase(
  phrases: readonly Phrase[],
  context: RuleContext,
): readonly { front: Ending[]; back: Ending[] }[] {
  const { bars } = context.stage.timeline;
  const phraseOfBar = new Int32Array(bars.length).fill(-1);
  phrases.forEach((phrase, index) => phraseOfBar.fill(index, phrase.fromIndex, phrase.toIndex + 1));
  const endings = phrases.map((): { front: Ending[]; back: Ending[] } => ({ front: [], back: [] }));
  for (const judged of context.parts) {
    const { part, notes } = judged;
    for (const note of notes) {
      const barIndex = barIndexAt(bars, note.startQuarters);
      const inFront = context.front[barIndex]?.has(part.id) ?? false;
      if (!inFront && !holds(judged)) continue;
      const ending = { partId: part.id, note, endQuarters: endOf(note, inFront, context) };
      endings[phraseOfBar[barIndex] ?? -1]?.[inFront ? 'front' : 'back'].push(ending);
    }
  }
  return endings;
}

function latest(endings: readonly Ending[]): Ending | undefined {
  return endings.reduce<Ending | undefined>(
    (last, ending) => (last === undefined || ending.endQuarters > last.endQuarters ? ending : last),
    undefined,
  );
}

/** Bars in which the background begins notes that did not sound when the foreground ended: music of its own, no ringing on. */
function newMusicBars(first: Ending, back: readonly Ending[], { stage }: RuleContext): readonly number[] {
  const end = first.endQuarters;
  const held = new Set(
    back
      .filter(({ note, endQuarters }) => note.startQuarters < end - 1e-4 && endQuarters > end - 1)
      .map(({ note }) => note.midi % 12),
  );
  held.add(first.note.midi % 12);
  const fresh = back.filter(({ note }) => note.startQuarters > end - 1e-4 && !held.has(note.midi % 12));
  return [...new Set(fresh.map(({ note }) => barAndBeat(stage.timeline.bars, note.startQuarters).bar))];
}

/** Who had the tune with the leader up to the bar before its end, or in that bar. */
const LAST_BARS = 1;

/**
 * True where somebody who had the tune with who is in front, at the unison or octave, plays on when that one has ended: then it was a doubling that
 * ended, and the tune goes on. Who only holds the last note goes on with nothing.
 */
function tuneGoesOn(first: Ending, back: readonly Ending[], { readings, stage }: RuleContext): boolean {
  const endBar = barAndBeat(stage.timeline.bars, first.endQuarters - 1e-4).bar;
  const fellows = readings.doublings
    .filter(
      ({ interval, partIds, from, to }) =>
        FULL_DOUBLINGS.includes(interval) &&
        partIds.includes(first.partId) &&
        from <= endBar &&
        to >= endBar - LAST_BARS,
    )
    .flatMap(({ partIds }) => partIds);
  return back.some(({ partId, note }) => fellows.includes(partId) && note.startQuarters > first.endQuarters - 1e-4);
}

function findingOf(
  phrase: Phrase,
  { front, back: all }: { front: readonly Ending[]; back: readonly Ending[] },
  context: RuleContext,
): DraftFinding[] {
  const { stage, limit, partById, readings } = context;
  const { bars } = stage.timeline;
  const first = latest(front);
  const lead = first === undefined ? undefined : partById.get(first.partId);
  // A singer is done with the words; what instruments play after them is a postlude, however short.
  const isSung = lead?.part.family === 'voice';
  const back = isSung ? all.filter(({ partId }) => partById.get(partId)?.part.family === 'voice') : all;
  const last = latest(back);
  if (first === undefined || last === undefined) return [];
  const endBar = bars[barIndexAt(bars, first.endQuarters - 1e-4)];
  if (tuneGoesOn(first, all, context)) return [];
  const beatQuarters = endBar === undefined ? 1 : pulseQuarters(endBar.meter);
  const gapBeats = (last.endQuarters - first.endQuarters) / beatQuarters;
  if (gapBeats <= limit || !areLed(context, endBar?.number ?? 1, endBar?.number ?? 1)) return [];
  // Where players let go of a last chord one after another, within half a beat and a little, and somebody else with the soloist, nobody is left alone.
  const lastOf = [...groupedBy(back, ({ partId }) => partId).values()].flatMap((own) => latest(own) ?? []);
  const isWithIt = ({ endQuarters }: Ending): boolean =>
    Math.abs(endQuarters - first.endQuarters) <= TOGETHER_BEATS * beatQuarters;
  if (gapBeats <= RAGGED_BEATS && lastOf.some(isWithIt)) return [];
  const audible = readings.beats.some(
    (beat) =>
      beat.backgroundDb !== undefined &&
      beat.startQuarters + beat.lengthQuarters > first.endQuarters + limit * beatQuarters &&
      beat.startQuarters < last.endQuarters - 1e-4,
  );
  if (!audible) return [];
  const from = endBar?.number ?? 1;
  const to = barAndBeat(bars, last.endQuarters - 1e-4).bar;
  const later = newMusicBars(first, back, context).filter((bar) => bar > from);
  const isPostlude = later.length >= POSTLUDE_BARS;
  if (isPostlude && to - from > LONG_POSTLUDE_BARS) return [];
  const outlasting = [
    ...new Set(
      back
        .filter((ending) => ending.endQuarters > first.endQuarters + limit * beatQuarters)
        .map((ending) => ending.partId),
    ),
  ];
  const seconds = secondAt(stage.timeline, last.endQuarters) - secondAt(stage.timeline, first.endQuarters);
  if (seconds < LEAST_SECONDS) return [];
  const parts = (ids: readonly string[]) => ids.flatMap((id) => partById.get(id)?.part ?? []);
  const where = phrase.isLast ? 'at the end of the piece' : 'before the general pause';
  return [
    {
      level: isPostlude ? 'note' : 'look',
      from,
      to,
      partIds: [first.partId, ...outlasting],
      message: `${namesText(parts([first.partId]))} ${verb(parts([first.partId]), 'ends', 'end')} at ${placeText(stage.timeline, first.endQuarters, 1)}, ${beatsText(gapBeats)} (${rounded(seconds, 1)} s) before ${namesText(parts(outlasting))} ${where}.`,
      advice: isPostlude
        ? 'A postlude may well be meant; otherwise let the foreground close the phrase.'
        : 'Let the foreground hold on, or release the background with it or before it, unless the after-sound is meant.',
      notes: [first, last].flatMap(({ partId, note }) => foundNotes(partById.get(partId)?.part, [note])),
      amount: gapBeats,
    },
  ];
}

export const foregroundEndsFirst = defineRule(
  {
    name: 'foreground-ends-first',
    title: 'The foreground stops before the background',
    looksAt:
      'The last sound of the foreground against that of the background that is held (what is struck or plucked may ring), at the end of the piece and before bars in which nobody plays. A last chord that is let go within half a beat and a little, by somebody with the soloist, is ragged and left out. What instruments play after a singer is a postlude, and where a part that had the tune with the foreground plays on, the tune has not ended. Where the background goes on with other notes for two bars or more it is a postlude and only noted, beyond four bars not even that.',
    why: 'Who stops last has the last word: a background that hangs on after the solo draws the ear to itself.',
    limit: { standard: 0.5, unit: 'beats', meaning: 'how much longer the background may ring' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  (context) => {
    const phrases = phrasesOf(context);
    const endings = endingsByPhrase(phrases, context);
    return phrases.flatMap((phrase, index) => {
      const ending = endings[index];
      return ending === undefined ? [] : findingOf(phrase, ending, context);
    });
  },
);
