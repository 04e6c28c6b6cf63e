/** Small notes, trills, tremolos, dots and rolled chords as MusicXML 4.0 has them (complex types `grace`, `ornaments`, `articulations`, `arpeggiate`). */
import type { WrittenEvent } from '../../../model/music/written.ts';
import { element } from '../../../draw/svg.ts';

/** Strokes of a tremolo too fast to count, as it is printed. */
const TREMOLO_STROKES = 3;

/** Notations of one head of an event; the sign stands with the first head, the roll with every head of the chord. */
export function ornamentNotations({ ornament }: WrittenEvent, headIndex: number): string {
  if (ornament === undefined) return '';
  let text = '';
  if (headIndex === 0 && ornament.sign === 'trill') text += '<ornaments><trill-mark/></ornaments>';
  if (headIndex === 0 && ornament.sign === 'tremolo') {
    text += `<ornaments><tremolo type="single">${String(TREMOLO_STROKES)}</tremolo></ornaments>`;
  }
  if (headIndex === 0 && ornament.staccato === true) text += '<articulations><staccato/></articulations>';
  if (ornament.roll !== undefined) text += element('arpeggiate', ornament.roll === 'down' ? { direction: 'down' } : {});
  return text;
}

/**
 * How small notes before a note are drawn, in order: one is an eighth with a stroke, several are sixteenths under two beams (as in the
 * engraved score).
 */
export function graceFigure(
  count: number,
  index: number,
): { readonly grace: string; readonly type: string; readonly beams: string } {
  if (count === 1) return { grace: element('grace', { slash: 'yes' }), type: 'eighth', beams: '' };
  const state = index === 0 ? 'begin' : index === count - 1 ? 'end' : 'continue';
  const beams = [1, 2].map((level) => `<beam number="${String(level)}">${state}</beam>`).join('');
  return { grace: '<grace/>', type: '16th', beams };
}
