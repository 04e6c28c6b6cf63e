/** Who leads where the sketch was for one player: it, as long as it has its tune, and then whoever was given it (common practice, no source). */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

type Track = Parameters<typeof rawStage>[1]['tracks'][number];

const PHRASES = [
  'C5 E5 G5 E5',
  'A5 G5 F5 E5',
  'D5 F5 E5 D5',
  'G4 B4 D5 B4',
  'C5 D5 E5 G5',
  'F5 E5 D5 C5',
  'B4 C5 D5 F5',
  'E5 D5 C5 C5',
];
const ROOTS = ['C3', 'F3', 'D3', 'G3', 'C3', 'F3', 'G3', 'C3'];

/** Four quarters a bar; `up` in octaves, `later` in bars. */
const tune = (from = 1, to = 8, up = 0, later = 0): string =>
  PHRASES.flatMap((bar, index) =>
    index + 1 < from || index + 1 > to
      ? []
      : bar.split(' ').map((pitch, beat) => {
          const octave = Number(pitch.slice(1)) + up;
          return `${pitch.slice(0, 1)}${String(octave)}:${String(4 * (index + later) + beat)}:0.95`;
        }),
  ).join(' ');
const chords = (later = 0): string =>
  ROOTS.map((root, index) => {
    const start = 4 * (index + later);
    return [
      `${root}:${String(start)}:0.9`,
      ...[1, 2, 3].map((beat) => `G4:${String(start + beat)}:0.4 E4:${String(start + beat)}:0.4`),
    ].join(' ');
  }).join(' ');

/** Leaders of the last stage, with their bars. */
function leads(...stages: readonly (readonly Track[])[]): readonly string[] {
  const raw = stages.map((tracks, index) => rawStage(`0${String(index + 1)} stage`, { tracks }));
  const last = assemble(rawFolder(raw), { folderName: 'a folder' }).stages.at(-1)!;
  const name = (id: string): string => last.parts.find((part) => part.id === id)!.name;
  return last.foreground.map(({ partId, from, to }) => `${name(partId)} ${String(from)}-${String(to)}`);
}

const piano = { name: 'Piano', music: `${tune()} ${chords()}` };

describe('a piano that had everything', () => {
  it('leads no more where a violin has its tune and it keeps the chords', () => {
    expect(
      leads(
        [piano],
        [
          { name: 'Violin', music: tune() },
          { name: 'Piano', music: chords() },
        ],
      ),
    ).toEqual(['Violin 1-8']);
  });

  it('leads on beside players who double its tune', () => {
    expect(leads([piano], [{ name: 'Violin', music: tune(5, 8) }, piano])).toEqual(['Piano 1-8']);
  });

  it('gives it to two in turn, an octave lower, behind two bars put in', () => {
    const stage = [
      { name: 'Violin', music: tune(1, 4, 0, 2) },
      { name: 'Cello', music: tune(5, 8, -1, 2) },
      { name: 'Piano', music: `C3:0:4 G3:4:4 ${chords(2)}` },
    ];
    expect(leads([piano], stage).slice(-2)).toEqual(['Violin 3-6', 'Cello 7-10']);
  });

  it('gave it at an earlier stage: from there it is followed, also in another key', () => {
    const lower = (text: string): string =>
      text.replaceAll(
        /([A-G])(\d)/g,
        (_, step: string, octave: string) =>
          `${step === 'C' ? 'B' : step === 'F' ? 'E' : `${step}b`}${String(Number(octave) - (step === 'C' ? 1 : 0))}`,
      );
    const second = [
      { name: 'Violin', music: tune() },
      { name: 'Piano', music: chords() },
    ];
    const third = [
      { name: 'Violin', music: lower(tune(1, 4)) },
      { name: 'Flute', music: lower(tune(5, 8)) },
      { name: 'Piano', music: lower(chords()) },
    ];
    expect(leads([piano], second, third)).toEqual(['Violin 1-4', 'Flute 5-8']);
  });
});

describe('an oboe that was alone', () => {
  const oboe = { name: 'Oboe', music: tune() };
  const strings = { name: 'Strings', music: chords() };

  it('leads on where its bars were written anew, and rests where a horn has its tune', () => {
    const anew = `${tune(1, 2)} A5:8:2 C6:10:2 B5:12:2 D6:14:2 ${tune(7, 8)}`;
    const stage = [{ name: 'Oboe', music: anew }, { name: 'Horn', music: tune(5, 6, -1) }, strings];
    expect(leads([oboe], stage)).toEqual(['Oboe 1-4', 'Horn 5-6', 'Oboe 7-8']);
  });
});
