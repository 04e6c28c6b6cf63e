/**
 * Whole line-ups as people of the trade name their tracks (from memory, no product's list), each track with what it is and how many play it:
 * `tests/assemble/line-ups.txt`. Every track has four bars in the middle of its instrument's range.
 */
import { readFileSync } from 'node:fs';
import { assemble } from '../../src/assemble/assemble.ts';
import { rawFolder, rawStage } from '../assemble/raw-folder.ts';
import { musicFor } from './track-names.ts';

export interface LineUpTrack {
  readonly name: string;
  /** Catalogue ids that are right, the first of them the music's; `unknown` where nobody could tell. */
  readonly instruments: readonly string[];
  readonly players?: number;
  /** Of General MIDI, counted from 0. */
  readonly program?: number;
  /** A question is right as well. */
  readonly mayAsk: boolean;
}

export interface LineUp {
  readonly title: string;
  readonly tracks: readonly LineUpTrack[];
}

export interface ReadTrack extends LineUpTrack {
  readonly lineUp: string;
  readonly taken: string;
  readonly playersTaken: number;
  readonly question: string | undefined;
  readonly verdict: 'right' | 'asked' | 'wrong';
}

function trackOf(line: string): LineUpTrack {
  const [name = '', rest = ''] = line.split(' = ');
  const [instruments = '', more = ''] = rest.split(';').map((text) => text.trim());
  const program = /program (\d+)/.exec(more)?.[1];
  const players = /\d+/.exec(more.replace(/program \d+/, ''))?.[0];
  return {
    name,
    instruments: instruments.split('|').map((text) => text.trim()),
    ...(players === undefined ? {} : { players: Number(players) }),
    ...(program === undefined ? {} : { program: Number(program) - 1 }),
    mayAsk: more.includes('asked'),
  };
}

/** Every line-up, in the order of the file. */
export function lineUps(): readonly LineUp[] {
  return readFileSync(new URL('../assemble/line-ups.txt', import.meta.url), 'utf8')
    .split(/\n\s*\n/)
    .map((block) => block.split('\n').filter((line) => line.trim() !== '' && !line.startsWith('#')))
    .filter((lines) => lines.length > 1)
    .map(([title = '', ...lines]) => ({ title, tracks: lines.map(trackOf) }));
}

const DRUM_CHANNEL = 9;

/** What each track of a line-up is taken for beside the others, with the kind of ensemble that they make. */
export function readLineUp({ title, tracks }: LineUp): {
  readonly kind: string;
  readonly tracks: readonly ReadTrack[];
} {
  const raw = rawStage('01', {
    tracks: tracks.map(({ name, instruments, program }, index) => ({
      name,
      ...(program === undefined ? {} : { program }),
      notes: musicFor(instruments[0]?.split('@')[0] ?? ''),
      channel: index % DRUM_CHANNEL,
    })),
  });
  const stage = assemble(rawFolder([raw]), { folderName: title }).stages[0];
  if (stage === undefined) throw new Error(`no stage for ${title}`);
  const read = tracks.map((track): ReadTrack => {
    const part = stage.parts.find((each) => each.tracks.some(({ name }) => name === track.name));
    const taken = part?.instrument ?? 'left out';
    const question = stage.questions.find(({ partId }) => partId !== undefined && partId === part?.id)?.text;
    const isRight = track.instruments.some((one) => one.split('@')[0] === taken);
    return {
      ...track,
      lineUp: title,
      taken,
      playersTaken: part?.players ?? 0,
      question,
      verdict: isRight ? 'right' : question === undefined && taken !== 'unknown' ? 'wrong' : 'asked',
    };
  });
  return { kind: stage.ensemble.kind, tracks: read };
}
