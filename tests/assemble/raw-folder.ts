/** Folders as `read` gives them, written down small, for tests of `assemble`. 480 ticks to a quarter note unless said. */
import type { RawController, RawFolder, RawMidiFile, RawNote, RawStage, RawTrack } from '../../src/read/raw.ts';
import type { Settings } from '../../src/read/settings/settings.ts';
import { midiOf, parsePitch } from '../../src/model/music/pitch.ts';

const TICKS = 480;

/** Notes from `pitch:start:length[:velocity]` words, in quarter notes from the first tick. */
export function rawNotes(text: string, ticksPerQuarter = TICKS): RawNote[] {
  return text
    .trim()
    .split(/\s+/)
    .filter((word) => word !== '')
    .map((word) => {
      const [name = '', start = '0', length = '1', velocity = '80'] = word.split(':');
      const pitch = parsePitch(name);
      if (pitch === undefined) throw new Error(`not a pitch: ${name}`);
      const startTick = Math.round(Number(start) * ticksPerQuarter);
      return {
        midi: midiOf(pitch),
        velocity: Number(velocity),
        startTick,
        endTick: Math.max(startTick + 1, Math.round((Number(start) + Number(length)) * ticksPerQuarter)),
      };
    })
    .sort((a, b) => a.startTick - b.startTick || a.midi - b.midi);
}

interface TrackText {
  readonly name: string;
  readonly music?: string;
  readonly notes?: readonly RawNote[];
  readonly program?: number;
  readonly channel?: number;
  readonly track?: number;
  readonly controllers?: readonly RawController[];
  /** How many syllables it has. */
  readonly lyrics?: number;
}

export interface FileText {
  readonly path?: string;
  readonly tracks: readonly TrackText[];
  /** Quarter notes and beats a minute. */
  readonly tempos?: readonly (readonly [number, number])[];
  /** Quarter notes and meter. */
  readonly meters?: readonly (readonly [number, string])[];
  readonly markers?: readonly (readonly [number, string])[];
  readonly keys?: readonly (readonly [number, number, 'major' | 'minor'])[];
  readonly ticksPerQuarter?: number;
  readonly ticksPerSecond?: number;
  readonly format?: 0 | 1 | 2;
}

function syllables(count: number): NonNullable<RawTrack['lyrics']> {
  return Array.from({ length: count }, (_, index) => ({ tick: index * TICKS, text: 'la', place: 'single' }));
}

function rawFile(file: FileText): RawMidiFile {
  const ticks = file.ticksPerQuarter ?? TICKS;
  const tracks = file.tracks.map((track, index): RawTrack => ({
    track: track.track ?? index + 1,
    channel: track.channel ?? 0,
    name: track.name,
    instrumentName: '',
    ...(track.program === undefined ? {} : { program: track.program }),
    ...(track.lyrics === undefined ? {} : { lyrics: syllables(track.lyrics) }),
    notes: track.notes ?? rawNotes(track.music ?? '', ticks),
    controllers: track.controllers ?? [],
    largestBend: 0,
  }));
  return {
    path: file.path ?? 'test.mid',
    format: file.format ?? 1,
    division:
      file.ticksPerSecond === undefined
        ? { kind: 'ppq', ticksPerQuarter: ticks }
        : { kind: 'smpte', ticksPerSecond: file.ticksPerSecond },
    tracks,
    tempos: (file.tempos ?? []).map(([quarters, perMinute]) => ({
      tick: Math.round(quarters * ticks),
      microsecondsPerQuarter: 60e6 / perMinute,
      track: 1,
    })),
    meters: (file.meters ?? []).map(([quarters, meter]) => {
      const [numerator = 4, denominator = 4] = meter.split('/').map(Number);
      return { tick: Math.round(quarters * ticks), numerator, denominator, track: 1 };
    }),
    keySignatures: (file.keys ?? []).map(([quarters, fifths, mode]) => ({ tick: quarters * ticks, fifths, mode })),
    markers: (file.markers ?? []).map(([quarters, text]) => ({ tick: Math.round(quarters * ticks), text })),
    lastTick: tracks.reduce((last, track) => track.notes.reduce((end, note) => Math.max(end, note.endTick), last), 0),
  };
}

export function rawStage(name: string, ...files: readonly FileText[]): RawStage {
  const isFolder = files.length > 1;
  return {
    name,
    isFolder,
    files: files.map((file, index) =>
      rawFile({ path: isFolder ? `${name}/${index + 1}.mid` : `${name}.mid`, ...file }),
    ),
  };
}

export function rawFolder(
  stages: readonly RawStage[],
  content: Settings = {},
  changes: Partial<RawFolder> = {},
): RawFolder {
  return {
    stages,
    settings:
      Object.keys(content).length === 0 ? { content, positions: {} } : { file: 'dossier.yaml', content, positions: {} },
    memos: [],
    files: stages.flatMap((stage) =>
      stage.files.map((file) => ({ path: file.path, sha256: '0'.repeat(64), use: 'stage' as const })),
    ),
    problems: [],
    ...changes,
  };
}
