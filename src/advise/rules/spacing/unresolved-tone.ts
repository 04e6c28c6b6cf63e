import { groupedBy } from '../../../model/grouped.ts';
import type { FoundNote, Resolution } from '../../../model/readings/readings.ts';
import { pitchClassOf } from '../../../model/music/pitch.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { barIndexAt, pulseQuarters } from '../../../model/music/timeline.ts';
import { gatheredRuns } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barListText, elsewhereText, pitchText, placeText, signedText, verb } from '../../words.ts';

const TONES = { 'leading-note': 'leading tone', seventh: 'seventh' } as const;

/** In a fuller texture parts are doubled and filled up, and nobody hears where one of them goes. Our convention. */
const MOST_PARTS = 6;
/** Both chords must be this well explained: a doubtful reading is no ground for a remark. */
const LEAST_COVERAGE = 0.85;

/** More than a whole tone is a leap. */
const STEP_SEMITONES = 2;

/** A note of less than a beat in a broken chord is no voice: on plucked strings and keyboards, or reached by leap (common practice, no source). */
function isFiguration({ partId, midi, startQuarters }: Resolution, context: RuleContext): boolean {
  const judged = context.partById.get(partId);
  if (judged === undefined) return false;
  const { part, notes } = judged;
  const at = notes.findIndex((note) => note.startQuarters === startQuarters && note.midi === midi);
  const note = notes[at];
  const { bars } = context.stage.timeline;
  const bar = bars[barIndexAt(bars, startQuarters)];
  if (note === undefined || bar === undefined) return false;
  if (note.endQuarters - note.startQuarters >= pulseQuarters(bar.meter) - 1e-6) return false;
  if (part.family === 'plucked' || part.family === 'keyboard') return true;
  const before = notes.slice(0, at).findLast((other) => other.startQuarters < startQuarters);
  return before !== undefined && Math.abs(before.midi - midi) > STEP_SEMITONES;
}

/** A dominant seventh that goes to its tonic, both read with confidence, in a texture of real parts. */
function isPlain({ chord, bar }: Resolution, { chords, readings, stage }: RuleContext): boolean {
  const [own, next] = [chords[chord], chords[chord + 1]];
  if (own === undefined || next === undefined) return false;
  if (Math.min(own.coverage, next.coverage) < LEAST_COVERAGE) return false;
  if ((pitchClassOf(own.root) + 5) % 12 !== pitchClassOf(next.root)) return false;
  const sounding = readings.balance[bar - (stage.timeline.bars[0]?.number ?? 1)]?.partsDb ?? {};
  return Object.keys(sounding).length <= MOST_PARTS;
}

/** True where the tone is the root of a whole triad when it begins, whatever chord is read over the longer time: it is no seventh to resolve there. */
function isRootMeanwhile({ midi, startQuarters }: Resolution, { slices }: RuleContext): boolean {
  const slice = slices.find(
    (one) => one.startQuarters <= startQuarters + 1e-6 && one.endQuarters > startQuarters + 1e-6,
  );
  const has = (interval: number): boolean =>
    slice?.sounding.some(({ note }) => note.midi % 12 === (midi + interval) % 12) ?? false;
  return has(7) && (has(4) || has(3));
}

/** The tune goes where it likes, a line that stops has its rest, and an inner leading note may fall to the fifth. */
function isHeard(resolution: Resolution, context: RuleContext): boolean {
  const { outcome, kind, isOuter, to, partId, startQuarters } = resolution;
  const { bars } = context.stage.timeline;
  const inFront = context.front[barIndexAt(bars, startQuarters)]?.has(partId) === true;
  const counts = outcome === 'left' && to !== undefined && !inFront && (isOuter || kind === 'seventh');
  return (
    counts &&
    isPlain(resolution, context) &&
    !isFiguration(resolution, context) &&
    !isRootMeanwhile(resolution, context)
  );
}

/** The tone and where it goes. */
function wayNotes({ partId, midi, to, startQuarters }: Resolution, context: RuleContext): readonly FoundNote[] {
  const judged = context.partById.get(partId);
  if (judged === undefined) return [];
  const { part, notes } = judged;
  const at = notes.findIndex((note) => note.startQuarters === startQuarters && note.midi === midi);
  const after = notes.slice(at + 1).find((note) => note.startQuarters > startQuarters && note.midi === to);
  return foundNotes(
    part,
    [notes[at], after].flatMap((note) => note ?? []),
  );
}

/** `the seventh of G7, F4 to A4 at bar 12, beat 4`. */
function wayText({ chord, kind, partId, midi, to, startQuarters }: Resolution, context: RuleContext): string {
  const judged = context.partById.get(partId);
  if (judged === undefined) return '';
  const { part, notes } = judged;
  const at = notes.findIndex((note) => note.startQuarters === startQuarters && note.midi === midi);
  const after = notes.slice(at + 1).find((note) => note.startQuarters > startQuarters && note.midi === to);
  const names = [notes[at], after].flatMap((note) => (note === undefined ? [] : [pitchText(note.written.pitch, part)]));
  const symbol = signedText(context.chords[chord]?.symbol ?? '');
  return `the ${TONES[kind]} of ${symbol}, ${names.join(' to ')} at ${placeText(context.stage.timeline, startQuarters)}`;
}

export const unresolvedTone = defineRule(
  {
    name: 'unresolved-tone',
    title: 'Leading tones and sevenths that go elsewhere',
    looksAt:
      'In textures of up to six parts: the seventh of a dominant chord that does not fall by step when its tonic follows, and the leading tone on top or in the bass that does not rise to it. Lying tones, a resolution in another part or octave, the tune in front, broken chords in less than beats, a line that rests and a tone that begins as the root of a triad are not counted, nor inner leading tones, which may fall to the fifth. Chords are estimated; jazz, songs and film are left out.',
    why: 'These two tones make the ear expect the next one; where nobody plays it, the progression is heard as broken off.',
    limit: {
      standard: 0,
      unit: 'places',
      meaning: 'how many places in one passage a part may have before they are mentioned',
    },
    source:
      'E. Aldwell and C. Schachter, Harmony and Voice Leading; S. Kostka and D. Payne, Tonal Harmony (from memory): information only',
    level: 'note',
    followsFromPlace: true,
  },
  (context) => {
    if (!context.idiom.strictHarmony) return [];
    const heard = (context.readings.resolutions ?? []).filter((resolution) => isHeard(resolution, context));
    const byPart = groupedBy(heard, ({ partId }) => partId);
    return [...byPart.entries()].flatMap(([partId, ofPart]) =>
      gatheredRuns(ofPart, ({ bar }) => bar).flatMap((run) => {
        const { from, to, items } = run;
        const first = items[0];
        const part = context.partById.get(partId)?.part;
        if (first === undefined || part === undefined || items.length <= context.limit) return [];
        const more =
          items.length === 1
            ? ''
            : `; ${counted(items.length, 'place')} in ${barListText(items.map(({ bar }) => bar))}`;
        return {
          level: 'note' as const,
          from,
          to,
          partIds: [partId],
          message: `${part.name} ${verb([part], 'does', 'do')} not resolve ${wayText(first, context)}, and nobody else does${more}${elsewhereText(run)}.`,
          advice:
            'Let the line go on by step, or give the note of resolution to a neighbor in the same register; where the line is worth more, leave it.',
          notes: wayNotes(first, context),
          amount: items.length,
        };
      }),
    );
  },
);
