/** What the parts do with each note, as far as it matters to the chord: whether it moves by step, and how long it is remembered. */
import type { TexturedNote } from './chord-frames.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { groupedBy } from '../../model/grouped.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

export interface VoicedNote {
  readonly midi: number;
  readonly start: number;
  /** Written end. */
  readonly end: number;
  /** End of sound, pedal included; never before `end`. */
  readonly soundingEnd: number;
  /** Notes of one part have the same number. */
  readonly voice: number;
}

/** A whole tone. */
const STEP = 2;
/** A rest longer than an eighth ends a line. */
const LONGEST_REST = 240;
/** Notes that overlap by less than this follow one another. */
const OVERLAP = 60;
/** A tone of a broken chord is at most this long, and remembered for at most this long, within its bar. */
const BROKEN_TONE = 480;
const MEMORY = 960;

function isStep(a: number, b: number): boolean {
  const distance = Math.abs(a - b);
  return distance > 0 && distance <= STEP;
}

function texturedVoice(
  voice: readonly VoicedNote[],
  time: ScoreTime,
  { isBass, isDrum }: Pick<TexturedNote, 'isBass' | 'isDrum'>,
): TexturedNote[] {
  const notes = [...voice].sort((a, b) => a.start - b.start || a.midi - b.midi);
  const groups: VoicedNote[][] = [];
  for (const note of notes) {
    const last = groups.at(-1);
    if (last?.[0]?.start === note.start) last.push(note);
    else groups.push([note]);
  }
  return groups.flatMap((group, index) =>
    group.map((note): TexturedNote => {
      const leavesByStep = follows(groups, index, note);
      return {
        midi: note.midi,
        voice: note.voice,
        start: note.start,
        end: note.soundingEnd,
        leavesByStep,
        isBass,
        isDrum,
        comesByStep: precedes(groups, index, note),
        heardUntil: leavesByStep || note.end - note.start > BROKEN_TONE ? 0 : memoryOf(note, groups, index, time),
      };
    }),
  );
}

/** True where a neighbouring pitch begins as the note ends, or after a short rest. */
function follows(groups: readonly (readonly VoicedNote[])[], index: number, note: VoicedNote): boolean {
  for (let later = index + 1; later < groups.length; later++) {
    const start = groups[later]?.[0]?.start ?? 0;
    if (start > note.end + LONGEST_REST) return false;
    if (start < note.end - OVERLAP) continue;
    if (groups[later]?.some((other) => isStep(other.midi, note.midi)) === true) return true;
  }
  return false;
}

/** How far back a note is looked for that leads to another. */
const MOST_GROUPS_BACK = 12;

function precedes(groups: readonly (readonly VoicedNote[])[], index: number, note: VoicedNote): boolean {
  for (let earlier = index - 1; earlier >= Math.max(0, index - MOST_GROUPS_BACK); earlier--) {
    const led = groups[earlier]?.some(
      (other) =>
        isStep(other.midi, note.midi) && other.end >= note.start - LONGEST_REST && other.end <= note.start + OVERLAP,
    );
    if (led === true) return true;
  }
  return false;
}

/** A tone that is left by leap is remembered until a neighbouring pitch takes its place, at most for two quarters and to the end of the bar. */
function memoryOf(
  note: VoicedNote,
  groups: readonly (readonly VoicedNote[])[],
  index: number,
  time: ScoreTime,
): number {
  const bar = time.bars[barIndexAtDivision(time, note.start)];
  let until = Math.min(note.start + MEMORY, bar === undefined ? Infinity : bar.start + bar.length);
  for (let later = index + 1; later < groups.length; later++) {
    const group = groups[later];
    const start = group?.[0]?.start ?? 0;
    if (group === undefined || start >= until) break;
    if (group.some((other) => isStep(other.midi, note.midi))) until = start;
  }
  return until;
}

/** All notes for the search of chords, sorted by start. `bassVoices` are those of bass players, `drums` those of timpani. */
export function texturedNotes(
  notes: readonly VoicedNote[],
  time: ScoreTime,
  bassVoices: ReadonlySet<number>,
  drums: ReadonlySet<number>,
): TexturedNote[] {
  return [...groupedBy(notes, ({ voice }) => voice)]
    .flatMap(([number, voice]) =>
      texturedVoice(voice, time, { isBass: bassVoices.has(number), isDrum: drums.has(number) }),
    )
    .sort((a, b) => a.start - b.start || a.midi - b.midi);
}
