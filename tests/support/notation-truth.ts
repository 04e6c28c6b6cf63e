/** The notation of replayed scores counted against what is printed: onsets, spelling, hands, voices and signatures. */
import type { WrittenStage } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { stageOf } from './arrangement.ts';
import type { ReadScore, ScoreNote } from './musicxml-score.ts';
import { readMxl, timelineOfScore } from './musicxml-score.ts';
import { openFile, openFiles } from './open-data.ts';
import type { PlayedScore } from './playing.ts';
import { play } from './playing.ts';

export interface Share {
  readonly right: number;
  readonly all: number;
}

export function sumOf(shares: readonly Share[]): Share {
  return {
    right: shares.reduce((sum, share) => sum + share.right, 0),
    all: shares.reduce((sum, share) => sum + share.all, 0),
  };
}

function shareOf(answers: readonly boolean[]): Share {
  return { right: answers.filter((answer) => answer).length, all: answers.length };
}

/** Every second song of the whole data, in order of file name. */
const SONGS_KEPT_ASIDE = ['lc5023603', 'lc6181050', 'lc4985987', 'lc5130634', 'lc6910703', 'lc6914397', 'lc5024866'];

/**
 * Whether a score was kept aside while the constants of rhythm and hands were set: all quartets, every second song, and two of the
 * orchestral movements.
 */
export function isKeptAside(set: string, name: string): boolean {
  if (set === 'openscore-quartets') return true;
  if (set === 'openscore-lieder') return SONGS_KEPT_ASIDE.some((id) => name.includes(id));
  return ['Beethoven_Op.36_3.mxl', 'Schubert_D.485_1.mxl'].includes(name);
}

/** Scores of one open data set, in order of file name. */
export function scoresOf(set: string, include: (name: string) => boolean = () => true): ReadScore[] {
  return openFiles(set)
    .filter(include)
    .map((name) => readMxl(openFile(set, name)));
}

export interface Replay {
  readonly score: ReadScore;
  readonly played: readonly PlayedScore[];
  readonly written: WrittenStage;
}

/** The score played at a tempo with onsets spread by `jitterMs`, and its notation. No key is stated. */
export function replay(score: ReadScore, tempo: number, jitterMs: number): Replay {
  const timeline = timelineOfScore(score, tempo);
  const played = score.parts.map((part, index) =>
    play(part.staves > 1 ? 'piano' : 'violin', part.notes, timeline, jitterMs, index + 1 + tempo, {
      name: `P${String(index)}`,
    }),
  );
  const parts = played.map((item) => item.part);
  return { score, played, written: notateStage(stageOf(parts, timeline)) };
}

/** The parts of a score played on one keyboard, each part a voice of its own: `voice` of a truth note is its part. */
export function replayAsOne(score: ReadScore, tempo: number, jitterMs: number): Replay {
  const timeline = timelineOfScore(score, tempo);
  const notes = score.parts.flatMap((part, index) => part.notes.map((note) => ({ ...note, voice: String(index) })));
  const played = [play('piano', notes, timeline, jitterMs, tempo)];
  const parts = played.map((item) => item.part);
  return { score, played, written: notateStage(stageOf(parts, timeline)) };
}

function eachNote<T>(
  { played, written }: Replay,
  answer: (note: WrittenStage['parts'][number]['notes'][number], truth: ScoreNote, part: number) => T | undefined,
): T[] {
  return played.flatMap(({ truth }, part) =>
    (written.parts[part]?.notes ?? []).flatMap((note) => {
      const own = truth[note.played];
      const given = own === undefined ? undefined : answer(note, own, part);
      return given === undefined ? [] : [given];
    }),
  );
}

/** Onsets on exactly the printed place. */
export function onsetShare(run: Replay): Share {
  return shareOf(eachNote(run, (note, truth) => Math.abs(note.start - truth.start * 480) < 2));
}

/** Note values exactly as printed. */
export function lengthShare(run: Replay): Share {
  return shareOf(eachNote(run, (note, truth) => Math.abs(note.length - truth.length * 480) < 2));
}

/** Notes with the printed letter and accidental. */
export function spellingShare(run: Replay): Share {
  return shareOf(
    eachNote(run, (note, truth) => note.pitch.step === truth.pitch.step && note.pitch.alter === truth.pitch.alter),
  );
}

/** Notes of two-staff parts on the printed staff. */
export function staffShare(run: Replay): Share {
  return shareOf(
    eachNote(run, (note, truth, part) =>
      run.score.parts[part]?.staves === 2 ? note.staff === truth.staff : undefined,
    ),
  );
}

interface Placed {
  readonly id: number;
  readonly voice: string;
  readonly start: number;
}

/** Pairs of notes that follow one another in a voice without another onset of that voice between them. */
function linksOf(notes: readonly Placed[]): Set<string> {
  const links = new Set<string>();
  const byVoice = new Map<string, Placed[]>();
  for (const note of notes) byVoice.set(note.voice, [...(byVoice.get(note.voice) ?? []), note]);
  for (const voice of byVoice.values()) {
    voice.sort((a, b) => a.start - b.start);
    let before: Placed[] = [];
    let group: Placed[] = [];
    for (const note of voice) {
      if (group.length > 0 && note.start - (group[0]?.start ?? 0) > 1) {
        before = group;
        group = [];
      }
      group.push(note);
      for (const earlier of before) links.add(`${String(earlier.id)}>${String(note.id)}`);
    }
  }
  return links;
}

/**
 * Links between successive notes of a voice, found and printed: `right` counts both ways, so that right / all is the F measure (the metric
 * of Guiomard-Kagan et al., ISMIR 2015).
 */
export function linkShare(run: Replay): Share {
  let right = 0;
  let all = 0;
  for (const [part, { truth }] of run.played.entries()) {
    const written = run.written.parts[part]?.notes ?? [];
    const found = linksOf(
      written.map((note) => ({
        id: note.played,
        voice: `${String(note.staff)}:${String(note.voice)}`,
        start: note.start,
      })),
    );
    const printed = linksOf(truth.map((note, id) => ({ id, voice: note.voice, start: note.start * 480 })));
    for (const link of found) if (printed.has(link)) right += 2;
    all += found.size + printed.size;
  }
  return { right, all };
}

/** Whether the first bar has the printed signature. */
export function signatureShare(run: Replay): Share {
  const printed = run.score.signatures[0]?.fifths;
  if (printed === undefined) return { right: 0, all: 0 };
  return shareOf([run.written.keys[0]?.fifths === printed]);
}
