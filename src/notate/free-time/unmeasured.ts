/**
 * Music without a beat as it is shown: heads without stems where they were played, black for short and open for long ones, no rests but
 * those of whole bars (usage of scores in free time; K. Stone, Music Notation in the Twentieth Century, from memory).
 */
import type {
  NoteHead,
  ReducedScore,
  ScoreBar,
  StaffBar,
  WrittenEvent,
  WrittenNotes,
} from '../../model/music/written.ts';
import { settleTies } from '../note-values/ties.ts';
import { pitchName } from '../../model/music/pitch.ts';

/** A head that is held longer than this is open. */
const OPEN_SECONDS = 1;
/** A head that goes on in the next bar for less than this is not drawn there again. */
const DRAWN_SECONDS = 0.6;
const HIDDEN = { figure: { base: 1, dots: 0 }, heads: [], hidden: true, wholeBar: true } as const;

function hiddenRest({ start, length }: Pick<WrittenEvent, 'start' | 'length'>): WrittenEvent {
  return { kind: 'rest', start, length, ...HIDDEN };
}

/** Events of a voice in one bar: a chord where something begins, or goes on from the bar before. */
function onsetsOnly(voice: readonly WrittenEvent[]): WrittenEvent[] {
  const events: WrittenEvent[] = [];
  for (const [index, event] of voice.entries()) {
    if (event.kind === 'rest') {
      events.push(event.wholeBar === true ? event : hiddenRest(event));
      continue;
    }
    const heads = event.heads.filter((head) => !head.tieFromPrevious || index === 0);
    const before = events.at(-1);
    if (heads.length > 0) events.push({ ...event, heads, stemless: true });
    else if (before?.kind !== 'notes') events.push(hiddenRest(event));
    else {
      const goesOn = (head: NoteHead): boolean =>
        event.heads.some((other) => other.tieToNext && pitchName(other.pitch) === pitchName(head.pitch));
      events[events.length - 1] = {
        ...before,
        length: before.length + event.length,
        heads: before.heads.map((head) => ({ ...head, tieToNext: goesOn(head) })),
      };
    }
  }
  return events.map((event, index) => {
    const isLast = index === events.length - 1;
    return isLast ? event : { ...event, heads: event.heads.map((head) => ({ ...head, tieToNext: false })) };
  });
}

/** The event with these heads only; none is nothing seen. */
function withHeads(event: WrittenEvent, heads: readonly NoteHead[]): WrittenEvent {
  if (event.kind === 'rest' || heads.length === event.heads.length) return event;
  return heads.length === 0 ? hiddenRest(event) : { ...event, heads };
}

/** Heads that go on from the bar before stand only where a tie leads to them. */
function withoutLooseHeads(before: readonly WrittenEvent[], settled: readonly WrittenEvent[]): WrittenEvent[] {
  return settled.map((event, index) => {
    const wasTied = (place: number): boolean => before[index]?.heads[place]?.tieFromPrevious === true;
    return withHeads(
      event,
      event.heads.filter((head, place) => head.tieFromPrevious || !wasTied(place)),
    );
  });
}

/** Heads go where no tie leads to them, and with them those that they led to, bar by bar. */
function settledHeads(voices: readonly (readonly WrittenEvent[])[][]): WrittenEvent[][][] {
  const settled = settleTies(voices).map((bar, index) =>
    bar.map((voice, place) => withoutLooseHeads(voices[index]?.[place] ?? [], voice)),
  );
  const count = (bars: readonly (readonly WrittenEvent[])[][]): number =>
    bars.flat(2).reduce((sum, { heads }) => sum + heads.length, 0);
  return count(settled) === count(voices) ? settled : settledHeads(settled);
}

/** Black or open by how long a head is held over all bars; a tie is kept where it tells of a time that can be seen. */
function withValues(
  bars: readonly (readonly WrittenEvent[])[][],
  scales: readonly number[],
  leastSeconds: number,
): WrittenEvent[][][] {
  // Seconds that a head goes on in the next bar, by its name; filled from the last bar back.
  let after: ReadonlyMap<string, number> = new Map();
  const valued: WrittenEvent[][][] = [];
  for (let index = bars.length - 1; index >= 0; index--) {
    const here = new Map<string, number>();
    const beyond = after;
    valued[index] = (bars[index] ?? []).map((voice) =>
      voice.map((event) => {
        if (event.kind === 'rest') return event;
        const own = event.length * (scales[index] ?? 0.001);
        const goesOn = (head: NoteHead): number => (head.tieToNext ? (beyond.get(pitchName(head.pitch)) ?? 0) : 0);
        for (const head of event.heads) if (head.tieFromPrevious) here.set(pitchName(head.pitch), own + goesOn(head));
        const shown = event.heads.filter((head) => !head.tieFromPrevious || own + goesOn(head) >= leastSeconds);
        const longest = Math.max(0, ...shown.map((head) => own + goesOn(head)));
        const heads = shown.map((head) => ({ ...head, tieToNext: head.tieToNext && goesOn(head) >= leastSeconds }));
        const long = longest >= OPEN_SECONDS || heads.some((head) => head.tieFromPrevious || head.tieToNext);
        const figure = { base: long ? 2 : 4, dots: 0 } as const;
        return { ...withHeads(event, heads), heads, ...(heads.length === 0 ? {} : { figure }) };
      }),
    );
    after = here;
  }
  return valued;
}

/** One staff, bar by bar; `scales` are the seconds of a division in each bar. */
function stemlessStaff(bars: readonly StaffBar[], scales: readonly number[], leastSeconds: number): StaffBar[] {
  return withValues(settledHeads(bars.map((bar) => bar.voices.map(onsetsOnly))), scales, leastSeconds).map(
    (staff, index) => ({
      ...(bars[index] as StaffBar),
      voices: staff,
    }),
  );
}

/**
 * Bars of a score or of a part with their staves in free time; `seconds` is how long each of them lasts. Ties over bar lines are kept where the
 * head goes on for `leastSeconds`.
 */
export function inFreeTime<T extends { readonly staves: readonly StaffBar[] }>(
  bars: readonly T[],
  seconds: readonly number[],
  divisions: readonly number[],
  leastSeconds = 0,
): T[] {
  const scales = bars.map((_, index) => (seconds[index] ?? 2) / (divisions[index] ?? 1920));
  const staves = (bars[0]?.staves ?? []).map((_, staff) =>
    stemlessStaff(
      bars.map((bar) => bar.staves[staff] ?? { clef: 'treble', voices: [] }),
      scales,
      leastSeconds,
    ),
  );
  return bars.map((bar, index) => ({ ...bar, staves: staves.map((staff) => staff[index] as StaffBar) }));
}

/** What stands over its first bar. */
export const FREE_TIME = 'Free time (not measured)';

/** The score of a stage in free time: no meter, no tempo, no stems; any other as it is. `leastSeconds` as for the bars. */
export function shownInTime(
  score: ReducedScore,
  written: Pick<WrittenNotes, 'onGrid'>,
  bars: readonly { readonly lengthSeconds: number }[],
  leastSeconds = DRAWN_SECONDS,
): ReducedScore {
  if (written.onGrid) return score;
  const free = inFreeTime(
    score.bars,
    bars.map((bar) => bar.lengthSeconds),
    score.bars.map((bar) => bar.lengthDivisions),
    leastSeconds,
  );
  return {
    ...score,
    bars: free.map((bar, index) => {
      const shown: { -readonly [Key in keyof ScoreBar]: ScoreBar[Key] } = { ...bar, showMeter: false };
      if (index === 0) shown.tempoText = FREE_TIME;
      else delete shown.tempoText;
      return shown;
    }),
  };
}
