import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { instrumentById } from '../../src/model/music/catalogue.ts';
import { isDefaultName } from '../../src/assemble/names/name-words.ts';
import { readName } from '../../src/assemble/names/read-name.ts';
import { instrumentInKey } from '../../src/assemble/names/transposing-key.ts';
import { isPluralName } from '../../src/model/words/part-grammar.ts';
import { fullStop, oneStop } from '../../src/model/words/plain-words.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

/** The likeliest instrument by the name alone, its key taken into account. */
function instrumentOf(name: string): string {
  const reading = readName(name);
  const first = reading.candidates[0] ?? 'none';
  return reading.key === undefined ? first : instrumentInKey(first, reading.key);
}

// Names as scores and exports have them; which instrument each is, is common practice (dictionaries of the four languages agree).
const ENGLISH: Readonly<Record<string, string>> = {
  Piccolo: 'piccolo',
  'Picc.': 'piccolo',
  Flute: 'flute',
  'Flutes 1 & 2': 'flute',
  'Fl. 1': 'flute',
  'Alto Flute in G': 'alto-flute',
  'Bass Flute': 'bass-flute',
  'Oboe 2': 'oboe',
  'Ob. II': 'oboe',
  'English Horn': 'cor-anglais',
  'Eng. Hn.': 'cor-anglais',
  'Cor Anglais': 'cor-anglais',
  'Clarinet 1 in Bb': 'clarinet-bflat',
  'B♭ Clarinet 2': 'clarinet-bflat',
  'Clarinet in A': 'clarinet-a',
  'Cl. (A)': 'clarinet-a',
  'E♭ Clarinet': 'clarinet-eflat',
  'Bass Clarinet': 'bass-clarinet',
  'B. Cl.': 'bass-clarinet',
  'Bassoon I': 'bassoon',
  'Bsn 1+2': 'bassoon',
  Contrabassoon: 'contrabassoon',
  'Cbsn.': 'contrabassoon',
  'Contra Bsn': 'contrabassoon',
  'Alto Sax': 'sax-alto',
  'Tenor Saxophone 2': 'sax-tenor',
  'Bari Sax': 'sax-baritone',
  'Soprano Sax': 'sax-soprano',
  'Horn in F 1': 'horn-f',
  'Hn 1+2': 'horn-f',
  'French Horns a2': 'horn-f',
  'F Horn 3': 'horn-f',
  Hrn: 'horn-f',
  'Trumpet 1 in C': 'trumpet-c',
  'Tpt. 2': 'trumpet-bflat',
  'Bb Trumpet': 'trumpet-bflat',
  'Piccolo Trumpet': 'trumpet-piccolo',
  Cornet: 'cornet-bflat',
  Flugelhorn: 'flugelhorn',
  'Trombone 1': 'trombone-tenor',
  'Tbn. 1/2': 'trombone-tenor',
  'Bass Trombone': 'trombone-bass',
  'B. Tbn.': 'trombone-bass',
  Tuba: 'tuba',
  'Bass Tuba': 'tuba',
  Euphonium: 'euphonium',
  Timpani: 'timpani',
  'Timp.': 'timpani',
  'Snare Drum': 'percussion-unpitched',
  'Bass Drum': 'percussion-unpitched',
  'Sus. Cymbal': 'percussion-unpitched',
  'Tam-tam': 'percussion-unpitched',
  Glockenspiel: 'glockenspiel',
  Xylophone: 'xylophone',
  Vibes: 'vibraphone',
  Marimba: 'marimba',
  'Tubular Bells': 'tubular-bells',
  Crotales: 'crotales',
  Celesta: 'celesta',
  Harp: 'harp',
  'Hp. L': 'harp',
  'Piano RH': 'piano',
  Pno: 'piano',
  Harpsichord: 'harpsichord',
  'Church Organ': 'organ',
  Accordion: 'accordion',
  'Nylon Guitar': 'guitar',
  'Bass Guitar': 'bass-guitar',
  Soprano: 'voice-soprano',
  'Mezzo-soprano': 'voice-mezzo',
  'Choir SATB': 'choir',
  'Solo Violin': 'violin',
  'Violins I': 'violin',
  'Vln. 2 pizz': 'violin',
  '1st Violins legato': 'violin',
  'Second Violins (close mic)': 'violin',
  Vn1: 'violin',
  Violin_I_spicc: 'violin',
  'VlnII sus': 'violin',
  'Violas div.': 'viola',
  'Vla. trem.': 'viola',
  'Cellos con sord.': 'cello',
  'Vc. 1 desk 2': 'cello',
  'Double Bass': 'double-bass',
  'D.B. pizz.': 'double-bass',
  Contrabass: 'double-bass',
  'String Bass': 'double-bass',
  Strings: 'string-ensemble',
};
const GERMAN: Readonly<Record<string, string>> = {
  Piccoloflöte: 'piccolo',
  'Kl. Fl.': 'piccolo',
  Flöte: 'flute',
  'Floete 1': 'flute',
  'Flöten 1.2.': 'flute',
  Altflöte: 'alto-flute',
  'Oboe d’amore': 'oboe-damore',
  Oboen: 'oboe',
  Englischhorn: 'cor-anglais',
  'Engl. Horn': 'cor-anglais',
  'Klarinette in B': 'clarinet-bflat',
  'Klarinette in A 1': 'clarinet-a',
  'Es-Klarinette': 'clarinet-eflat',
  'Klar. in Es': 'clarinet-eflat',
  Klarinetten: 'clarinet-bflat',
  Bassklarinette: 'bass-clarinet',
  'Bass-Klar.': 'bass-clarinet',
  Bassetthorn: 'basset-horn',
  'Fagott 2': 'bassoon',
  'Fg.': 'bassoon',
  Kontrafagott: 'contrabassoon',
  'K.-Fg.': 'contrabassoon',
  Altsaxophon: 'sax-alto',
  'Tenor-Saxophon': 'sax-tenor',
  'Hörner 1+2': 'horn-f',
  'Horn in Es': 'horn-f',
  Waldhorn: 'horn-f',
  'Hr. 3': 'horn-f',
  'Trompete 1': 'trumpet-bflat',
  'Trompete in C': 'trumpet-c',
  'Trp.': 'trumpet-bflat',
  Flügelhorn: 'flugelhorn',
  'Posaune 3': 'trombone-tenor',
  Posaunen: 'trombone-tenor',
  Bassposaune: 'trombone-bass',
  Altposaune: 'trombone-alto',
  Basstuba: 'tuba',
  Kontrabasstuba: 'tuba',
  Pauken: 'timpani',
  'Pk.': 'timpani',
  'Große Trommel': 'percussion-unpitched',
  'Kl. Trommel': 'percussion-unpitched',
  Becken: 'percussion-unpitched',
  Triangel: 'percussion-unpitched',
  Glockenspiel: 'glockenspiel',
  Röhrenglocken: 'tubular-bells',
  Xylophon: 'xylophone',
  Harfe: 'harp',
  Klavier: 'piano',
  'Klavier links': 'piano',
  Cembalo: 'harpsichord',
  Orgel: 'organ',
  Akkordeon: 'accordion',
  Gitarre: 'guitar',
  'E-Bass': 'bass-guitar',
  Sopran: 'voice-soprano',
  Chor: 'choir',
  '1. Violine': 'violin',
  '2. Violinen': 'violin',
  'Violine II gedämpft': 'violin',
  'Erste Geigen': 'violin',
  Bratsche: 'viola',
  Bratschen: 'viola',
  'Br.': 'viola',
  Violoncello: 'cello',
  Celli: 'cello',
  Kontrabass: 'double-bass',
  Kontrabässe: 'double-bass',
  'Kb. gezupft': 'double-bass',
  Streicher: 'string-ensemble',
};
const ITALIAN: Readonly<Record<string, string>> = {
  Ottavino: 'piccolo',
  'Flauto I': 'flute',
  Flauti: 'flute',
  'Flauto in sol': 'alto-flute',
  'Flauto dolce': 'recorder-treble',
  'Oboe I': 'oboe',
  Oboi: 'oboe',
  'Corno inglese': 'cor-anglais',
  'C. ingl.': 'cor-anglais',
  'Clarinetto in la': 'clarinet-a',
  'Clarinetto in sib': 'clarinet-bflat',
  Clarinetti: 'clarinet-bflat',
  'Clarinetto basso': 'bass-clarinet',
  Clarone: 'bass-clarinet',
  'Fagotto II': 'bassoon',
  Controfagotto: 'contrabassoon',
  'Corno in fa': 'horn-f',
  'Corni 1-2': 'horn-f',
  'Corni III e IV': 'horn-f',
  'Tromba in do': 'trumpet-c',
  Trombe: 'trumpet-bflat',
  Tromboni: 'trombone-tenor',
  'Trombone basso': 'trombone-bass',
  'Basso tuba': 'tuba',
  'Timp.': 'timpani',
  'Gran Cassa': 'percussion-unpitched',
  Piatti: 'percussion-unpitched',
  Tamburo: 'percussion-unpitched',
  Campanelli: 'glockenspiel',
  Campane: 'tubular-bells',
  Xilofono: 'xylophone',
  Arpa: 'harp',
  Pianoforte: 'piano',
  Clavicembalo: 'harpsichord',
  Organo: 'organ',
  Fisarmonica: 'accordion',
  Chitarra: 'guitar',
  'Violini I': 'violin',
  'Violini secondi': 'violin',
  'V.ni II pizz.': 'violin',
  'Violino solo': 'violin',
  Viole: 'viola',
  'V.le': 'viola',
  Violoncelli: 'cello',
  'Vc. con sordino': 'cello',
  Contrabbassi: 'double-bass',
  'C.B.': 'double-bass',
  'Cb. arco': 'double-bass',
  Archi: 'string-ensemble',
  Coro: 'choir',
};
const FRENCH: Readonly<Record<string, string>> = {
  'Petite flûte': 'piccolo',
  'Pte Fl.': 'piccolo',
  'Flûte 2': 'flute',
  'Grandes flûtes': 'flute',
  'Flûte alto': 'alto-flute',
  'Flûte à bec': 'recorder-treble',
  Hautbois: 'oboe',
  'Htb. 1': 'oboe',
  'Cor anglais': 'cor-anglais',
  'Clarinette en la': 'clarinet-a',
  'Clarinette en si bémol': 'clarinet-bflat',
  'Petite clarinette': 'clarinet-eflat',
  'Clarinette basse': 'bass-clarinet',
  'Basson 1': 'bassoon',
  Contrebasson: 'contrabassoon',
  'Cors en fa': 'horn-f',
  'Cor 3': 'horn-f',
  'Trompette en ut': 'trumpet-c',
  Trompettes: 'trumpet-bflat',
  Bugle: 'flugelhorn',
  'Cornet à pistons': 'cornet-bflat',
  Trombones: 'trombone-tenor',
  'Trombone basse': 'trombone-bass',
  'Saxophone alto': 'sax-alto',
  'Grosse caisse': 'percussion-unpitched',
  'Caisse claire': 'percussion-unpitched',
  Cymbales: 'percussion-unpitched',
  'Jeu de timbres': 'glockenspiel',
  Cloches: 'tubular-bells',
  Harpe: 'harp',
  Célesta: 'celesta',
  Clavecin: 'harpsichord',
  'Grand orgue': 'organ',
  Accordéon: 'accordion',
  Guitare: 'guitar',
  'Violons I': 'violin',
  'Premiers violons': 'violin',
  'Seconds violons sourdine': 'violin',
  'Violon solo': 'violin',
  Altos: 'viola',
  Violoncelles: 'cello',
  'Vlc.': 'cello',
  Contrebasses: 'double-bass',
  'Ctb.': 'double-bass',
  Cordes: 'string-ensemble',
  Chœur: 'choir',
  Timbales: 'timpani',
};

describe.each([
  ['English', ENGLISH],
  ['German', GERMAN],
  ['Italian', ITALIAN],
  ['French', FRENCH],
] as const)('%s track names', (_, names) => {
  it.each(Object.entries(names))('%s is %s', (name, instrument) => {
    expect(instrumentOf(name)).toBe(instrument);
  });
});

describe('numbers in track names', () => {
  it.each([
    ['Violin I', [1]],
    ['Vn 2', [2]],
    ['Vln1 pizz', [1]],
    ['1st Violins', [1]],
    ['Second Violins', [2]],
    ['Violini secondi', [2]],
    ['Hn 1+2', [1, 2]],
    ['Fl. 1 & 2', [1, 2]],
    ['Horn 3/4', [3, 4]],
    ['Hörner 1.2.', [1, 2]],
    ['Corni III e IV', [3, 4]],
    ['Horns 1-4', [1, 2, 3, 4]],
    ['01 Flute 2', [2]],
    ['Vc. 1 desk 2', [1]],
    ['Viola', []],
    ['Violin II take 3', [2]],
    ['Clarinet in A 1', [1]],
    ['Horn in F', []],
    ['Violin I mic 2', [1]],
  ] as const)('%s is numbered %j', (name, numbers) => {
    expect(readName(name).numbers).toEqual(numbers);
  });

  it.each([
    ['Flutes a2', 2],
    ['Hn 1+2', 2],
    ['Horns 1-4', 4],
    ['Fl. 1 & 2', 2],
    ['Corni a 4', 4],
  ] as const)('%s are %i players', (name, players) => {
    expect(readName(name).players).toBe(players);
  });

  it('a desk, a take or a microphone is not a number of the part', () => {
    expect(readName('Violin desk 3').numbers).toEqual([]);
    expect(readName('Viola take 2').numbers).toEqual([]);
  });
});

describe('what a track name says besides', () => {
  it.each([
    ['Vn I legato', 'Vn I', 'legato'],
    ['Violins I - Spiccato', 'Violins I', 'spiccato'],
    ['VLA con sord.', 'VLA', 'con sord'],
    ['Flute (close mic)', 'Flute', ''],
    ['Piano R.H.', 'Piano', ''],
    ['Cellos_Pizz', 'Cellos', 'pizz'],
    ['Fl. 1 & 2', 'Fl. 1 & 2', ''],
  ])('%s is called %s and played %s', (name, plain, articulation) => {
    const reading = readName(name);
    expect(reading.plainName).toBe(plain);
    expect(reading.articulation).toBe(articulation);
  });

  it.each(['Track 1', 'Sketch', 'MIDI 03', '', 'melody idea', '🎻', 'x'.repeat(5000), '<script>alert(1)</script>'])(
    '%s names no instrument',
    (name) => {
      expect(readName(name).candidates).toEqual([]);
    },
  );

  it('a horn in E flat is a horn with its own key', () => {
    expect(readName('Horn in Es').key).toEqual({ step: 'E', alter: -1 });
    expect(readName('Cor en mi bémol').key).toEqual({ step: 'E', alter: -1 });
    expect(readName('Corno in re').key).toEqual({ step: 'D', alter: 0 });
  });

  it('names that several instruments share keep all of them', () => {
    expect(readName('Alto').candidates).toEqual(expect.arrayContaining(['viola', 'voice-alto']));
    expect(readName('Bass').candidates).toEqual(expect.arrayContaining(['double-bass', 'voice-bass', 'bass-guitar']));
  });

  it('the kind of voice says more than that it is a voice; an effect of the sub bass is an effect', () => {
    expect(readName('Singstimme (Sopran)').candidates[0]).toBe('voice-soprano');
    expect(readName('Solo Voice, Tenor').candidates[0]).toBe('voice-tenor');
    expect(readName('Sub Drone').candidates).toEqual(['sound-effect']);
    expect(readName('Cello Hits').candidates).toEqual(['cello']);
  });

  it('a name with two instruments keeps the first and tells the others', () => {
    expect(readName('Fl/Picc')).toMatchObject({ candidates: ['flute'], also: ['piccolo'] });
    expect(readName('Ob. 1 / E.H.')).toMatchObject({ candidates: ['oboe'], also: ['cor-anglais'], numbers: [1] });
    expect(readName('Fl. picc.')).toMatchObject({ candidates: ['piccolo'], also: [] });
  });

  it.each(['constructor', '__proto__', 'valueOf', 'hasOwnProperty'])('the word %s means nothing', (name) => {
    expect(readName(name)).toMatchObject({ candidates: [], numbers: [] });
    expect(readName(`Perc ${name}`)).toMatchObject({ candidates: ['percussion-unpitched'], numbers: [] });
  });

  // Names as large templates have them, the group before the instrument: common practice, no source.
  it.each([
    ['BR Horns a4 Sus', 'horn-f', 'Horns a4'],
    ['BR - Tpt 1', 'trumpet-bflat', 'Tpt 1'],
    ['PERC Timp Rolls', 'timpani', 'Timp'],
    ['Perc 1 Xylo', 'xylophone', '1 Xylo'],
    ['WW Ob 1 Leg', 'oboe', 'Ob 1'],
    ['Brass Tuba', 'tuba', 'Tuba'],
    ['STR Vc Sus (bounce)', 'cello', 'Vc'],
    ['KEYS Celesta', 'celesta', 'Celesta'],
  ])('in %s the group is only the group of the %s', (name, instrument, plain) => {
    expect(readName(name)).toMatchObject({ candidates: [instrument], plainName: plain, also: [] });
  });

  // Books of a pit band are named after the desk, with what it plays in brackets (common practice, no source).
  it.each([
    ['Keys 1 (Pno)', 'Keys 1 (Pno)'],
    ['Keys 2 (Str Pad)', 'Keys 2 (Str Pad)'],
    ['Brass 1 (Tpt)', 'Brass 1 (Tpt)'],
    ['Strings [Violin 1] (sus)', 'Strings [Violin 1]'],
    ['KEYS Piano (close)', 'Piano'],
    ['Strings - Violins (legato)', 'Violins'],
    ['Orgel (ad lib.)', 'Orgel (ad lib.)'],
    ['Organ lib close', 'Organ'],
  ])('the desk %s is called %s', (name, plain) => {
    expect(readName(name).plainName).toBe(plain);
  });

  it('the alto and the bass of a choir are voices, those of the strings play strings', () => {
    expect(readName('Choir Alto').candidates).toEqual(['voice-alto']);
    expect(readName('Chor Bass').candidates).toEqual(['voice-bass']);
    expect(readName('Choir S').candidates).toEqual(['voice-soprano']);
    expect(readName('STR Alto').candidates).toEqual(['viola']);
    expect(readName('Strings Bass').candidates).toEqual(['double-bass']);
  });

  it('Br. is the Bratsche, alone and beside another instrument', () => {
    for (const name of ['Br.', 'Br. div.', 'Br. & Vc.', 'Br./Hr.']) expect(instrumentOf(name), name).toBe('viola');
  });

  it('the size of an instrument may stand behind the number of the player', () => {
    expect(instrumentOf('Tbn 3 Bass')).toBe('trombone-bass');
    expect(instrumentOf('Clarinet 3 Bass')).toBe('bass-clarinet');
    expect(instrumentOf('Sax 1 (Alto)')).toBe('sax-alto');
    expect(instrumentOf('Tbn 1/Tbn 2/Bass')).toBe('trombone-tenor');
  });

  it.each([
    ['Contrabass Clarinet', 'contrabass-clarinet'],
    ['Kontrabass-Klarinette', 'contrabass-clarinet'],
    ['Wagner Tuba 1', 'wagner-tuba'],
    ['Viola da gamba', 'viol-bass'],
    ["Viole d'amour", 'viola-damore'],
    ['Alto Clarinet', 'alto-clarinet'],
    ['Basstrompete', 'trumpet-bass'],
  ])('%s is %s, not the instrument whose name is inside its own', (name, instrument) => {
    expect(instrumentOf(name)).toBe(instrument);
  });

  it.each(['Contrabass Recorder', 'Violino piccolo', 'Bass Balalaika', 'Kontrabasssaxophon', 'Piccolo Oboe'])(
    '%s is not the instrument whose name is inside its own',
    (name) => {
      expect(readName(name)).toMatchObject({ candidates: [], lacking: true });
    },
  );

  it.each([
    ['Traversflöte', 'flute'],
    ['Streichbässe', 'double-bass'],
    ['V.lles', 'cello'],
    ['Konzertmeister', 'violin'],
    ['V1', 'violin'],
    ['Hrns 1-2', 'horn-f'],
    ['Bcl.', 'bass-clarinet'],
    ['Fingered Bass', 'bass-guitar'],
  ])('%s is a %s', (name, instrument) => {
    expect(instrumentOf(name)).toBe(instrument);
  });

  it('woodwinds, brass and orchestra are groups, not instruments', () => {
    expect(readName('Woodwinds').section).toBe('woodwinds');
    expect(readName('Low Brass').section).toBe('brass');
    expect(readName('Full Orchestra').section).toBe('orchestra');
  });
});

describe('a track that nobody named', () => {
  it.each([
    'New Track',
    'new track 3',
    'Neue Spur',
    'Neue Spur 2',
    'Spur 3',
    'Piste 4',
    'Nouvelle piste',
    'Nuova traccia',
    'Nueva pista',
    'Track 5',
    'trk 11 copy',
    'MIDI 01',
    'Instrument 7',
    'Untitled',
    'Unbenannt',
    'Kanal 4',
  ])('%s goes by the name of its program, and is asked about', (name) => {
    const tracks = [
      { name, program: 73, music: 'C5:0:1 D5:1:1 E5:2:2', channel: 0, track: 1 },
      { name: 'Violoncello', music: 'C3:0:4', channel: 1, track: 2 },
    ];
    const { parts, questions } = assemble(rawFolder([rawStage('01', { tracks })]), { folderName: 'a folder' })
      .stages[0]!;
    expect(parts.map((part) => part.name)).toEqual(['Flute', 'Violoncello']);
    expect(questions.some(({ text }) => text.includes(`“${name}”`))).toBe(true);
  });

  it.each(['Spur der Steine', 'New York Brass', 'Track Star', 'Neue Harfe'])('is not called %s', (name) => {
    expect(isDefaultName(name)).toBe(false);
  });
});

describe('a name with a number that counts nobody', () => {
  it('B3 is the organ of a band, not its third, and keeps the short name that its player goes by', () => {
    const names = ['B3', 'Drums', 'Bass Guitar', 'Vocal'];
    const tracks = names.map((name, index) => ({
      name,
      music: index === 2 ? 'E2:0:4' : 'C4:0:2 E4:2:2',
      channel: index === 1 ? 9 : index,
      track: index + 1,
    }));
    const { parts } = assemble(rawFolder([rawStage('01', { tracks })]), { folderName: 'a folder' }).stages[0]!;
    expect(parts.find(({ instrument }) => instrument === 'organ')?.abbreviation).toBe('B3');
  });

  it('an electric guitar keeps the letter that says so', () => {
    expect(readName('E-Git.')).toMatchObject({ candidates: ['guitar'], plainName: 'E-Git.', rest: '' });
  });

  it('Keys 1 is one player, Keys of a band are too, and Flutes 1 are several', () => {
    expect(isPluralName('Keys 1')).toBe(false);
    expect(isPluralName('Flutes 1')).toBe(true);
    for (const one of ['Violão 7 cordas', 'Guitarra de 7 cuerdas', 'Violão de sete cordas']) {
      expect(isPluralName(one)).toBe(false);
    }
    for (const many of ['Violões 7 cordas', 'Strings 1', '12 Strings'])
      expect(isPluralName(many)).toBe(many !== '12 Strings');
    expect(fullStop('for Klarinet and Akk.')).toBe('for Klarinet and Akk.');
    expect(fullStop('for Klarinet')).toBe('for Klarinet.');
    expect(oneStop('most of it is Fg.. It rests… Then Akk..')).toBe('most of it is Fg. It rests… Then Akk.');
  });
});

describe('the number of strings in a name', () => {
  // Names as players of choro, jazz and early music type them; common practice, no source.
  it.each([
    ['Violão 7 cordas', 'guitar', 7],
    ['Violão 7', 'guitar', 7],
    ['7-string gtr', 'guitar', 7],
    ['siebensaitige Gitarre', 'guitar', 7],
    ['Guitarra de 7 cuerdas', 'guitar', 7],
    ['12 String Guitar', 'guitar', 12],
    ['Baixo 5 cordas', 'bass-guitar', 5],
    ['Kontrabass 5-saitig', 'double-bass', 5],
    ['Viola caipira 10 cordas', 'viola-caipira', 10],
  ])('%s is one %s of %i strings, and no number of a part', (name, instrument, strings) => {
    expect(readName(name)).toMatchObject({ strings, numbers: [], rest: '' });
    expect(instrumentOf(name)).toBe(instrument);
    expect(readName(name).leadingNumber).toBeUndefined();
  });

  it.each(['Gtr 7', 'Violão 2', 'Strings 5', 'Violin 5 Strings', '7 Strings'])('%s states none', (name) => {
    expect(readName(name).strings).toBeUndefined();
  });
});

describe('a name that says that it sings', () => {
  // What singers and copyists write behind a voice; common practice, no source.
  it.each([
    ['Alto (voix)', 'voice-alto'],
    ['Alto (canto)', 'voice-alto'],
    ['Soprano (chant)', 'voice-soprano'],
    ['Tenor (Gesang)', 'voice-tenor'],
    ['Bass (Gesang)', 'voice-bass'],
    ['Bass (voice)', 'voice-bass'],
    ['Baryton (chanté)', 'voice-baritone'],
    ['Alto [sung]', 'voice-alto'],
    ['Gesang Alt', 'voice-alto'],
  ])('%s is a singer and nothing else', (name, instrument) => {
    expect(readName(name).candidates).toEqual([instrument]);
  });

  it.each(['Alto (voix 2)', 'Tenor, 2. Stimme'])('%s has a number of a part, and stays open', (name) => {
    expect(readName(name).candidates.length).toBeGreaterThan(1);
  });

  it('ad lib. stays whole in a name', () => {
    expect(readName('Orgel (ad lib)').plainName).toBe('Orgel (ad lib)');
    expect(readName('Orgel (ad lib.)').plainName).toBe('Orgel (ad lib.)');
    expect(readName('Orgel lib').plainName).toBe('Orgel');
  });

  it('an instrument has its line marked as the voice would sing it, and stays one', () => {
    expect(readName('Alto Sax (chant)').candidates).toEqual(['sax-alto']);
    expect(readName('Violino (canto)').candidates).toEqual(['violin']);
  });
});

describe('instruments of early and folk music', () => {
  // Common practice, no source.
  it.each([
    ['Erzlaute', 'archlute'],
    ['Arciliuto', 'archlute'],
    ['Virginal', 'harpsichord'],
    ['Spinett', 'harpsichord'],
    ['Épinette', 'harpsichord'],
  ])('%s is a %s', (name, instrument) => {
    expect(readName(name).candidates).toEqual([instrument]);
  });

  it('the archlute has basses that the lute has not', () => {
    const lowest = (id: string): number => instrumentById(id)?.extremeRange?.low ?? 0;
    expect(lowest('archlute')).toBeLessThan(lowest('lute'));
  });

  it.each(['Krummhorn', 'Rebec', 'Bandola', 'Gaita', 'Tromba marina'])(
    '%s is no other instrument, by whose range it would be judged',
    (name) => {
      expect(readName(name)).toMatchObject({ candidates: [], lacking: true });
    },
  );
});
