/** From played notes to written music: grid, lengths, voices, keys, spelling, chords, reduced score. */
import type { Part, Stage } from '../model/music/arrangement.ts';
import type { SpelledPitch } from '../model/music/pitch.ts';
import { plainSpelling } from '../model/music/pitch.ts';
import { percentText } from '../model/words/plain-words.ts';
import type {
  ReducedScore,
  SwingSpan,
  WrittenNote,
  WrittenNotes,
  WrittenPart,
  WrittenStage,
} from '../model/music/written.ts';
import type { VoicedNote } from './chords/chord-texture.ts';
import { playedPlaces, soundingEnds } from './score-time/clusters.ts';
import { drumVoices } from './lengths/drum-voices.ts';
import type { Explain } from './explain.ts';
import { freeEnds, freeGrids } from './free-time/free-time.ts';
import { freeRemark } from './free-time/free-words.ts';
import type { KnownParts } from './known-parts.ts';
import { asPlayed, knownParts } from './known-parts.ts';
import type { PartGrid } from './rhythm/quantised-part.ts';
import type { GridTrust } from './score-time/grid-trust.ts';
import { gridTrust } from './score-time/grid-trust.ts';
import { readHarmony } from './harmony/harmony.ts';
import type { SoundingNote } from './keys/key-path.ts';
import { lengthsOf } from './lengths/lengths.ts';
import { pitchAt } from './keys/line-of-fifths.ts';
import { noteOrnaments } from './ornaments/note-ornaments.ts';
import { reduce } from './reduction/reduction.ts';
import type { ScoreTime } from './score-time/score-time.ts';
import { SHORTEST, scoreTimeOf } from './score-time/score-time.ts';
import { gridsOf } from './rhythm/quantise-stage.ts';
import type { ClockedPart } from './swing/swing-clock.ts';
import { swingClocks } from './swing/swing-clock.ts';
import { swingRemarks } from './swing/swing-mark.ts';
import { findSwing } from './swing/swing-search.ts';
import { steadyBeatOf } from './score-time/steady-beat.ts';
import { staccatoOf } from './lengths/staccato.ts';
import { isBassPlayer } from './chords/style.ts';
import { withSyllables } from './note-values/sung-words.ts';
import { FINGERED, voicesOf } from './voices/voices.ts';

/** Of a stage without bars. */
const SILENT: WrittenNotes['style'] = { style: 'classical', by: 'guess', sure: false, because: 'there is no music' };

/** A note that is written with a value of its own; `index` into the part's notes. */
interface TimedNote extends SoundingNote {
  readonly index: number;
  readonly staff: number;
  readonly voice: number;
}

interface TimedPart extends ClockedPart {
  readonly grid: PartGrid;
  readonly notes: readonly TimedNote[];
  /** Indices of the notes with a staccato dot. */
  readonly dotted: ReadonlySet<number>;
}

const NOTHING_DOTTED: ReadonlySet<number> = new Set();

/** `time` where the part is on the beat; absent in free time. */
function timedNotes(
  { part, timeline }: ClockedPart,
  grid: PartGrid,
  ends: readonly number[],
  time?: ScoreTime,
): Pick<TimedPart, 'notes' | 'dotted'> {
  const raw = part.notes
    .map((note, index) => ({
      index,
      midi: note.midi,
      start: grid.onsets[index] ?? 0,
      end: ends[index] ?? 0,
      staff: grid.staves[index] ?? 1,
    }))
    .filter(({ index }) => !grid.ornaments.unwritten.has(index));
  const voiced =
    (time !== undefined && part.unpitched ? drumVoices(raw, time) : undefined) ??
    voicesOf(raw, FINGERED.has(part.instrument));
  const notes = raw.map((note, at) => ({ ...note, end: voiced[at]?.end ?? note.end, voice: voiced[at]?.voice ?? 1 }));
  return {
    notes,
    dotted: time !== undefined ? staccatoOf(part, timeline, notes) : NOTHING_DOTTED,
  };
}

/** What is to be spelled: written notes, and small ones as if they were struck with their main note. */
function soundsOf({ part, grid, notes }: TimedPart): SoundingNote[] {
  const small = [...grid.ornaments.graces].map(([index]) => {
    const start = grid.onsets[index] ?? 0;
    return { midi: part.notes[index]?.midi ?? 60, start, end: start + SHORTEST };
  });
  return [...notes.map(({ midi, start, end }) => ({ midi, start, end })), ...small];
}

/** All pitched notes with the part they belong to, and how long they are heard, pedal included; sorted by start. */
function voicedSounds(pitched: readonly TimedPart[], time: ScoreTime): VoicedNote[] {
  return pitched
    .flatMap(({ part, timeline, notes }, partIndex) => {
      const ends = soundingEnds(part, timeline, time);
      return notes.map(({ index, midi, start, end }): VoicedNote => {
        const played = part.notes[index];
        const isPedalled = played !== undefined && played.soundingEndSecond > played.endSecond;
        return { midi, start, end, soundingEnd: isPedalled ? Math.max(end, ends[index] ?? 0) : end, voice: partIndex };
      });
    })
    .sort((a, b) => a.start - b.start || a.midi - b.midi);
}

/** What is doubtful in a reading on the beat. */
function gridRemarks(stage: Stage, grids: readonly PartGrid[], trust: GridTrust): string[] {
  const remarks: string[] = [];
  if (trust.doubtful) {
    remarks.push(
      'The playing of this stage keeps only loosely to the beat of the file: check the written rhythm before relying on it.',
    );
  }
  for (const [index, part] of stage.parts.entries()) {
    const share = grids[index]?.doubtfulShare ?? 0;
    if (share > 0.1 && part.notes.length >= 10) {
      remarks.push(
        `In ${part.name}, ${percentText(share)} of the notes were played more than 0.15 of a quarter away from where they are written: its rhythm is doubtful.`,
      );
    }
  }
  return remarks;
}

interface ClockedStage {
  readonly swing: readonly SwingSpan[];
  readonly parts: readonly TimedPart[];
  readonly remarks: readonly string[];
  readonly onGrid: boolean;
  readonly steadyBeat?: number;
}

/** Every part with its written onsets and ends: on the beat, swung beats made even, or in free time. */
function onClock(stage: Stage, time: ScoreTime, explain: Explain | undefined, known: KnownParts): ClockedStage {
  const { timeline, sections } = stage;
  const places = stage.parts.map((part) => playedPlaces(part, timeline, time));
  const trust = gridTrust(places);
  if (!trust.onGrid) {
    const plain = stage.parts.map((part): ClockedPart => ({ part, timeline }));
    const grids = freeGrids(plain, places, time);
    const steadyBeat = steadyBeatOf(stage.parts);
    return {
      swing: [],
      parts: plain.map((part, index) => {
        const grid = grids[index] as PartGrid;
        return { ...part, grid, ...timedNotes(part, grid, freeEnds(part, grid, time)) };
      }),
      remarks: [freeRemark(steadyBeat)],
      onGrid: false,
      ...(steadyBeat === undefined ? {} : { steadyBeat }),
    };
  }
  const swing = findSwing(places, time, sections);
  const clocked = swingClocks(stage.parts, places, timeline, time, swing);
  const grids = gridsOf(clocked, time, explain, known);
  const swings = swing.length > 0;
  const ends = lengthsOf(
    clocked.map((part, index) => ({ ...part, grid: grids[index] as PartGrid, time, swings, explain })),
    known,
  );
  return {
    swing,
    parts: clocked.map(({ part, timeline }, index) => {
      const [grid, own] = [grids[index] as PartGrid, ends[index] as readonly number[]];
      const inputs = [asPlayed(part), timeline, grid, own, time];
      const made = known.recall('timed', part.id, inputs, () => timedNotes({ part, timeline }, grid, own, time));
      return { part, timeline, grid, ...made };
    }),
    remarks: [...gridRemarks(stage, grids, trust), ...swingRemarks(swing)],
    onGrid: true,
  };
}

/** Who has one note at a time, and plays or sings no chords. */
const ALONE: ReadonlySet<string> = new Set(['woodwind', 'brass', 'voice']);

/** The same stage with nobody in front. */
export function withoutLeaders(stage: Stage): Stage {
  const parts = stage.parts.map((part): Part => ({ ...part, role: 'background' }));
  return { ...stage, parts, foreground: [], foregroundGuessed: false, questions: [] };
}

/**
 * Writes down the notes of a stage that has no leaders (`withoutLeaders`): who leads is guessed from the stages before too, and changes no note.
 * Pure: the same stage gives the same notes, whoever listens and whatever is known of the stage before. Times are in divisions (480 to a
 * quarter); pitches stay sounding.
 */
function notateNotes(stage: Stage, explain?: Explain, known: KnownParts = knownParts()): WrittenNotes {
  const time = scoreTimeOf(stage.timeline.bars);
  if (time.bars.length === 0) {
    const parts = stage.parts.map((part) => ({ partId: part.id, notes: [], doubtfulShare: 0 }));
    return { stageId: stage.id, parts, keys: [], chords: [], style: SILENT, onGrid: true, remarks: [] };
  }
  const { swing, parts, remarks, onGrid, steadyBeat } = onClock(stage, time, explain, known);
  const pitched = parts.filter(({ part }) => !part.unpitched);
  const sounds = pitched.flatMap(soundsOf);
  const ringing = voicedSounds(pitched, time);
  const {
    keys,
    chords,
    style,
    spelling,
    remarks: keyRemarks,
  } = readHarmony({
    sounds,
    ringing,
    time,
    stage,
    swing,
    explain,
    basses: new Set(pitched.flatMap(({ part }, voice) => (isBassPlayer(part) ? [voice] : []))),
    drums: new Set(pitched.flatMap(({ part }, voice) => (part.instrument === 'timpani' ? [voice] : []))),
    // A piece for one player alone may spell its chords out.
    tunes: new Set(pitched.flatMap(({ part }, voice) => (pitched.length > 1 && ALONE.has(part.family) ? [voice] : []))),
  });
  const written = parts.map(({ part, grid, notes, dotted }): WrittenPart => {
    const spelled = (midi: number, start: number): SpelledPitch =>
      part.unpitched ? plainSpelling(midi) : pitchAt(midi, spelling.placeOf(start, midi));
    const signs = noteOrnaments(part, grid.ornaments, spelled, grid.onsets, dotted);
    const list = notes.map(({ index, midi, start, end, staff, voice }): WrittenNote => {
      const ornament = signs.get(index);
      return {
        midi,
        pitch: spelled(midi, start),
        start,
        length: end - start,
        staff,
        voice,
        played: index,
        ...(ornament === undefined ? {} : { ornament }),
      };
    });
    list.sort((a, b) => a.start - b.start || a.midi - b.midi);
    const sung = withSyllables(list, part.words);
    const held = known.recall('notes', part.id, [sung], () => sung);
    return { partId: part.id, notes: held, doubtfulShare: grid.doubtfulShare };
  });
  return {
    stageId: stage.id,
    parts: written,
    keys,
    chords,
    style,
    onGrid,
    ...(steadyBeat === undefined ? {} : { steadyBeat }),
    ...(swing.length === 0 ? {} : { swing }),
    remarks: [...remarks, ...keyRemarks],
  };
}

/** The notes of any stage, as `notateNotes` writes them down. */
export function notesOf(stage: Stage, explain?: Explain, known?: KnownParts): WrittenNotes {
  return notateNotes(withoutLeaders(stage), explain, known);
}

/** The short score of a stage, which goes by who leads. */
export function reductionOf(stage: Stage, { parts: written, keys, chords }: WrittenNotes): ReducedScore {
  return reduce({ stage, written, keys, chords, time: scoreTimeOf(stage.timeline.bars) });
}

/** Writes down a stage: its notes, and the short score of them. */
export function notateStage(stage: Stage, explain?: Explain, known?: KnownParts): WrittenStage {
  const notes = notesOf(stage, explain, known);
  return { ...notes, reduced: reductionOf(stage, notes) };
}
