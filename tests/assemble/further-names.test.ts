/** Singers, drums and soloists as bands and orchestras of many countries call their tracks: common practice, no source. */
import { describe, expect, it } from 'vitest';
import { readName } from '../../src/assemble/names/read-name.ts';
import type { Recognition } from '../../src/assemble/instruments/recognise.ts';
import { recogniseTracks } from '../../src/assemble/instruments/recognise.ts';
import { nameReader, sourceTracks } from '../../src/assemble/names/source-track.ts';
import { rawStage } from './raw-folder.ts';

interface Sounding {
  readonly name: string;
  readonly keys: readonly number[];
  readonly channel?: number;
  readonly program?: number;
}

const read = nameReader();

function recognised(tracks: readonly Sounding[]): readonly Recognition[] {
  const stage = rawStage('01', {
    tracks: tracks.map(({ name, keys, channel = 0, program }) => ({
      name,
      channel,
      ...(program === undefined ? {} : { program }),
      notes: keys.map((midi, index) => ({ midi, velocity: 80, startTick: 480 * index, endTick: 480 * index + 400 })),
    })),
  });
  return recogniseTracks(sourceTracks(stage, {}, read), read);
}

describe('names of further languages', () => {
  it.each([
    ['Fioliner', 'violin'],
    ['Bratsjer', 'viola'],
    ['Celloer', 'cello'],
    ['Altfioler', 'viola'],
    ['Kontrabasar', 'double-bass'],
    ['Viulut', 'violin'],
    ['Alttoviulut', 'viola'],
    ['Altviolen', 'viola'],
    ["Cello's", 'cello'],
    ['Violoncelos', 'cello'],
    ['Altówki', 'viola'],
    ['Violy', 'viola'],
    ['Brácsák', 'viola'],
  ])('%s are a section of the %s', (name, instrument) => {
    expect(readName(name)).toMatchObject({ candidates: [instrument], plural: true });
  });

  it.each([
    ['Solofiolin', 'violin'],
    ['SOLOFIOL', 'violin'],
    ['Solo-bratsj', 'viola'],
    ['Solocello', 'cello'],
    ['Solooboe', 'oboe'],
    ['Soloviool', 'violin'],
    ['Solotrompet', 'trumpet-bflat'],
  ])('%s is one player, a soloist', (name, instrument) => {
    expect(readName(name)).toMatchObject({ candidates: [instrument], solo: true, plural: false });
  });

  it('a soloist is no part of a compound', () => {
    expect(readName('Solist')).toMatchObject({ candidates: [], solo: true, rest: '' });
  });
});

describe('singers as songs name them', () => {
  it.each(['Voz', 'Voz (sonero)', 'Sonero', 'Lead Vox', 'SOLO - Sis.', 'SOLO - Bro.', 'Vokal'])(
    '%s is a singer, on the program of a choir too, and nothing is asked',
    (name) => {
      const [singer] = recognised([
        { name, keys: [60, 62, 64, 62], program: 53 },
        { name: 'Piano', keys: [48, 50], channel: 1, program: 0 },
      ]);
      expect(singer).toMatchObject({ instrument: 'voice' });
      expect(singer?.question).toBeUndefined();
    },
  );

  it('a solo without more words is a singer where its program is sung', () => {
    expect(recognised([{ name: 'SOLO', keys: [60, 62], program: 52 }])[0]).toMatchObject({ instrument: 'voice' });
  });

  it.each([
    ['CHR Sop', 'voice-soprano'],
    ['Coro Alto', 'voice-alto'],
    ['Kor Tenor', 'voice-tenor'],
  ])('%s is a voice of a choir', (name, voice) => {
    expect(readName(name)).toMatchObject({ candidates: [voice], ofChoir: true });
  });

  it('the alto of some voices is no choir', () => {
    expect(readName('Vox Alto').ofChoir).toBe(false);
    expect(readName('Alto').ofChoir).toBe(false);
  });
});

describe('drums of a Latin band', () => {
  it.each([
    'Campana',
    'Campana/Timbal',
    'Timbal',
    'Timbales',
    'Güiro',
    'Clave',
    'Congas',
    'Bongó',
    'Maracas',
    'Cáscara',
  ])('%s on the drum channel is no tuned instrument', (name) => {
    const [drum] = recognised([
      { name, keys: [56, 56, 65, 56], channel: 9 },
      { name: 'Bajo', keys: [36, 43], program: 33 },
    ]);
    expect(drum).toMatchObject({ instrument: 'percussion-unpitched' });
    expect(drum?.question).toBeUndefined();
  });

  it('tubular bells on the drum channel are drums where their notes are none of theirs, and bells where they are', () => {
    const [low] = recognised([{ name: 'Tubular Bells', keys: [35, 38, 42, 46], channel: 9 }]);
    expect(low?.instrument).toBe('percussion-unpitched');
    const [bells] = recognised([{ name: 'Tubular Bells', keys: [60, 64, 67, 72], channel: 9 }]);
    expect(bells?.instrument).toBe('tubular-bells');
  });

  it('the campana of an orchestra is a bell', () => {
    const [bell] = recognised([
      { name: 'Campana', keys: [60, 67] },
      { name: 'Violini I', keys: [67, 69], channel: 1 },
      { name: 'Viole', keys: [60, 62], channel: 2 },
      { name: 'Violoncelli', keys: [48, 50], channel: 3 },
    ]);
    expect(bell?.instrument).toBe('tubular-bells');
  });
});
