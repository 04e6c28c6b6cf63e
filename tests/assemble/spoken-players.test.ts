import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { rangeLimitsOf } from '../../src/analyse/parts/ranges.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { RawMemo } from '../../src/read/raw.ts';
import { rawFolder, rawStage } from './raw-folder.ts';
import type { FileText } from './raw-folder.ts';

const music = 'C4:0:4 D4:4:4 E4:8:4 C4:12:4';
const track = (name: string, program = 48, channel = 0): FileText['tracks'][number] => ({
  name,
  music,
  program,
  channel,
});

function partsOf(tracks: FileText['tracks'], text: string): readonly Part[] {
  const memo: RawMemo = { file: 'talk.md', line: 1, heading: '', markdown: text, parts: [], kind: 'remark' };
  const made = assemble(rawFolder([rawStage('01 sketch', { tracks })], {}, { memos: [memo] }), {
    folderName: 'a folder',
  });
  return made.stages[0]!.parts;
}

function counted(tracks: FileText['tracks'], text: string): Record<string, number> {
  const told = partsOf(tracks, text).filter(({ playersBy }) => playersBy === 'note');
  return Object.fromEntries(told.map(({ name, players }) => [name, players]));
}

const STRINGS = ['Vlns 1', 'Vlns 2', 'Vlas', 'Celli', 'Kb'].map((name) => track(name));

describe('the firsts and the seconds of a row of strings are its violins', () => {
  const all = { 'Vlns 1': 6, 'Vlns 2': 5, Vlas: 4, Celli: 4, Kb: 2 };
  it.each([
    'The small band: six firsts, five seconds, four violas, four celli and two basses.',
    'Streicher: sechs erste, fünf zweite, vier Bratschen, vier Celli und zwei Kontrabässe.',
    'Cordes: six premiers, cinq seconds, quatre altos, quatre violoncelles et deux contrebasses.',
    'Archi: sei primi, cinque secondi, quattro viole, quattro violoncelli e due contrabbassi.',
    'Cuerdas: seis primeros, cinco segundos, cuatro violas, cuatro violonchelos y dos contrabajos.',
  ])('“%s”', (text) => {
    expect(counted(STRINGS, text)).toEqual(all);
  });

  it.each(['The first entry waits 3 seconds.', 'Two firsts for us at the contest.', 'Im ersten Takt sechs erste.'])(
    'nobody by “%s”',
    (text) => {
      expect(counted(STRINGS, text)).toEqual({});
    },
  );
});

describe('counts of players that share one noun', () => {
  it.each([
    'Wir haben 6 erste und 5 zweite Geigen, 4 Bratschen, 4 Celli und 2 Kontrabässe.',
    'In der Premiere spielen 6 erste und 5 zweite Geigen.',
    'Six first and five second violins.',
    'There are 6 first and 5 second violins, no more.',
    'Six premiers et cinq seconds violons.',
    '6 premiers et 5 deuxièmes violons',
    'Sei primi e cinque secondi violini.',
    'Sei violini primi e cinque secondi.',
    'Somos seis primeros y cinco segundos violines.',
    'Seis violines primeros y cinco segundos.',
    '6 primeiros e 5 segundos violinos',
  ])('“%s”', (text) => {
    expect(counted(STRINGS, text)).toMatchObject({ 'Vlns 1': 6, 'Vlns 2': 5 });
  });

  it('so of horns; of bars and beats they say nobody', () => {
    const horns = [track('Horns 1', 60), track('Horns 2', 60)];
    expect(counted(horns, 'Two first and three second horns.')).toEqual({ 'Horns 1': 2, 'Horns 2': 3 });
    expect(counted(STRINGS, 'The violins rest in 2 first and 3 second bars.')).toEqual({});
    expect(counted(STRINGS, '6 erste und 5 zweite Takte.')).toEqual({});
  });
});

describe('who plays is said in passing', () => {
  const BAND = [
    track('Fl. trav.', 73),
    track('Palmas', 0, 9),
    track('Cajón', 0, 9),
    track('Gtr 1', 24),
    track('Segunda guitarra', 24),
    track('Bajo', 33),
    track('Voz guía', 53),
  ];
  it.each([
    ['Un guitarrista en cada guitarra, claro.', { 'Gtr 1': 1, 'Segunda guitarra': 1 }],
    ['One guitarist on each guitar.', { 'Gtr 1': 1, 'Segunda guitarra': 1 }],
    ['Ein Gitarrist an jeder Gitarre.', { 'Gtr 1': 1, 'Segunda guitarra': 1 }],
    ['Un guitariste à chaque guitare.', { 'Gtr 1': 1, 'Segunda guitarra': 1 }],
    ['La cantará un cantaor.', { 'Voz guía': 1 }],
    ['Gesungen von zwei Sängerinnen.', { 'Voz guía': 2 }],
    ['Palmas: tres personas.', { Palmas: 3 }],
    [
      'Nuevo: flauta travesera (una), bajo de cuatro cuerdas (uno) y cajón (uno).',
      { 'Fl. trav.': 1, Bajo: 1, Cajón: 1 },
    ],
    ['Flöte (eine), Gitarren (zwei).', { 'Fl. trav.': 1, 'Gtr 1': 1, 'Segunda guitarra': 1 }],
    ['Guitars (2), flute (one player)', { 'Fl. trav.': 1, 'Gtr 1': 1, 'Segunda guitarra': 1 }],
  ])('“%s”', (text, players) => {
    expect(counted(BAND, text)).toEqual(players);
  });

  it.each([
    'Flute (2) enters late.',
    'No hay un cantaor todavía.',
    'Vielleicht ein Sänger.',
    'Kein Gitarrist an jeder Gitarre.',
    'Guitarra (compás 2).',
    'Palmas: dos compases.',
  ])('nobody by “%s”', (text) => {
    expect(counted(BAND, text)).toEqual({});
  });

  it('one of what is a solo by its name is one player, and told', () => {
    const cue = [track('Whistle solo', 78), track('Hrp', 46), track('Perc', 0, 9)];
    expect(counted(cue, 'One whistle (a D whistle), one harp.')).toEqual({
      'Whistle solo': 1,
      Hrp: 1,
    });
  });
});

describe('a track named after a group is the players that a note says it is', () => {
  const low = [track('Whistle', 78), track('Low Brass', 57), track('Celli', 42)];
  const found = (text: string): Part | undefined => partsOf(low, text).find(({ name }) => name === 'Low Brass');

  it.each([
    'One horn only, the low brass is two trombones and a tuba on one track.',
    'Low Brass: two trombones, one tuba.',
    'Low Brass sind zwei Posaunen und eine Tuba.',
  ])('“%s”', (text) => {
    expect(found(text)).toMatchObject({
      instrument: 'trombone-tenor',
      recognisedBy: 'note',
      family: 'brass',
      players: 3,
      playersBy: 'note',
    });
    // The pedal notes of the tuba are in its reach, and the high ones of the trombone: handbook figures of the catalogue.
    const { absolute, practical } = rangeLimitsOf(found(text)!);
    expect(absolute!.low).toBeLessThan(30);
    expect(practical).toEqual({ low: 29, high: 70 });
  });

  it.each(['The low brass is too loud.', 'Is the low brass two trombones and a tuba?', 'Low Brass is new.'])(
    'not by “%s”',
    (text) => {
      expect(found(text)).toMatchObject({ instrument: 'unknown', playersBy: 'default' });
    },
  );
});

describe('who plays stands before what they play on, behind a name', () => {
  const TIMPANI = [track('Pauken', 47), track('Orgel', 19)];
  it.each([
    'Neu sind Pauken (ein Spieler, vier Kessel) und die Orgel, die auch wegbleiben kann.',
    'Neu: Pauken (ein Spieler).',
    'New: timpani (one player, four drums).',
    'Nouveau : timbales (un musicien, quatre timbales).',
  ])('“%s”', (text) => {
    expect(counted(TIMPANI, text)).toEqual({ Pauken: 1 });
  });

  it.each(['Neu sind Pauken (vier Kessel).', 'Neu sind Pauken (2, 3).', 'Pauken (ein Takt, vier Schläge).'])(
    'nobody by “%s”',
    (text) => {
      expect(counted(TIMPANI, text)).toEqual({});
    },
  );
});

describe('the people who play are counted', () => {
  const SKA = [
    track('Lead vox', 54),
    track('Gtr skank', 27),
    track('Bass DI', 33),
    track('Kit', 0, 9),
    track('Tpt', 56),
    track('Bone', 57),
  ];
  const others = { 'Lead vox': 1, 'Bass DI': 1, Kit: 1, Tpt: 1, Bone: 1 };

  // As people write in six languages; sentences of our own.
  it.each([
    'Two guitarists play the same skank, everyone else is on their own.',
    'Zwei Gitarristen, sonst alle allein.',
    'Due chitarristi, tutti gli altri sono soli.',
    'Dois guitarristas, os demais tocam sozinhos.',
  ])('two at the guitar and one at everything else: “%s”', (text) => {
    expect(counted(SKA, text)).toEqual({ ...others, 'Gtr skank': 2 });
  });

  it.each([
    'Trombone joined! One player. New takes of vox.',
    'Die Posaune ist neu. Ein Spieler.',
    'Bone. Un seul musicien.',
  ])('a count alone is of the part that the sentence before it names: “%s”', (text) => {
    expect(counted(SKA, text)).toEqual({ Bone: 1 });
  });

  it.each([
    'Nous sommes trois aux premiers violons, deux aux seconds ; le clavecin.',
    'We have three on first violin and two on second violin.',
    'Wir sind drei an der ersten Geige und zwei an der zweiten.',
    'Tres en los primeros violines y dos en los segundos.',
    'Siamo tre ai primi violini, due ai secondi.',
    'Somos três nos primeiros violinos e dois no segundo violino.',
    'There are three of us on first violin, two on second violin.',
  ])('so many at a part: “%s”', (text) => {
    expect(counted(STRINGS, text)).toEqual({ 'Vlns 1': 3, 'Vlns 2': 2 });
  });

  it.each([
    'The trumpet comes in on 2 in the chorus.',
    'Bars 3 and 4 on the trumpet are new.',
    '2 trumpet fills in the chorus, one on the guitar.',
    'Two guitarists would be nice.',
    'This is not for two guitarists.',
    'Two bars before the guitar.',
    'Trumpet? One player.',
  ])('nobody by “%s”', (text) => {
    expect(counted(SKA, text)).toEqual({});
  });

  it('people of a later stage are not there yet', () => {
    const memo: RawMemo = {
      file: 'a.md',
      line: 1,
      heading: '',
      markdown: 'Two guitarists now.',
      stage: { content: '02 band', line: 1, column: 1 },
      parts: [],
      kind: 'remark',
    };
    const stages = ['01 sketch', '02 band'].map((name) => rawStage(name, { tracks: SKA }));
    const made = assemble(rawFolder(stages, {}, { memos: [memo] }), { folderName: 'a folder' });
    const guitars = made.stages.map(({ parts }) => parts.find(({ instrument }) => instrument === 'guitar')?.players);
    expect(guitars).toEqual([1, 2]);
  });

  it('the number of a heading is that of a stage: 01 vox + gtr demo', () => {
    const memo: RawMemo = {
      file: 'a.md',
      line: 1,
      heading: '01 vox + gtr',
      markdown: 'Soft.',
      parts: [],
      kind: 'remark',
    };
    const made = assemble(rawFolder([rawStage('01 sketch', { tracks: SKA })], {}, { memos: [memo] }), {
      folderName: 'a folder',
    });
    expect(made.stages[0]!.parts.some(({ playersBy }) => playersBy === 'note')).toBe(false);
  });
});
