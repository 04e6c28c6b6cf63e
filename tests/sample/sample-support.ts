/** The committed sample as an independent reader finds it, and look-ups for its tests. */
import tonejs from '@tonejs/midi';
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { FLAWS } from '../../sample-input/flaws.ts';
import { SLUG } from '../../sample-input/make-sample.ts';
import { notesOf } from '../../sample-input/notation.ts';
import type { WrittenNote } from '../../sample-input/notation.ts';
import { STAGES } from '../../sample-input/stages.ts';
import type { StagePlan } from '../../sample-input/stages.ts';

export const SAMPLE = resolve('sample-input', SLUG);

/** Catalogue id of each track, as a musician reads the names. */
export const INSTRUMENTS: Readonly<Record<string, string>> = {
  'Piano solo': 'piano',
  'Violin I legato': 'violin',
  'Violin I pizz': 'violin',
  'Violin II': 'violin',
  'Vla.': 'viola',
  Violoncello: 'cello',
  Kontrabass: 'double-bass',
  Flöte: 'flute',
  'Clarinet in Bb': 'clarinet-bflat',
  Fagott: 'bassoon',
  'Horn in F': 'horn-f',
  Timpani: 'timpani',
};

interface PlayedTrack {
  readonly name: string;
  readonly channel: number;
  /** In eighths from the start of the pickup, key switches left out. */
  readonly notes: readonly {
    readonly midi: number;
    readonly start: number;
    readonly end: number;
    readonly velocity: number;
  }[];
  readonly switches: number;
  readonly controllers: Readonly<Record<number, readonly { readonly eighths: number; readonly setting: number }[]>>;
}

/** The tracks with notes of a stage as an independent reader finds them. */
function readStage(stage: StagePlan): PlayedTrack[] {
  return stage.files.flatMap((file) => {
    const midi = new tonejs.Midi(readFileSync(join(SAMPLE, file.path)));
    return midi.tracks
      .filter((track) => track.notes.length > 0)
      .map((track): PlayedTrack => {
        const eighths = (ticks: number): number => (ticks * 2) / midi.header.ppq;
        const controllers: Record<number, { eighths: number; setting: number }[]> = {};
        for (const changes of Object.values(track.controlChanges)) {
          for (const change of changes) {
            (controllers[change.number] ??= []).push({
              eighths: eighths(change.ticks),
              setting: Math.round(change.value * 127),
            });
          }
        }
        return {
          // The reader gives the bytes of a name as Latin-1 letters; the files are written in UTF-8.
          name: Buffer.from(track.name, 'latin1').toString('utf8'),
          channel: track.channel,
          notes: track.notes
            .filter((note) => note.midi > 13)
            .map((note) => ({
              midi: note.midi,
              start: eighths(note.ticks),
              end: eighths(note.ticks + note.durationTicks),
              velocity: Math.round(note.velocity * 127),
            })),
          switches: track.notes.filter((note) => note.midi <= 13).length,
          controllers,
        };
      });
  });
}

const READ = new Map(STAGES.map((stage) => [stage.name, readStage(stage)]));

export function tracksOf(stage: StagePlan): PlayedTrack[] {
  return READ.get(stage.name) ?? [];
}

export function trackOf(stage: StagePlan, name: string): PlayedTrack {
  const found = tracksOf(stage).find((track) => track.name === name);
  if (found === undefined) throw new Error(`${stage.name} has no track ${name}`);
  return found;
}

export function lineOf(stage: StagePlan, name: string): WrittenNote[] {
  const plan = stage.files.flatMap((file) => file.tracks).find((track) => track.name === name);
  return plan === undefined ? [] : notesOf(plan.lines[0] ?? '');
}

export function soundingAt(notes: readonly WrittenNote[], eighths: number): WrittenNote | undefined {
  return notes.find((note) => note.start <= eighths + 1e-9 && note.start + note.length > eighths + 1e-9);
}

export function flawedBars(rule: string, part: string): (bar: number) => boolean {
  const flaws = FLAWS.filter((flaw) => flaw.rule === rule && flaw.parts.includes(part));
  return (bar) => flaws.some((flaw) => bar >= flaw.from && bar <= flaw.to);
}

export const COMPLETE = STAGES.at(-1)!;
export const EARLIER = STAGES.slice(0, -1);
