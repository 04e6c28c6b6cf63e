import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement, Part } from '../../src/model/music/arrangement.ts';
import type { RawMemo } from '../../src/read/raw.ts';
import type { Settings } from '../../src/read/settings/settings.ts';
import { rawFolder, rawStage } from './raw-folder.ts';
import type { FileText } from './raw-folder.ts';

const music = 'C4:0:4 D4:4:4 E4:8:4 C4:12:4';

function memo(markdown: string, stage?: string): RawMemo {
  return {
    file: 'talk.md',
    line: 1,
    heading: '',
    markdown,
    ...(stage === undefined ? {} : { stage: { content: stage, line: 1, column: 1 } }),
    parts: [],
    kind: 'remark',
  };
}

function told(tracks: FileText['tracks'], notes: readonly (string | RawMemo)[], content: Settings = {}): Arrangement {
  const memos = notes.map((note) => (typeof note === 'string' ? memo(note) : note));
  const stages = ['01 sketch', '02 more'].map((name) => rawStage(name, { tracks }));
  return assemble(rawFolder(stages, content, { memos }), { folderName: 'a folder' });
}

const parts = (arrangement: Arrangement, stage = 1): readonly Part[] => arrangement.stages[stage]!.parts;
const track = (name: string, program = 48): FileText['tracks'][number] => ({ name, music, program });

describe('a track that is called like a person', () => {
  it.each([
    ['Aoife', 54, 'Aoife sings both verses and choruses, then looks mysterious.'],
    ['Lucía', 0, 'Compases 5-12: aquí canta Lucía.'],
    ['Reto', 53, 'Reto singt erst ab Takt 9.'],
  ])('%s on program %s is one singer by “%s”, and keeps the name', (name, program, note) => {
    const [singer] = parts(told([track(name, program), track('Vln 1')], [note])).filter((part) => part.name === name);
    expect([singer?.instrument, singer?.players]).toEqual(['voice', 1]);
  });

  it('is one singer where a choir’s program has one line under the name, and asked about; chords are a choir', () => {
    const made = told([track('Aoife', 54), { ...track('Rowan', 52), music: 'C4:0:4 E4:0:4 D4:4:4 F4:4:4' }], []);
    expect(parts(made).map(({ name, instrument }) => [name, instrument])).toEqual([
      ['Aoife', 'voice'],
      ['Rowan', 'choir'],
    ]);
    expect(made.stages[1]!.questions.filter(({ code }) => code === 'instrument-guessed')).toHaveLength(2);
  });

  it.each([
    ['Klara', 60, 'Klara sings out over the strings.'],
    ['Melody', 54, 'Melody sings over the strings.'],
    ['Aoife', 40, 'Does Aoife sing here?'],
  ])('%s on program %s is none by “%s”', (name, program, note) => {
    const made = parts(told([track(name, program), track('Vln 1')], [note])).find((part) => part.name === name);
    expect(made?.instrument).not.toBe('voice');
  });
});

describe('which instrument a track is, told by a note', () => {
  it.each([
    ['Track 8', 'Very soft. Track 8 are the second violins, I forgot to rename it.', 'violin', 'Second violins'],
    ['Spur 9', 'Spur 9 sind die Pauken (D und A, dann Es und B).', 'timpani', 'Pauken'],
    ['Piste 3', '- Piste 3 est le hautbois\n- plus doux', 'oboe', 'Hautbois'],
    ['Track 2', 'The rest is fine.\n\nTrack 2 = Viola', 'viola', 'Viola'],
    ['Instrument 4', 'Instrument 4 ist das Altxylophon, der Rechner wollte nicht.', 'xylophone-alto', 'Altxylophon'],
    // German adjectives are declined by whether an article stands before them (common knowledge of the language, no source).
    ['Spur 7', 'Spur 7 ist das zweite Horn.', 'horn-f', 'Zweites Horn'],
    ['Spur 8', 'Spur 8 ist der erste Kontrabass.', 'double-bass', 'Erster Kontrabass'],
    ['Spur 6', 'Spur 6 sind die zweiten Geigen.', 'violin', 'Zweite Geigen'],
    ['Spur 5', 'Spur 5 ist die zweite Oboe.', 'oboe', 'Zweite Oboe'],
    ['Track #8', 'Track #8 is the cello.', 'cello', 'Cello'],
    ['Spår 3', 'Spår 3 är viola.', 'viola', 'Viola'],
    ['Pista 4', 'Pista 4 es la trompa, más suave.', 'horn-f', 'Trompa'],
    [
      'Instrument 8',
      'Il est arrivé : la piste « Instrument 8 » est le théorbe. Il joue la basse.',
      'theorbo',
      'Théorbe',
    ],
    ['Instrument 8', 'Instrument 8 (théorbe) un peu moins fort.', 'theorbo', 'Théorbe'],
    ['Inst 5', 'Inst 5 is really the organ.', 'organ', 'Organ'],
    ['Inst 5', 'Die Harfe liegt auf „Inst 5“.', 'harp', 'Harfe'],
    ['Piste 6', 'La piste 6, c’est la harpe.', 'harp', 'Harpe'],
    ['Traccia 4', 'Il fagotto è sulla traccia 4.', 'bassoon', 'Fagotto'],
    ['Faixa 3', 'Faixa 3: violoncelo.', 'cello', 'Violoncelo'],
    ['Spur 5', 'Spur 4 ist die Harfe, Spur 5 die Celesta.', 'celesta', 'Celesta'],
    ['Track 5', 'Track 4 is the harp and track 5 is the celesta.', 'celesta', 'Celesta'],
  ])('%s in “%s” is a %s', (name, text, instrument, shown) => {
    const arrangement = told([track('Flute', 73), track(name)], [text]);
    expect(parts(arrangement).find((own) => own.name === shown)).toMatchObject({ instrument, recognisedBy: 'note' });
    expect(arrangement.stages[1]!.questions.map(({ text: asked }) => asked).join()).not.toContain(name);
    expect(arrangement.assumptions.join()).toMatch(new RegExp(`${name}.*your note “talk.md” says “[^,]*${name}`, 'i'));
  });

  it.each([
    ['Instrument 8', 'Piste n° 8 = théorbe.'],
    ['Instrument 8', 'Track 8 is the theorbo.'],
    ['', 'La tiorba está en la pista 2.'],
    ['', 'Spur 2: Theorbe'],
  ])('a track that nobody named (“%s”) is told by its number: “%s”', (name, text) => {
    const made = told([track('Flute', 73), track(name, 24)], [text]);
    expect(parts(made)[1]).toMatchObject({ instrument: 'theorbo', recognisedBy: 'note' });
    expect(made.assumptions.join()).not.toContain('“”');
  });

  it('a number that two tracks have by different words tells neither', () => {
    const made = told([track('Instrument 8', 24), track('Track 8', 73)], ['Piste 8 est le théorbe.']);
    expect(parts(made).map(({ instrument }) => instrument)).not.toContain('theorbo');
  });

  it('the second violins have the number that the note gives, none of the track', () => {
    const made = told([track('Vln 1'), track('Track 8')], ['Track 8 are the second violins.']);
    expect(parts(made).map(({ number }) => number)).toEqual([1, 2]);
    // Both are sections, of whatever size.
    expect(parts(made).every(({ players }) => players > 1)).toBe(true);
  });

  it.each([
    'Track 8 is the cello?',
    'Track 8 is probably the cello.',
    'Track 8 is the cello an octave up.',
    'Track 8 is the cello and the bass.',
    'Track 8 is the cello. No: Track 8 is the viola.',
  ])('what is doubtful is asked with its words: %s', (text) => {
    const made = told([track('Flute', 73), track('Track 8')], [text]);
    expect(parts(made)[1]!.recognisedBy).toBe('program');
    expect(made.stages[1]!.questions.map(({ text: asked }) => asked).join()).toContain('The note “talk.md” says “');
  });

  it.each([
    'Track 8 is new and too loud.',
    'Track 8 is piano.',
    'Track 80 is the cello.',
    'The cello is like Track 8.',
    'Move the cello to track 8.',
    'Is the cello on Track 8?',
    'Track 8 (bars 9-12) is empty.',
    'Louder than the cello in bars 9 to 12, track 8.',
    'Channel 8 is the cello.',
  ])('nothing is taken from “%s”', (text) => {
    const made = told([track('Flute', 73), track('Track 8')], [text]);
    expect(parts(made)[1]!.recognisedBy).toBe('program');
  });

  it('a name that says what it is, and the settings, come before a note', () => {
    const named = told([track('Flute', 73), track('Viola')], ['Viola is the cello.']);
    expect(parts(named)[1]!.instrument).toBe('viola');
    const set = told([track('Flute', 73), track('Track 8')], ['Track 8 is the cello.'], {
      parts: { 'Track 8': { instrument: 'viola' } },
    });
    expect(parts(set)[1]).toMatchObject({ instrument: 'viola', recognisedBy: 'settings' });
  });

  it('a note about a stage says nothing of an earlier one', () => {
    const made = told([track('Flute', 73), track('Track 8')], [memo('Track 8 is the cello.', '02 more')]);
    expect(parts(made, 0)[1]!.recognisedBy).toBe('program');
    expect(parts(made, 1)[1]).toMatchObject({ instrument: 'cello', recognisedBy: 'note' });
  });
});

describe('how many strings an instrument has, told by a note', () => {
  const stringsOf = (text: string): unknown[] =>
    parts(told([track('Flute', 73), track('Guitarra', 24), track('Bajo', 33)], [text])).map(({ strings }) => strings);

  it.each([
    ['Nuevo: flauta travesera (una), bajo de cuatro cuerdas (uno) y cajón (uno).', [undefined, undefined, 4]],
    ['We have a five-string bass now.', [undefined, undefined, 5]],
    ['Die siebensaitige Gitarre ist neu.', [undefined, 7, undefined]],
    ['The bass goes down to the four strings of the quartet.', [undefined, undefined, undefined]],
    ['A five-string bass? Or four?', [undefined, undefined, undefined]],
  ])('“%s”', (text, strings) => {
    expect(stringsOf(text)).toEqual(strings);
  });
});

describe('how many play a part, told by a note', () => {
  const players = (arrangement: Arrangement): Record<string, number> =>
    Object.fromEntries(
      parts(arrangement)
        .filter(({ playersBy }) => playersBy === 'note')
        .map((own) => [own.name, own.players]),
    );
  const STRINGS = ['Vln 1', 'Vln 2', 'Vla', 'Celli'].map((name) => track(name));
  const SCHOOL = [
    track('Kinderchor', 52),
    track('S-Blfl', 74),
    track('A-Blfl', 74),
    track('Glsp.', 9),
    track('Vc', 42),
  ];

  it('four numbers behind the strings are of violins, violas and cellos, in the order of the score', () => {
    const made = told(STRINGS, ['Strings are 4-3-2-2, that is what the club pays for.']);
    expect(players(made)).toEqual({ 'Vln 1': 4, 'Vln 2': 3, Vla: 2, Celli: 2 });
    expect(made.assumptions.join()).toContain('your note “talk.md” says “Strings are 4-3-2-2');
  });

  it('children of a choir, recorders to a part and two at a glockenspiel are counted', () => {
    const text = 'Es sind etwa 25 im Chor, 4 Blockfloeten je Stimme.\n\n- alles leise, Glockenspiel zu zweit';
    const counted = { Kinderchor: 25, 'S-Blfl': 4, 'A-Blfl': 4, 'Glsp.': 2 };
    expect(players(told(SCHOOL, [text]))).toEqual(counted);
  });

  it.each([
    'Strings rest in 24-25, 30.',
    'Strings 4-3-2-2?',
    'Ab Takt 25 im Chor mehr.',
    'The cellos have 2 bars.',
    'Strings were 8-6-4-3.\n\nStrings are 4-3-2-2.',
    'From 13 in the choir.',
  ])('no number of players is taken from “%s”', (text) => {
    expect(players(told([...STRINGS, ...SCHOOL.slice(0, 1)], [text]))).toEqual({});
  });

  const SATB = ['Sop solo', 'S', 'A', 'T', 'B'].map((name) => track(name, 52));
  const BAND = [track('Oboe', 68), track('Violins', 40), track('Celli', 42), track('Harp', 46)];

  it.each([
    ['Choir is 4-4-4-5.', { S: 4, A: 4, T: 4, B: 5 }],
    ['A choir of 24 singers.', { S: 6, A: 6, T: 6, B: 6 }],
    [
      'Choir is 4-4-4-4.\n\n4 violins and 2 cellos, one oboe, harp.',
      { S: 4, A: 4, T: 4, B: 4, Oboe: 1, Violins: 4, Celli: 2 },
    ],
    ['We have only six violins.', { Violins: 6 }],
    ['Besetzung: drei Geigen, zwei Celli', { Violins: 3, Celli: 2 }],
    ['Strings: violins 5, cellos 3.', { Violins: 5, Celli: 3 }],
    [
      'One player on each part; the harp is amplified.',
      { 'Sop solo': 1, S: 1, A: 1, T: 1, B: 1, Oboe: 1, Violins: 1, Celli: 1, Harp: 1 },
    ],
    ['Streicher solistisch besetzt.', { Violins: 1, Celli: 1 }],
    [
      'Violines somos dos, al unísono; todo lo demás uno por parte.',
      { 'Sop solo': 1, S: 1, A: 1, T: 1, B: 1, Oboe: 1, Violins: 2, Celli: 1, Harp: 1 },
    ],
    ['The violins are four.', { Violins: 4 }],
    [
      'Der Alt ist doppelt besetzt, sonst singt jede Stimme einer allein.',
      { 'Sop solo': 1, S: 1, A: 2, T: 1, B: 1, Oboe: 1, Violins: 1, Celli: 1, Harp: 1 },
    ],
    ['The strings are few, one to a part.', { Violins: 1, Celli: 1 }],
    [
      'Wir sind ein Salonorchester, von jedem Instrument sitzt genau einer da.',
      { 'Sop solo': 1, S: 1, A: 1, T: 1, B: 1, Oboe: 1, Violins: 1, Celli: 1, Harp: 1 },
    ],
    ['Deux cordes, une de chaque.', { Violins: 1, Celli: 1 }],
    [
      'Una persona por voz, no hay suplentes.',
      { 'Sop solo': 1, S: 1, A: 1, T: 1, B: 1, Oboe: 1, Violins: 1, Celli: 1, Harp: 1 },
    ],
  ])('“%s” says how many play', (text, counted) => {
    expect(players(told([...SATB, ...BAND], [text]))).toEqual(counted);
  });

  it.each([
    'The 4 violins in bar 8 are late.',
    'From 4 violins enter.',
    'In 13 and 2 cellos rest.',
    'Bars 9 and 16 violins double.',
    'One player on each part except the strings.',
    'Two girls for the backing vocals, one on each line.',
    'Bars 5-12, violins 4 bars late.',
    'Cellos 2 bars early.',
    'The violins are two bars late.',
    'Choir in 13-14-15-16 softer.',
    'The choir enters with 24, softly.',
  ])('nobody is counted by “%s”', (text) => {
    expect(players(told([...SATB, ...BAND], [text]))).toEqual({});
  });

  it('three horns of a band, one of each, are named behind it', () => {
    const band = [
      track('Lead (a.sax)', 65),
      track('Tpt', 56),
      track('Ten', 66),
      track('Bone', 57),
      track('Bass gtr', 33),
    ];
    expect(players(told(band, ['Three horns, one of each: trumpet, tenor, bone.']))).toEqual({
      Tpt: 1,
      Ten: 1,
      Bone: 1,
    });
  });

  it.each([
    [
      'The strings are 4 first violins, 3 seconds, 2 violas, 2 cellos and one bass.',
      { 'Vln 1': 4, 'Vln 2': 3, Vla: 2, Celli: 2, Kb: 1 },
    ],
    ['4 erste Violinen, 3 zweite, 2 Bratschen', { 'Vln 1': 4, 'Vln 2': 3, Vla: 2 }],
    ['Two horns, a bassoon, a harp, one player each.', { 'Hn 1': 1, 'Hn 2': 1, Bassoon: 1, Harp: 1 }],
    ['Horns: 2', { 'Hn 1': 1, 'Hn 2': 1 }],
    ['Violas: 4.', { Vla: 4 }],
    ['Bratschen, Celli: je einer.', { Vla: 1, Celli: 1 }],
  ])('“%s” says freely how many play', (text, counted) => {
    const rest = ['Kb', 'Hn 1', 'Hn 2', 'Bassoon', 'Harp'].map((name) => track(name));
    expect(players(told([...STRINGS, ...rest], [text]))).toEqual(counted);
  });

  it.each([
    'The violins wait 3 seconds.',
    'Rests, 3 seconds, 2 bars.',
    'A bassoon would be good here.',
    'Horn: 2',
    'Give the horns a bar each.',
    'Violins 4 bars, 3 seconds of rest.',
  ])('nobody is counted by “%s” either', (text) => {
    expect(players(told([...STRINGS, ...['Bassoon', 'Hn 1', 'Hn 2'].map((name) => track(name))], [text]))).toEqual({});
  });

  it('two kettledrums are one player’s', () => {
    const band = [track('Cors', 60), track('Timb.', 47)];
    expect(players(told(band, ['Les cors sont quatre, avec deux timbales (ré et la).']))).toEqual({ Cors: 4 });
  });

  it('four violins in two parts are two to a part, three are not shared out', () => {
    const two = [track('Vln 1', 40), track('Vln 2', 40), track('Celli', 42)];
    expect(players(told(two, ['4 violins and 2 cellos.']))).toEqual({ 'Vln 1': 2, 'Vln 2': 2, Celli: 2 });
    expect(players(told(two, ['3 violins and 2 cellos.']))).toEqual({ Celli: 2 });
  });

  it('the settings and the name of a track come before a note', () => {
    const set = told(STRINGS, ['Strings are 4-3-2-2.'], { parts: { Vla: { players: 5 } } });
    expect(parts(set).find(({ name }) => name === 'Vla')).toMatchObject({ players: 5, playersBy: 'settings' });
  });
});
