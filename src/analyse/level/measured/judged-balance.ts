/** The balance that is judged: as measured in bars in which everybody was recorded, else as estimated. */
import { barsAsShaped } from '../two-scales.ts';
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import { isElectricGuitar, singsIntoMicrophone } from '../../../model/music/ensemble.ts';
import { onceEach } from '../../../model/once-each.ts';
import type { BarBalance, StageReadings } from '../../../model/readings/readings.ts';
import { numbersIn } from '../../../model/words/plain-words.ts';
import { levelGaps } from './level-differences.ts';

export interface JudgedBar extends BarBalance {
  /** True where levels, margin and masked share are those of the recordings, set where the estimates stand (`toEstimateDb`). */
  readonly isMeasured: boolean;
  /** By how much each recorded part is louder than its notes say, dB; parts on one recording alike. */
  readonly overNotesDb: Readonly<Record<string, number>>;
}

/** Where the balance of these bars is from: `estimated from MIDI`, `measured on the recordings`. */
export function basisText(bars: readonly JudgedBar[]): string {
  const measured = bars.filter(({ isMeasured }) => isMeasured);
  if (measured.length === 0) return 'estimated from MIDI';
  return measured.length === bars.length
    ? 'measured on the recordings'
    : 'measured on the recordings where they hold everybody, else estimated from MIDI';
}

/** Bar by bar, in the order of the bars; once for the same readings, as findings, pictures, tables and words ask for it. */
export const judgedBalance = onceEach((readings: StageReadings): readonly JudgedBar[] => {
  const { balance, measured } = readings;
  const asShaped = barsAsShaped(readings);
  if (measured === undefined) return balance.map((bar) => ({ ...bar, isMeasured: false, overNotesDb: {} }));
  const { groups, bars, toEstimateDb } = measured;
  const gaps = groups.map((group, index) => levelGaps(index, group, bars, asShaped));
  const recorded = new Set(groups.flatMap(({ partIds }) => partIds));
  return balance.map((bar, index): JudgedBar => {
    const overNotesDb = Object.fromEntries(
      groups.flatMap(({ partIds }, group) => {
        const gap = gaps[group]?.[index];
        return gap === undefined ? [] : partIds.map((id) => [id, gap + toEstimateDb] as const);
      }),
    );
    const { foregroundDb, backgroundDb, marginDb, maskedShare } = bars[index] ?? {};
    if (foregroundDb === undefined || backgroundDb === undefined || marginDb === undefined)
      return { ...bar, isMeasured: false, overNotesDb };
    // Who is recorded and not heard does not sound.
    const heard = Object.entries((asShaped[index] ?? bar).partsDb).filter(
      ([id]) => !recorded.has(id) || id in overNotesDb,
    );
    return {
      bar: bar.bar,
      foregroundDb: foregroundDb + toEstimateDb,
      backgroundDb: backgroundDb + toEstimateDb,
      marginDb,
      ...(maskedShare === undefined ? {} : { maskedShare }),
      partsDb: Object.fromEntries(heard.map(([id, db]) => [id, db + (overNotesDb[id] ?? 0)])),
      isMeasured: true,
      overNotesDb,
    };
  });
});

/** Where a part leads that is a singer with a microphone, or a guitar with an amplifier: how loud that is nobody wrote down. */
function amplifiedSpans({
  ensemble,
  foreground,
  parts,
}: Pick<Stage, 'ensemble' | 'foreground' | 'parts'>): Stage['foreground'] {
  const isAmplified = (part: Part): boolean =>
    singsIntoMicrophone(part, ensemble.kind, parts) || (isElectricGuitar(part) && part.levelBy === undefined);
  const amplified = new Set(parts.filter(isAmplified).map(({ id }) => id));
  return foreground.filter(({ partId }) => amplified.has(partId));
}

/** The singers and guitars that lead into a microphone or an amplifier in some bar. */
export function amplifiedLeaders(stage: Pick<Stage, 'ensemble' | 'foreground' | 'parts'>): readonly Part[] {
  const leading = new Set(amplifiedSpans(stage).map(({ partId }) => partId));
  return stage.parts.filter(({ id }) => leading.has(id));
}

/** Numbers of bars that are led into a microphone or an amplifier: an estimate is of the voice or the guitar without it. */
export function amplifiedBars(stage: Pick<Stage, 'ensemble' | 'foreground' | 'parts'>): ReadonlySet<number> {
  return new Set(amplifiedSpans(stage).flatMap((span) => numbersIn(span)));
}

/** The bars of which it is told who is louder: one that is led into a microphone or an amplifier only where it was measured. */
export function toldBalance(
  stage: Pick<Stage, 'ensemble' | 'foreground' | 'parts'>,
  readings: StageReadings,
): readonly JudgedBar[] {
  const amplified = amplifiedBars(stage);
  return judgedBalance(readings).filter(({ bar, isMeasured }) => isMeasured || !amplified.has(bar));
}

/** An assumed level may be wrong by about a dynamic grade: only what is softer by more is told. Our convention. */
const ASSUMED_ERROR_DB = 6;

/** Whether the level of a part of the foreground is assumed, as no source gives it. */
export function isFrontAssumed(
  { foreground }: Pick<Stage, 'foreground'>,
  { levelAssumptions }: StageReadings,
): boolean {
  const front = new Set(foreground.map((span) => span.partId));
  return levelAssumptions.some((item) => item.assumed && front.has(item.partId));
}

/** Whether the foreground of a bar is the softer side by more than its level may be wrong: what first screen and balance chart call softer. */
export function isPlainlyUnder(
  { marginDb = 0, isMeasured }: Pick<JudgedBar, 'marginDb' | 'isMeasured'>,
  stage: Pick<Stage, 'foreground'>,
  readings: StageReadings,
): boolean {
  return marginDb < (!isMeasured && isFrontAssumed(stage, readings) ? -ASSUMED_ERROR_DB : 0);
}

/** How a stage's foreground stands beside its background, as first screen and balance chart both tell it. */
export interface FrontStanding {
  /** Bars in which it is the softer side, however little each is worth. */
  readonly softer: readonly number[];
  /** Those of them in which it is softer by more than its level may be wrong. */
  readonly under: readonly number[];
  /** True where the level of the foreground is assumed: within its error nobody knows who is louder. */
  readonly isNear: boolean;
  /** True where it is softer in more than half of the bars: that is told, and not where it is louder. */
  readonly isMostlySofter: boolean;
}

/** Of bars in which both sides sound. */
export function frontStanding(
  bars: readonly Pick<JudgedBar, 'bar' | 'marginDb' | 'isMeasured'>[],
  stage: Pick<Stage, 'foreground'>,
  readings: StageReadings,
): FrontStanding {
  const softer = bars.flatMap(({ bar, marginDb = 0 }) => (marginDb < 0 ? [bar] : []));
  const under = bars.flatMap((bar) => (isPlainlyUnder(bar, stage, readings) ? [bar.bar] : []));
  const isNear = !bars.every(({ isMeasured }) => isMeasured) && isFrontAssumed(stage, readings);
  const told = isNear ? softer : under;
  return { softer, under, isNear, isMostlySofter: 2 * told.length > bars.length };
}

/** `no singer`, `no electric guitar`, or `neither a singer nor an electric guitar`: who leads where the balance is told. */
export function nobodyAmplified(stage: Pick<Stage, 'ensemble' | 'foreground' | 'parts'>): string {
  const leaders = amplifiedLeaders(stage);
  const isSinger = ({ family }: Part): boolean => family === 'voice';
  if (leaders.every(isSinger)) return 'no singer';
  return leaders.some(isSinger) ? 'neither a singer nor an electric guitar' : 'no electric guitar';
}
