/** Which ensemble is made of what: common practice; the named works are in every repertoire list. */
import { describe, expect, it } from 'vitest';
import { assemble } from '../../src/assemble/assemble.ts';
import { isPluckedOrchestra, type Ensemble } from '../../src/model/music/ensemble.ts';
import { fullScore } from '../../src/notate/full-score/full-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { rawFolder, rawStage } from './raw-folder.ts';

/** The reading of a stage whose tracks have these names and all play something in their own range's middle. */
function ensembleNamed(names: string, title = '01'): Ensemble {
  const tracks = names
    .split(',')
    .map((name) => name.trim())
    .map((name, index) => {
      const drums = /drum|kit|perc/i.test(name);
      const music = /bass|tuba|bassoon|cello/i.test(name) ? 'C3:0:1 D3:1:1 E3:2:2' : 'C5:0:1 D5:1:1 E5:2:2';
      return { name, music, channel: drums ? 9 : index % 9, track: index + 1 };
    });
  const stage = assemble(rawFolder([rawStage(title, { tracks })]), { folderName: 'a folder' }).stages[0];
  if (stage === undefined) throw new Error('no stage');
  return stage.ensemble;
}

describe('strings with a bass that a title calls by their number', () => {
  const FIVE = 'Violin I, Violin II, Viola, Cello, Double Bass';

  it.each(['Andante (quintetto)', 'String Quintet in G', 'Streichquintett', 'Quintette'])(
    '%s is chamber music',
    (title) => {
      expect(ensembleNamed(FIVE, title)).toEqual({ kind: 'chamber', sure: true });
    },
  );

  it.each(['September song', 'Septet', 'Serenade', 'Suite for strings'])('%s says nothing of five parts', (title) => {
    expect(ensembleNamed(FIVE, title).kind).toBe('string-orchestra');
  });
});

describe('a small orchestra', () => {
  const FEW = 'Violin 1, Violin 2, Cello, Double Bass, Flute, Oboe, Clarinet, Trumpet, Trombone, Perc';

  it.each(['Salonorchester', 'Valse for salon orchestra', 'orchestre de salon'])(
    'has single strings where it is called %s',
    (title) => {
      expect(ensembleNamed(FEW, title)).toEqual({ kind: 'chamber', sure: true });
    },
  );

  it('has sections where nothing says so, and single strings where harmonium and piano fill in', () => {
    expect(ensembleNamed(FEW, 'Valse').kind).toBe('orchestra');
    expect(ensembleNamed(`${FEW}, Harmonium, Piano`, 'Valse')).toEqual({ kind: 'chamber', sure: true });
  });
});

describe('a plucked orchestra', () => {
  // Scores of the trade: mandolin 1, 2, mandola, mandoloncello, guitar, double bass (common practice, no source).
  it('stands in the order of its scores, its plucked parts with the bass under one bracket', () => {
    const names = ['Git. 1', 'Kontrabass', 'Mandoloncello', 'Mandoline 2', 'Git. 2', 'Mandola', 'Flöte', 'Mandoline 1'];
    const tracks = names.map((name, index) => {
      const music = /bass|cello/.test(name) ? 'C3:0:1 D3:1:1 E3:2:2' : 'C5:0:1 D5:1:1 E5:2:2';
      return { name, music, channel: index, track: index + 1 };
    });
    const stage = assemble(rawFolder([rawStage('01', { tracks })]), { folderName: 'a folder' }).stages[0]!;
    expect(stage.parts.map(({ name }) => name)).toEqual([
      'Flöte',
      'Mandoline 1',
      'Mandoline 2',
      'Mandola',
      'Mandoloncello',
      'Git. 1',
      'Git. 2',
      'Kontrabass',
    ]);
    const { staves } = fullScore(stage, notateStage(stage), 'written');
    expect(staves.map(({ bracket }) => bracket)).toEqual(['woodwind', ...Array.from({ length: 7 }, () => 'plucked')]);
  });

  it('is none where violins play', () => {
    expect(isPluckedOrchestra(['mandolin', 'mandolin', 'guitar', 'violin'].map((instrument) => ({ instrument })))).toBe(
      false,
    );
  });
});

describe('a band', () => {
  // Gospel: common practice, no source.
  it('has a singer with a choir before the rhythm section', () => {
    const names = 'Lead Vocal, Soprano, Alto, Tenor, Piano, Organ, Electric Guitar, Bass Guitar, Drums, Tenor Sax';
    expect(ensembleNamed(names).kind).toBe('band');
  });

  it('is no combo for its one singer', () => {
    expect(ensembleNamed('Vocal, Piano, Double Bass, Drums, Tenor Sax').kind).toBe('combo');
  });
});

describe('violins without viola and cello over plucked strings or piano', () => {
  it.each([
    'Violines, Trompeta 1, Trompeta 2, Vihuela, Guitarra, Guitarrón, Voz',
    'Violines 1, Violines 2, Trompeta 1, Trompeta 2, Vihuela, Guitarra, Guitarrón',
    'Flauta, Violines, Piano, Baby Bass, Perc',
    'Fiddles, Flute, Accordion, Guitar, Double Bass',
  ])('%s: a band, not an orchestra', (names) => {
    expect(ensembleNamed(names).kind).toBe('band');
  });

  it('with lower strings, or over organ and timpani as in a church, they are an orchestra', () => {
    expect(ensembleNamed('Violins 1, Violins 2, Violas, Cellos, Double Basses, Guitar, Flute').kind).toBe('orchestra');
    expect(ensembleNamed('Violini I, Violini II, Contrabasso, Trumpet 1, Trumpet 2, Timpani, Organ').kind).toBe(
      'orchestra',
    );
  });
});

describe('the kind of ensemble, by who plays', () => {
  it.each([
    ['string quartet', 'Violin I, Violin II, Viola, Violoncello', 'chamber'],
    ['piano trio', 'Violin, Cello, Piano', 'chamber'],
    ['a ballad for trumpet over a pad', 'Tpt (harmon), Pno, Ac. Bass, Drums (brushes), Pad Strings', 'combo'],
    ['wind quintet', 'Flute, Oboe, Clarinet in A, Horn in F, Bassoon', 'chamber'],
    ['wind octet', 'Oboe 1, Oboe 2, Clarinet 1, Clarinet 2, Horn 1, Horn 2, Bassoon 1, Bassoon 2', 'chamber'],
    ['brass quintet', 'Trumpet 1, Trumpet 2, Horn, Trombone, Tuba', 'chamber'],
    ['string quartet with a singer', 'Soprano, Violin I, Violin II, Viola, Cello', 'chamber'],
    ['guitar with a string quartet', 'Guitar, Violin 1, Violin 2, Viola, Cello', 'chamber'],
    ['flute, viola and harp', 'Flute, Viola, Harp', 'chamber'],
    ['string orchestra', 'Violins I, Violins II, Violas, Cellos, Basses', 'string-orchestra'],
    ['string orchestra in the singular', 'Violin I, Violin II, Viola, Cello, Double Bass', 'string-orchestra'],
    ['guitar concerto of strings', 'Solo Guitar, Violins 1, Violins 2, Violas, Celli, Contrabass', 'string-orchestra'],
    [
      'classical orchestra',
      'Oboe I, Oboe II, Corno I, Corno II, Violino I, Violino II, Viola, Violoncello, Contrabasso',
      'orchestra',
    ],
    [
      'romantic orchestra',
      'Flutes 1 & 2, Oboes a2, Clarinet 1, Clarinet 2, Bassoon 1, Bassoon 2, Horns 1-4, Trumpet 1, Trumpet 2, Tbn 1, Tbn 2, Bass Tbn, Tuba, Timpani, Violins I, Violins II, Violas, Cellos, Basses',
      'orchestra',
    ],
    [
      'opera scene',
      'Soprano, Tenor, Flute, Oboe, Clarinet, Bassoon, Horn 1, Horn 2, Timpani, Violin I, Violin II, Viola, Cello, Bass',
      'orchestra',
    ],
    ['choir with organ', 'Soprano, Alto, Tenor, Bass, Organ', 'choir'],
    ['women’s choir', 'Soprano 1, Soprano 2, Alto 1, Alto 2', 'choir'],
    ['choir patch and piano', 'Choir, Piano', 'choir'],
    [
      'wind band',
      'Flute 1, Flute 2, Oboe, Bb Clarinet 1, Bb Clarinet 2, Bass Clarinet, Alto Sax, Tenor Sax, Bari Sax, Trumpet 1, Trumpet 2, F Horn 1, F Horn 2, Trombone 1, Trombone 2, Euphonium, Tuba, Percussion',
      'wind-band',
    ],
    [
      'brass band',
      'Solo Cornet, Repiano Cornet, 2nd Cornet, Flugelhorn, Solo Horn, 1st Baritone, Euphonium, 1st Trombone, Bass Trombone, Eb Bass, Bb Bass, Percussion',
      'brass-band',
    ],
    [
      'big band',
      'Alto Sax 1, Alto Sax 2, Tenor Sax 1, Tenor Sax 2, Bari Sax, Trumpet 1, Trumpet 2, Trumpet 3, Trumpet 4, Trombone 1, Trombone 2, Trombone 3, Bass Trombone, Guitar, Piano, Bass, Drums',
      'big-band',
    ],
    ['swing combo', 'Tenor Sax, Piano, Upright Bass, Drums', 'combo'],
    ['piano trio of jazz', 'Piano, Double Bass, Drum Kit', 'combo'],
    ['ballad', 'Lead Vocal, Piano, Electric Guitar, Bass Guitar, Drums', 'band'],
    ['rock trio', 'Electric Guitar, Electric Bass, Drum Kit', 'band'],
    ['song with piano', 'Singstimme, Klavier', 'song'],
    ['percussion ensemble', 'Marimba, Vibraphone, Snare Drum, Timpani', 'percussion'],
    ['one violin', 'Violin', 'solo'],
    ['tracks without names', 'Track 1, Track 2, Track 3', 'unknown'],
  ])('a %s: %s', (_, names, kind) => {
    expect(ensembleNamed(names).kind).toBe(kind);
  });

  it('does not depend on the order of the tracks', () => {
    const names = ['Violin I', 'Violin II', 'Viola', 'Cello', 'Double Bass', 'Horn 1', 'Horn 2', 'Oboe 1', 'Oboe 2'];
    expect(ensembleNamed(names.toReversed().join(','))).toEqual(ensembleNamed(names.join(',')));
  });

  it('is said under how the folder was read', () => {
    const tracks = [
      { name: 'Violin I', music: 'C5:0:4' },
      { name: 'Viola', music: 'C4:0:4' },
      { name: 'Cello', music: 'C3:0:4' },
    ];
    const { assumptions } = assemble(rawFolder([rawStage('01', { tracks })]), { folderName: 'a folder' });
    expect(assumptions.join(' ')).toContain('taken for chamber music, one player to a part');
    const settings = { parts: { Cello: { players: 2 } } };
    const shared = assemble(rawFolder([rawStage('01', { tracks })], settings), { folderName: 'a folder' });
    expect(shared.assumptions.join(' ')).toContain('taken for chamber music');
    expect(shared.assumptions.join(' ')).not.toContain('music, one player to a part');
  });
});
