/** What the reduced score does with a note. */
import type { Part } from '../../../src/model/music/arrangement.ts';
import { midiOf } from '../../../src/model/music/pitch.ts';
import { counted } from '../../../src/model/words/plain-words.ts';
import type { ReducedScore, WrittenNote } from '../../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/music/written.ts';

function octavesText(octaves: number): string {
  if (octaves === 0) return '';
  return `, ${counted(Math.abs(octaves), 'octave')} ${octaves > 0 ? 'higher' : 'lower'}`;
}

/** Staff and voice where it stands, or what is said of it instead. */
export function shownWhere(score: ReducedScore, part: Part, note: WrittenNote): string {
  const index = score.bars.findLastIndex((bar) => bar.startDivisions <= note.start);
  const bar = score.bars[index];
  if (bar === undefined) return 'no bar';
  const places = bar.staves.flatMap(({ voices }, staff) =>
    voices.flatMap((events, voice) =>
      events.flatMap(({ start, length, heads }) => {
        const head = heads.find(
          ({ partIds, pitch }) => partIds.includes(part.id) && (midiOf(pitch) - note.midi) % 12 === 0,
        );
        if (head === undefined || start !== note.start) return [];
        const others = head.partIds.length > 1 ? `, for ${counted(head.partIds.length, 'part')}` : '';
        const size = length === note.length ? '' : `, as ${String(length / DIVISIONS_PER_QUARTER)} of a quarter`;
        const octaves = octavesText((midiOf(head.pitch) - note.midi) / 12);
        return [`${score.staves[staff]?.id ?? 'staff'}, voice ${String(voice + 1)}${octaves}${size}${others}`];
      }),
    ),
  );
  if (places.length > 0) return places.join('; ');
  const named = (text: string): boolean => text.includes(part.abbreviation);
  const leftOut = bar.leftOut.filter(named);
  if (leftOut.length > 0) return `left out: ${leftOut.join('; ')}`;
  const doublings = score.bars.slice(0, index + 1).flatMap(({ doublings: texts }) => texts.filter(named));
  return doublings.length > 0 ? `as a doubling: ${doublings.at(-1) ?? ''}` : 'neither shown nor said to be left out';
}
