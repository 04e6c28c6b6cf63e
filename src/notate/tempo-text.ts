/** Tempo marks: at the first bar and where the tempo settles on something else, not at every point of a ramp. */
import type { Bar, Meter } from '../model/timeline.ts';
import { pulseQuarters } from '../model/timeline.ts';

const REAL_CHANGE = 0.04;
const LASTING_BARS = 2;

function isCompound(meter: Meter): boolean {
  return pulseQuarters(meter) * meter.denominator > 4;
}

/** e.g. `♩ = 72`, `♩. = 54` in compound meters. */
export function tempoMark(quartersPerMinute: number, meter: Meter): string {
  if (isCompound(meter) && meter.denominator === 8) return `♩. = ${String(Math.round(quartersPerMinute / 1.5))}`;
  return `♩ = ${String(Math.round(quartersPerMinute))}`;
}

function differs(a: number, b: number): boolean {
  return Math.abs(a - b) / b > REAL_CHANGE;
}

/** Text of each bar; undefined where none is printed. */
export function tempoTexts(bars: readonly Bar[]): (string | undefined)[] {
  let shown: { tempo: number; compound: boolean } | undefined;
  return bars.map((bar, index) => {
    const compound = isCompound(bar.meter);
    const lasts = bars.slice(index + 1, index + 1 + LASTING_BARS).every((next) => !differs(next.tempo, bar.tempo));
    const changed = shown === undefined || (differs(bar.tempo, shown.tempo) && lasts) || compound !== shown.compound;
    if (!changed) return undefined;
    shown = { tempo: bar.tempo, compound };
    return tempoMark(bar.tempo, bar.meter);
  });
}
