/** Damaged and hostile input of every kind: each gives one clear sentence, quickly, and never a stack trace. */
import { describe, expect, it } from 'vitest';
import type { Problem } from '../../src/problems/problem.ts';
import { readFolder } from '../../src/read/read-folder.ts';
import type { MemoryEntry } from '../support/memory-disk.ts';
import { memoryDisk } from '../support/memory-disk.ts';
import {
  chunk,
  control,
  endOfTrack,
  header,
  latin1,
  meta,
  midiFile,
  note,
  noteOn,
  smallPiece,
  track,
  trackName,
  uint32,
  utf8,
} from '../support/midi-bytes.ts';

const good = smallPiece();
const goodTrack = track(note(60, 96));
const bytes = (...lists: readonly (readonly number[])[]): Uint8Array => Uint8Array.from(lists.flat());
const repeated = (unit: readonly number[], times: number): Uint8Array => {
  const all = new Uint8Array(unit.length * times);
  for (let at = 0; at < times; at++) all.set(unit, at * unit.length);
  return all;
};
const withHeader = (content: Uint8Array, length = content.length): Uint8Array => {
  const head = bytes(header(0, 1, 96), latin1('MTrk'), uint32(length));
  const all = new Uint8Array(head.length + content.length);
  all.set(head);
  all.set(content, head.length);
  return all;
};
const littleEndian = (amount: number): number[] => uint32(amount).reverse();

type Outcome = 'refused' | 'remark' | 'settings';

/** What it is, the file it is in, its content, how it bears on the outcome, and a word of the sentence. */
const CASES: readonly (readonly [string, string, MemoryEntry, Outcome, RegExp])[] = [
  ['an empty file', 'x.mid', '', 'refused', /empty/],
  ['one byte', 'x.mid', bytes([0x4d]), 'refused', /not a Standard MIDI File/],
  ['a text file', 'x.mid', 'Hello, this is text.', 'refused', /begins with “Hello, t”/],
  ['a WAVE file', 'x.mid', bytes(latin1('RIFF'), [9, 0, 0, 0], latin1('WAVEfmt ')), 'refused', /WAVE/],
  ['a ZIP archive', 'x.mid', bytes(latin1('PK'), [3, 4, 0, 0]), 'refused', /ZIP/],
  ['a page of HTML', 'x.mid', '<!doctype html><script>alert(1)</script>', 'refused', /XML or HTML/],
  ['zeros', 'x.mid', new Uint8Array(1000), 'refused', /not a Standard MIDI File/],
  ['half a header', 'x.mid', good.slice(0, 11), 'refused', /inside its header/],
  ['a header without tracks', 'x.mid', bytes(header(1, 3, 96)), 'refused', /no track/],
  ['a division of 0', 'x.mid', midiFile(1, 0, goodTrack), 'refused', /0 ticks/],
  ['an unknown frame rate', 'x.mid', midiFile(1, 0xf00a, goodTrack), 'refused', /no frame rate/],
  ['a format that does not exist', 'x.mid', midiFile(7, 96, goodTrack), 'remark', /format 7/],
  ['a wrong number of tracks', 'x.mid', bytes(header(1, 40_000, 96), goodTrack), 'remark', /40000 tracks and 1 was/],
  ['a file cut in the middle', 'x.mid', good.slice(0, good.length - 40), 'remark', /breaks off|no end-of-track/],
  ['no end of track', 'x.mid', bytes(header(0, 1, 96), chunk('MTrk', note(60, 96))), 'remark', /no end-of-track/],
  [
    'a track length of 4 GB',
    'x.mid',
    bytes(header(0, 1, 96), chunk('MTrk', [...note(60, 96), ...endOfTrack()], 0xffffffff)),
    'remark',
    /length of the track/,
  ],
  [
    'a sysex that claims 256 MB',
    'x.mid',
    bytes(header(0, 1, 96), chunk('MTrk', [...note(60, 96), 0, 0xf0, 0xff, 0xff, 0xff, 0x7f, 1, 2])),
    'remark',
    /breaks off/,
  ],
  ['data before any status', 'x.mid', midiFile(1, 96, goodTrack, track([0, 60, 80])), 'remark', /makes no sense/],
  ['data bytes above 127', 'x.mid', midiFile(1, 96, track(note(60, 96), [0, 0x90, 60, 200])), 'remark', /above 127/],
  [
    'an endless length',
    'x.mid',
    midiFile(1, 96, track(note(60, 96), Array<number>(64).fill(0x80))),
    'remark',
    /makes no sense/,
  ],
  [
    'junk after the end',
    'x.mid',
    bytes([...good], Array<number>(500).fill(0xee)),
    'remark',
    /500 bytes after the last track/,
  ],
  [
    'chunks of another kind',
    'x.mid',
    bytes([...good.slice(0, 14)], chunk('XFIH', [1, 2, 3]), [...good.slice(14)]),
    'remark',
    /another kind \(“XFIH”\)/,
  ],
  [
    'MIDI in a RIFF container',
    'x.mid',
    bytes(latin1('RIFF'), littleEndian(good.length + 12), latin1('RMIDdata'), littleEndian(good.length), [...good]),
    'remark',
    /RIFF/,
  ],
  [
    'a block of 128 bytes before the header',
    'x.mid',
    bytes(Array<number>(128).fill(1), [...good]),
    'remark',
    /128 bytes before/,
  ],
  [
    'notes that never end',
    'x.mid',
    midiFile(0, 96, track(noteOn(0, 60), noteOn(0, 64), note(67, 96))),
    'remark',
    /2 notes never ended/,
  ],
  [
    'a name in no encoding',
    'x.mid',
    midiFile(0, 96, track(trackName([0xff, 0xfa, 0x81]), note(60, 96))),
    'remark',
    /not in UTF-8/,
  ],
  [
    'a name that turns the text around',
    'x.mid',
    midiFile(0, 96, track(trackName(utf8('\u202Eabc')), note(60, 96))),
    'remark',
    /Invisible/,
  ],
  [
    'a name of 100 000 letters',
    'x.mid',
    midiFile(0, 96, track(trackName(latin1('x'.repeat(100_000))), note(60, 96))),
    'remark',
    /shortened/,
  ],
  [
    'a note at the end of time',
    'x.mid',
    midiFile(0, 1, track([0xff, 0xff, 0xff, 0x7e, 0x90, 60, 80], note(62, 1))),
    'refused',
    /bars long/,
  ],
  [
    'deltas that add up beyond all time',
    'x.mid',
    midiFile(0, 96, track(note(60, 96), ...Array.from({ length: 50 }, () => control(0x0fffffff, 1, 1)))),
    'remark',
    /impossibly far/,
  ],
  [
    'two million notes',
    'x.mid',
    withHeader(repeated([0, 0x90, 60, 80], 2_000_000)),
    'refused',
    /more than 170000 notes/,
  ],
  [
    'four million controllers',
    'x.mid',
    withHeader(repeated([0, 0xb0, 1, 7], 4_000_000)),
    'refused',
    /more than 3000000 events/,
  ],
  [
    '200 000 empty tracks',
    'x.mid',
    bytes(header(1, 65_535, 96), [...repeated(chunk('MTrk', []), 200_000)]),
    'refused',
    /more than 1000 tracks/,
  ],
  ['a file of 900 MB', 'x.mid', { bytes: 900_000_000 }, 'refused', /900.0 MB large/],
  ['a file that nobody may read', 'x.mid', { unreadable: true }, 'refused', /cannot be read/],
  ['a link out of the folder', 'x.mid', { link: '/etc/hosts' }, 'remark', /out of the folder|nowhere/],
  ['a file without a note', 'x.mid', midiFile(1, 96, track(meta(1, latin1('nothing')))), 'refused', /no notes/],
  ['settings in Latin-1', 'dossier.yaml', bytes(latin1('title: é')), 'settings', /not in UTF-8/],
  [
    'settings that are a photograph',
    'dossier.yaml',
    bytes([0xff, 0xd8, 0xff, 0xe0, 0, 16]),
    'settings',
    /not in UTF-8/,
  ],
  ['settings of 300 MB', 'dossier.yaml', { bytes: 300_000_000 }, 'settings', /300.0 MB/],
  ['settings with an unknown key', 'dossier.yaml', 'titel: x', 'settings', /“title”/],
  ['settings with a tab', 'dossier.yaml', 'parts:\n\tx: y', 'settings', /tab/],
  ['settings that explode', 'dossier.yaml', 'a: &a [x]\nb: &b [*a,*a]\nc: [*b,*b]', 'settings', /Aliases/],
  ['settings nested 100 000 deep', 'dossier.yaml', '['.repeat(100_000), 'settings', /too deeply/],
  ['settings that are a list', 'dossier.yaml', '- x', 'settings', /key: value/],
  ['a note with unknown front matter', 'x.md', '---\nstges: 1\n---\nx', 'settings', /“stage”/],
  ['a note of 50 MB', 'x.md', { bytes: 50_000_000 }, 'refused', /50.0 MB/],
  ['a note in Latin-1', 'x.md', bytes(latin1('Flöte')), 'remark', /Windows-1252/],
  ['a heading with bars backwards', 'x.md', '# Bars 9-3', 'settings', /“3-9”/],
];

async function problemsOf(file: string, content: MemoryEntry): Promise<readonly Problem[]> {
  const disk = memoryDisk({ '/piece/good.mid': good, [`/piece/${file}`]: content, '/etc/hosts': 'x' });
  const folder = await readFolder('/piece', disk, { ignore: [] });
  expect(folder.stages.map(({ name }) => name)).toContain('good');
  return folder.problems.filter(({ file: named }) => named === file);
}

describe('damaged and hostile input beside a good file', () => {
  it('has thirty kinds and more', () => {
    expect(CASES.length).toBeGreaterThanOrEqual(30);
  });

  it.each(CASES)('%s: one sentence', async (_, file, content, outcome, words) => {
    const problems = await problemsOf(file, content);
    const told = problems.find(({ message }) => words.test(message));
    expect(told, JSON.stringify(problems)).toBeDefined();
    expect(told?.kind).toBe(outcome);
    expect(problems.length).toBeLessThanOrEqual(3);
    for (const { message } of problems) {
      expect(message).toMatch(/^\P{Ll}[^\n]*\.$/u);
      expect(message.length).toBeLessThan(400);
      expect(message).not.toMatch(/undefined|NaN|\[object|Error|\bat .*:\d+:\d+/);
    }
  });
});
