import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import type { RangeLimits } from '../../../analyse/parts/ranges.ts';
import { rangeLimitsOf, rangeVerdict } from '../../../analyse/parts/ranges.ts';
import { sourcesOf } from '../../../model/music/catalogue.ts';
import { barSpanText, counted } from '../../../model/words/plain-words.ts';
import type { Timeline } from '../../../model/music/timeline.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, guessText, isGuessed, keyText, performerOf, pitchText, placeText, verb } from '../../words.ts';

/** Instruments whose lowest note is an open string or all the tube and keys they have: there is nothing under it. */
const HARD_FLOOR: readonly string[] = ['strings', 'woodwind'];
/** Elsewhere a string is tuned down, a pedal note or falsetto found, a harmonic touched: certain only so far beyond. Our convention. */
const SURE_SEMITONES = 4;
/** Voices and brass differ from player to player. */
const SURE_OF_LIPS = 6;

/**
 * With three valves there is nothing between the note of all three and the first pedal note, a diminished fifth below it; slides drawn out and the lips
 * bend it by a tone, not by more. Common practice, no source.
 */
const THREE_VALVES: readonly string[] = ['trumpet-bflat', 'trumpet-c', 'cornet-bflat', 'cornet-eflat'];
const BENT_SEMITONES = 2;

/** A fourth below the range nobody sings or blows what is a minor third below the extension of the handbooks too. Our convention. */
const SURE_BELOW = 5;
const UNDER_EXTENSION = 3;

/** So far outside it may be a key switch, or a whole octave that is written otherwise; and from such a share of the part's notes on the instrument is in doubt. */
const ANOTHER_OCTAVE = 12;
const DOUBTFUL_SHARE = 0.2;
const DOUBTFUL_NOTES = 8;

/**
 * Why a note is only to check; undefined where it is beyond doubt one that the instrument has not: it is the one that was named, and the border is hard
 * or far away.
 */
function doubtAbout({ part, notes }: JudgedPart, note: PlacedNote, limits: RangeLimits): string | undefined {
  const { midi } = note;
  if (part.range !== undefined) return undefined;
  if (isTapped(note, notes)) return 'it may be a key that chooses a way of playing';
  if (!['settings', 'name', 'note'].includes(part.recognisedBy)) return 'the instrument is a guess';
  if (part.instrument === 'string-ensemble' || part.family === 'unknown') return 'it is no single instrument';
  if (beyond(midi, limits) >= ANOTHER_OCTAVE)
    return 'so far away it may be written in another octave, or choose a way of playing';
  const outside = part.notes.filter((note) => beyond(note.midi, limits) > 0).length;
  if (outside >= DOUBTFUL_NOTES && outside > DOUBTFUL_SHARE * part.notes.length)
    return 'so many are outside that it may be another instrument';
  const isLow = limits.absolute !== undefined && midi < limits.absolute.low;
  const hasStatedStrings = part.family === 'plucked' && part.strings !== undefined;
  if (isLow && (HARD_FLOOR.includes(part.family) || hasStatedStrings)) return undefined;
  if (isLow && THREE_VALVES.includes(part.instrument) && beyond(midi, limits) > BENT_SEMITONES) return undefined;
  const areLips = part.family === 'brass' || part.family === 'voice';
  const lowest = limits.extension?.low;
  const isUnderExtension = isLow && lowest !== undefined && lowest - midi >= UNDER_EXTENSION;
  if (areLips && isUnderExtension && beyond(midi, limits) >= SURE_BELOW) return undefined;
  if (beyond(midi, limits) >= (areLips ? SURE_OF_LIPS : SURE_SEMITONES)) return undefined;
  if (areLips) return `${part.family === 'voice' ? 'singers' : 'players'} differ by so much`;
  return isLow ? 'a string may be tuned down or the instrument reach lower' : 'some reach higher';
}

/** Quarter notes: shorter, and more than an octave from the notes about it, a note may be a key that chooses a way of playing. */
const TAPPED_QUARTERS = 0.3;

function isTapped(note: PlacedNote, notes: readonly PlacedNote[]): boolean {
  const place = notes.indexOf(note);
  const about = [notes[place - 1], notes[place + 1]].flatMap((other) => other ?? []);
  const quarters = note.endQuarters - note.startQuarters;
  return (
    quarters <= TAPPED_QUARTERS &&
    about.length > 0 &&
    about.every((other) => Math.abs(other.midi - note.midi) > 12) &&
    about.every((other) => other.endQuarters - other.startQuarters > 1.5 * quarters)
  );
}

/** Semitones beyond the absolute range. */
function beyond(midi: number, { absolute }: RangeLimits): number {
  return absolute === undefined ? 0 : Math.max(absolute.low - midi, midi - absolute.high, 0);
}

function furthestOf(notes: readonly PlacedNote[], limits: RangeLimits): PlacedNote | undefined {
  return notes.reduce<PlacedNote | undefined>(
    (far, note) => (far === undefined || beyond(note.midi, limits) > beyond(far.midi, limits) ? note : far),
    undefined,
  );
}

function whereText(note: PlacedNote, { part }: JudgedPart, limits: RangeLimits, timeline: Timeline): string {
  const { absolute } = limits;
  if (absolute === undefined) return '';
  const isLow = note.midi < absolute.low;
  const distance = counted(beyond(note.midi, limits), 'semitone');
  const border = keyText(isLow ? absolute.low : absolute.high, part);
  const pitch = pitchText(note.written.pitch, part);
  return `${pitch} at ${placeText(timeline, note.startQuarters)}, ${distance} ${isLow ? 'below the lowest' : 'above the highest'} note, ${border}`;
}

function outsideFinding(
  judged: JudgedPart,
  run: BarRun<PlacedNote>,
  limits: RangeLimits,
  { stage: { timeline, questions } }: RuleContext,
): DraftFinding[] {
  const { part } = judged;
  const furthest = furthestOf(run.items, limits);
  if (furthest === undefined) return [];
  // Where the dossier asks which instrument it is, the question stands first.
  const isAsked = questions.some(({ code, partId }) => partId === part.id && code !== 'foreground-guessed');
  const doubt = isAsked ? 'the dossier asks which instrument it is' : doubtAbout(judged, furthest, limits);
  const because = doubt === undefined ? '' : `; to check only, as ${doubt}`;
  const many = run.items.length === 1 ? '' : `${run.items.length} notes, the furthest `;
  return [
    {
      level: isGuessed(part) ? 'note' : doubt === undefined ? 'fix' : 'look',
      from: run.from,
      to: run.to,
      partIds: [part.id],
      message: `${part.name} ${verb([part], 'leaves', 'leave')} ${part.range === undefined ? `the range of the ${part.family === 'voice' ? 'voice' : 'instrument'}` : `the range set for this ${performerOf(part)}`} in ${barSpanText(run.from, run.to)}: ${many}${whereText(furthest, judged, limits, timeline)}${isGuessed(part) ? guessText(part, '; for information,') : because}.`,
      advice: `Move it into range, give it to ${part.family === 'voice' ? 'a voice' : 'an instrument'} that has it, or ask the ${performerOf(part)}; if this ${performerOf(part)} reaches it, say so with the setting “range” of the part.`,
      source: limits.sources.join('; '),
      notes: foundNotes(part, [furthest, ...run.items.filter((note) => note !== furthest)]),
      amount: beyond(furthest.midi, limits),
    },
  ];
}

/** One finding for the whole part: a player either has the extension or has not. */
function extensionFinding(
  judged: JudgedPart,
  run: BarRun<PlacedNote>,
  limits: RangeLimits,
  timeline: Timeline,
): DraftFinding[] {
  const barOf = (note: PlacedNote): number => barAndBeat(timeline.bars, note.startQuarters).bar;
  const { part } = judged;
  const furthest = furthestOf(run.items, limits);
  if (furthest === undefined) return [];
  const note = limits.extension?.note;
  return [
    {
      level: isGuessed(part) ? 'note' : 'look',
      from: run.from,
      to: run.to,
      partIds: [part.id],
      message: `${part.name} ${verb([part], 'needs', 'need')} ${part.family === 'voice' ? 'notes that not every singer has' : 'an extension that not every instrument or player has'}, in ${barListText(run.items.map(barOf))}: ${whereText(furthest, judged, limits, timeline)}${note === undefined ? '' : ` (${note})`}${guessText(part, '; for information,')}.`,
      advice: `Ask whether the ${performerOf(part)} has ${part.family === 'voice' ? 'them' : 'it'}, or write an alternative${part.family === 'voice' ? '' : ' an octave away'}.`,
      source: sourcesOf(limits.extension?.src ?? [])
        .map((source) => source.title)
        .join('; '),
      notes: foundNotes(part, [furthest, ...run.items.filter((note) => note !== furthest)]),
      amount: beyond(furthest.midi, limits),
    },
  ];
}

export const outsideRange = defineRule(
  {
    name: 'outside-range',
    title: 'Notes out of range',
    looksAt:
      'Every written note against the absolute range of its instrument, or the range set for its player. It must be mended where the instrument is surely known and the border hard (open strings, of a plucked instrument where their number is stated, woodwind keys) or far away (of a trumpet or cornet more than a tone down; of a voice or a horn, a fourth down and a minor third under what handbooks give as an extension), but by less than an octave and in few of its notes; where only the program says which instrument it is, it is told for information; keyboards with stops are left out.',
    why: 'A note that is not on the instrument cannot be played, and will be left out or moved at the first rehearsal.',
    source: 'ranges of the instrument catalogue, each with its source in the range appendix',
    level: 'fix',
  },
  (context) => {
    const { parts, stage } = context;
    const { timeline } = stage;
    return parts
      .filter(({ part }) => !part.unpitched)
      .flatMap((judged) => {
        const limits = rangeLimitsOf(judged.part);
        const barOf = (note: PlacedNote): number => barAndBeat(timeline.bars, note.startQuarters).bar;
        const runs = (wanted: 'outside' | 'extension'): readonly BarRun<PlacedNote>[] =>
          barRuns(
            judged.notes.filter((note) => rangeVerdict(note.midi, limits) === wanted),
            barOf,
            wanted === 'extension' ? Infinity : 0,
          );
        return [
          ...runs('outside').flatMap((run) => outsideFinding(judged, run, limits, context)),
          ...runs('extension').flatMap((run) => extensionFinding(judged, run, limits, timeline)),
        ];
      });
  },
);
