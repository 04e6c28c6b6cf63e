/** Words as MIDI files have them. Lyric and text events: Standard MIDI Files 1.0; hyphens, blanks and strokes: custom, no source. */
import { describe, expect, it } from 'vitest';
import type { RawMidiFile } from '../../src/read/raw.ts';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import { latin1, meta, midiFile, note, track, trackName, utf8 } from '../support/midi-bytes.ts';

function read(bytes: Uint8Array): { readonly file: RawMidiFile; readonly codes: readonly string[] } {
  const { file, problems } = readMidi(bytes, 'song.mid');
  if (file === undefined) throw new Error('refused');
  return { file, codes: problems.map(({ code }) => code) };
}

/** Syllables of the first track with notes: `be- gins` where a word goes on. */
function sung(file: RawMidiFile): string {
  return (file.tracks[0]?.lyrics ?? [])
    .map(({ text, place }) => (place === 'begin' || place === 'middle' ? `${text}-` : text))
    .join(' ');
}

/** A note a quarter, each with a text event of this kind. */
function tuneWith(words: readonly (string | readonly number[])[], kind = 5): number[] {
  return track(
    trackName('Voice'),
    words.flatMap((word) => [...meta(kind, typeof word === 'string' ? utf8(word) : word), ...note(60, 96)]),
  );
}

const TUNE = track(trackName('Lead'), Array.from({ length: 6 }, () => note(67, 96)).flat());
const BASS = track(trackName('Bass'), Array.from({ length: 3 }, () => note(40, 192)).flat());

/** A track of words without notes, a quarter apart. */
function wordsAlone(words: readonly string[], kind: number, ticks = 96): number[] {
  return track(
    trackName('Words'),
    words.flatMap((word, index) => meta(kind, utf8(word), index === 0 ? 0 : ticks)),
  );
}

describe('words and their syllables', () => {
  it.each([
    [['be-', 'gins ', 'to ', 'glow'], 'be- gins to glow'],
    [['be', 'gins ', 'to ', 'glow '], 'be- gins to glow'],
    [['be', ' -gins', 'to', 'glow'], 'be- gins to glow'],
    [['all', 'is', 'still', 'now'], 'all is still now'],
    [['o', 'ver ', 'the\r', 'hill '], 'o- ver the hill'],
    [['{#Title=x}', '\\O', 'ver', ' the', ' hill', '/and', ' far'], 'O- ver the hill and far'],
    [['qui-', '-', 'et', 'sea'], 'qui- et sea'],
  ])('%j is sung as %s', (words, line) => {
    expect(sung(read(midiFile(0, 96, tuneWith(words))).file)).toBe(line);
  });

  it('letters that are not in UTF-8 are guessed by all words of the track, and said', () => {
    const { file, codes } = read(
      midiFile(0, 96, tuneWith([latin1('F\xfcr '), latin1('El'), latin1('da '), 'spielt '])),
    );
    expect(sung(file)).toBe('Für El- da spielt');
    expect(codes).toEqual(['lyric-encoding']);
  });
});

describe('words in a track of their own', () => {
  const words = ['@KMIDI KARAOKE FILE', '@TSong', '\\When', ' the', ' lamp', ' is', ' low', ' now'];

  it('text events with strokes go to the track whose notes begin with them', () => {
    const alone = track(
      trackName('Words'),
      words.flatMap((word, index) => meta(1, utf8(word), index < 3 ? 0 : 96)),
    );
    const { file, codes } = read(midiFile(1, 96, alone, BASS, TUNE));
    expect(file.tracks.map(({ name, lyrics }) => [name, lyrics?.length ?? 0])).toEqual([
      ['Bass', 0],
      ['Lead', 6],
    ]);
    expect(codes).toContain('words-placed');
  });

  it('lyrics that fall on no notes are left out, and said', () => {
    const { file, codes } = read(midiFile(1, 96, wordsAlone(['a', 'b', 'c', 'd', 'e'], 5, 61), BASS, TUNE));
    expect(file.tracks.every(({ lyrics }) => lyrics === undefined)).toBe(true);
    expect(codes).toContain('words-without-notes');
  });

  it('text events that are remarks are no words', () => {
    const { file, codes } = read(midiFile(1, 96, wordsAlone(['Made at home', 'Take 3', 'x', 'y', 'z'], 1), TUNE));
    expect(file.tracks[0]?.lyrics).toBeUndefined();
    expect(codes).not.toContain('words-placed');
  });
});

describe('hostile words', () => {
  it.each([
    ['ten thousand letters', 'a'.repeat(10_000)],
    ['controls and marks of direction', 'a\u0001\u001b[31m\u202eb\u2066\ufeff'],
    ['nothing but blanks', '  \r\n '],
    ['zero bytes', '\0\0a\0'],
  ])('%s do no harm', (_, word) => {
    const { file } = read(midiFile(0, 96, tuneWith([word, 'la', 'la', 'la'])));
    const lyrics = file.tracks[0]?.lyrics ?? [];
    expect(file.tracks[0]?.notes).toHaveLength(4);
    for (const { text } of lyrics) {
      expect(text).not.toBe('');
      expect(Array.from(text).length).toBeLessThanOrEqual(30);
      expect(text).not.toMatch(/[\p{Cc}\u202a-\u202e\u2066-\u2069\ufeff]/u);
    }
  });
});
