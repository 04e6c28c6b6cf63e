/** What was done in a step to what a finding speaks of: only that lets it appear or go. */
import type { Finding, PartEdit, StageChange } from '../../../model/readings/readings.ts';
import { RULE_SUBJECTS } from '../../../model/readings/rule-names.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { onceEach } from '../../../model/once-each.ts';
import { numbersIn } from '../../../model/words/plain-words.ts';

const OF_PLAYERS = RULE_SUBJECTS.flatMap(({ id, rules }) => (id === 'players' ? rules : []));
/** Rules that ask the named parts alone what they play, a player or two lines side by side: what others do explains nothing. */
const OF_NAMED_PARTS: ReadonlySet<string> = new Set<string>([
  ...OF_PLAYERS,
  'parallel-perfects',
  'crossing',
  'foreground-ends-first',
  'static-part',
  'restless-part',
]);
/** Rules of loudness; another level explains nothing of the others. */
const OF_LEVEL: ReadonlySet<string> = new Set([
  'flat-dynamics',
  'background-as-loud',
  'background-covers',
  'covered-from-above',
  'support-over-lead',
  'inaudible-entry',
]);
/** Rules under which a part that came in makes nothing better. */
const WORSE_BY_MORE: ReadonlySet<string> = new Set([
  'background-as-loud',
  'background-covers',
  'covered-from-above',
  'background-above-melody',
]);
/** Of these the first part that is named is in front, and the others are what covers it. */
const FRONT_FIRST: ReadonlySet<string> = new Set(['background-as-loud', 'background-covers']);
/** Rules of intervals, places and lengths, which hold at every pitch. */
const AT_EVERY_PITCH: ReadonlySet<string> = new Set([
  'breath',
  'never-rests',
  'stamina',
  'repeated-notes',
  'foreground-ends-first',
  'background-above-melody',
  'hole-between-parts',
  'incomplete-chord',
  'root-not-in-bass',
  'clashing-second',
  'parallel-perfects',
  'unresolved-tone',
  'crossing',
  'static-part',
  'restless-part',
  'unchanged-texture',
  'entry-off-phrase',
  'all-at-once',
  'late-part',
  'displaced-part',
  'leftover-track',
  'broken-line',
]);
/** Rules of which tones sound together: the same tones in another rhythm explain nothing where others play them. */
const OF_TONES: ReadonlySet<string> = new Set(['incomplete-chord', 'root-not-in-bass', 'unresolved-tone']);
/** Rules that tell when a note begins and ends. */
const OF_TIMING: ReadonlySet<string> = new Set(['late-part', 'displaced-part', 'foreground-ends-first']);
/** Rules of what sounds together: the same notes on one track or on two sound alike. */
const OF_SOUNDING: ReadonlySet<string> = new Set([
  ...OF_TONES,
  'hole-between-parts',
  'clashing-second',
  'parallel-perfects',
  'crossing',
  'displaced-part',
]);
/** Rules of which pitches sound, whoever plays them: a line that another part has at its own pitch sounds on, and so does one that is held longer. */
const OF_PITCHES: ReadonlySet<string> = new Set([...OF_SOUNDING, 'background-above-melody']);
/** Told by comparison with the stage before, and no longer told in the next one: only where the passage itself was touched it may have been put right. */
const BY_COMPARISON = 'displaced-part';
/** Rules of players that ask which pitches there are, however fast they follow one another. */
const AT_EVERY_TEMPO: ReadonlySet<string> = new Set(['outside-range', 'edge-of-range', 'tessitura', 'divisi']);
const OF_TIME: ReadonlySet<string> = new Set(OF_PLAYERS.filter((rule) => !AT_EVERY_TEMPO.has(rule)));

/** Rules of how long somebody plays on end: bars that were put in and in which they play relieve nobody. */
const OF_ENDURANCE: ReadonlySet<string> = new Set(['breath', 'never-rests', 'stamina', 'brass-endurance']);

/** Bars of the later stage, by number, in which parts sound that came or went. */
export interface ComeAndGone {
  readonly came: ReadonlySet<number>;
  readonly went: ReadonlySet<number>;
  /** Whether a part of the later stage, by id, plays in a bar of it. */
  readonly plays?: (partId: string, bar: number) => boolean;
}

export type Step = Omit<StageChange, 'findings' | 'measures' | 'bars'>;

/** The bars of a step, by number: where those of each stage stand in the other, and which have another neighbour there, or none. */
const barsOf = onceEach(({ kept, moved, inserted, appended, cut }: Step['barOrder']) => {
  const laterOf = new Map<number, number>();
  for (const { before, after, count } of [...kept, ...moved])
    for (let place = 0; place < count; place++) laterOf.set(before + place, after + place);
  const isNow = new Set([...laterOf.values(), ...inserted, ...appended]);
  const wasThere = new Set([...laterOf.keys(), ...cut]);
  const neighbours = [...laterOf].filter(([was, is]) =>
    [-1, 1].some((side) => {
      const then = wasThere.has(was + side) ? (laterOf.get(was + side) ?? -Infinity) : undefined;
      return then !== (isNow.has(is + side) ? is + side : undefined);
    }),
  );
  const fresh = { before: new Set(cut), after: new Set([...inserted, ...appended]) };
  const seams = { before: new Set(fresh.before), after: new Set(fresh.after) };
  for (const [was, is] of neighbours) {
    seams.before.add(was);
    seams.after.add(is);
  }
  return { laterOf, fresh, seams };
});

/** The bars of some edits by part, and all of them together. */
interface Touched {
  readonly ofPart: (partId: string, bar: number) => boolean;
  readonly ofAny: (bar: number) => boolean;
}

/** The bars of the edits that are meant, gathered once somebody asks. */
function touchedBy(edits: readonly PartEdit[], isMeant: (edit: PartEdit) => boolean): Touched {
  let byPart: ReadonlyMap<string, ReadonlySet<number>> | undefined;
  let all: ReadonlySet<number> | undefined;
  const barsByPart = (): ReadonlyMap<string, ReadonlySet<number>> => {
    const meant = groupedBy(edits.filter(isMeant), ({ partId }) => partId);
    return new Map([...meant].map(([id, own]) => [id, new Set(own.flatMap((edit) => edit.bars))]));
  };
  return {
    ofPart: (partId, bar) => (byPart ??= barsByPart()).get(partId)?.has(bar) === true,
    ofAny: (bar) => (all ??= new Set(edits.filter(isMeant).flatMap((edit) => edit.bars))).has(bar),
  };
}

/** True of what may let a finding of one of the two stages go or appear; its parts and bars are that stage's. */
export type IsDoneAbout = (stage: 'before' | 'after', finding: Finding) => boolean;

/**
 * Tells whether something was done in the bars of a finding to one of its parts, or, where it speaks of what sounds together, to what else
 * sounds there. Another take or export is nothing done, nor is a level to a finding about notes, nor another pitch of the whole to one that
 * holds at every pitch.
 */
export function doneAbout(change: Step, { came, went, plays = () => false }: ComeAndGone): IsDoneAbout {
  const { parts, edits, given, semitones, shifted, tempo, meter, rebarred } = change;
  const heirs = new Map<string, readonly string[]>([
    ...parts.renamed.map((item) => [item.before, [item.after]] as const),
    ...parts.split.map((item) => [item.before, item.after] as const),
    ...parts.joined.flatMap((item) => item.before.map((id) => [id, [item.after]] as const)),
  ]);
  const cameOrWent = { before: new Set(parts.removed), after: new Set(parts.added) };
  const regrouped = {
    before: new Set([...parts.split.map((item) => item.before), ...parts.joined.flatMap((item) => item.before)]),
    after: new Set([...parts.split.flatMap((item) => item.after), ...parts.joined.map((item) => item.after)]),
  };
  const isLevel = ({ kind }: PartEdit): boolean => kind === 'balance';
  const isWritten = (edit: PartEdit): boolean => edit.kind !== 'timing' && !isLevel(edit);
  // Only went to somebody else, or came from there, as it was.
  const isHandedOn = ({ partId, kind, how, bars, toldWith }: PartEdit): boolean =>
    toldWith === 'given' &&
    (kind === 'silenced' || kind === 'extended' || how === 'thinned') &&
    bars.every((bar) =>
      given.some(
        ({ from, to, octaves, bars: own }) => octaves === 0 && own.includes(bar) && (to === partId || from === partId),
      ),
    );
  const byNotes = touchedBy(edits, isWritten);
  const byPitches = touchedBy(edits, (edit) => isWritten(edit) && edit.held === undefined && !isHandedOn(edit));
  const byTones = touchedBy(edits, (edit) => isWritten(edit) && edit.kind !== 'rhythm' && !isHandedOn(edit));
  const byLevel = touchedBy(edits, isLevel);
  const louder = touchedBy(edits, (edit) => isLevel(edit) && (edit.db ?? 0) >= 0);
  const softer = touchedBy(edits, (edit) => isLevel(edit) && (edit.db ?? 0) < 0);
  const byTiming = touchedBy(edits, ({ kind }) => kind === 'timing');
  const isIn = (spans: readonly { readonly from: number; readonly to: number }[], bar: number): boolean =>
    spans.some(({ from, to }) => bar >= from && bar <= to);
  /** True where all that was done to the order of some bars is that others were put in between, in which the same parts play: they have more to play. */
  const isOnlyMore = (
    stage: 'before' | 'after',
    rule: string,
    ids: readonly string[],
    own: readonly number[],
    bars: readonly number[],
  ): boolean => {
    if (stage !== 'before' || !OF_ENDURANCE.has(rule) || bars.length !== own.length) return false;
    const { fresh } = barsOf(change.barOrder);
    const [first, last] = [Math.min(...bars), Math.max(...bars)];
    const known = new Set(bars);
    const between = numbersIn({ from: first - 1, to: last + 1 }).filter((bar) => fresh.after.has(bar));
    const others = numbersIn({ from: first, to: last }).filter((bar) => !known.has(bar) && !between.includes(bar));
    return others.length === 0 && between.every((bar) => ids.every((id) => plays(id, bar)));
  };
  return (stage, { rule, partIds, from, to }) => {
    const { laterOf, fresh, seams } = barsOf(change.barOrder);
    if (partIds.some((id) => cameOrWent[stage].has(id))) return true;
    if (!OF_SOUNDING.has(rule) && partIds.some((id) => regrouped[stage].has(id))) return true;
    const isPitched = !AT_EVERY_PITCH.has(rule);
    // Who is spared by a lower pitch or a faster tempo does not tire by it.
    const isHarder = (by: number): boolean => (stage === 'after' ? by > 0 : by < 0);
    if (semitones !== 0 && isPitched && (!OF_ENDURANCE.has(rule) || isHarder(semitones))) return true;
    const own = numbersIn({ from, to });
    // How loud it is in a bar does not hang on what stands beside it.
    const ofOrder = OF_LEVEL.has(rule) ? fresh[stage] : seams[stage];
    const bars = stage === 'after' ? own : own.flatMap((bar) => laterOf.get(bar) ?? []);
    const ids = stage === 'after' ? partIds : partIds.flatMap((id) => heirs.get(id) ?? [id]);
    if (own.some((bar) => ofOrder.has(bar)) && !isOnlyMore(stage, rule, ids, own, bars)) return true;
    if (bars.some((bar) => isIn(meter, bar) || isIn(rebarred, bar))) return true;
    if (isPitched && bars.some((bar) => isIn(shifted, bar))) return true;
    const ofTempo = OF_ENDURANCE.has(rule) ? tempo.filter((one) => isHarder(one.before - one.after)) : tempo;
    if (OF_TIME.has(rule) && bars.some((bar) => isIn(ofTempo, bar))) return true;
    // How a chord or a line goes on lies in the next bar, and where it comes from in the one before.
    const first = bars[0] ?? Infinity;
    const last = bars.at(-1) ?? -Infinity;
    const around = OF_LEVEL.has(rule) ? bars : [first - 1, ...bars, last + 1];
    const isTouched = (touched: Touched, where: readonly number[]): boolean =>
      where.some((bar) => ids.some((id) => touched.ofPart(id, bar)));
    if (rule === BY_COMPARISON && stage === 'before') return isTouched(byNotes, bars) || isTouched(byTiming, bars);
    const written = OF_PITCHES.has(rule) ? byPitches : byNotes;
    if (isTouched(written, around)) return true;
    const ofFront = stage === 'after' ? softer : louder;
    const isSetItself = FRONT_FIRST.has(rule)
      ? bars.some((bar) => ofFront.ofPart(ids[0] ?? '', bar))
      : OF_LEVEL.has(rule) && isTouched(byLevel, bars);
    if (isSetItself) return true;
    if (OF_TIMING.has(rule) && isTouched(byTiming, bars)) return true;
    if (OF_NAMED_PARTS.has(rule) && ids.length > 0) return false;
    const others = OF_TONES.has(rule) ? byTones : written;
    // Nothing covers less because something behind it is louder, nor more because it is softer.
    const othersLevel = !WORSE_BY_MORE.has(rule) ? byLevel : stage === 'after' ? louder : softer;
    return around.some(
      (bar) =>
        others.ofAny(bar) ||
        (OF_LEVEL.has(rule) && othersLevel.ofAny(bar)) ||
        went.has(bar) ||
        (came.has(bar) && !(stage === 'before' && WORSE_BY_MORE.has(rule))),
    );
  };
}
