/** Notes and controllers of a folder's MIDI files, taken out, changed and put back, whatever else the tracks hold. */
import { parseMidi, writeMidi } from 'midi-file';
import type { MidiData, MidiEvent } from 'midi-file';

/** One key held down. Places in quarters from the beginning of the file. */
export interface HeldKey {
  readonly midi: number;
  readonly velocity: number;
  readonly start: number;
  readonly end: number;
  readonly channel: number;
}

/** What is done to one track; `gain` multiplies velocities and curves between two places. */
export interface TrackEdit {
  readonly notes?: (notes: readonly HeldKey[]) => readonly HeldKey[];
  readonly gain?: { readonly from: number; readonly to: number; readonly factor: number };
  /** Name under which the changed track is added, the first left as it was. */
  readonly addedAs?: string;
}

type Files = ReadonlyMap<string, Uint8Array | string>;
type Timed = MidiEvent & { readonly tick: number };

const CURVES: readonly number[] = [1, 2, 11];

function withTicks(track: readonly MidiEvent[]): Timed[] {
  let tick = 0;
  return track.map((event) => {
    tick += event.deltaTime;
    return { ...event, tick };
  });
}

function nameOf(track: readonly MidiEvent[]): string | undefined {
  return track.find((event) => event.type === 'trackName')?.text;
}

const isOff = (event: MidiEvent): boolean =>
  event.type === 'noteOff' || (event.type === 'noteOn' && event.velocity === 0);

function ticksPerQuarter({ header }: MidiData): number {
  return header.ticksPerBeat ?? 480;
}

function keysOf(events: readonly Timed[], ticks: number): HeldKey[] {
  const open = new Map<number, Timed>();
  const keys: HeldKey[] = [];
  for (const event of events) {
    if (event.type !== 'noteOn' && event.type !== 'noteOff') continue;
    const on = open.get(event.noteNumber);
    if (isOff(event)) {
      if (on?.type !== 'noteOn') continue;
      const { velocity, channel, noteNumber: midi } = on;
      keys.push({ midi, velocity, channel, start: on.tick / ticks, end: event.tick / ticks });
      open.delete(event.noteNumber);
    } else open.set(event.noteNumber, event);
  }
  return keys.sort((a, b) => a.start - b.start || a.midi - b.midi);
}

function limited(amount: number): number {
  return Math.max(1, Math.min(127, Math.round(amount)));
}

function editedTrack(track: readonly MidiEvent[], edit: TrackEdit, ticks: number): MidiEvent[] {
  const events = withTicks(track);
  const { gain } = edit;
  const isScaled = (at: number): boolean => gain !== undefined && at >= gain.from - 0.1 && at < gain.to - 0.1;
  const factor = gain?.factor ?? 1;
  const keys = (edit.notes ?? ((all) => all))(keysOf(events, ticks)).map((key) =>
    isScaled(key.start) ? { ...key, velocity: limited(key.velocity * factor) } : key,
  );
  const others = events
    .filter(({ type }) => type !== 'noteOn' && type !== 'noteOff' && type !== 'endOfTrack')
    .map((event): Timed => {
      if (event.type === 'trackName' && edit.addedAs !== undefined) return { ...event, text: edit.addedAs };
      if (event.type !== 'controller' || !CURVES.includes(event.controllerType) || !isScaled(event.tick / ticks)) {
        return event;
      }
      return { ...event, value: limited(event.value * factor) };
    });
  const sounds = keys.flatMap(({ midi, velocity, channel, start, end }): Timed[] => {
    const on = Math.max(0, Math.round(start * ticks));
    const off = Math.max(on + 1, Math.round(end * ticks));
    const base = { deltaTime: 0, channel, noteNumber: midi };
    return [
      { ...base, type: 'noteOn', velocity, tick: on },
      { ...base, type: 'noteOff', velocity: 64, tick: off },
    ];
  });
  const order = (event: Timed): number => (event.type === 'noteOn' ? 2 : event.type === 'noteOff' ? 1 : 0);
  const all = [...others, ...sounds].sort((a, b) => a.tick - b.tick || order(a) - order(b));
  const end = Math.max(...events.map(({ tick }) => tick), ...all.map(({ tick }) => tick));
  let before = 0;
  return [...all, { type: 'endOfTrack', deltaTime: 0, meta: true, tick: end } as Timed].map(({ tick, ...event }) => {
    const deltaTime = tick - before;
    before = tick;
    return { ...event, deltaTime };
  });
}

/** Notes of every named track of the last stage, in the order of the files. */
export function keysByTrack(files: Files): ReadonlyMap<string, readonly HeldKey[]> {
  const found = new Map<string, readonly HeldKey[]>();
  for (const bytes of lastStage(files).values()) {
    const data = parseMidi(bytes);
    for (const track of data.tracks) {
      const name = nameOf(track);
      const keys = keysOf(withTicks(track), ticksPerQuarter(data));
      if (name !== undefined && keys.length > 0) found.set(name, keys);
    }
  }
  return found;
}

const stageOf = (path: string): string => path.split('/')[0] ?? path;
const isMidi = (path: string): boolean => /\.midi?$/i.test(path);

function lastStage(files: Files): ReadonlyMap<string, Uint8Array> {
  const stages = [...files.keys()].filter(isMidi).map(stageOf);
  const last = stages.sort((a, b) => a.localeCompare(b, 'en', { numeric: true })).at(-1);
  return new Map(
    [...files].flatMap(([path, bytes]) =>
      isMidi(path) && stageOf(path) === last && typeof bytes !== 'string' ? [[path, bytes] as const] : [],
    ),
  );
}

/** The folder with these tracks of its last stage changed. */
export function withEdits(files: Files, edits: ReadonlyMap<string, TrackEdit>): Files {
  const changed = [...lastStage(files)].flatMap(([path, bytes]): (readonly [string, Uint8Array])[] => {
    const data = parseMidi(bytes);
    const ticks = ticksPerQuarter(data);
    const has = data.tracks.some((track) => edits.has(nameOf(track) ?? ''));
    if (!has) return [];
    const tracks = data.tracks.flatMap((track): MidiEvent[][] => {
      const edit = edits.get(nameOf(track) ?? '');
      if (edit === undefined) return [track];
      const made = editedTrack(track, edit, ticks);
      return edit.addedAs === undefined ? [made] : [track, made];
    });
    const header = { ...data.header, numTracks: tracks.length };
    return [[path, Uint8Array.from(writeMidi({ header, tracks }))]];
  });
  return new Map([...files, ...changed]);
}
