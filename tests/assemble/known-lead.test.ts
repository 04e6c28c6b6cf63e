/** Who leads by name or by words, before a note is looked at (common practice, no source). */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

const BARS = 8;
/** The same tune in bars of four quarters, moved by semitones of the first letter only: all are alike, so that only the name tells. */
function tune(octave: number): string {
  return Array.from({ length: BARS }, (_, bar) =>
    ['C', 'D', 'E', 'G', 'F']
      .map((step, index) => `${step}${String(octave)}:${String(bar * 4 + index * 0.75)}:0.75`)
      .join(' '),
  ).join(' ');
}
/** As lively as the tune, in other rhythm, a little higher. */
function rival(octave: number): string {
  return Array.from({ length: BARS }, (_, bar) =>
    ['A', 'G', 'B', 'A', 'E']
      .map((step, index) => `${step}${String(octave)}:${String(bar * 4 + 0.25 + index * 0.75)}:0.75`)
      .join(' '),
  ).join(' ');
}

interface Track {
  readonly name: string;
  readonly music: string;
  readonly lyrics?: number;
}

/** Leaders of the spans, each with those who share its lead throughout. */
function sharedLeaders(tracks: readonly Track[]): readonly (readonly string[])[] {
  const { stages } = assemble(rawFolder([rawStage('01 sketch', { tracks })]), { folderName: 'a folder' });
  const { foreground, parts } = stages[0]!;
  return foreground.map(({ partId, from, to, shared }) =>
    [partId, ...shared.filter((own) => own.from === from && own.to === to).map((own) => own.partId)].map(
      (own) => parts.find(({ id }) => id === own)!.name,
    ),
  );
}

function leaders(tracks: readonly Track[]): readonly string[] {
  return sharedLeaders(tracks).map(([leader = '']) => leader);
}

describe('who leads by name', () => {
  it('the soloist so named, the lead, never the ostinato', () => {
    expect(
      leaders([
        { name: 'Flute', music: rival(5) },
        { name: 'Oboe solo', music: tune(4) },
      ]),
    ).toEqual(['Oboe solo']);
    expect(
      leaders([
        { name: 'Synth', music: rival(5) },
        { name: 'Synth Lead', music: tune(4) },
      ]),
    ).toEqual(['Synth Lead']);
    expect(
      leaders([
        { name: 'Violins Ost', music: rival(5) },
        { name: 'Clarinet', music: tune(4) },
      ]),
    ).toEqual(['Clarinet']);
  });

  it('the first trumpet under a descant, whatever instrument has the word by nature', () => {
    const over = (name: string) => [
      { name: 'Trp 1', music: tune(4) },
      { name, music: rival(5) },
    ];
    expect(leaders(over('Trp 3'))).toEqual(['Trp 3']);
    expect(leaders(over('Diskant Trp 3'))).toEqual(['Trp 1']);
    expect(leaders(over('Trumpet 3 (descant)'))).toEqual(['Trp 1']);
    expect(leaders(over('Descant Recorder'))).toEqual(['Descant Recorder']);
  });

  it('the singer before the instruments, also under them', () => {
    expect(
      leaders([
        { name: 'Guitar', music: rival(5) },
        { name: 'Baritone voice', music: tune(3) },
      ]),
    ).toEqual(['Baritone voice']);
  });

  it('a track with words to its notes, whatever it is called', () => {
    const plain = [
      { name: 'Flute', music: rival(5) },
      { name: 'Clarinet', music: tune(3) },
    ];
    expect(leaders(plain)).toEqual(['Flute']);
    expect(leaders([plain[0]!, { ...plain[1]!, lyrics: 30 }])).toEqual(['Clarinet']);
  });

  it('a rank in a brass band is no soloist: the solo horns accompany the euphonium', () => {
    const band = [
      { name: 'Solo Cornet', music: 'E5:0:4 D5:4:4 E5:8:4 D5:12:4 E5:16:4 D5:20:4 E5:24:4 C5:28:4' },
      { name: '2nd Cornet', music: 'C5:0:4 B4:4:4 C5:8:4 B4:12:4 C5:16:4 B4:20:4 C5:24:4 G4:28:4' },
      { name: 'Solo Horn', music: 'G4:0:4 G4:4:4 G4:8:4 G4:12:4 G4:16:4 G4:20:4 G4:24:4 E4:28:4' },
      { name: '1st Baritone', music: 'C4:0:4 D4:4:4 C4:8:4 D4:12:4 C4:16:4 D4:20:4 C4:24:4 C4:28:4' },
      { name: 'Euphonium', music: tune(3) },
      { name: 'Eb Bass', music: 'C2:0:4 G1:4:4 C2:8:4 G1:12:4 C2:16:4 G1:20:4 C2:24:4 C2:28:4' },
    ];
    expect(leaders(band)).toEqual(['Euphonium']);
  });
});

describe('a choir in unison', () => {
  const choir = [
    ['Soprano', 4],
    ['Alto', 4],
    ['Tenor', 3],
    ['Bass', 3],
  ] as const;

  it('leads as one, men an octave lower, whatever the organ has above it', () => {
    const singers = choir.map(([name, octave]) => ({ name, music: tune(octave) }));
    const spans = sharedLeaders([...singers, { name: 'Organ', music: rival(5) }]);
    expect(spans.map((span) => [...span].sort())).toEqual([['Alto', 'Bass', 'Soprano', 'Tenor']]);
  });

  it('leads in one track as well', () => {
    expect(
      leaders([
        { name: 'Choir unison', music: tune(4) },
        { name: 'Organ', music: rival(5) },
      ]),
    ).toEqual(['Choir unison']);
  });

  // Two voices in quarters under livelier players; alike but for what is said of the track.
  const twoVoices = Array.from({ length: BARS * 4 }, (_, beat) => {
    const steps = ['C', 'D', 'E', 'D', 'F', 'E'];
    return `${steps[beat % 6] ?? ''}4:${String(beat)}:1 ${steps[(beat + 2) % 6] ?? ''}3:${String(beat)}:1`;
  }).join(' ');
  const players = [
    { name: 'Recorder', music: rival(5) },
    { name: 'Glockenspiel', music: rival(6) },
    { name: 'Piano', music: rival(3) },
  ];

  it('leads in two voices of one track before players, as a singer does', () => {
    expect(leaders([...players, { name: 'Kinderchor', music: twoVoices }])).toEqual(['Kinderchor']);
  });

  it('stands behind where it backs, where another is the soloist or has the words, and where it holds chords', () => {
    const [recorder, , piano] = players;
    const chords = Array.from({ length: BARS }, (_, bar) =>
      ['C4', 'E4', 'G4'].map((pitch) => `${pitch}:${String(4 * bar)}:4`).join(' '),
    ).join(' ');
    expect(leaders([...players, { name: 'Backing Choir', music: twoVoices }])).not.toContain('Backing Choir');
    expect(leaders([...players, { name: 'Choir', music: chords }])).not.toContain('Choir');
    expect(leaders([piano!, { ...recorder!, name: 'Flute solo' }, { name: 'Choir', music: twoVoices }])).toEqual([
      'Flute solo',
    ]);
    expect(leaders([piano!, { name: 'Voice', music: tune(4) }, { name: 'Choir', music: twoVoices }])).toEqual([
      'Voice',
    ]);
  });
});
