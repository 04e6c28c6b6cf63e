/** Lines that sound alone. They have no chord symbol, unless they spell a chord out. */
import type { ChordRun } from './chord-run.ts';

/** More than this many lines at once is a texture. */
const ONE_LINE = 1.25;
const LEAST_TEXTURE = 0.25;
/** A broken chord has three of its tones, and little else. */
const BROKEN_TONES = 3;
const BROKEN_SHARE = 0.85;

/** `texture` where several lines sound; of a single line, alone or doubled in octaves, whether it spells its chord out. */
export function kindOfRun({ template, frames }: ChordRun): 'texture' | 'broken-chord' | 'line' {
  let whole = 0;
  let textured = 0;
  let inside = 0;
  let sounding = 0;
  const heard = new Set<number>();
  for (const frame of frames) {
    whole += frame.length;
    if (frame.layers > ONE_LINE) textured += frame.length;
    for (const [pitchClass, weight] of frame.raw.entries()) {
      if (weight === 0) continue;
      sounding += weight * frame.length;
      if (template.members[pitchClass] !== 1) continue;
      inside += weight * frame.length;
      heard.add(pitchClass);
    }
  }
  if (textured >= LEAST_TEXTURE * whole) return 'texture';
  return heard.size >= BROKEN_TONES && inside >= BROKEN_SHARE * sounding ? 'broken-chord' : 'line';
}
