import { chordAt } from '../../../analyse/harmony/chord-at.ts';
import { falseBassesOf } from '../../../analyse/misplaced/false-basses.ts';
import { falseStrokesOf } from '../../../analyse/misplaced/false-strokes.ts';
import type { FalseTone } from '../../../analyse/misplaced/false-tones.ts';
import { falseTonesOf } from '../../../analyse/misplaced/false-tones.ts';
import { isFalseBesideFront } from '../../../analyse/misplaced/front-clashes.ts';
import type { SoundingNote } from '../../../analyse/placed-notes/slices.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import { barAndBeat, pulseQuarters } from '../../../model/music/timeline.ts';
import { className } from '../../../model/music/pitch.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';
import type { ChordSpan } from '../../../model/music/written.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { pedalTones } from '../../pedal-point.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import {
  barListText,
  beatsText,
  elsewhereText,
  namesText,
  pitchText,
  placeText,
  signedText,
  verb,
} from '../../words.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { firstReaching } from '../../../model/sorted-search.ts';

/** Voicings of jazz have seconds wherever they like. */
const JAZZ: readonly EnsembleKind[] = ['combo', 'big-band'];
/** More of them in free harmony are clusters that somebody wants. */
const HABIT_CLASHES = 3;

interface Clash {
  readonly bar: number;
  readonly startQuarters: number;
  readonly beats: number;
  readonly one: SoundingNote;
  readonly other: SoundingNote;
}

/** True where the part goes on from this note by a step or less, as a suspension or neighbour does. */
function movesByStep({ note, partIndex }: SoundingNote, { parts }: RuleContext): boolean {
  const notes = parts[partIndex]?.notes ?? [];
  const next = notes[firstReaching(notes, ({ startQuarters }) => startQuarters >= note.endQuarters - 1e-6)];
  if (next === undefined || next.startQuarters > note.endQuarters + 1) return false;
  const step = Math.abs(next.midi - note.midi);
  return step >= 1 && step <= 2;
}

/** The chord in force through most of the common sound of two notes. */
function chordUnder({ startQuarters }: Clash, endQuarters: number, { chords }: RuleContext): ChordSpan | undefined {
  return chordAt(chords, (startQuarters + endQuarters) / 2) ?? chordAt(chords, startQuarters);
}

/**
 * True where the second has a reason: both notes belong to the chord, or the one that does not goes on by step, as a
 * suspension or neighbour does. What the chord note does next is no excuse; where no chord is known either may go on.
 */
function isExplained(clash: Clash, endQuarters: number, context: RuleContext): boolean {
  const chord = chordUnder(clash, endQuarters, context);
  const pair = [clash.one, clash.other];
  const strangers = pair.filter(({ note }) => !(chord?.tones.includes(note.midi % 12) ?? false));
  return strangers.length === 0 || strangers.some((stranger) => movesByStep(stranger, context));
}

function clashesOf(context: RuleContext): readonly Clash[] {
  const { slices, parts, stage, limit, front, idiom } = context;
  const { bars } = stage.timeline;
  const sustains = parts.map(({ part }) => instrumentById(part.instrument)?.sustaining ?? true);
  const found: Clash[] = [];
  for (const { barIndex, startQuarters, sounding } of slices) {
    const bar = bars[barIndex];
    if (bar === undefined) continue;
    const beatQuarters = pulseQuarters(bar.meter);
    const held = sounding.filter(
      ({ note, partIndex }) =>
        sustains[partIndex] === true && note.endQuarters - startQuarters >= limit * beatQuarters - 1e-6,
    );
    for (let index = 1; index < held.length; index++) {
      const other = held[index];
      if (other === undefined) continue;
      for (let below = index - 1; below >= 0; below--) {
        const one = held[below];
        if (one === undefined || other.note.midi - one.note.midi > 2) break;
        if (one.note.midi === other.note.midi || one.partIndex === other.partIndex) continue;
        // Told once, where the later of the two begins.
        if (Math.max(one.note.startQuarters, other.note.startQuarters) !== startQuarters) continue;
        const leads = [one, other].map((item) => front[barIndex]?.has(parts[item.partIndex]?.part.id ?? '') ?? false);
        const [behind, ahead] = leads[0] === true ? [other, one] : [one, other];
        const inFront = leads.includes(true);
        // What the tune does is its own; a held note behind it that the whole chord of all others denies is not.
        const isDenied =
          inFront && leads.includes(false) && isFalseBesideFront(behind, ahead, parts, slices, idiom.strictHarmony);
        const endQuarters = Math.min(one.note.endQuarters, other.note.endQuarters);
        const clash = {
          bar: bar.number,
          startQuarters,
          beats: (endQuarters - startQuarters) / beatQuarters,
          one,
          other,
        };
        if (inFront ? !isDenied : isExplained(clash, endQuarters, context)) continue;
        const pedals = pedalTones(context, startQuarters);
        if (pedals.has(one.note.midi % 12) || pedals.has(other.note.midi % 12)) continue;
        // A whole tone is an added second or ninth wherever harmony is free.
        if (!idiom.strictHarmony && other.note.midi - one.note.midi === 2) continue;
        found.push(clash);
      }
    }
  }
  return found;
}

/** More false tones than this are how the music sounds. */
const HABIT_FALSE = 3;

/** Notes a semitone beside a harmony that all others have, octaves away: told where no second close by tells them. */
function falseToneFindings(context: RuleContext, told: readonly DraftFinding[]): readonly DraftFinding[] {
  const { parts, slices, stage, limit, front, idiom } = context;
  const isFront = (barIndex: number, partIndex: number): boolean =>
    front[barIndex]?.has(parts[partIndex]?.part.id ?? '') ?? false;
  const { strictHarmony } = idiom;
  const strokes = falseStrokesOf(parts, slices, stage.timeline, limit / 2);
  const isStroke = (barIndex: number, partIndex: number): boolean =>
    strokes.some((stroke) => stroke.barIndex === barIndex && stroke.partIndex === partIndex);
  const tonesAndBasses = falseTonesOf(parts, slices, stage.timeline, limit, strictHarmony, isFront);
  const found = [
    ...tonesAndBasses.filter(({ barIndex, partIndex }) => !isStroke(barIndex, partIndex)),
    // What rubs against a drum out of tune is not false itself.
    ...strokes,
  ].filter(({ barIndex, against }) => !isStroke(barIndex, against.partIndex));
  const basses = falseBassesOf(parts, slices, stage.timeline, strictHarmony, isFront).filter(
    ({ barIndex, partIndex, against }) =>
      !isStroke(barIndex, against.partIndex) &&
      !found.some((tone) => tone.barIndex === barIndex && tone.partIndex === partIndex),
  );
  const isToldBass = (barIndex: number, partIndex: number): boolean =>
    basses.some((bass) => bass.barIndex === barIndex && bass.partIndex === partIndex);
  const tones = [...found, ...basses].filter(
    ({ note, barIndex, against, isBass }) =>
      isBass ||
      // What rubs against a false bass is not false itself.
      (!isToldBass(barIndex, against.partIndex) && !pedalTones(context, note.startQuarters).has(note.midi % 12)),
  );
  const barOf = ({ barIndex }: FalseTone): number => stage.timeline.bars[barIndex]?.number ?? 0;
  const byPart = groupedBy(tones, ({ partIndex }) => partIndex);
  const runs = [...byPart.values()].flatMap((own) => gatheredRuns(own, barOf));
  if (runs.length > HABIT_FALSE) return [];
  return runs.flatMap((run): DraftFinding[] => {
    const { from, to, items } = run;
    const worst = items.reduce((most, tone) => (tone.beats > most.beats ? tone : most));
    const { note, against, isBass, isThird } = worst;
    const part = parts[worst.partIndex]?.part;
    const other = parts[against.partIndex]?.part;
    if (part === undefined || other === undefined) return [];
    if (told.some((draft) => draft.from <= to && draft.to >= from && draft.partIds.includes(part.id))) return [];
    const named = part.id === other.id ? [part] : [part, other];
    const chord = isBass
      ? `under a chord on ${signedText(className(against.note.written.pitch))} of the others`
      : isThird === true
        ? 'against the other third, which the chord of all others has'
        : 'while the others have the chord a semitone beside it';
    return [
      {
        level: 'look',
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${part.name} ${verb([part], 'has', 'have')} ${pitchText(note.written.pitch, part)} in ${barListText(items.map(barOf))} ${chord}: ${pitchText(against.note.written.pitch, other)} of ${other.name} at ${placeText(stage.timeline, Math.max(note.startQuarters, against.note.startQuarters))}${elsewhereText(run)}.`,
        advice:
          part.instrument === 'timpani'
            ? 'Retune the drum before, or let it rest; leave it where the friction is meant.'
            : `Look whether ${isBass ? 'the bass is' : 'it is'} a semitone off or pasted from another bar; leave it where the friction is meant.`,
        notes: [...foundNotes(part, [note]), ...foundNotes(other, [against.note])],
        amount: worst.beats,
        // A note that the instrument has not is told as that.
        yieldsTo: ['outside-range'],
      },
    ];
  });
}

export const clashingSecond = defineRule(
  {
    name: 'clashing-second',
    title: 'A held clash that no chord explains',
    looksAt:
      'Seconds between two sustaining background parts that are held together, where the chord in force has not both notes and the strange one does not go on by step; over a pedal point none has to. A semitone beside the foreground, a held note of the background that all others, short ones too, deny: they make a whole chord with the tune, and it is none of it. Of these jazz is left out, and where harmony is free whole tones and clusters are. Octaves away: a bass a semitone beside the root of a whole chord of all others, through most of a bar and not by step; a bass line, however short its notes, that makes no chord with the whole one of all others; where harmony is strict, a held note between two neighbors that both sound, or beside the third, or a semitone beside a tone of a whole triad of the others, where it was not there before and does not go on by step, or, through a whole bar, beside a root that four others have; where it is free, jazz too, the major third beside a whole minor triad of the others, or the minor one beside a chord with major third and major seventh, or, of one part alone, close to the major third that two others have in a triad without a seventh, held through a bar, or left to ring through most of it while two others have the right one; strokes of timpani a semitone beside a whole triad of the others, of a beat and more in a bar.',
    why: 'A second between held notes stands out of everything around it; where no chord asks for it, it mostly slipped in.',
    limit: { standard: 2, unit: 'beats', meaning: 'how long the two notes may be held together' },
    source: COMMON_PRACTICE,
    level: 'look',
    followsFromPlace: true,
  },
  (context) => {
    const { parts, stage, idiom } = context;
    const clashes = JAZZ.includes(idiom.kind) ? [] : clashesOf(context);
    const isHabit = !idiom.strictHarmony && clashes.length > HABIT_CLASHES;
    const seconds = gatheredRuns(isHabit ? [] : clashes, ({ bar }) => bar).map((run): DraftFinding => {
      const { from, items } = run;
      const longest = items.reduce((most, clash) => (clash.beats > most.beats ? clash : most));
      const { one, other } = longest;
      const to = Math.max(
        ...items.map((clash) => {
          const end = Math.min(clash.one.note.endQuarters, clash.other.note.endQuarters);
          return barAndBeat(stage.timeline.bars, end - 1e-4).bar;
        }),
      );
      const indices = [...new Set(items.flatMap((clash) => [clash.other.partIndex, clash.one.partIndex]))];
      const named = indices.flatMap((index) => parts[index]?.part ?? []);
      const [upper, lower] = [other, one].map(({ note, partIndex }) => {
        const part = parts[partIndex]?.part;
        return part === undefined ? '' : `${pitchText(note.written.pitch, part)} of ${part.name}`;
      });
      return {
        level: 'look' as const,
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} hold a ${other.note.midi - one.note.midi === 1 ? 'minor' : 'major'} second that the chord does not explain in ${barListText(items.map(({ bar }) => bar))}: ${upper ?? ''} against ${lower ?? ''} for ${beatsText(longest.beats)} at ${placeText(stage.timeline, longest.startQuarters)}${elsewhereText(run)}.`,
        advice: 'Move one of the two to a chord tone, or let it pass; leave it where the friction is meant.',
        notes: [other, one].flatMap(({ note, partIndex }) => foundNotes(parts[partIndex]?.part, [note])),
        amount: longest.beats,
      };
    });
    return [...seconds, ...falseToneFindings(context, seconds)];
  },
);
