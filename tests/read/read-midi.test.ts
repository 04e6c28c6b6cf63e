import { describe, expect, it } from 'vitest';
import type { RawMidiFile } from '../../src/read/raw.ts';
import { readMidi } from '../../src/read/midi/read-midi.ts';
import {
  chunk,
  control,
  endOfTrack,
  header,
  latin1,
  meta,
  meter,
  midiFile,
  note,
  noteOff,
  noteOn,
  program,
  smallPiece,
  tempo,
  track,
  trackName,
  utf8,
} from '../support/midi-bytes.ts';

function read(bytes: Uint8Array): { readonly file: RawMidiFile; readonly codes: readonly string[] } {
  const { file, problems } = readMidi(bytes, 'test.mid');
  if (file === undefined) throw new Error(`refused: ${problems.map(({ message }) => message).join(' ')}`);
  return { file, codes: problems.map(({ code }) => code) };
}

function notesOf(file: RawMidiFile, index = 0): readonly (readonly number[])[] {
  return (file.tracks[index]?.notes ?? []).map(({ midi, startTick, endTick }) => [midi, startTick, endTick]);
}

describe('a file as most programs export it', () => {
  const { file, codes } = read(smallPiece());

  it('is read without a remark', () => {
    expect(codes).toEqual([]);
  });

  it('keeps tempo, meter and markers with their ticks', () => {
    expect(file.tempos).toEqual([{ tick: 0, microsecondsPerQuarter: 600_000, track: 1 }]);
    expect(file.meters).toEqual([{ tick: 0, numerator: 3, denominator: 4, track: 1 }]);
    expect(file.markers).toEqual([
      { tick: 0, text: 'Opening' },
      { tick: 2880, text: 'Close' },
    ]);
    expect(file.lastTick).toBe(5760);
  });

  it('leaves the track without notes out and names the others', () => {
    expect(
      file.tracks.map(({ track: number, channel, name, program: sound }) => [number, channel, name, sound]),
    ).toEqual([
      [2, 0, 'Violin I', 40],
      [3, 1, 'Violoncello', 42],
    ]);
    expect(notesOf(file, 1)).toEqual([
      [43, 0, 1440],
      [45, 1440, 2880],
      [47, 2880, 4320],
      [48, 4320, 5760],
    ]);
  });

  it('keeps volume and modulation in order', () => {
    const settings = file.tracks[0]?.controllers.map(({ controller, tick, setting }) => [controller, tick, setting]);
    expect(settings?.slice(0, 3)).toEqual([
      [7, 0, 100],
      [1, 0, 40],
      [1, 720, 48],
    ]);
  });
});

describe('notes', () => {
  it('a note-on at velocity 0 is a note-off', () => {
    const { file, codes } = read(midiFile(0, 96, track(noteOn(0, 60), noteOn(96, 60, 0))));
    expect(notesOf(file)).toEqual([[60, 0, 96]]);
    expect(codes).toEqual([]);
  });

  it('running status leaves the status byte out', () => {
    const { file } = read(midiFile(0, 96, track([0, 0x90, 60, 80], [10, 62, 80], [10, 60, 0], [10, 62, 0])));
    expect(notesOf(file)).toEqual([
      [60, 0, 20],
      [62, 10, 30],
    ]);
  });

  it('a meta event cancels running status; a writer that forgets this is understood, with a remark', () => {
    const { file, codes } = read(midiFile(0, 96, track([0, 0x90, 60, 80], meta(1, latin1('x'), 5), [5, 60, 0])));
    expect(notesOf(file)).toEqual([[60, 0, 10]]);
    expect(codes).toEqual(['running-status']);
  });

  it('a pitch struck again while it sounds is paired first in, first out', () => {
    const { file, codes } = read(
      midiFile(0, 96, track(noteOn(0, 60), noteOn(50, 60), noteOff(50, 60), noteOff(50, 60))),
    );
    expect(notesOf(file)).toEqual([
      [60, 0, 100],
      [60, 50, 150],
    ]);
    expect(codes).toEqual(['overlapping-notes']);
  });

  it('a note repeated at the tick where the one before ends is no overlap, whichever is written first', () => {
    const { file, codes } = read(
      midiFile(0, 96, track(noteOn(0, 60), noteOn(50, 60), noteOff(0, 60), noteOff(50, 60))),
    );
    expect(notesOf(file)).toEqual([
      [60, 0, 50],
      [60, 50, 100],
    ]);
    expect(codes).toEqual([]);
  });

  it('the same pitch on two channels is two notes', () => {
    const { file } = read(
      midiFile(1, 96, track(noteOn(0, 60, 80, 0), noteOn(10, 60, 80, 1), noteOff(10, 60, 0), noteOff(10, 60, 1))),
    );
    expect(file.tracks.map(({ channel }) => channel)).toEqual([0, 1]);
    expect(notesOf(file, 0)).toEqual([[60, 0, 20]]);
    expect(notesOf(file, 1)).toEqual([[60, 10, 30]]);
  });

  it('a hanging note ends with its track', () => {
    const { file, codes } = read(midiFile(0, 96, chunk('MTrk', [...noteOn(0, 60), ...endOfTrack(384)])));
    expect(notesOf(file)).toEqual([[60, 0, 384]]);
    expect(codes).toEqual(['hanging-notes']);
  });

  it('of hanging notes of one key each ends where the next is struck, as on a keyboard', () => {
    const { file, codes } = read(
      midiFile(0, 96, chunk('MTrk', [...noteOn(0, 60), ...noteOn(96, 60), ...noteOn(96, 60), ...endOfTrack(96)])),
    );
    expect(notesOf(file)).toEqual([
      [60, 0, 96],
      [60, 96, 192],
      [60, 192, 288],
    ]);
    expect(codes).toEqual(['hanging-notes']);
  });

  it('all notes off ends what sounds', () => {
    const { file, codes } = read(midiFile(0, 96, track(noteOn(0, 60), control(48, 123, 0), note(62, 96))));
    expect(notesOf(file)).toEqual([
      [60, 0, 48],
      [62, 48, 144],
    ]);
    expect(codes).toEqual([]);
  });

  it('a note without length gets one tick, and an end without beginning is ignored', () => {
    const { file, codes } = read(midiFile(0, 96, track(note(60, 0), noteOff(96, 62))));
    expect(notesOf(file)).toEqual([[60, 0, 1]]);
    expect(codes.toSorted()).toEqual(['stray-note-offs', 'zero-length-notes']);
  });

  it('remarks are counted, one a kind and track', () => {
    const strays = Array.from({ length: 5000 }, () => noteOff(1, 62));
    const { problems } = readMidi(midiFile(0, 96, track(note(60, 10), ...strays)), 'test.mid');
    expect(problems).toHaveLength(1);
    expect(problems[0]?.message).toContain('5000');
  });

  it('remarks that many tracks share are said once', () => {
    const tracks = Array.from({ length: 40 }, () => track(trackName('Tutti'), note(60, 0)));
    const { problems } = readMidi(midiFile(1, 96, ...tracks), 'test.mid');
    expect(problems).toHaveLength(1);
    expect(problems[0]?.message).toContain('40 tracks');
  });
});

describe('tempo, meter and key', () => {
  it('stand in any track and are merged in order', () => {
    const { file } = read(
      midiFile(1, 96, track(tempo(500_000, 192), note(60, 96)), track(tempo(400_000, 96), meter(7, 3), note(62, 96))),
    );
    expect(file.tempos.map(({ tick, track: number }) => [tick, number])).toEqual([
      [96, 2],
      [192, 1],
    ]);
    expect(file.meters).toEqual([{ tick: 96, numerator: 7, denominator: 8, track: 2 }]);
  });

  it.each([
    ['a tempo of no length', tempo(0), 'bad-tempo'],
    ['a tempo of 60 million beats a minute', tempo(1), 'bad-tempo'],
    ['a meter of no beats', meter(0, 2), 'bad-meter'],
    ['a meter in 128ths', meter(4, 7), 'bad-meter'],
    ['a meter whose denominator overflows', meter(4, 32), 'bad-meter'],
    ['a key of nine sharps', meta(0x59, [9, 0]), 'bad-key'],
    ['a key of neither mode', meta(0x59, [2, 7]), 'bad-key'],
    ['a tempo of two bytes', meta(0x51, [7, 0xa1]), 'bad-meta'],
  ])('%s is ignored with a remark', (_, event, code) => {
    const { file, codes } = read(midiFile(0, 96, track(event, note(60, 96))));
    expect(codes).toEqual([code]);
    expect([file.tempos, file.meters, file.keySignatures]).toEqual([[], [], []]);
  });

  it('every whole tempo comes back as it was written', () => {
    const written = [30_000, 333_333, 500_000, 500_001, 857_143, 16_777_215];
    const { file } = read(
      midiFile(0, 96, track(...written.map((microseconds) => tempo(microseconds, 1)), note(60, 96))),
    );
    expect(file.tempos.map(({ microsecondsPerQuarter }) => microsecondsPerQuarter)).toEqual(written);
  });

  it('three flats are -3, and A major has three sharps', () => {
    const { file } = read(midiFile(0, 96, track(meta(0x59, [0xfd, 1]), meta(0x59, [3, 0], 96), note(60, 96))));
    expect(file.keySignatures).toEqual([
      { tick: 0, fifths: -3, mode: 'minor' },
      { tick: 96, fifths: 3, mode: 'major' },
    ]);
  });

  it('a division in frames gives ticks a second; 29 stands for 29.97', () => {
    const at = (frames: number, ticks: number): unknown => {
      const { division } = read(midiFile(1, ((256 - frames) << 8) | ticks, track(note(60, 40)))).file;
      return division.kind === 'smpte' ? division.ticksPerSecond : undefined;
    };
    expect(at(25, 40)).toBe(1000);
    expect(at(24, 80)).toBe(1920);
    expect(at(29, 100)).toBeCloseTo(2997.003, 3);
  });
});

describe('the three formats', () => {
  it('format 0 with many channels is one part a channel, and its name is that of the piece', () => {
    const { file } = read(midiFile(0, 96, track(trackName('Evening song'), note(60, 96, 80, 0), note(48, 96, 80, 1))));
    expect(file.tracks.map(({ channel, name }) => [channel, name])).toEqual([
      [0, ''],
      [1, ''],
    ]);
  });

  it('format 0 with one channel is one part, and its name is that of the part', () => {
    const { file } = read(midiFile(0, 96, track(trackName('Oboe'), note(60, 96))));
    expect(file.tracks[0]?.name).toBe('Oboe');
  });

  it('a channel prefix names one channel of a track', () => {
    const { file } = read(
      midiFile(
        0,
        96,
        track(
          meta(0x20, [0]),
          trackName('Oboe'),
          meta(0x20, [1]),
          trackName('Horn'),
          note(60, 96),
          note(48, 96, 80, 1),
        ),
      ),
    );
    expect(file.tracks.map(({ name }) => name)).toEqual(['Oboe', 'Horn']);
  });

  it('format 2 is read pattern after pattern, each from the next bar line, with the defaults back in force', () => {
    const first = track(tempo(300_000), meter(3, 2), note(60, 200));
    const { file, codes } = read(midiFile(2, 96, first, track(note(62, 96))));
    expect(codes).toEqual(['format-2']);
    expect(notesOf(file, 1)).toEqual([[62, 288, 384]]);
    expect(file.tempos.map(({ tick, microsecondsPerQuarter }) => [tick, microsecondsPerQuarter])).toEqual([
      [0, 300_000],
      [288, 500_000],
    ]);
    expect(file.meters.map(({ tick, numerator }) => [tick, numerator])).toEqual([
      [0, 3],
      [288, 4],
    ]);
  });

  it('a first track that only sets up channels speaks for the tracks that play on them', () => {
    const { file } = read(midiFile(1, 96, track(program(0, 68, 3), control(0, 7, 90, 3)), track(note(70, 96, 80, 3))));
    expect(file.tracks[0]?.program).toBe(68);
    expect(file.tracks[0]?.controllers).toEqual([{ controller: 7, tick: 0, setting: 90 }]);
  });

  it('the program is the one in force at the first note', () => {
    const { file } = read(
      midiFile(0, 96, track(program(0, 40), program(96, 45), note(70, 96), program(0, 48), note(71, 96))),
    );
    expect(file.tracks[0]?.program).toBe(45);
  });
});

describe('names', () => {
  const nameOf = (bytes: readonly number[]): string | undefined =>
    read(midiFile(0, 96, track(trackName(bytes), note(60, 96)))).file.tracks[0]?.name;

  it.each([
    ['UTF-8', utf8('Flöte 2'), 'Flöte 2'],
    ['Latin-1', latin1('Hörner in F'), 'Hörner in F'],
    ['Windows-1252', [...latin1('C'), 0x9c, ...latin1('ur de voix')], 'Cœur de voix'],
    ['Mac Roman', [...latin1('Fl'), 0x9a, ...latin1('te')], 'Flöte'],
    ['Mac Roman, French', [...latin1('Violoncelle '), 0x8e, ...latin1('tude')], 'Violoncelle étude'],
    ['Shift-JIS', [0x83, 0x6f, 0x83, 0x43, 0x83, 0x49, 0x83, 0x8a, 0x83, 0x93], 'バイオリン'],
    ['UTF-16 with its mark', [0xff, 0xfe, 0x4f, 0, 0x62, 0], 'Ob'],
    ['a zero byte at the end', [...latin1('Piano'), 0], 'Piano'],
  ])('are read in %s', (_, bytes, name) => {
    expect(nameOf(bytes)).toBe(name);
  });

  it('lose control, direction and invisible characters', () => {
    expect(nameOf(utf8('Vio\u0007lin\u202E \u200BI\u2066'))).toBe('Violin I');
  });

  it('are cut at 120 characters', () => {
    expect(Array.from(nameOf(latin1('x'.repeat(500))) ?? '')).toHaveLength(120);
  });

  it('keep markup as text for the page to escape', () => {
    expect(nameOf(latin1('<b>Tuba</b>'))).toBe('<b>Tuba</b>');
  });
});

describe('lengths that lie', () => {
  const events = [...note(60, 96), ...note(62, 96), ...endOfTrack()];
  const second = track(note(64, 96));

  it.each([
    ['too short', 5],
    ['zero', 0],
    ['too long', 900],
    ['as large as can be written', 0xffffffff],
  ])('a track length that is %s does not hide the notes or the next track', (_, length) => {
    const bytes = Uint8Array.from([...header(1, 2, 96), ...chunk('MTrk', events, length), ...second]);
    const { file, codes } = read(bytes);
    expect(notesOf(file, 0)).toEqual([
      [60, 0, 96],
      [62, 96, 192],
    ]);
    expect(notesOf(file, 1)).toEqual([[64, 0, 96]]);
    expect(codes).toEqual(['chunk-length']);
  });

  it('a longer header is skipped to its end', () => {
    const long = chunk('MThd', [0, 0, 0, 1, 0, 96, 1, 2, 3, 4]);
    expect(notesOf(read(Uint8Array.from([...long, ...second])).file)).toEqual([[64, 0, 96]]);
  });

  it('an end of track in the middle ends the track', () => {
    const { file, codes } = read(midiFile(0, 96, track(note(60, 96), endOfTrack(), note(62, 96))));
    expect(notesOf(file)).toEqual([[60, 0, 96]]);
    expect(codes).toEqual(['after-end']);
  });

  it('an end of track impossibly far away is drawn in to the last note', () => {
    const { file, codes } = read(midiFile(0, 1, chunk('MTrk', [...note(60, 4), ...endOfTrack(0x0fffff0)])));
    expect(file.lastTick).toBe(4);
    expect(codes).toEqual(['far-end']);
  });
});

describe('words under the notes', () => {
  it('lyric events (FF 05) are counted for the one channel of their track; with several they are nobody’s', () => {
    const sung = track(trackName('Line'), meta(5, latin1('la')), note(60, 96), meta(5, latin1('lu')), note(62, 96));
    expect(read(midiFile(1, 96, sung)).file.tracks[0]?.lyrics).toHaveLength(2);
    const plain = track(trackName('Line'), note(60, 96));
    expect(read(midiFile(1, 96, plain)).file.tracks[0]?.lyrics).toBeUndefined();
  });
});
