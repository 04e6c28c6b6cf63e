import { describe, expect, it } from 'vitest';
import { instrumentById } from '../../src/model/music/catalogue.ts';
import { midiOf, parsePitch, pitchName, transpose } from '../../src/model/music/pitch.ts';

/**
 * Written and sounding pitch. Sources: RK = Rimsky-Korsakov, Principles of Orchestration (1922), tables read; GEH = Gehrkens, Music Notation and Terminology (1914),
 * App. B, read; JOH = Johnstone, Instruments of the Modern Symphony Orchestra (1917), read; RISM = cataloguing guidelines, read; ADL = Adler, The Study of
 * Orchestration, from memory; GOU = Gould, Behind Bars, from memory.
 */
const CASES = [
  ['horn-f', 'C4', 'F3', 'RK table C; ADL'],
  ['clarinet-bflat', 'C5', 'Bb4', 'ADL'],
  ['clarinet-a', 'C5', 'A4', 'ADL'],
  ['clarinet-eflat', 'C5', 'Eb5', 'ADL'],
  ['bass-clarinet', 'C5', 'Bb3', 'ADL, treble clef'],
  ['cor-anglais', 'C5', 'F4', 'RISM: in F; ADL'],
  ['alto-flute', 'C5', 'G4', 'ADL'],
  ['piccolo', 'D4', 'D5', 'GEH: an octave higher'],
  ['double-bass', 'E2', 'E1', 'GEH; JOH'],
  ['contrabassoon', 'C3', 'C2', 'ADL'],
  ['sax-alto', 'C5', 'Eb4', 'ADL'],
  ['sax-tenor', 'C5', 'Bb3', 'ADL'],
  ['sax-baritone', 'C5', 'Eb3', 'ADL'],
  ['sax-soprano', 'C5', 'Bb4', 'ADL'],
  ['trumpet-bflat', 'F#3', 'E3', 'RK table C, lowest note'],
  ['glockenspiel', 'C4', 'C6', 'ADL'],
  ['xylophone', 'C4', 'C5', 'ADL'],
  ['celesta', 'C4', 'C5', 'ADL'],
  // Instruments of the schoolroom are all written C4 to A5: common practice, no source.
  ['xylophone-soprano', 'C4', 'C5', 'common practice'],
  ['xylophone-alto', 'C4', 'C4', 'common practice'],
  ['xylophone-bass', 'C4', 'C3', 'common practice'],
  ['glockenspiel-soprano', 'C4', 'C6', 'common practice'],
  ['glockenspiel-alto', 'C4', 'C5', 'common practice'],
  ['guitar', 'E3', 'E2', 'ADL'],
  ['voice-tenor', 'C5', 'C4', 'GOU, treble clef; RK table F'],
] as const;

describe('transposing instruments', () => {
  it.each(CASES)('%s: written %s sounds %s (%s)', (id, written, sounding) => {
    const { semitones, diatonicSteps } = instrumentById(id)!.transposition;
    expect(pitchName(transpose(parsePitch(written)!, diatonicSteps, semitones))).toBe(sounding);
  });

  // GEH and RK agree: these sound as written.
  it.each([
    'flute',
    'oboe',
    'bassoon',
    'trombone-tenor',
    'tuba',
    'timpani',
    'violin',
    'viola',
    'cello',
    'harp',
    'piano',
  ])('%s sounds as written', (id) => {
    expect(instrumentById(id)!.transposition.semitones).toBe(0);
  });
});

describe('limits of compass, sounding', () => {
  const low = (id: string): number => instrumentById(id)!.extremeRange!.low;
  const key = (name: string): number => midiOf(parsePitch(name)!);

  // GEH and JOH agree; the lowest open string cannot be gone below.
  it.each([
    ['violin', ['G3', 'D4', 'A4', 'E5']],
    ['viola', ['C3', 'G3', 'D4', 'A4']],
    ['cello', ['C2', 'G2', 'D3', 'A3']],
    ['double-bass', ['E1', 'A1', 'D2', 'G2']],
  ] as const)('the open strings of the %s are %j and it goes no lower', (id, strings) => {
    expect(instrumentById(id)!.openStrings).toEqual(strings.map(key));
    expect(low(id)).toBe(key(strings[0]));
  });

  it('a double bass with five strings or an extension reaches C1 (JOH)', () => {
    expect(instrumentById('double-bass')!.extension?.low).toBe(key('C1'));
  });

  // Two sources agree.
  it.each([
    ['oboe', 'Bb3', 'RK table B; ADL'],
    ['bassoon', 'Bb1', 'RK table B; GEH'],
    ['trombone-tenor', 'E2', 'RK table C; GEH'],
    ['clarinet-bflat', 'D3', 'RK table B, GEH: written E3'],
    ['cor-anglais', 'E3', 'RK table B; ADL'],
    ['harp', 'Cb1', 'RK text; ADL'],
  ])('the lowest note of the %s is %s (%s)', (id, name) => {
    expect(low(id)).toBe(key(name));
  });

  it('the flute begins at C4 by GEH, at B3 by RK table B: the B is kept as an extension', () => {
    expect(low('flute')).toBe(key('C4'));
    expect(instrumentById('flute')!.extension?.low).toBe(key('B3'));
  });

  it('the violin ends at A6 by RK text, C7 by GEH, E7 by ADL: the last is the limit, the second ends the practical range', () => {
    const violin = instrumentById('violin')!;
    expect(violin.extremeRange?.high).toBe(key('E7'));
    expect(violin.practicalRange?.high).toBe(key('C7'));
  });

  it('every practical range lies inside the absolute one with its extension', () => {
    for (const id of [
      'flute',
      'oboe',
      'clarinet-bflat',
      'bassoon',
      'horn-f',
      'trumpet-bflat',
      'trombone-tenor',
      'tuba',
      'violin',
      'viola',
      'cello',
      'double-bass',
    ]) {
      const { extremeRange, practicalRange, extension } = instrumentById(id)!;
      expect(practicalRange!.low).toBeGreaterThanOrEqual(Math.min(extremeRange!.low, extension?.low ?? 127));
      expect(practicalRange!.high).toBeLessThanOrEqual(Math.max(extremeRange!.high, extension?.high ?? 0));
    }
  });
});
