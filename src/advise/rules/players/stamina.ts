import { barsOfStretch, type PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { JudgedPart } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { namesText, placeText, playsOrSings, rounded } from '../../words.ts';

/** A line of a brass player has longer notes than a song, whose ends can be given up: so much longer. From memory. */
const BRASS_FACTOR = 1.5;
/** Time to breathe deeply, swallow or let the lips go. From memory. */
const REST_SECONDS = 0.6;
/** From so much of the limit on a singer is asked where he breathes: two long breaths without a rest. From memory. */
const SUNG_SHARE = 0.4;
/** A wind player gives up the end of a held note for a breath, but not of all: so many breaths at mf without a gap want a rest. From memory. */
const BLOWN_BREATHS = 3;
/** Notes so long on average leave no other place. From memory. */
const HELD_SECONDS = 2;
/** Others who breathe so often meanwhile show where the phrases end. */
const FEWEST_GAPS = 2;
/** Shorter than this no breath is caught. */
const CATCH_SECONDS = 0.25;

interface Stretch {
  readonly first: PlacedNote;
  last: PlacedNote;
  endSecond: number;
}

/** Stretches of one singer or wind player without a rest of so many seconds. */
function stretchesOf({ part, notes }: JudgedPart, restSeconds: number): readonly Stretch[] {
  if (part.players > 1 || instrumentById(part.instrument)?.breathSeconds === undefined) return [];
  const stretches: Stretch[] = [];
  for (const note of notes) {
    const open = stretches.at(-1);
    const { startSecond, endSecond } = note.played;
    if (open !== undefined && startSecond - open.endSecond < restSeconds) {
      open.last = note;
      open.endSecond = Math.max(open.endSecond, endSecond);
    } else stretches.push({ first: note, last: note, endSecond });
  }
  return stretches;
}

const secondsOf = ({ first, endSecond }: Stretch): number => endSecond - first.played.startSecond;

/** How often a part breathes between two seconds: gaps between its notes. */
function gapsBetween({ notes }: JudgedPart, from: number, to: number): number {
  let gaps = 0;
  let end: number | undefined;
  for (const { played } of notes) {
    if (played.startSecond < from || played.startSecond > to) continue;
    if (end !== undefined && played.startSecond - end >= CATCH_SECONDS) gaps++;
    end = Math.max(end ?? 0, played.endSecond);
  }
  return gaps;
}

/** True where nothing but held notes follow one another for longer than a few breaths, while most others who blow or sing breathe. */
function isHeldOn(judged: JudgedPart, stretch: Stretch, parts: readonly JudgedPart[]): boolean {
  const { part, notes } = judged;
  const breathSeconds = instrumentById(part.instrument)?.breathSeconds?.mf ?? Number.POSITIVE_INFINITY;
  const count = notes.filter(
    ({ startQuarters }) => startQuarters >= stretch.first.startQuarters && startQuarters <= stretch.last.startQuarters,
  ).length;
  const seconds = secondsOf(stretch);
  if (seconds <= BLOWN_BREATHS * breathSeconds || seconds < HELD_SECONDS * count) return false;
  const from = stretch.first.played.startSecond;
  const beside = parts.filter(
    (other) =>
      other !== judged &&
      instrumentById(other.part.instrument)?.breathSeconds !== undefined &&
      other.notes.some(({ played }) => played.startSecond < stretch.endSecond && played.endSecond > from),
  );
  const breathing = beside.filter((other) => gapsBetween(other, from, stretch.endSecond) >= FEWEST_GAPS);
  return breathing.length > 0 && breathing.length * 2 > beside.length;
}

export const stamina = defineRule(
  {
    name: 'stamina',
    title: 'Singing or blowing on and on',
    looksAt:
      'The longest stretches of one singer or one brass player without a rest of 0.6 s; for information, of a singer without a quarter of a second to catch breath in, and of held notes of a wind player that follow one another without it for more than three breaths while the others breathe.',
    why: 'A catch breath between two notes keeps a phrase going, not a page: voice and lips want real rests.',
    limit: {
      standard: 60,
      unit: 'seconds',
      meaning:
        'how long a singer goes on without a rest, a brass player half as long again; from two fifths of it on a singer is asked about breath',
    },
    source: COMMON_PRACTICE,
    level: 'look',
    yieldsTo: ['brass-endurance', 'never-rests'],
  },
  ({ parts, limit, stage: { timeline } }) => {
    const long = parts.flatMap((judged) => {
      const { part } = judged;
      const most = limit * (part.family === 'brass' ? BRASS_FACTOR : 1);
      const isVoice = part.family === 'voice';
      const tires = isVoice || part.family === 'brass';
      const tiring = tires ? stretchesOf(judged, REST_SECONDS).filter((stretch) => secondsOf(stretch) > most) : [];
      const breathless = stretchesOf(judged, CATCH_SECONDS).filter(
        (stretch) =>
          (isVoice ? secondsOf(stretch) > limit * SUNG_SHARE : isHeldOn(judged, stretch, parts)) &&
          !tiring.some(
            ({ first, last }) =>
              first.startQuarters <= stretch.first.startQuarters && stretch.last.startQuarters <= last.startQuarters,
          ),
      );
      return [...tiring, ...breathless].map((stretch) => ({
        part,
        seconds: secondsOf(stretch),
        isLong: tiring.includes(stretch),
        isHeld: part.family !== 'voice' && breathless.includes(stretch),
        ...barsOfStretch(stretch, timeline),
        startQuarters: stretch.first.startQuarters,
      }));
    });
    // Who goes on together is told together.
    return [...groupedBy(long, ({ part, from, to }) => `${part.family} ${from}/${to}`).values()].flatMap((together) => {
      const [first] = together;
      if (first === undefined) return [];
      const named = together.map(({ part }) => part);
      const { isLong, isHeld, from, to, startQuarters, seconds } = first;
      const goesOn = playsOrSings(named);
      return {
        level: isLong ? ('look' as const) : ('note' as const),
        from,
        to,
        partIds: named.map(({ id }) => id),
        message: `${namesText(named)} ${goesOn} ${rounded(seconds, 0)} s without a rest in ${barSpanText(from, to)}, from ${placeText(timeline, startQuarters)}.`,
        advice: 'End a phrase earlier, give a bar to somebody else, or share the line between two.',
        amount: seconds,
        // Held notes are told here, with what the others do meanwhile; as breath they yield.
        ...(isHeld ? {} : { yieldsTo: ['breath'] as const }),
      };
    });
  },
);
