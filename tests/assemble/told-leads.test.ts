import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import type { Settings } from '../../src/read/settings/settings.ts';
import { parseBarHeading } from '../../src/read/settings/bar-span.ts';
import { readMemos } from '../../src/read/user-notes/read-memos.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

// Thirty-two bars in which everybody plays: a tune that moves in the violin, and held notes below it.
const BARS = 32;
const repeated = (bar: (start: number) => string): string =>
  Array.from({ length: BARS }, (_, n) => bar(4 * n)).join(' ');
const tune = repeated((at) => `G5:${at}:1:100 A5:${at + 1}:1:100 B5:${at + 2}:1:100 C6:${at + 3}:1:100`);
const held = (pitch: string): string => repeated((at) => `${pitch}:${at}:4:60`);
const TRACKS = [
  { name: 'Vl', music: tune, program: 40 },
  { name: 'Fl', music: held('E5'), program: 73 },
  { name: 'Klarinette', music: held('C5'), program: 71 },
  { name: 'Vla', music: held('G4'), program: 41 },
  { name: 'Posaune', music: held('C3'), program: 57 },
  { name: 'Tenor', music: held('E4'), program: 52 },
  { name: 'Vc solo', music: held('C3'), program: 42 },
];
const STAGES = ['01 sketch', '02 more'];

function told(notes: string, content: Settings = {}, tracks = TRACKS): Arrangement {
  const { memos } = readMemos(new TextEncoder().encode(notes), 'talk.md', undefined);
  return assemble(
    rawFolder(
      STAGES.map((name) => rawStage(name, { tracks })),
      content,
      { memos },
    ),
    { folderName: 'x' },
  );
}

/** Leaders by note in a stage: `name from-to`, where somebody said so. */
function leaders({ stages }: Arrangement, place = 1): string {
  const stage = stages[place]!;
  const nameOf = (id: string): string => stage.parts.find((part) => part.id === id)!.name;
  return stage.foreground
    .filter(({ certainty }) => certainty === 1)
    .map(({ partId, from, to }) => `${nameOf(partId)} ${from}-${to}`)
    .join(', ');
}

describe('who leads, told by a note', () => {
  it.each([
    ['Takte 9-16 singt der Tenor.', 'Tenor 9-16'],
    ['Die zweite Strophe (Takte 9-16) singt der Tenor, die anderen summen.', 'Tenor 9-16'],
    ['Takte 25-28 Solo Vla', 'Vla 25-28'],
    ['Solo: Klarinette 9-16', 'Klarinette 9-16'],
    ['T. 9–16: Melodie in der Posaune, eine Oktave tiefer, Vla darunter.', 'Posaune 9-16'],
    ['Ab Takt 29 liegt die Melodie in der Flöte.', 'Fl 29-32'],
    ['In Takt 9 bis 12 übernimmt die Klarinette die Melodie.', 'Klarinette 9-12'],
    ['Die Melodie hat in T. 9-16 die Bratsche, in 17-24 der Tenor.', 'Vla 9-16, Tenor 17-24'],
    ['Takte 9-16 singt der Tenor, 17-24 die Flöte.', 'Tenor 9-16, Fl 17-24'],
    ['Melody in the flute from bar 25.', 'Fl 25-32'],
    ['The clarinet has the tune in bars 9-12 and 25-28.', 'Klarinette 9-12, Klarinette 25-28'],
    ['Bars 9 to 16: viola leads.', 'Vla 9-16'],
    ['mm. 9–12 theme to the trombone', 'Posaune 9-12'],
    ['The melody goes from the flute to the viola in bars 17-20.', 'Vla 17-20'],
    ['Bars 17-24: the melody is played by the clarinet, over soft strings.', 'Klarinette 17-24'],
    ['mes. 13-20 : thème à la flûte maintenant, plus aux violons', 'Fl 13-20'],
    ['Mesures 5 à 8, la clarinette prend le thème.', 'Klarinette 5-8'],
    ['Mesures 5 à 8, la clarinette a le thème.', 'Klarinette 5-8'],
    ['À partir de la mesure 27 la mélodie passe au trombone.', 'Posaune 27-32'],
    ['Retour du solo en 17.', 'Vc solo 17-32'],
    ['Compases 17-24: la melodía la lleva el clarinete.', 'Klarinette 17-24'],
    ['Compases 9-16: la melodía la lleva la viola, el clarinete solo acompaña.', 'Vla 9-16'],
    ['c. 9-16 aquí canta la flauta', 'Fl 9-16'],
    ['Desde el compás 25 el tema está en la viola.', 'Vla 25-32'],
    ['Battute 9-16: il clarinetto ha la melodia.', 'Klarinette 9-16'],
    ['Solo di viola (batt. 9-12)', 'Vla 9-12'],
    ['Compassos 9 a 16: melodia no clarinete.', 'Klarinette 9-16'],
    ['## Compases 9-24\n\nAquí canta el Tenor y la viola acompaña.', 'Tenor 9-24'],
    ['En la segunda letra (compases 25-32) manda otra vez la flauta, el clarinete solo adorna.', 'Fl 25-32'],
    ['Takte 9-16 singt der Tenor und die Bratsche begleitet.', 'Tenor 9-16'],
    ['## Bars 9-16, viola\n\nHas the tune now.', 'Vla 9-16'],
    ['Die Violine führt durch bis zum Schluss, die Klarinette singt dagegen.', 'Vl 1-32'],
    ['The viola has the tune to the very end.', 'Vla 1-32'],
    ['La flauta lleva la melodía hasta el final.', 'Fl 1-32'],
    ['The tenor sings both verses and choruses. Violin and flute play the tune together.', 'Tenor 1-32'],
    ['Der Tenor singt alle Strophen.', 'Tenor 1-32'],
    ['## Takte 9-16, Klarinette\n\nFührt hier.', 'Klarinette 9-16'],
    ['## Compases 17-24\n\nAhora la melodía la lleva la flauta, que se escuche.', 'Fl 17-24'],
    ['## Mesures 21-32, trombone\n\nLa tempête. Le trombone mène, tout le reste pousse derrière.', 'Posaune 21-32'],
    ['## Mesures 25-32\n\nRetour du solo. Le reste en dessous.', 'Vc solo 25-32'],
    ['## Bars 21-28\n\nSoloist again, the others behind.', 'Vc solo 21-28'],
    // Taken from whoever had it.
    ['The trombone has the tune in bars 9-16, the viola takes it off him in 25–28.', 'Posaune 9-16, Vla 25-28'],
    ['The trombone leads in 9-16 and the flute takes it from him in 25-28.', 'Posaune 9-16, Fl 25-28'],
    ['Das Thema hat die Posaune in 9-16, die Flöte nimmt es ihr in 25-28 ab.', 'Posaune 9-16, Fl 25-28'],
    ['Le trombone a le thème (9-16), la flûte le lui reprend en 25-28.', 'Posaune 9-16, Fl 25-28'],
    // Bars that stand in a clause, or a sentence, of their own.
    ['The tune is in the trombone, bars 9 to 16, and soft.', 'Posaune 9-16'],
    ['Ab Takt 25 alle, Melodie in der Bratsche.', 'Vla 25-32'],
    ['Ab Takt 25 alle. Melodie in der Bratsche.', 'Vla 25-32'],
    ['From bar 25 everybody. The flute has the melody.', 'Fl 25-32'],
    ['Takt 25 bis Ende: Tutti, Melodie in der Bratsche.', 'Vla 25-32'],
    [
      'Flöte hat die Melodie von 1 bis 8, Posaune in 9-16, ab Takt 25 alle, Melodie in der Bratsche.',
      'Fl 1-8, Posaune 9-16, Vla 25-32',
    ],
    ['Die Melodie liegt in der Klarinette.', 'Klarinette 1-32'],
    ['The flute has the melody throughout.', 'Fl 1-32'],
  ])('“%s”: %s', (text, expected) => {
    const made = told(text);
    expect(leaders(made)).toBe(expected);
    expect(made.assumptions.join('\n')).toMatch(
      /who has the foreground is taken from a note \(.*your note “talk.md” says/i,
    );
  });

  it.each([
    // Questions, wishes and what is to come.
    'Takte 9-16: Melodie in der Flöte?',
    'Should the flute have the melody in bars 9-16?',
    'Bars 9-16: the melody could go to the flute.',
    'Vielleicht singt Takte 9-16 der Tenor.',
    'In Takt 9-16 sollte die Flöte die Melodie haben.',
    'Mesures 9-16 : la flûte pourrait prendre le thème.',
    'Quiero que la melodía la lleve la flauta en los compases 9-16.',
    'Later the flute takes the melody in bars 9-16.',
    'Bars 9-16: let the viola have the tune.',
    // Not so, or no longer.
    'Bars 9-16: the flute does not have the melody.',
    'Takte 9-16: die Melodie ist nicht in der Flöte.',
    'Compases 9-16: la flauta no lleva la melodía.',
    'Mes. 9-16 : le thème n’est pas à la flûte.',
    'In bars 9-16 the viola had the tune.',
    'In the first version the viola has the tune in bars 9-16.',
    // Beside the tune.
    'Bars 9-16: viola has a counter-melody.',
    'Takte 9-16: die Bratsche spielt unter der Melodie.',
    'Bars 9-16: the clarinet accompanies the melody.',
    'Takte 9-16: Tenor singt auf „ah“.',
    'Takt 9-16: die Flöte spielt die Melodie in Terzen mit.',
    '## Bars 9-16, viola\n\nA companion for the tune, nothing more.',
    '## Bars 9-16, viola\n\nGoes with the tune and only replies in the middle.',
    'The trombone leads down to bar 9.',
    'Vc solo rests in bars 9-16.',
    'The viola takes the mute off in bars 9-16.',
    'Bars 9-16: the trombone takes his breath from the viola.',
    // Of no bars, and not plainly of the whole.
    'Then the flute has the melody.',
    'In the bridge the flute has the melody.',
    'Solo for the viola.',
    'Hier singt der Tenor.',
    'Everybody plays.\n\n## The dance\n\nThe flute has the melody.',
    // Nobody of that name.
    'Bars 9-16: melody in the bassoon.',
  ])('nobody is told to lead by “%s”', (text) => {
    expect(leaders(told(text))).toBe('');
  });

  it('a note about a stage says nothing of an earlier one, and of a later one only what its music allows', () => {
    const made = told('---\nstage: 02 more\n---\nTakte 9-16 singt der Tenor.');
    expect([leaders(made, 0), leaders(made, 1)]).toEqual(['', 'Tenor 9-16']);
    const before = told(
      '---\nstage: 01 sketch\n---\nTakte 9-16 singt der Tenor.\n\nMelodie in Takt 17-24 in der Violine.',
    );
    expect([leaders(before, 0), leaders(before, 1)]).toEqual(['Tenor 9-16, Vl 17-24', 'Vl 17-24']);
  });

  it('what is said of fewer bars comes before what is said of more; two that differ cancel out', () => {
    expect(leaders(told('The flute has the melody. In bars 9-12 the viola has the melody.'))).toBe(
      'Fl 1-8, Vla 9-12, Fl 13-32',
    );
    expect(leaders(told('Bars 9-12: melody in the viola.\n\nBars 9-12: melody in the flute.'))).toBe('');
  });

  it('the settings come before a note, and who does not sound was not meant', () => {
    expect(
      leaders(told('Bars 9-16: melody in the flute.', { foreground: [{ part: 'Vla', bars: { from: 1, to: 32 } }] })),
    ).toBe('Vla 1-32');
    const resting = TRACKS.map((own) => (own.name === 'Fl' ? { ...own, music: 'E5:0:4 E5:124:4' } : own));
    expect(leaders(told('Bars 9-16: melody in the flute.', {}, resting))).toBe('');
  });

  it('a named section has bars', () => {
    const sections = [
      { name: 'Verse', bars: { from: 1, to: 16 } },
      { name: 'Brücke', bars: { from: 17, to: 32 } },
    ];
    expect(leaders(told('In der Brücke liegt die Melodie in der Flöte.', { sections }))).toBe('Fl 17-32');
  });

  it('who leads from a bar on goes on in the sections that follow as long as the music agrees, until another is named', () => {
    const sections = [
      { name: 'Strophe', bars: { from: 1, to: 16 } },
      { name: 'Refrain', bars: { from: 17, to: 24 } },
      { name: 'Schluss', bars: { from: 25, to: 32 } },
    ];
    expect(leaders(told('Ab Takt 9 führt die Violine.', { sections }))).toBe('Vl 9-32');
    expect(leaders(told('Ab Takt 9 führt die Flöte.', { sections }))).toBe('Fl 9-16');
    expect(leaders(told('Ab Takt 9 führt die Violine. Ab Takt 25 führt die Flöte.', { sections }))).toBe(
      'Vl 9-24, Fl 25-32',
    );
    // The trumpet has the same notes: it is one tune, whoever of the two the music alone would name.
    const doubled = BRASS.map((own) => (own.name === 'Trp. 1' ? { ...own, music: tune } : own));
    expect(leaders(told('Ab Takt 9 führt die Trp. 1.', { sections }, doubled))).toBe('Trp. 1 9-32');
  });

  it('the question names the bars that are still open', () => {
    const [asked] = told('Takte 9-16 singt der Tenor.').stages[1]!.questions.filter(
      ({ code }) => code === 'foreground-guessed',
    );
    expect(asked?.text).toContain(
      'No setting and no note that was understood says who has the foreground in bars 1–8 and 17–32',
    );
  });

  it('a heading in Spanish or Portuguese is one of bars', () => {
    expect(parseBarHeading('Compases 17-24, guitarra')).toMatchObject({
      span: { from: 17, to: 24 },
      names: [{ name: 'guitarra' }],
    });
    expect(parseBarHeading('Compás 36')).toMatchObject({ span: { from: 36, to: 36 } });
    expect(parseBarHeading('Compassos 9 a 16')).toMatchObject({ span: { from: 9, to: 16 } });
  });
});

// A choir of brass: who is meant is one of several of a kind.
const BRASS = [
  { name: 'Kornett Solo', music: tune, program: 56 },
  { name: 'Trp. 1', music: held('E5'), program: 56 },
  { name: 'Trp. 2', music: held('C5'), program: 56 },
  { name: 'Pos. 1', music: held('C3'), program: 57 },
];

describe('who leads among parts that are numbered, told by a note', () => {
  it.each([
    ['## Takt 13-16\n\nIm Zwischenspiel führt die 1. Trompete, das Kornett pausiert.', 'Trp. 1 13-16'],
    ['Ab Takt 25 führt wieder das Kornett, die 1. Trompete verdoppelt es.', 'Kornett Solo 25-32'],
    ['Takt 9-12: Melodie in der 2. Trompete.', 'Trp. 2 9-12'],
    ['In Takt 9-12 führt jetzt die erste Trompete.', 'Trp. 1 9-12'],
    ['Die 1. Trompete führt in Takt 9-12.', 'Trp. 1 9-12'],
    ['In Takt 9-12 übernimmt die 1. Trompete, das Kornett pausiert.', 'Trp. 1 9-12'],
    ['In Takt 9-12 übernimmt wieder das Kornett.', 'Kornett Solo 9-12'],
    ['From bar 25 the cornet leads again.', 'Kornett Solo 25-32'],
    ['In bars 9-12 trumpet 2 takes over.', 'Trp. 2 9-12'],
    ['À partir de la mesure 25, le cornet mène de nouveau.', 'Kornett Solo 25-32'],
    ['Mesures 9-12 : ici mène de nouveau la trompette 1.', 'Trp. 1 9-12'],
    ['Da battuta 25 guida di nuovo la cornetta.', 'Kornett Solo 25-32'],
    ['Desde el compás 25 lidera otra vez la trompeta 1.', 'Trp. 1 25-32'],
    ['Compassos 9 a 12: conduz agora o trompete 1.', 'Trp. 1 9-12'],
  ])('“%s”: %s', (text, expected) => {
    expect(leaders(told(text, {}, BRASS))).toBe(expected);
  });

  it.each([
    'Führt in Takt 9-12 die 1. Trompete?',
    'In Takt 9-12 führt nicht die 1. Trompete.',
    'In Takt 9-12 sollte wieder die 1. Trompete führen.',
    'In Takt 9-12 führt die 1. Trompete zu Problemen.',
    'Takt 9-12: die 1. Trompete führt nach F-Dur.',
    'Takt 9-12: die 1. Trompete führt zu laut.',
    'Das führt in Takt 9-12 zu Problemen in der 1. Trompete.',
    'In Takt 9-12 übernimmt die 1. Trompete die Begleitung.',
    '## Takt 9-12\n\nDen Rhythmus übernimmt die 1. Trompete.',
    'Bars 9-12: trumpet 1 leads to F major.',
    'In bars 9-12 trumpet 1 takes over the harmony.',
    'Takt 9-12: es sind drei. Die 1. Trompete pausiert.',
  ])('nobody is told to lead by “%s”', (text) => {
    expect(leaders(told(text, {}, BRASS))).toBe('');
  });
});

describe('a line above the tune, told by a note', () => {
  const announced = (text: string): readonly string[] => {
    const { parts, announced: lines = [] } = told(text).stages[1]!;
    return lines.map(({ partId, from, to }) => `${parts.find(({ id }) => id === partId)!.name} ${from}-${to}`);
  };

  it.each([
    [
      '## Takte 17-24, Tenor\n\nDie Brücke singt jetzt der Tenor. Die Flöte kommt in Takt 21 darüber dazu, ganz leise.',
      'Fl 21-24',
    ],
    ['Ab Takt 29 Klarinette als Diskant über der Gemeinde, die Melodie bleibt beim Tenor.', 'Klarinette 29-32'],
    ['Bars 9-16: descant in the flute, very soft.', 'Fl 9-16'],
    ['Counter-melody on top in the clarinet in bars 25-28.', 'Klarinette 25-28'],
    ['Mesures 9-16 : la flûte au-dessus, très douce.', 'Fl 9-16'],
    ['Compases 9-16: la flauta por encima, muy suave.', 'Fl 9-16'],
    ['The flute has a descant.', 'Fl 1-32'],
    ['Die Violine führt bis zum Schluss, die Klarinette singt dagegen.', 'Klarinette 1-32'],
  ])('“%s”: %s', (text, expected) => {
    expect(announced(text)).toEqual([expected]);
  });

  it.each([
    'Bars 9-16: should the flute be above?',
    'Bars 9-16: maybe a descant in the flute.',
    'Takte 9-16: kein Diskant in der Flöte.',
    'Bars 9-16: the flute has the melody.',
    'Bars 9-16: a descant would be nice.',
  ])('nobody is announced by “%s”', (text) => {
    expect(announced(text)).toEqual([]);
  });
});

describe('a part that is softer or louder, told by a note', () => {
  const levels = (text: string): readonly string[] => {
    const { parts, announcedLevels = [] } = told(text, {}, BRASS).stages[1]!;
    return announcedLevels.map(
      ({ partId, way, from, to }) => `${parts.find(({ id }) => id === partId)!.name} ${way} ${from}-${to}`,
    );
  };

  it.each([
    ['Die erste Trompete ist in 17-20 jetzt leiser.', ['Trp. 1 softer 17-20']],
    ['Bars 9-12: trumpet 2 louder than before.', ['Trp. 2 louder 9-12']],
    ['Mesures 9-12 : le cornet est plus doux.', ['Kornett Solo softer 9-12']],
    ['Battute 9-12: la prima tromba più forte.', ['Trp. 1 louder 9-12']],
    ['Compases 9-12: la trompeta 1 menos fuerte.', ['Trp. 1 softer 9-12']],
    ['Takt 9-12: Trp. 1 leiser, Trp. 2 lauter.', ['Trp. 1 softer 9-12', 'Trp. 2 louder 9-12']],
    ['## Takt 9-12, Trp. 2\n\nHier lauter.', ['Trp. 2 louder 9-12']],
  ])('“%s”: %j', (text, expected) => {
    expect(levels(text)).toEqual(expected);
  });

  it.each([
    'Ist die erste Trompete in 17-20 leiser?',
    'Die erste Trompete sollte in 17-20 leiser sein.',
    'Die erste Trompete ist in 17-20 nicht leiser.',
    'In 17-20 war die erste Trompete leiser.',
    'Die erste Trompete ist leiser.',
    'Takt 17-20: leiser.',
  ])('nothing is told by “%s”', (text) => {
    expect(levels(text)).toEqual([]);
  });
});
