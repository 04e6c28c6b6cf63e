/**
 * Folders spoilt by a seeded machine: a small piece in two stages, its settings and a note, of which some are changed as damage, haste and
 * malice do. The same number always gives the same folder.
 */
import { meter, meta, midiFile, note, smallPiece, tempo, track, trackName } from './midi-bytes.ts';
import type { MemoryEntry } from './memory-disk.ts';
import { seeded } from './playing.ts';

const SETTINGS = `title: Harbour lights
subtitle: for two
date: 2026-11-25
foreground: [{part: Violin I, bars: 1-2}, {part: Violoncello, bars: 3-4}]
sections:
  - {name: Opening, bars: 1-2}
  - {name: Close, bars: 3-4}
key: G major
pickup: 0
parts:
  Violin I: {players: 8, range: G3-E7, trim: -3}
  Violoncello: {instrument: cello, name: Cello, dynamics: velocity}
stages:
  01 sketch: {title: First, order: 1, remark: A try}
paper: a4
limits: {late-part: 60, crossing: 2}
accepted: [{rule: crossing, bars: 1-4, parts: [Violin I], reason: meant}]
`;

const NOTE = `---
stage: 01 sketch
bars: 1-2
parts: [Violin I]
kind: question
date: 2026-11-25
---
# Bars 1-4, Violin I

Slower *here*, with [a link](https://example.invalid/) and \`code\`.

Bar 3
-----
| a | b |
|--:|---|
| 1 | 2 |

1. one
   - two
`;

/** What stands in the wrong place: numbers that are none, other kinds, marks, markup, and what YAML and Markdown read in their own way. */
const WORDS: readonly string[] = [
  '.nan', '.inf', '-.inf', '1e999', '-1', '0', '0.1', '99999999999', '0x1F', '1_0', '007', 'true', 'null', '~', '""', "''", '[]', '{}',
  '[1, 2]', '{from: 2, to: 1}', '2026-11-25', '1-2', '4-1', '0-0', '1-', 'bar 2', 'H', 'C-1-G9', 'Violin I', 'Viola', '*a', '&a b', '!!float 1',
  '!x y', '|', '>', '- ', ': ', '#', '"', '`', '```', '---', '...', '\t', '\u202e', '\u2066', '\u0000', '\ufeff', '\ud800', '<b>', '{{ 1 }}', '{% x %}',
  '&#x202E;', '&nbsp;', '[a]: b', '![x](y)', '__proto__', 'constructor', 'x'.repeat(3000), '('.repeat(60), '[[', '> > > ', '  ', '\n', '\r', '\n\n# Bar 2\n',
  '\nBar 9\n---\n',
]; // prettier-ignore

type Random = () => number;
const below = (random: Random, count: number): number => Math.floor(random() * count);
const oneOf = <Item>(random: Random, items: readonly Item[]): Item => items[below(random, items.length)]!;

/** Bytes that mean something in a MIDI file: chunk names, meta events of absurd content, a wait without end. */
const EVENTS: readonly (readonly number[])[] = [
  tempo(0), tempo(1), tempo(0xffffff), meter(0, 2), meter(255, 0), meter(1, 6), meter(7, 9), meta(0x59, [7, 0]), meta(0x59, [127, 9]),
  meta(6, [0xe2, 0x80, 0xae, 0x41]), meta(3, [0xff, 0xfe]), meta(0x2f, []), [0xff, 0xff, 0xff, 0x7f], [0x8f, 0xff, 0xff, 0x7f], [0x83, 0x60],
  [0x00, 0x90, 60, 0], [0x00, 0x90, 60, 127], [0x00, 0x80, 60, 0], [0x00, 0x99, 36, 100], [0x00, 0xb0, 64, 127], [0x00, 0xb0, 123, 0], [0x00, 0xf0, 0x05],
  [0x00, 0xe0, 0, 0], [0x00, 0xc0, 200], [0x4d, 0x54, 0x72, 0x6b], [0x4d, 0x54, 0x68, 0x64], [0, 0, 0, 0], [0xff], [0x00],
]; // prettier-ignore

function spoiltBytes(bytes: Uint8Array, random: Random): Uint8Array {
  const all = [...bytes];
  const at = below(random, all.length + 1);
  switch (below(random, 6)) {
    case 0:
      all[Math.min(at, all.length - 1)] = below(random, 256);
      break;
    case 1:
      all.splice(at, 1 + below(random, 60));
      break;
    case 2:
      all.splice(at, 0, ...Array.from({ length: 1 + below(random, 20) }, () => below(random, 256)));
      break;
    case 3:
      all.splice(at, 0, ...all.slice(at, at + 1 + below(random, 200)));
      break;
    case 4:
      all.length = at;
      break;
    default:
      all.splice(at, below(random, 2) * 3, ...oneOf(random, EVENTS));
  }
  return Uint8Array.from(all);
}

function spoiltText(text: string, random: Random): string {
  const at = below(random, text.length + 1);
  const lines = text.split('\n');
  const line = below(random, lines.length);
  switch (below(random, 6)) {
    case 0: {
      // What stands after a colon or between commas.
      const places = [...text.matchAll(/(?<=: )[^,{}\[\]\n]+|(?<=[\[,] ?)[^,{}\[\]\n]+/g)];
      const place = places.length === 0 ? undefined : oneOf(random, places);
      if (place === undefined) return text + oneOf(random, WORDS);
      return text.slice(0, place.index) + oneOf(random, WORDS) + text.slice(place.index + place[0].length);
    }
    case 1:
      return text.slice(0, at) + oneOf(random, WORDS) + text.slice(at);
    case 2:
      return text.slice(0, at) + text.slice(at + 1 + below(random, 30));
    case 3:
      return [...lines.slice(0, line), ...lines.slice(line + 1)].join('\n');
    case 4:
      return [...lines.slice(0, line), lines[line] ?? '', ...lines.slice(line)].join('\n');
    default:
      return lines.map((own, index) => (index === line ? `${' '.repeat(below(random, 5))}${own}` : own)).join('\n');
  }
}

const times = <Content>(content: Content, random: Random, spoil: (content: Content, random: Random) => Content): Content =>
  Array.from({ length: 1 + below(random, 4) }).reduce<Content>((spoilt) => spoil(spoilt, random), content); // prettier-ignore

const FIRST = smallPiece();
const SECOND = midiFile(
  1,
  96,
  track(tempo(500_000), meter(3, 2), meta(0x59, [1, 0])),
  track(trackName('Violin I'), ...[67, 71, 74, 79, 78, 74].map((midi) => note(midi, 96))),
  track(trackName('Piano'), ...[43, 50, 55, 59, 62, 67].map((midi) => note(midi, 96, 70, 2))),
  track(trackName('Drums'), ...[36, 38, 36, 42].map((midi) => note(midi, 48, 90, 9))),
);

/** What `memoryDisk` holds under `/piece`. */
export function spoiltFolder(number: number): Readonly<Record<string, MemoryEntry>> {
  const random = seeded(number);
  // One kind at a time, and now and then all at once; of spoilt settings most end the build, so that they are the rarest.
  const which = below(random, 10);
  const spoilsMidi = which < 5 || which === 9;
  const spoilsNotes = (which >= 5 && which < 7) || which === 9;
  const spoilsSettings = which >= 7;
  const encode = (text: string): Uint8Array => new TextEncoder().encode(text);
  // Beside spoilt MIDI good settings and notes would only speak of what is no longer there: mostly it stands alone.
  const isAlone = spoilsMidi && random() < 0.8;
  const settings = spoilsSettings ? times(SETTINGS, random, spoiltText) : SETTINGS;
  const note = spoilsNotes ? times(NOTE, random, spoiltText) : NOTE;
  return {
    '/piece/01 sketch.mid': spoilsMidi ? times(FIRST, random, spoiltBytes) : FIRST,
    '/piece/02 more.mid': spoilsMidi && random() < 0.3 ? times(SECOND, random, spoiltBytes) : SECOND,
    ...(spoilsSettings || (!isAlone && random() < 0.3) ? { '/piece/dossier.yaml': encode(settings) } : {}),
    ...(spoilsNotes || !isAlone ? { '/piece/notes.md': encode(note) } : {}),
  };
}
