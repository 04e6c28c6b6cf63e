import { describe, expect, it } from 'vitest';
import { readFolder } from '../../../src/read/read-folder.ts';
import type { RawFolder } from '../../../src/read/raw.ts';
import { midiFile, note, track } from '../../support/midi-bytes.ts';
import { memoryDisk, type MemoryEntry } from '../../support/memory-disk.ts';
import { aiffBytes, wavBytes } from '../../support/sound-bytes.ts';

const oboe = midiFile(0, 96, track(note(72, 96)));
const wav = wavBytes([[0, 0.5]], { bits: 16, rateHz: 44_100 });
const bytes = (...numbers: number[]): Uint8Array => Uint8Array.from(numbers);
/** The first four bytes of an MPEG-1 layer III frame, 128 kbit/s at 44.1 kHz (ISO/IEC 11172-3, 2.4.1.3). */
const frame = bytes(0xff, 0xfb, 0x90, 0x00);

function read(entries: Readonly<Record<string, MemoryEntry>>): Promise<RawFolder> {
  const inFolder = Object.entries(entries).map(([path, entry]) => [`/piece/${path}`, entry] as const);
  return readFolder('/piece', memoryDisk(Object.fromEntries(inFolder)), { ignore: [] });
}

async function kindOf(name: string, content: MemoryEntry): Promise<string | undefined> {
  const { stages } = await read({ 'a.mid': oboe, [name]: content });
  return stages[0]?.audio?.kind;
}

describe('audio beside a stage', () => {
  it('is what has its name: at the top, or in the folder of its parts', async () => {
    const { stages, files, problems } = await read({
      '01 Sketch.mid': oboe,
      '01 sketch.WAV': wav,
      '02 Strings/viola.mid': oboe,
      '02 Strings/02 Strings.wav': wav,
      '02 Strings/viola.wav': wav,
      '03 Winds.mid': oboe,
    });
    expect(stages.map(({ audio }) => audio?.path)).toEqual(['01 sketch.WAV', '02 Strings/02 Strings.wav', undefined]);
    expect(files.filter(({ use }) => use === 'audio').map(({ path }) => path)).toEqual([
      '01 sketch.WAV',
      '02 Strings/02 Strings.wav',
      '02 Strings/viola.wav',
    ]);
    expect(problems).toEqual([]);
  });

  it('is known by what is in it, not by its name', async () => {
    expect(await kindOf('a.mp3', wav)).toBe('wav');
    expect(await kindOf('a.wav', aiffBytes([[0, 0.5]], { bits: 16, rateHz: 44_100 }))).toBe('aiff');
    expect(await kindOf('a.mp3', bytes(...[0, 0, 0, 0], ...frame))).toBe('mp3');
    expect(await kindOf('a.mp3', 'ID3\x04')).toBe('mp3');
    expect(await kindOf('a.opus', 'OggS\0')).toBe('ogg');
    expect(await kindOf('a.flac', 'fLaC\0')).toBe('flac');
    expect(await kindOf('a.m4a', '\0\0\0\x20ftypM4A ')).toBe('m4a');
  });

  it('is refused in one sentence where it is no audio', async () => {
    for (const odd of ['', 'RIFF\x10\0\0\0AVI LIST', 'FORM\0\0\0\x10ILBM', 'Dear arranger', bytes(0xff, 0xd8, 0xff)]) {
      const { stages, files, problems } = await read({ 'a.mid': oboe, 'a.mp3': odd });
      expect(stages[0]?.audio).toBeUndefined();
      expect(problems.map(({ code, file }) => [code, file])).toEqual([['not-audio', 'a.mp3']]);
      expect(files.find(({ path }) => path === 'a.mp3')?.use).toBe('not used');
    }
  });

  it('is one file: what is played as it is comes first, and the others are named', async () => {
    const { stages, problems } = await read({ 'a.mid': oboe, 'a.aiff': wav, 'a.flac': 'fLaC\0', 'a.wav': wav });
    expect(stages[0]?.audio?.path).toBe('a.flac');
    // That a file of four bytes holds no sound is told beside it: a browser may know better.
    expect(problems.map(({ code, file }) => [code, file])).toEqual([
      ['audio-empty', 'a.flac'],
      ['two-audio', 'a.aiff'],
      ['two-audio', 'a.wav'],
    ]);
  });

  it('is asked about where no stage has its name', async () => {
    const { problems } = await read({ 'a.mid': oboe, 'rehearsal.wav': wav, 'stems/viola.wav': wav });
    expect(problems.map(({ code, file }) => [code, file])).toEqual([['audio-without-stage', 'rehearsal.wav']]);
  });
});
