/** Where notes are printed an octave nearer to their staff, as marks of a part (MusicXML 4.0, complex type `octave-shift`). */
import { ottavaOf } from '../../../draw/engrave/accidentals-beams-rests/ottava.ts';
import type { StaffBar, StaffInfo } from '../../../model/music/written.ts';
import type { PartMark } from './score-layout.ts';

/**
 * Marks of the staves of one part, as the engraved score has them; the pitches of the notes stay what they are. `down`: printed an octave
 * lower than written in the file, under 8va.
 */
export function octaveMarks(
  staves: readonly Pick<StaffInfo, 'ottava'>[],
  bars: readonly { readonly staves: readonly StaffBar[] }[],
): PartMark[] {
  const ottava = ottavaOf({ staves, bars });
  if (ottava.size === 0) return [];
  return staves.flatMap((_, staff): PartMark[] => {
    const marks: PartMark[] = [];
    const mark = (start: number, type: 'up' | 'down' | 'stop'): void => {
      const place = type === 'up' || (type === 'stop' && inForce === -1) ? 'below' : 'above';
      marks.push({ start, staff, place, sign: { kind: 'octave', type } });
    };
    let inForce = 0;
    let end = 0;
    for (const bar of bars) {
      const notes = (bar.staves[staff]?.voices ?? []).flat().filter((event) => event.kind === 'notes');
      for (const event of notes.sort((a, b) => a.start - b.start)) {
        const octaves = ottava.get(event) ?? 0;
        if (octaves !== inForce) {
          if (inForce !== 0) mark(end, 'stop');
          inForce = octaves;
          if (octaves !== 0) mark(event.start, octaves === 1 ? 'down' : 'up');
        }
        if (octaves !== 0) end = Math.max(end, event.start + event.length);
      }
    }
    if (inForce !== 0) mark(end, 'stop');
    return marks;
  });
}
