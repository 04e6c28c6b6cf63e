import { barsOfStretch, type PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import { CATCH_SECONDS, fellowBreathsOf } from '../../../analyse/playability/fellow-breaths.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { barAndBeat } from '../../../model/music/timeline.ts';
import type { DraftFinding, JudgedPart, RuleContext } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { barListText, namesText, placeText, playsOrSings, rounded, verb } from '../../words.ts';

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
/** Whose fellows breathe in the same rhythm has lost the breaths where a stretch is this much longer than one breath: the planning value is rough. */
const LOST_BREATHS = 1.15;

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

/** A stretch in which those who go on in the same rhythm breathe, and this one does not. */
function lostBreaths(judged: JudgedPart, stretch: Stretch, { parts, stage }: RuleContext): readonly DraftFinding[] {
  const { part } = judged;
  const breathSeconds = instrumentById(part.instrument)?.breathSeconds?.mf ?? Number.POSITIVE_INFINITY;
  const seconds = secondsOf(stretch);
  if (part.family === 'voice' || seconds <= LOST_BREATHS * breathSeconds) return [];
  const { startQuarters } = stretch.first;
  const meanwhile = fellowBreathsOf(judged, parts, startQuarters, stretch.last.endQuarters);
  if (meanwhile === undefined) return [];
  const { fellows, areDoubles } = meanwhile;
  // The ends of longer notes may be given up, but not for so long.
  if (areDoubles && seconds <= BLOWN_BREATHS * breathSeconds) return [];
  const { bars } = stage.timeline;
  // In the bar that they breathe at the end of; where all of them do, if that is more than once.
  const breathed = fellows.map(({ places }) => new Set(places.map((place) => barAndBeat(bars, place - 1e-4).bar)));
  const each = [...new Set(breathed.flatMap((places) => [...places]))].sort((a, b) => a - b);
  const common = each.filter((bar) => breathed.every((places) => places.has(bar)));
  const { from, to } = barsOfStretch(stretch, stage.timeline);
  const named = fellows.map((fellow) => fellow.part);
  return [
    {
      level: 'look',
      from,
      to,
      partIds: [part.id],
      message: `${part.name} ${playsOrSings([part])} ${rounded(seconds, 0)} s without a gap for a breath in ${barSpanText(from, to)}, where ${namesText(named)} ${areDoubles ? 'with the same line' : 'in the same rhythm'} ${verb(named, 'breathes', 'breathe')} in ${barListText(common.length > 1 ? common : each)}; a breath lasts about ${rounded(breathSeconds, 0)} s at mf (a planning value).`,
      advice: `Give ${part.name} the same breaths, so that the chord is left and struck together; leave it where the line is meant to go through.`,
      amount: seconds,
    },
  ];
}

export const stamina = defineRule(
  {
    name: 'stamina',
    title: 'Singing or blowing on and on',
    looksAt:
      'The longest stretches of one singer or one brass player without a rest of 0.6 s; for information, of a singer without a quarter of a second to catch breath in, and of held notes of a wind player that follow one another without it for more than three breaths while the others breathe. A wind player who has no such gap for longer than a breath, where two others and more go on in the same rhythm and all of them breathe, or for three breaths and more, where another with the same line has rests.',
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
  (context) => {
    const {
      parts,
      limit,
      stage: { timeline },
    } = context;
    const lost = parts.flatMap((judged) =>
      stretchesOf(judged, CATCH_SECONDS).flatMap((stretch) => lostBreaths(judged, stretch, context)),
    );
    const isLost = ({ id }: Part, from: number, to: number): boolean =>
      lost.some((draft) => draft.partIds.includes(id) && draft.from <= to && draft.to >= from);
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
    // Who goes on together is told together; what others show the breaths of is told with them.
    const others = long.filter(({ part, from, to, isHeld }) => !isHeld || !isLost(part, from, to));
    const goingOn = [...groupedBy(others, ({ part, from, to }) => `${part.family} ${from}/${to}`).values()].flatMap(
      (together) => {
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
      },
    );
    return [...lost, ...goingOn];
  },
);
