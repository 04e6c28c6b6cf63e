/** Tracks joined into parts: articulations, hands and channels of one player become one part. */
import { isDefaultName } from '../names/name-words.ts';
import type { Part, Question } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { PartSettings } from '../../read/settings/settings.ts';
import type { Recognition } from '../instruments/recognise.ts';
import { isNamed, UNKNOWN } from '../instruments/recognise.ts';
import type { SourceTrack } from '../names/source-track.ts';
import { comparableName } from '../names/text.ts';

/** A note placed in the stage, still in its track. */
export interface PlacedNote {
  readonly midi: number;
  readonly velocity: number;
  /** Quarter notes from bar 1. */
  readonly startQuarters: number;
  readonly endQuarters: number;
}

export interface PlacedTrack {
  readonly source: SourceTrack;
  readonly recognition: Recognition;
  /** Sorted by start, then pitch. */
  readonly notes: readonly PlacedNote[];
}

export interface PartDraft {
  readonly instrument: string;
  readonly by: Part['recognisedBy'];
  readonly numbers: readonly number[];
  /** True where the numbers were given by us, to tell equal names apart. */
  readonly numberedHere: boolean;
  readonly solo: boolean;
  /** What else tells the part apart (`echo`, `offstage`, which drum); '' where nothing does. */
  readonly rest: string;
  readonly name: string;
  readonly tracks: readonly PlacedTrack[];
  readonly settings: PartSettings;
  /** How many play it by a note, with its words (untrusted text). */
  readonly toldPlayers?: { readonly players: number; readonly file: string; readonly quote: string };
  /** How many strings it has by a note, with its words (untrusted text). */
  readonly toldStrings?: { readonly strings: number; readonly file: string; readonly quote: string };
  /** What a track named after a group holds by a note, as catalogue ids. */
  readonly members?: readonly string[];
  readonly questions: readonly Question[];
}

/** Share of notes that sound together with another pitch of the other track from which two tracks count as two players. */
const DIFFERENT_SHARE = 0.2;

/** Whether two tracks sound at once with different music, which one player of a single line cannot. */
function differAtOnce(first: readonly PlacedNote[], second: readonly PlacedNote[]): boolean {
  const [few, many] = first.length <= second.length ? [first, second] : [second, first];
  if (few.length === 0) return false;
  let against = 0;
  let same = 0;
  let open = 0;
  let longest = 0;
  for (const note of many) longest = Math.max(longest, note.endQuarters - note.startQuarters);
  for (const note of few) {
    while ((many[open]?.startQuarters ?? Number.POSITIVE_INFINITY) < note.startQuarters - longest) open++;
    const half = (note.endQuarters - note.startQuarters) / 2;
    let overlaps = false;
    let doubled = false;
    for (let index = open; index < many.length; index++) {
      const other = many[index];
      if (other === undefined || other.startQuarters >= note.endQuarters) break;
      const overlap = Math.min(note.endQuarters, other.endQuarters) - Math.max(note.startQuarters, other.startQuarters);
      if (overlap < half) continue;
      if (other.midi === note.midi) doubled = true;
      else overlaps = true;
    }
    if (doubled) same++;
    else if (overlaps) against++;
  }
  return against / few.length > DIFFERENT_SHARE && same < 0.8 * few.length;
}

const POLYPHONIC_FAMILIES: ReadonlySet<string> = new Set(['keyboard', 'percussion']);

function isPolyphonic(instrument: string): boolean {
  const record = instrumentById(instrument);
  return record !== undefined && (POLYPHONIC_FAMILIES.has(record.family) || record.id === 'harp');
}

/** Records that stand for many things: the word that named them tells the parts apart (snare drum, triangle; riser, boom; tenor and bass pans). */
const NAMED_BY_SOUND: ReadonlySet<string> = new Set([
  'percussion-unpitched',
  'sound-effect',
  'synthesizer',
  'steel-pans',
]);

function restOf(track: PlacedTrack): string {
  const { reading } = track.source;
  const { instrument, by } = track.recognition;
  if (isNamed(by) || (by === 'settings' && reading.candidates.length > 0)) {
    return NAMED_BY_SOUND.has(instrument) && reading.matched !== ''
      ? `${reading.matched} ${reading.rest}`.trim()
      : reading.rest;
  }
  return comparableName(reading.plainName);
}

/** Tracks with the same key are one part or several players that nobody numbered. */
function keyOf(track: PlacedTrack): string {
  const { recognition, source } = track;
  const numbers = isNamed(recognition.by) || recognition.by === 'settings' ? recognition.numbers.join('+') : '';
  return [recognition.instrument, numbers, source.reading.solo ? 'solo' : '', restOf(track)].join('|');
}

const DIVIDED = /\b(?:div|divisi|geteilt|desks?|stands?|pulte?|unis|a\d)\b/i;

/** Desks and halves of one section play different lines and are one part. */
function isDivided({ source: { reading } }: PlacedTrack): boolean {
  return reading.undividedName !== reading.plainName || DIVIDED.test(reading.plainName);
}

/** Whether two tracks of one name are one part: they read as one player's or one section's line, whatever the ways of playing are called. */
function joinable(one: PlacedTrack, other: PlacedTrack): boolean {
  if (isPolyphonic(one.recognition.instrument)) return true;
  const a = one.source;
  const b = other.source;
  if (isNamed(one.recognition.by) && a.file === b.file && a.raw.track === b.raw.track) return true;
  if (isDivided(one) && isDivided(other)) return true;
  return !differAtOnce(one.notes, other.notes);
}

function clustersOf(tracks: readonly PlacedTrack[]): PlacedTrack[][] {
  const clusters: PlacedTrack[][] = [];
  for (const track of tracks) {
    const home = clusters.find((cluster) => cluster.every((member) => joinable(member, track)));
    if (home === undefined) clusters.push([track]);
    else home.push(track);
  }
  return clusters;
}

/** Words that tell players apart and are no way of playing. */
const OTHER_PLAYERS: ReadonlySet<string> = new Set(
  'echo offstage fern lontano ripieno concertino tutti choir chor coro group gruppe orchestra a b c d left right soli high low upper lower big small'.split(
    ' ',
  ),
);
/** Quarter notes by which a note may run into the next of the other track: legato and the tail of a release. */
const RUN_OVER_QUARTERS = 0.25;
const FEWEST_TURNS = 3;

/** Whether two groups of tracks take turns as one player does who changes the way of playing: never together, to and fro. */
function takeTurns(first: readonly PlacedTrack[], second: readonly PlacedTrack[]): boolean {
  const notes = [first, second]
    .flatMap((tracks, owner) => tracks.flatMap((track) => track.notes.map((note) => ({ note, owner }))))
    .sort((a, b) => a.note.startQuarters - b.note.startQuarters);
  let turns = 0;
  const ends = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  let last: number | undefined;
  for (const { note, owner } of notes) {
    if ((ends[1 - owner] ?? 0) > note.startQuarters + RUN_OVER_QUARTERS) return false;
    if (last !== undefined && last !== owner) turns++;
    last = owner;
    ends[owner] = Math.max(ends[owner] ?? 0, note.endQuarters);
  }
  return turns >= FEWEST_TURNS;
}

/** Whether words left over in a name may be a way of playing that the lists do not know. */
function mayBeArticulation({ recognition, source: { reading } }: PlacedTrack): boolean {
  const record = instrumentById(recognition.instrument);
  return (
    isNamed(recognition.by) &&
    record !== undefined &&
    record.sustaining &&
    !isPolyphonic(record.id) &&
    !NAMED_BY_SOUND.has(record.id) &&
    reading.rest.split(' ').every((word) => !OTHER_PLAYERS.has(word))
  );
}

/** Joins groups that differ in unknown words alone and take turns. */
function joinedByTurns(clusters: readonly PlacedTrack[][][]): PlacedTrack[][][] {
  const joined: PlacedTrack[][][] = [];
  for (const group of clusters) {
    const [own] = group;
    const track = own?.[0];
    const home = joined.find(([other]) => {
      const mate = other?.[0];
      if (own === undefined || other === undefined || track === undefined || mate === undefined) return false;
      const alike =
        mate.recognition.instrument === track.recognition.instrument &&
        mate.recognition.numbers.join() === track.recognition.numbers.join() &&
        mate.source.reading.solo === track.source.reading.solo;
      return alike && mayBeArticulation(mate) && mayBeArticulation(track) && takeTurns(other, own);
    });
    if (home !== undefined && home.length === 1 && group.length === 1 && own !== undefined) home[0]?.push(...own);
    else joined.push([...group]);
  }
  return joined;
}

/** What names have in common before brackets at their ends: `Organ` of `Organ (manuals)` and `Organ (pedals)`; undefined where they have not. */
function nameBeforeBrackets(tracks: readonly PlacedTrack[]): string | undefined {
  const names = new Set(tracks.map(({ source }) => source.reading.undividedName.replace(/\s*\([^()]*\)\s*$/, '')));
  const [only = ''] = names;
  return names.size === 1 && only !== '' ? only : undefined;
}

/** The words with which the names of a keyboard's tracks all begin: `Orgel` of `Orgel Manual` and `Orgel Pedal`; undefined where that is none, or no shorter. */
function nameOfHandsAndFeet(tracks: readonly PlacedTrack[]): string | undefined {
  if (instrumentById(tracks[0]?.recognition.instrument ?? UNKNOWN)?.family !== 'keyboard') return undefined;
  const [first = [], ...others] = tracks.map(({ source }) => source.reading.plainName.trim().split(/\s+/u));
  const differ = first.findIndex((word, place) =>
    others.some((own) => comparableName(own[place] ?? '') !== comparableName(word)),
  );
  return differ < 1 ? undefined : first.slice(0, differ).join(' ');
}

function nameOf(tracks: readonly PlacedTrack[], settings: PartSettings): string {
  if (settings.name !== undefined && settings.name.trim() !== '') return settings.name;
  const first = tracks[0];
  if (first === undefined) return 'Part';
  const { reading, sharesChunk } = first.source;
  const { instrument, by, numbers } = first.recognition;
  const saysNothing = reading.candidates.length === 0 && sharesChunk;
  // Several desks of one section go by the name of the section.
  const isDivided = tracks.some((track) => track.source.reading.plainName !== reading.plainName);
  const ofAll = isDivided
    ? (nameBeforeBrackets(tracks) ?? nameOfHandsAndFeet(tracks) ?? reading.undividedName)
    : reading.plainName;
  const isDefault = reading.candidates.length === 0 && instrument !== UNKNOWN && isDefaultName(first.source.name);
  let name = saysNothing || isDefault ? '' : ofAll;
  const leading = reading.leadingNumber;
  if (leading !== undefined && (leading.padded || (isNamed(by) && !numbers.includes(leading.count)))) {
    name = name.replace(/^\s*\d+[\s.):_-]*/, '');
  }
  if (/\p{L}/u.test(name)) return name;
  if (instrument !== UNKNOWN) return instrumentById(instrument)?.name ?? 'Part';
  return first.source.name === '' || saysNothing ? `Track ${first.source.raw.track}` : first.source.name;
}

function settingsOf(tracks: readonly PlacedTrack[]): PartSettings {
  let merged: PartSettings = {};
  for (const track of tracks) merged = { ...track.source.settings, ...merged };
  return merged;
}

function draftOf(tracks: readonly PlacedTrack[], number: number | undefined): PartDraft {
  const first = tracks[0];
  const settings = settingsOf(tracks);
  const recognition = first?.recognition;
  const questions: Question[] = [];
  for (const { recognition: own } of tracks) {
    if (own.question !== undefined && !questions.some((question) => question.code === own.question?.code))
      questions.push(own.question);
  }
  const stated =
    recognition === undefined || recognition.by === 'program' || recognition.by === 'none' ? [] : recognition.numbers;
  return {
    instrument: recognition?.instrument ?? UNKNOWN,
    by: recognition?.by ?? 'none',
    numbers: number === undefined ? stated : [number],
    numberedHere: number !== undefined,
    solo: first?.source.reading.solo ?? false,
    rest: first === undefined ? '' : restOf(first),
    name: nameOf(tracks, settings),
    tracks,
    settings,
    questions,
  };
}

/** Parts of a stage in the order of their first tracks. `join` of the settings comes first, then names, then what sounds at once. */
export function groupParts(tracks: readonly PlacedTrack[]): readonly PartDraft[] {
  const groups = new Map<string, PlacedTrack[]>();
  const waiting: PlacedTrack[] = [];
  for (const track of tracks) {
    if (track.source.settings.join !== undefined) {
      waiting.push(track);
      continue;
    }
    const key = keyOf(track);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [track]);
    else group.push(track);
  }
  const clusters = joinedByTurns([...groups.values()].map((group) => clustersOf(group)));
  const flat = clusters.flat();
  for (const track of waiting) {
    const wanted = comparableName(track.source.settings.join ?? '');
    const home = flat.find((cluster) =>
      cluster.some((member) =>
        [
          member.source.name,
          member.source.raw.name,
          member.source.reading.plainName,
          member.source.settings.name ?? '',
        ].some((name) => name !== '' && comparableName(name) === wanted),
      ),
    );
    if (home === undefined) clusters.push([[track]]);
    else home.push(track);
  }
  return clusters.flatMap((group) =>
    group.map((cluster, index) => draftOf(cluster, group.length > 1 ? index + 1 : undefined)),
  );
}
