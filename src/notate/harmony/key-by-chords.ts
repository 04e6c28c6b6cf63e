/**
 * Where two estimated keys suit the notes of a span about equally, its chords decide: a profile counts pitches, and a tune over
 * ii7-V7-I in C that dwells on B and D counts like one in G, though every dominant says C (common practice, no source).
 */
import { classAt, fifthsOf, pitchClassOf } from '../../model/music/pitch.ts';
import type { KeySpan } from '../../model/music/written.ts';
import { lengthOf } from '../chords/chord-frames.ts';
import type { ChordRun } from '../chords/chord-run.ts';
import { localKeyOf } from '../chords/chords.ts';
import { signatureOf } from '../keys/line-of-fifths.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

/**
 * How far the key of the profiles may lead (`KeySpan.confidence`), and the share of the chords' time, within the span, that is heard in the
 * other key: the surer the one, the more must be in the other.
 */
const VERDICTS = [
  { lead: 0.1, share: 0.75 },
  { lead: 0.4, share: 0.95 },
] as const;
const MOST_LEAD = Math.max(...VERDICTS.map(({ lead }) => lead));
/** Chords, and bars, to judge by. */
const FEWEST_CHORDS = 6;
const FEWEST_BARS = 8;

/** The runs that begin in the bars of a key. */
export function runsIn({ from, to }: KeySpan, runs: readonly ChordRun[], time: ScoreTime): readonly ChordRun[] {
  return runs.filter(({ frames }) => {
    const number = time.bars[barIndexAtDivision(time, frames[0]?.start ?? 0)]?.number ?? 0;
    return number >= from && number <= to;
  });
}

/** Time of the chords of a span by the key in which they are heard, in divisions, and how many there are. */
function chordTime(
  span: KeySpan,
  runs: readonly ChordRun[],
  time: ScoreTime,
): { readonly byKey: ReadonlyMap<number, number>; readonly count: number } {
  const byKey = new Map<number, number>();
  let count = 0;
  for (const { key, frames } of runsIn(span, runs, time)) {
    count++;
    byKey.set(key, (byKey.get(key) ?? 0) + lengthOf(frames));
  }
  return { byKey, count };
}

function decided(span: KeySpan, runs: readonly ChordRun[], time: ScoreTime): KeySpan {
  if (span.by !== 'estimate' || span.confidence > MOST_LEAD) return span;
  if (span.to - span.from + 1 < FEWEST_BARS) return span;
  const { byKey, count } = chordTime(span, runs, time);
  if (count < FEWEST_CHORDS) return span;
  const whole = [...byKey.values()].reduce((sum, length) => sum + length, 0);
  const [key, length] = [...byKey].sort((a, b) => b[1] - a[1])[0] ?? [0, 0];
  if (!VERDICTS.some(({ lead, share }) => span.confidence <= lead && length >= share * whole)) return span;
  const { tonic, mode } = localKeyOf(key, span);
  if (fifthsOf(tonic) === fifthsOf(span.tonic) && mode === span.mode) return span;
  return { ...span, tonic, mode, fifths: signatureOf(tonic, mode) };
}

/** A key with less lead than this is doubtful where its chords are heard in it for less than half, and in another for at least this share. */
const DOUBTFUL_LEAD = 0.1;
const RIVAL_SHARE = 0.4;

/** The keys with the other one that is about as likely, where there is one. */
export function withRivals(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): KeySpan[] {
  return keys.map((span) => {
    if (span.by !== 'estimate' || span.confidence > DOUBTFUL_LEAD) return span;
    const { byKey, count } = chordTime(span, runs, time);
    if (count < FEWEST_CHORDS) return span;
    const whole = [...byKey.values()].reduce((sum, length) => sum + length, 0);
    const [key, length] = [...byKey].sort((a, b) => b[1] - a[1])[0] ?? [0, 0];
    const { tonic, mode } = localKeyOf(key, span);
    const isSame = mode === span.mode && (fifthsOf(tonic) - fifthsOf(span.tonic)) % 12 === 0;
    return isSame || length < RIVAL_SHARE * whole ? span : { ...span, rival: { tonic, mode } };
  });
}

/** So much more time on the major dominant than on the tonic chord makes the dominant the place of rest. Our convention. */
const RESTING_TIMES = 1.25;
/** Chords of a dominant at rest. */
const AT_REST: ReadonlySet<string> = new Set(['major']);

/**
 * Minor keys that rest on their dominant: music in the phrygian dominant (D, E flat, F sharp, G, A, B flat, C: the freygish of klezmer, hijaz) has the
 * notes of G minor and ends on D (common practice, no source). Its first and last chords are the dominant without seventh, and it stays there longer.
 */
export function withRestingPlaces(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): KeySpan[] {
  return keys.map((span) => {
    if (span.mode !== 'minor' || span.by === 'settings' || span.to - span.from + 1 < FEWEST_BARS) return span;
    const own = runsIn(span, runs, time);
    const tonic = pitchClassOf(span.tonic);
    const isResting = (run: ChordRun | undefined): run is ChordRun =>
      run !== undefined && run.template.root === (tonic + 7) % 12 && AT_REST.has(run.template.quality.name);
    const timeOf = (fits: (run: ChordRun) => boolean): number =>
      own.filter(fits).reduce((sum, run) => sum + lengthOf(run.frames), 0);
    const onTonic = timeOf(({ template }) => template.root === tonic);
    const isAtBothEnds = isResting(own[0]) && isResting(own.at(-1));
    const rests = own.length >= FEWEST_CHORDS && isAtBothEnds && timeOf(isResting) >= RESTING_TIMES * onTonic;
    if (!rests) return span;
    // A note that says phrygian is as true of the one with a major chord on its final.
    const { modal, ...plain } = span;
    return modal === undefined || modal.name === 'phrygian' ? { ...plain, restsOnDominant: true } : span;
  });
}

/** Share of the chords' time that must be heard in the relative key, in a stretch that is told as being in it. */
const RELATIVE_SHARE = 0.9;

/**
 * A minor key that a file states, which nobody's default is, and in whose tonic chord the music begins and ends, though most of its chords are heard in the relative: songs and dances without a leading
 * note (E minor over E minor, D, C and D) are full of chords of the relative major (common practice, no source).
 */
function isAtHome(span: KeySpan, runs: readonly ChordRun[], time: ScoreTime): boolean {
  const own = runsIn(span, runs, time);
  const isTonic = (run: ChordRun | undefined): boolean =>
    run?.template.root === pitchClassOf(span.tonic) && !run.template.quality.intervals.includes(4);
  const inRelative = own
    .filter(({ key }) => key === relativeOf(span))
    .reduce((sum, { frames }) => sum + lengthOf(frames), 0);
  const whole = own.reduce((sum, { frames }) => sum + lengthOf(frames), 0);
  return (
    span.by === 'file' && span.mode === 'minor' && isTonic(own[0]) && isTonic(own.at(-1)) && 2 * inRelative > whole
  );
}

/** Index of the relative key among the twenty-four: majors by pitch class, then minors. */
function relativeOf({ tonic, mode }: KeySpan): number {
  const shift = mode === 'minor' ? 3 : -3;
  return ((pitchClassOf(tonic) + shift + 12) % 12) + (mode === 'minor' ? 0 : 12);
}

/** The runs, those of a minor key at home heard in it and not in its relative: the numerals are those of the key that is told. */
export function atHome(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): readonly ChordRun[] {
  const homes = keys.filter((span) => isAtHome(span, runs, time));
  if (homes.length === 0) return runs;
  const own = new Map(
    homes.flatMap((span) =>
      runsIn(span, runs, time)
        .filter(({ key }) => key === relativeOf(span))
        .map((run) => [run, pitchClassOf(span.tonic) + 12] as const),
    ),
  );
  return runs.map((run) => ({ ...run, key: own.get(run) ?? run.key }));
}

/**
 * Keys of which a long stretch is heard in the relative key, which has the same signature, parted there: a file states a signature once, whatever
 * comes under it, and numerals follow what is heard.
 */
export function withRelatives(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): KeySpan[] {
  return keys.flatMap((span) => {
    const isTold = span.by === 'settings' || span.by === 'note' || span.modal !== undefined;
    if (isTold || span.rival !== undefined || span.restsOnDominant === true) return [span];
    const relative = relativeOf(span);
    const bars = time.bars.filter(({ number }) => number >= span.from && number <= span.to);
    const heard = bars.map(({ start, length }) => {
      let all = 0;
      let there = 0;
      for (const run of runs) {
        for (const frame of run.frames) {
          const shared = Math.min(frame.start + frame.length, start + length) - Math.max(frame.start, start);
          if (shared <= 0) continue;
          all += shared;
          if (run.key === relative) there += shared;
        }
      }
      return { all, there };
    });
    const isThere = heard.map(({ all, there }) => all > 0 && there >= RELATIVE_SHARE * all);
    const stretches: { from: number; to: number }[] = [];
    isThere.forEach((fits, index) => {
      const last = stretches.at(-1);
      if (!fits) return;
      if (last !== undefined && last.to === index - 1) last.to = index;
      else stretches.push({ from: index, to: index });
    });
    const long = stretches.filter(({ from, to }) => to - from + 1 >= FEWEST_BARS);
    const [only] = long;
    if (only === undefined || (only.from === 0 && only.to === bars.length - 1)) return [span];
    if (isAtHome(span, runs, time)) return [span];
    const mode = span.mode === 'minor' ? ('major' as const) : ('minor' as const);
    const other = { tonic: classAt(fifthsOf(span.tonic) + (span.mode === 'minor' ? -3 : 3)), mode };
    const parted: KeySpan[] = [];
    let next = 0;
    const numberAt = (index: number): number => bars[index]?.number ?? span.to;
    for (const { from, to } of long) {
      if (from > next) parted.push({ ...span, from: numberAt(next), to: numberAt(from - 1) });
      parted.push({
        ...span,
        ...other,
        from: numberAt(from),
        to: numberAt(to),
        by: 'estimate',
        confidence: span.confidence,
      });
      next = to + 1;
    }
    if (next < bars.length) parted.push({ ...span, from: numberAt(next) });
    return parted;
  });
}

/** The keys, those that the notes leave open decided by the chords. Neighbours that turn out alike become one span. */
export function keysWithChords(keys: readonly KeySpan[], runs: readonly ChordRun[], time: ScoreTime): KeySpan[] {
  const joined: KeySpan[] = [];
  for (const span of keys.map((key) => decided(key, runs, time))) {
    const last = joined.at(-1);
    const isSame = last?.by === span.by && last.mode === span.mode && fifthsOf(last.tonic) === fifthsOf(span.tonic);
    if (isSame && span.by === 'estimate') {
      joined[joined.length - 1] = { ...last, to: span.to, confidence: Math.max(last.confidence, span.confidence) };
    } else joined.push(span);
  }
  return joined;
}
