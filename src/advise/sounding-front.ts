/** Where the foreground sounds, who it is there, who is over it and how that is known: what the rules of balance start from. */
import { isLevelLeftOut } from '../analyse/level/left-out.ts';
import type { JudgedBar } from '../analyse/level/measured/judged-balance.ts';
import { groupedBy } from '../model/grouped.ts';
import { instrumentById } from '../model/music/catalogue.ts';
import type { Part } from '../model/music/arrangement.ts';
import { median } from '../model/music/dynamics.ts';
import type { BarBalance } from '../model/readings/readings.ts';
import { onceEach } from '../model/once-each.ts';
import { barIndexAt } from '../model/music/timeline.ts';
import { startingWithin } from '../model/sorted-search.ts';
import { listText } from '../model/words/plain-words.ts';
import { quoted } from '../read/clean-text.ts';
import { isLed, leadKey } from './leads.ts';
import type { RuleContext } from './rule.ts';

/** The foreground sounds in at least this share of the bar's beats. */
const FOREGROUND_SHARE = 0.5;
/** Two octaves and more under the foreground a bass rivals nobody until it is this much stronger. Our convention. */
const BASS_SEMITONES = 24;
const BASS_DB = 6;

/** Bars in which a part of the foreground begins a note, or holds one with its full strength: the tail of a struck note leads nobody. */
function barsPlayed({ parts, front, stage: { timeline } }: RuleContext): ReadonlySet<number> {
  const { bars } = timeline;
  const played = new Set<number>();
  for (const { part, notes } of parts) {
    const isHeld = instrumentById(part.instrument)?.sustaining ?? true;
    for (const note of notes) {
      const first = barIndexAt(bars, note.startQuarters);
      const last = isHeld ? Math.max(first, barIndexAt(bars, note.endQuarters - 1e-4)) : first;
      for (let index = first; index <= last; index++) {
        const bar = bars[index];
        if (bar !== undefined && (front[index]?.has(part.id) ?? false)) played.add(bar.number);
      }
    }
  }
  return played;
}

/** Recordings that are named one by one. */
const MOST_FILES = 4;

/** What stays the same through a passage: who leads, and whether its levels are those of recordings. */
export function passageKey({ bar, isMeasured }: JudgedBar, context: RuleContext): string {
  return `${leadKey(context, bar)} ${isMeasured ? 'measured' : 'estimated'}`;
}

/** True where levels of all these bars are those of recordings; of a passage by `passageKey` they are so in all bars or in none. */
export function areMeasured(bars: readonly Pick<JudgedBar, 'isMeasured'>[]): boolean {
  return bars.every(({ isMeasured }) => isMeasured);
}

/** How the levels of these parts are known: `estimated from MIDI`, `measured on "stems/Horn.wav"`. */
export function basisText(isMeasured: boolean, partIds: readonly string[], { readings }: RuleContext): string {
  if (!isMeasured) return 'estimated from MIDI';
  const groups = readings.measured?.groups.filter((group) => group.partIds.some((id) => partIds.includes(id))) ?? [];
  const files = groups.flatMap((group) => group.files.map((file) => quoted(file)));
  return `measured on ${listText(files, MOST_FILES)}`;
}

/** The same of both sides, with what has to be said of a foreground whose level is assumed. */
export function sidesBasisText(
  isMeasured: boolean,
  frontIds: readonly string[],
  backIds: readonly string[],
  context: RuleContext,
): string {
  const basis = basisText(isMeasured, [...frontIds, ...backIds], context);
  return !isMeasured && isLevelAssumed(frontIds, context)
    ? `${basis}; no published level of the foreground instrument is at hand, its own is assumed`
    : basis;
}

/** How an advice on levels begins. */
export function byBasis(isMeasured: boolean): string {
  return isMeasured ? 'By these recordings' : 'By this estimate';
}

/** Bars in which somebody surely leads and sounds in at least half of the beats; of a sketch without dynamics those that were measured. */
export function barsWithForeground(context: RuleContext): ReadonlySet<number> {
  const { balance } = context.readings;
  const levelled = new Set(
    balance.flatMap(({ bar, isMeasured }) => (isMeasured || context.flatVelocity === undefined ? [bar] : [])),
  );
  const played = barsPlayed(context);
  const counts = new Map<number, { all: number; front: number }>();
  for (const beat of context.readings.beats) {
    const count = counts.get(beat.bar) ?? { all: 0, front: 0 };
    count.all++;
    if (beat.foregroundDb !== undefined) count.front++;
    counts.set(beat.bar, count);
  }
  return new Set(
    [...counts]
      .filter(
        ([bar, { all, front }]) =>
          front >= all * FOREGROUND_SHARE && levelled.has(bar) && played.has(bar) && isLed(context, bar),
      )
      .map(([bar]) => bar),
  );
}

/** Ids of the parts that are in front and sound in any of these bars. */
export function frontIdsOf(bars: readonly BarBalance[], { stage, front }: RuleContext): readonly string[] {
  const first = stage.timeline.bars[0]?.number ?? 1;
  return [
    ...new Set(bars.flatMap(({ bar, partsDb }) => [...(front[bar - first] ?? [])].filter((id) => id in partsDb))),
  ];
}

/** True where the level of one of these parts is an assumption, as no figure is published. */
export function isLevelAssumed(partIds: readonly string[], { readings }: RuleContext): boolean {
  return readings.levelAssumptions.some((item) => item.assumed && partIds.includes(item.partId));
}

export interface Rival {
  readonly partId: string;
  /** Median level over the bars, a deep bass less what it does not cover; and as it is. */
  readonly db: number;
  readonly levelDb: number;
  /** Power summed over all the bars, silent ones too, in units of its own. */
  readonly power: number;
}

const registerByBar = onceEach((register: RuleContext['readings']['register']) =>
  groupedBy(register, ({ bar }) => bar),
);

function centresOf(bars: ReadonlySet<number>, { readings }: RuleContext): ReadonlyMap<string, number> {
  const byBar = registerByBar(readings.register);
  const inBars = [...bars].flatMap((bar) => byBar.get(bar) ?? []);
  const centres = groupedBy(inBars, ({ partId }) => partId);
  return new Map([...centres].map(([id, own]) => [id, median(own.map(({ centre }) => centre)) ?? 0]));
}

/** Places at which notes of a part begin in a bar; empty where none do. */
function onsetsIn(partId: string, bar: number, { partById, stage: { timeline } }: RuleContext): readonly number[] {
  const { startQuarters, lengthQuarters } = timeline.bars[bar - (timeline.bars[0]?.number ?? 1)] ?? {};
  if (startQuarters === undefined || lengthQuarters === undefined) return [];
  const notes = partById.get(partId)?.notes ?? [];
  const from = startQuarters - 1e-6;
  return startingWithin(notes, from, from + lengthQuarters).map((note) => note.startQuarters);
}

/** True in a bar in which the lead passes from this part to that of the bar, or from that one to this: whoever led begins nothing more once the other has begun. */
function isHandedOver(partId: string, bar: number, context: RuleContext): boolean {
  const { front, stage } = context;
  const index = bar - (stage.timeline.bars[0]?.number ?? 1);
  const [led, leads] = [front[index - 1]?.has(partId) ?? false, front[index + 1]?.has(partId) ?? false];
  if (led === leads) return false;
  const own = onsetsIn(partId, bar, context);
  const others = [...(front[index] ?? [])].flatMap((id) => onsetsIn(id, bar, context));
  return led ? Math.max(...own) < Math.min(...others) - 1e-6 : Math.max(...others) < Math.min(...own) - 1e-6;
}

/** Who sounds in a beat of a bar together with the foreground, by bar. */
const soundingWithFront = onceEach((beats: RuleContext['readings']['beats']) => {
  const byBar = new Map<number, Set<string>>();
  for (const { bar, foregroundDb, partsDb } of beats) {
    if (foregroundDb === undefined) continue;
    const own = byBar.get(bar) ?? new Set();
    for (const id of Object.keys(partsDb)) own.add(id);
    byBar.set(bar, own);
  }
  return byBar;
});

/** True where a part sounds with the foreground in half of these bars at least: who rests in more of them is not to blame for them. */
export function soundsThere(id: string, bars: readonly BarBalance[], { readings }: RuleContext): boolean {
  const together = soundingWithFront(readings.beats);
  const own = bars.filter(({ bar, partsDb }) => id in partsDb && (together.get(bar)?.has(id) ?? true));
  return 2 * own.length >= bars.length;
}

/**
 * True where a part is a singer by himself over instruments that lead, outside of a choir: with a singer there the words are heard first, and nobody says
 * that they cover an instrument (common practice, no source).
 */
export function isSingerOver(part: Part, frontIds: readonly string[], { idiom, partById }: RuleContext): boolean {
  if (part.family !== 'voice' || part.instrument === 'choir' || part.players > 1 || idiom.kind === 'choir')
    return false;
  return !frontIds.some((id) => partById.get(id)?.part.family === 'voice');
}

/**
 * Background parts of these bars whose level counts, the loudest first; who leads elsewhere is among them, but not where the lead passes from or to
 * him, nor who rests in most of the bars while the foreground sounds, unless `isThere` says otherwise.
 */
export function rivalsOf(
  bars: readonly BarBalance[],
  frontIds: readonly string[],
  context: RuleContext,
  isThere: typeof soundsThere = soundsThere,
): readonly Rival[] {
  const centres = centresOf(new Set(bars.map(({ bar }) => bar)), context);
  const front = median(frontIds.flatMap((id) => centres.get(id) ?? []));
  const ids = [...new Set(bars.flatMap(({ partsDb }) => Object.keys(partsDb)))];
  return ids
    .filter((id) => {
      const part = context.partById.get(id)?.part;
      if (part === undefined || frontIds.includes(id) || isLevelLeftOut(part)) return false;
      if (isSingerOver(part, frontIds, context)) return false;
      if (!isThere(id, bars, context)) return false;
      return !bars.every(({ bar, partsDb }) => !(id in partsDb) || isHandedOver(id, bar, context));
    })
    .map((id): Rival => {
      const centre = centres.get(id);
      const isDeep = front !== undefined && centre !== undefined && front - centre >= BASS_SEMITONES;
      const db = median(bars.flatMap(({ partsDb }) => partsDb[id] ?? [])) ?? Number.NEGATIVE_INFINITY;
      const power = bars.reduce((sum, { partsDb }) => sum + (id in partsDb ? 10 ** ((partsDb[id] ?? 0) / 10) : 0), 0);
      return { partId: id, db: isDeep ? db - BASS_DB : db, levelDb: db, power };
    })
    .sort((a, b) => b.db - a.db);
}
