/** What stands at the head of a measure: key, meter, staves, clefs, transposition. */
import type { Clef } from '../../../model/music/instrument.ts';
import { lastClef } from '../../../model/music/staff-clefs.ts';
import { DIVISIONS_PER_QUARTER } from '../../../model/music/written.ts';
import { element } from '../../../draw/svg.ts';
import type { BarFrame, PartBar, PartLayout } from '../layout/score-layout.ts';
import { plainTag } from '../xml-text.ts';
import { splitInterval, UNISON, type PitchInterval } from '../../../notate/keys/written-pitch.ts';

const CLEFS: Readonly<Record<Clef, { readonly sign: string; readonly line: number; readonly octaves: number }>> = {
  treble: { sign: 'G', line: 2, octaves: 0 },
  bass: { sign: 'F', line: 4, octaves: 0 },
  alto: { sign: 'C', line: 3, octaves: 0 },
  tenor: { sign: 'C', line: 4, octaves: 0 },
  'treble-8': { sign: 'G', line: 2, octaves: -1 },
  'bass-8': { sign: 'F', line: 4, octaves: -1 },
  percussion: { sign: 'percussion', line: 0, octaves: 0 },
};

export function clefTag(clef: Clef, staff: number, hasStaves: boolean): string {
  const { sign, line, octaves } = CLEFS[clef];
  return element(
    'clef',
    hasStaves ? { number: String(staff + 1) } : {},
    plainTag('sign', sign) +
      (line === 0 ? '' : plainTag('line', line)) +
      (octaves === 0 ? '' : plainTag('clef-octave-change', octaves)),
  );
}

function transposeTag(interval: PitchInterval): string {
  const { diatonic, chromatic, octaves } = splitInterval(interval);
  const octaveTag = octaves === 0 ? '' : plainTag('octave-change', octaves);
  return `<transpose>${plainTag('diatonic', diatonic)}${plainTag('chromatic', chromatic)}${octaveTag}</transpose>`;
}

function sameInterval(a: PitchInterval, b: PitchInterval): boolean {
  return a.diatonic === b.diatonic && a.chromatic === b.chromatic;
}

/** Attributes in the order of the schema; only what is new in this bar. */
export function attributesTag(part: PartLayout, frame: BarFrame, bar: PartBar, before: PartBar | undefined): string {
  const staves = bar.staves.length;
  let content = before === undefined ? plainTag('divisions', DIVISIONS_PER_QUARTER) : '';
  if (before?.fifths !== bar.fifths) {
    const mode = frame.mode === undefined || part.unpitched ? '' : plainTag('mode', frame.mode);
    content += `<key>${plainTag('fifths', bar.fifths)}${mode}</key>`;
  }
  if (frame.showMeter || before === undefined) {
    const { numerator, denominator } = frame.meter;
    content += `<time>${plainTag('beats', numerator)}${plainTag('beat-type', denominator)}</time>`;
  }
  if (before === undefined && staves > 1) content += plainTag('staves', staves);
  for (const [index, staff] of bar.staves.entries()) {
    const clefBefore = before?.staves[index];
    if (clefBefore === undefined || lastClef(clefBefore) !== staff.clef)
      content += clefTag(staff.clef, index, staves > 1);
  }
  if (!sameInterval(before?.interval ?? UNISON, bar.interval)) content += transposeTag(bar.interval);
  return content === '' ? '' : `<attributes>${content}</attributes>\n`;
}
