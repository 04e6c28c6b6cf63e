/**
 * Tempo, meter, key and markers of one track, through the `Header` of `@tonejs/midi`, which collects them from parsed
 * events. It is given one track at a time, so that we know which track each came from. Its seconds and measures are not
 * used (it knows no SMPTE division and nothing before the first event), nor its names (it takes bytes for letters and
 * knows no channel prefix), nor its `Track` (see midi-notes.ts).
 */
import * as tonejs from '@tonejs/midi';
import type { MidiData, MidiEvent } from 'midi-file';
import { cleanText, decodeText } from '../clean-text.ts';
import type { DecodedText } from '../clean-text.ts';
import { FASTEST_TEMPO, LARGEST_DENOMINATOR } from './midi-limits.ts';
import { counted } from '../../model/words/plain-words.ts';
import type { RawSyllable, TextPiece } from './lyric-syllables.ts';
import { areWords, syllablesOf } from './lyric-syllables.ts';
import type { RawMidiFile } from '../raw.ts';
import type { Tally } from './tally.ts';

// The package is CommonJS whose names Node cannot see beforehand; a bundler can.
const { Header } = (tonejs as typeof tonejs & { readonly default?: typeof tonejs }).default ?? tonejs;

const MICROSECONDS_PER_MINUTE = 60_000_000;

/** Signatures as the library names them, from seven flats to seven sharps. */
const SIGNATURES = ['Cb', 'Gb', 'Db', 'Ab', 'Eb', 'Bb', 'F', 'C', 'G', 'D', 'A', 'E', 'B', 'F#', 'C#'];

export type Conductor = Pick<RawMidiFile, 'tempos' | 'meters' | 'keySignatures' | 'markers'>;

/** Text of a meta event as the parser gives it (one character a byte), decoded and cleaned, with a remark where that took a guess. */
function textOf(binary: string, track: number, tally: Tally): string {
  const decoded: DecodedText = decodeText(Uint8Array.from(binary, (character) => character.charCodeAt(0)));
  const { guessed } = decoded;
  if (guessed !== undefined) {
    tally.add(
      'text-encoding',
      track,
      () => `A name that is not in UTF-8 was read as ${guessed}; save it in UTF-8 if its letters look wrong.`,
    );
  }
  // A zero byte at the end is a habit of C, not a hidden character.
  const plain = decoded.text.replace(/\0+$/, '').trim();
  const text = cleanText(plain);
  if (text !== plain.normalize('NFC').replaceAll(/\s+/g, ' ')) {
    tally.add(
      'text-cleaned',
      track,
      () => 'Invisible characters were taken out of a name, or a long name was shortened.',
    );
  }
  return text;
}

/** Whether a tempo, meter or key is one that music can have; the rest is counted and dropped. */
function isSane(event: MidiEvent, track: number, tally: Tally): boolean {
  switch (event.type) {
    case 'setTempo': {
      const microseconds = event.microsecondsPerBeat;
      if (microseconds * FASTEST_TEMPO >= MICROSECONDS_PER_MINUTE) return true;
      const found =
        microseconds === 0
          ? 'no length to a quarter note'
          : `${Math.round(MICROSECONDS_PER_MINUTE / microseconds)} quarter notes a minute`;
      tally.add('bad-tempo', track, (count) => `${counted(count, 'impossible tempo')} (${found}) ignored.`);
      return false;
    }
    case 'timeSignature': {
      const { numerator, denominator } = event;
      if (numerator > 0 && denominator > 0 && denominator <= LARGEST_DENOMINATOR) return true;
      tally.add(
        'bad-meter',
        track,
        (count) => `${counted(count, 'impossible meter')} (${numerator}/${denominator}) ignored.`,
      );
      return false;
    }
    case 'keySignature': {
      const { key, scale } = event;
      if (Math.abs(key) <= 7 && scale <= 1) return true;
      tally.add(
        'bad-key',
        track,
        (count) => `${counted(count, 'impossible key signature')} (${key} sharps, mode ${scale}) ignored.`,
      );
      return false;
    }
    case 'marker':
      return true;
    default:
      return false;
  }
}

/** What one track says about time and key; ticks as in the file. */
export function conductorOf(events: readonly MidiEvent[], track: number, tally: Tally): Conductor {
  const kept: (MidiEvent & { absoluteTime: number })[] = [];
  let tick = 0;
  let keptTick = 0;
  for (const event of events) {
    tick += event.deltaTime;
    if (!isSane(event, track, tally)) continue;
    kept.push({ ...event, deltaTime: tick - keptTick, absoluteTime: tick });
    keptTick = tick;
  }
  if (kept.length === 0) return { tempos: [], meters: [], keySignatures: [], markers: [] };
  const single: MidiData = { header: { format: 1, numTracks: 1, ticksPerBeat: 1 }, tracks: [kept] };
  const header = new Header(single);
  return {
    tempos: header.tempos.map(({ ticks, bpm }) => ({
      tick: ticks,
      // The library keeps beats a minute only; rounding gives back the whole number it was made from.
      microsecondsPerQuarter: Math.round(MICROSECONDS_PER_MINUTE / bpm),
      track,
    })),
    meters: header.timeSignatures.map(({ ticks, timeSignature: [numerator = 4, denominator = 4] }) => ({
      tick: ticks,
      numerator,
      denominator,
      track,
    })),
    keySignatures: header.keySignatures.map(({ ticks, key, scale }) => ({
      tick: ticks,
      fifths: SIGNATURES.indexOf(key) - 7,
      mode: scale === 'minor' ? ('minor' as const) : ('major' as const),
    })),
    markers: header.meta
      .map(({ ticks, text }) => ({ tick: ticks, text: textOf(text, track, tally) }))
      .filter(({ text }) => text !== ''),
  };
}

export interface TrackNames {
  /** FF 03 and FF 04 for the whole track; '' where there is none. */
  readonly name: string;
  readonly instrumentName: string;
  /** Words in the track: its lyric events (FF 05), else its text events (FF 01) where they are words. */
  readonly lyrics: readonly RawSyllable[];
  /** Where a channel prefix (FF 20) says for which channel they are meant. */
  readonly byChannel: ReadonlyMap<number, { readonly name: string; readonly instrumentName: string }>;
}

function wordsOf(pieces: readonly TextPiece[], track: number, tally: Tally): readonly RawSyllable[] {
  if (pieces.length === 0) return [];
  const { syllables, guessed } = syllablesOf(pieces);
  if (guessed !== undefined) {
    tally.add(
      'lyric-encoding',
      track,
      () => `Words that are not in UTF-8 were read as ${guessed}; save them in UTF-8 if their letters look wrong.`,
    );
  }
  return syllables;
}

/** First name and instrument name of a track, and of each channel that a prefix names. */
export function namesOf(events: readonly MidiEvent[], track: number, tally: Tally): TrackNames {
  const whole = { name: '', instrumentName: '' };
  const byChannel = new Map<number, { name: string; instrumentName: string }>();
  let target = whole;
  const lyrics: TextPiece[] = [];
  const texts: TextPiece[] = [];
  let tick = 0;
  for (const event of events) {
    tick += event.deltaTime;
    if (event.type === 'channelPrefix') {
      target = byChannel.get(event.channel) ?? { name: '', instrumentName: '' };
      if (event.channel < 16) byChannel.set(event.channel, target);
    } else if (event.type === 'trackName' || event.type === 'instrumentName') {
      const key = event.type === 'trackName' ? 'name' : 'instrumentName';
      if (target[key] === '') target[key] = textOf(event.text, track, tally);
    } else if (event.type === 'lyrics') {
      lyrics.push({ tick, binary: event.text });
    } else if (event.type === 'text') {
      texts.push({ tick, binary: event.text });
    } else if ('channel' in event) {
      // A prefix holds until the next event of a channel (Standard MIDI Files 1.0).
      target = whole;
    }
  }
  return {
    ...whole,
    lyrics: wordsOf(lyrics.length > 0 ? lyrics : areWords(texts) ? texts : [], track, tally),
    byChannel,
  };
}
