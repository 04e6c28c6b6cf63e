/** Writes a piece as a folder with a MIDI file and settings, and has it judged as a user would. */
import { checkFolder } from '../../../src/build.ts';
import type { CheckedStage } from '../../../src/build.ts';
import type { Finding } from '../../../src/model/readings/readings.ts';
import {
  controllerEvent,
  keyEvent,
  meterEvent,
  midiFile,
  noteEvents,
  programEvent,
  tempoEvent,
  textEvent,
} from '../../../sample-input/midi-writer.ts';
import type { WrittenTrack } from '../../../sample-input/midi-writer.ts';
import { seededRandom } from '../generated-folder.ts';
import { memoryDisk, noRuns } from '../memory-disk.ts';
import type { Line, Piece } from './piece.ts';
import { barQuarters } from './piece.ts';

const TICKS = 480;
/** Nobody is a machine: onsets scatter by up to so many quarters (8 ms at 75 to the minute). */
const SCATTER_QUARTERS = 0.01;
const EXPRESSION = 11;

function trackOf(line: Line, index: number, lastTick: number): WrittenTrack {
  const random = seededRandom(index + 1);
  const channel = index < 9 ? index : index + 1;
  const tick = (quarters: number): number => Math.max(0, Math.round(quarters * TICKS));
  return {
    lastTick,
    events: [
      textEvent(0, 3, line.name),
      programEvent(0, channel, line.program),
      ...(line.expression ?? []).map(({ quarters, setting }) =>
        controllerEvent(tick(quarters), channel, EXPRESSION, setting),
      ),
      ...line.notes.flatMap(({ start, length, midi, velocity }) => {
        const shift = (2 * random() - 1) * SCATTER_QUARTERS;
        return noteEvents(channel, midi, velocity, tick(start + shift), tick(start + shift + length * 0.96), false);
      }),
    ],
  };
}

function bytesOf(piece: Piece): Uint8Array {
  const { tempo, meter, fifths, minor, lines, bars } = piece;
  const lastTick = Math.round(bars * barQuarters(piece) * TICKS);
  const conductor: WrittenTrack = {
    lastTick,
    events: [tempoEvent(0, tempo), meterEvent(0, meter.numerator, meter.denominator), keyEvent(0, fifths, minor)],
  };
  return midiFile(TICKS, [conductor, ...lines.map((line, index) => trackOf(line, index, lastTick))]);
}

function settingsOf({ name, foreground, lines }: Piece, more: string): string {
  const players = lines.map((line) => `  "${line.name}":\n    players: ${String(line.players)}\n`);
  return `title: ${name}\nforeground: "${foreground}"\nparts:\n${players.join('')}${more}`;
}

/** The stage as read and judged; `more` are further lines of settings. */
export async function judgePiece(piece: Piece, more = ''): Promise<CheckedStage> {
  const disk = memoryDisk({ '/piece/piece.mid': bytesOf(piece), '/piece/dossier.yaml': settingsOf(piece, more) });
  const { checked, problems } = await checkFolder(
    { folder: '/piece' },
    {
      disk,
      terminal: { out: () => undefined, err: () => undefined, isInteractive: false },
      packageRoot: '/',
      clientScript: '',
      runs: noRuns,
      withoutInterruption: (work) => work(() => false),
      standingIn: (_folder, work) => work(),
    },
  );
  const serious = problems.filter(({ kind }) => kind !== 'remark');
  if (serious.length > 0) throw new Error(serious.map((problem) => JSON.stringify(problem)).join('\n'));
  return checked;
}

/** Findings as short lines, for messages of failing tests. */
export function told(findings: readonly Finding[]): readonly string[] {
  return findings.map(({ level, rule, message }) => `${level} ${rule}: ${message}`);
}
