/** What the harmony chart draws: who sounds which tone of each chord, what is missing, and who has the bass. */
import type { Part, Stage } from '../../../model/music/arrangement.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import type { ChordSpan, WrittenNotes } from '../../../model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import type { Front } from '../frame/front.ts';
import { frontOf } from '../frame/front.ts';

/** Root, third (or what stands for it), fifth, seventh: places among a chord's tones. */
export const LANES = 4;

export interface ChordBox {
  readonly chord: ChordSpan;
  readonly startQuarters: number;
  readonly endQuarters: number;
  /** Places (0..3) among its tones that nobody sounds, and those that only the parts in front sound while others play. */
  readonly missing: readonly number[];
  readonly onlyInFront: readonly number[];
  readonly bassPartIds: readonly string[];
  readonly handover: boolean;
}

/** A stretch over which a part sounds the same place of one chord after another, or has the bass. */
export interface Stretch {
  readonly startQuarters: number;
  readonly endQuarters: number;
}

export interface BassStretch extends Stretch {
  readonly partIds: readonly string[];
  /** True where it was taken over from other parts. */
  readonly handover: boolean;
}

export interface HarmonyPlan {
  readonly stage: Stage;
  readonly front: Front;
  readonly parts: readonly Part[];
  readonly boxes: readonly ChordBox[];
  /** By part id, then by place among the tones. */
  readonly stretchesOf: ReadonlyMap<string, readonly (readonly Stretch[])[]>;
  readonly bass: readonly BassStretch[];
}

function boxesOf(written: WrittenNotes, readings: StageReadings, front: Front): ChordBox[] {
  const coverage = new Map(readings.coverage.map((item) => [item.chord, item]));
  const grounds = new Map((readings.grounds ?? []).map((item) => [item.chord, item]));
  return written.chords.map((chord, index) => {
    const missing = coverage.get(index)?.missing ?? [];
    const ground = grounds.get(index);
    // Where the parts in front play alone, nothing is lacking behind them.
    const parts = Object.values(coverage.get(index)?.covered ?? {}).flat();
    const isAlone = parts.every((partId) => front.isFront(partId, chord.bar));
    const without = isAlone ? missing : (ground?.missingWithoutForeground ?? missing);
    const places = (keep: (tone: number) => boolean): number[] =>
      chord.tones.flatMap((tone, place) => (keep(tone) && place < LANES ? [place] : []));
    return {
      chord,
      startQuarters: chord.start / DIVISIONS_PER_QUARTER,
      endQuarters: (chord.start + chord.length) / DIVISIONS_PER_QUARTER,
      missing: places((tone) => missing.includes(tone)),
      onlyInFront: places((tone) => without.includes(tone) && !missing.includes(tone)),
      bassPartIds: ground?.bassPartIds ?? [],
      handover: ground?.handover ?? false,
    };
  });
}

/** Adds a chord's time to the last stretch where it goes on without a gap. */
function prolong(stretches: { startQuarters: number; endQuarters: number }[], box: ChordBox): void {
  const last = stretches.at(-1);
  if (last !== undefined && box.startQuarters - last.endQuarters < 1e-6) last.endQuarters = box.endQuarters;
  else stretches.push({ startQuarters: box.startQuarters, endQuarters: box.endQuarters });
}

function stretchesOf(
  boxes: readonly ChordBox[],
  readings: StageReadings,
): ReadonlyMap<string, readonly (readonly Stretch[])[]> {
  const byPart = new Map<string, { startQuarters: number; endQuarters: number }[][]>();
  for (const { chord: index, covered } of readings.coverage) {
    const box = boxes[index];
    if (box === undefined) continue;
    for (const [place, tone] of box.chord.tones.slice(0, LANES).entries()) {
      for (const partId of covered[String(tone)] ?? []) {
        const lanes = byPart.get(partId) ?? Array.from({ length: LANES }, () => []);
        byPart.set(partId, lanes);
        const lane = lanes[place];
        if (lane !== undefined) prolong(lane, box);
      }
    }
  }
  return byPart;
}

function bassOf(boxes: readonly ChordBox[]): BassStretch[] {
  const stretches: { startQuarters: number; endQuarters: number; partIds: readonly string[]; handover: boolean }[] = [];
  for (const { startQuarters, endQuarters, bassPartIds, handover } of boxes) {
    const last = stretches.at(-1);
    if (bassPartIds.length === 0) continue;
    const same = last?.partIds.join('\n') === bassPartIds.join('\n') && startQuarters - last.endQuarters < 1e-6;
    if (same) last.endQuarters = endQuarters;
    else stretches.push({ startQuarters, endQuarters, partIds: bassPartIds, handover });
  }
  return stretches;
}

export function harmonyPlanOf(stage: Stage, written: WrittenNotes, readings: StageReadings): HarmonyPlan {
  const front = frontOf(stage);
  const boxes = boxesOf(written, readings, front);
  return {
    stage,
    front,
    parts: stage.parts.filter((part) => !part.unpitched),
    boxes,
    stretchesOf: stretchesOf(boxes, readings),
    bass: bassOf(boxes),
  };
}
