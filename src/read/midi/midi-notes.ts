/**
 * Notes from note-on and note-off. Ours, and not that of `@tonejs/midi`: that one drops notes that are never ended, looks through all note-offs
 * for every note (on clean bytes 100,000 notes of a track take it 8.7 s, the whole of our reading 0.2 s), mixes channels where a track changes its
 * program, and says nothing of it.
 */
import type { MidiEvent } from 'midi-file';
import { counted } from '../../model/words/plain-words.ts';
import type { RawController, RawNote } from '../raw.ts';
import type { Tally } from './tally.ts';

const NOTE_KEYS = 128;

/** Controllers that the later steps use; the rest have done their work here. */
const KEPT: ReadonlySet<number> = new Set([1, 2, 7, 11, 64]);

export interface ChannelContent {
  readonly channel: number;
  readonly notes: readonly RawNote[];
  readonly controllers: readonly RawController[];
  readonly programs: readonly { readonly tick: number; readonly program: number }[];
  readonly largestBend: number;
}

interface OpenNote {
  readonly tick: number;
  readonly velocity: number;
}

/** First in, first out; a head that moves, because taking from the front of a long array is slow. */
interface OpenNotes {
  readonly items: OpenNote[];
  head: number;
}

interface ChannelState {
  readonly channel: number;
  readonly open: readonly OpenNotes[];
  readonly notes: RawNote[];
  readonly controllers: RawController[];
  readonly programs: { readonly tick: number; readonly program: number }[];
  largestBend: number;
}

function newState(channel: number): ChannelState {
  const open = Array.from({ length: NOTE_KEYS }, (): OpenNotes => ({ items: [], head: 0 }));
  return { channel, open, notes: [], controllers: [], programs: [], largestBend: 0 };
}

/** Controllers that end every sounding note of the channel: all sound off, all notes off and the four mode messages. */
function endsAllNotes(controller: number): boolean {
  return controller === 120 || controller >= 123;
}

const HANGING = (count: number): string =>
  `${counted(count, 'note')} never ended; closed where the key is struck again, or at the end of the track.`;
const ZERO_LENGTH = (count: number): string => `${counted(count, 'note')} without length given the length of one tick.`;
const OVERLAPPING = (count: number): string =>
  `${counted(count, 'note')} struck again while sounding; the first to begin was taken to be the first to end.`;
const STRAY_OFF = (count: number): string =>
  `${counted(count, 'end of a note', 'ends of notes')} without a beginning ignored.`;

/**
 * The events of one track by channel. A note-on at velocity 0 is a note-off; notes of one pitch on one channel are
 * paired first in, first out (the common practice of sequencers; the standard leaves it open). Hanging notes end where the
 * same key is struck again, the last of them at `lastTick`.
 */
export function channelsOf(
  events: readonly MidiEvent[],
  track: number,
  lastTick: number,
  tally: Tally,
): readonly ChannelContent[] {
  const states = new Map<number, ChannelState>();
  const stateOf = (channel: number): ChannelState => {
    const known = states.get(channel);
    if (known !== undefined) return known;
    const state = newState(channel);
    states.set(channel, state);
    return state;
  };
  const close = (state: ChannelState, midi: number, note: OpenNote, tick: number): void => {
    if (tick === note.tick) tally.add('zero-length-notes', track, ZERO_LENGTH);
    state.notes.push({ midi, velocity: note.velocity, startTick: note.tick, endTick: Math.max(tick, note.tick + 1) });
  };

  let tick = 0;
  for (const event of events) {
    tick += event.deltaTime;
    switch (event.type) {
      case 'noteOn':
        stateOf(event.channel).open[event.noteNumber]?.items.push({ tick, velocity: event.velocity });
        break;
      case 'noteOff': {
        const state = stateOf(event.channel);
        const queue = state.open[event.noteNumber];
        const note = queue?.items[queue.head];
        if (queue === undefined || note === undefined) {
          tally.add('stray-note-offs', track, STRAY_OFF);
          break;
        }
        queue.head++;
        const next = queue.items[queue.head];
        if (next !== undefined && next.tick < tick) tally.add('overlapping-notes', track, OVERLAPPING);
        close(state, event.noteNumber, note, tick);
        break;
      }
      case 'controller': {
        const state = stateOf(event.channel);
        if (KEPT.has(event.controllerType)) {
          state.controllers.push({ controller: event.controllerType, tick, setting: event.value });
        }
        if (!endsAllNotes(event.controllerType)) break;
        state.open.forEach((queue, midi) => {
          for (const note of queue.items.slice(queue.head)) close(state, midi, note, tick);
          queue.head = queue.items.length;
        });
        break;
      }
      case 'programChange':
        stateOf(event.channel).programs.push({ tick, program: event.programNumber });
        break;
      case 'pitchBend': {
        const state = stateOf(event.channel);
        state.largestBend = Math.max(state.largestBend, Math.abs(event.value));
        break;
      }
      default:
        break;
    }
  }
  for (const state of states.values()) {
    state.open.forEach((queue, midi) => {
      queue.items.slice(queue.head).forEach((note, index, hanging) => {
        tally.add('hanging-notes', track, HANGING);
        close(state, midi, note, hanging[index + 1]?.tick ?? lastTick);
      });
    });
    state.notes.sort((a, b) => a.startTick - b.startTick || a.midi - b.midi || a.endTick - b.endTick);
  }
  return [...states.values()].sort((a, b) => a.channel - b.channel);
}
