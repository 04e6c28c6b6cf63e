/** Lines with a hole. What is meant and what is lost is common practice, no source. */
import { Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(16);
const part = (instrument: string, music: string, role: 'foreground' | 'background' = 'background'): Part =>
  partOf(instrument, music, timeline, { role });

/** Eight bars that come twice. */
const twice = (...bars: readonly string[]): string =>
  [0, 8]
    .flatMap((from) => bars.map((pitches, index) => figure(pitches, 1, from + index + 1, from + index + 1)))
    .join(' ');
const TUNE = ['C5 E5', 'D5 F5', 'E5 G5', 'F5 D5', 'G5 E5', 'A5 F5', 'B4 D5', 'C5 C5'];
const solo = part('trumpet-bflat', twice(...TUNE), 'foreground');
const horn = part('horn-f', twice('G4', 'A4', 'C5', 'A4', 'G4', 'C5', 'G4', 'G4'));
const bassoon = part('bassoon', twice('C3', 'D3', 'C3', 'D3', 'E3', 'F3', 'G3', 'C3'));
const OBOE = ['E4', 'F4', 'G4', 'F4', 'E4', 'F4', 'D4', 'E4'];
const oboeWithout = (...silent: readonly number[]): Part =>
  part(
    'oboe',
    [...OBOE, ...OBOE]
      .flatMap((pitches, index) => (silent.includes(index + 1) ? [] : [figure(pitches, 1, index + 1, index + 1)]))
      .join(' '),
  );
/** Sixteen bars of which none comes again, some of them left out. */
const throughBars = (names: readonly string[], ...silent: readonly number[]): readonly string[] =>
  Array.from({ length: 16 }, (_, at) => at).flatMap((at) =>
    silent.includes(at + 1)
      ? []
      : [
          figure(
            `${names[at % 5]} ${names[(at * at + Math.floor(at / 5)) % 5]} ${names[Math.floor(at / 4)]}`,
            1,
            at + 1,
            at + 1,
          ),
        ],
  );
const through = (instrument: string, names: readonly string[], role?: 'foreground'): Part =>
  part(instrument, throughBars(names).join(' '), role);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));

describe('broken-line', () => {
  it('two bars of an oboe lost in the repeat, where everybody else has the same music', () => {
    const findings = findingsFor(solo, horn, bassoon, oboeWithout(11, 12));
    expect(barsOf(findings, 'broken-line')).toEqual([['look', 11, 12]]);
    expect(messageOf(findings, 'broken-line')).toContain('in the middle of what it plays at bars 3–4');
  });

  it('an oboe that comes in a bar late in the repeat is told with the bar of its entry', () => {
    const findings = findingsFor(solo, horn, bassoon, oboeWithout(1, 2, 9, 10, 11));
    expect(barsOf(findings, 'broken-line')).toEqual([['look', 11, 12]]);
    expect(messageOf(findings, 'broken-line')).toContain('comes in 1 bar later than in the same music at bar 3');
  });

  it('a phrase that the oboe leaves to others as a whole, or a bar that two parts leave out, is meant', () => {
    expect(barsOf(findingsFor(solo, horn, bassoon, oboeWithout(9, 10, 11, 12)), 'broken-line')).toEqual([]);
    const hornWithout = part('horn-f', [1, 12].map((from) => figure('G4 A4', 1, from, from === 1 ? 10 : 16)).join(' '));
    expect(barsOf(findingsFor(solo, hornWithout, bassoon, oboeWithout(11)), 'broken-line')).toEqual([]);
  });

  it('a tenor who comes in a bar late and stays so is told once, as displaced', () => {
    const roots = [0, 2, 4, 2];
    const voice = (instrument: string, degree: number, from: number, lateTo = 0): Part =>
      part(
        instrument,
        Array.from({ length: 17 - from }, (_, index) => from + index)
          .map((bar) => {
            const root = roots[(bar <= lateTo ? bar - 1 : bar) % 4] ?? 0;
            return figure(Note.fromMidiSharps(48 + root + degree), 2, bar, bar);
          })
          .join(' '),
      );
    const tune = Array.from({ length: 16 }, (_, index) => {
      const root = 72 + (roots[(index + 1) % 4] ?? 0);
      return figure(`${Note.fromMidiSharps(root)} ${Note.fromMidiSharps(root + 7)}`, 1, index + 1, index + 1);
    });
    const findings = findingsFor(
      part('trumpet-bflat', tune.join(' '), 'foreground'),
      voice('voice-alto', 16, 5),
      voice('voice-bass', 0, 5),
      voice('voice-tenor', 12, 6, 9),
    );
    expect(barsOf(findings, 'displaced-part')).toEqual([['look', 6, 9]]);
    expect(barsOf(findings, 'broken-line')).toEqual([]);
  });

  it('a tenor who comes in a bar after the altos and basses and goes on with them', () => {
    const voice = (instrument: string, pitches: string, from: number): Part =>
      part(instrument, figure(pitches, 2, from, 12));
    const others = [voice('voice-alto', 'C4 D4', 5), voice('voice-bass', 'C3 G2', 5)];
    const late = findingsFor(
      part('trumpet-bflat', figure('C5 E5', 1, 1, 16), 'foreground'),
      ...others,
      voice('voice-tenor', 'G3 F3', 6),
    );
    expect(barsOf(late, 'broken-line')).toEqual([['look', 5, 6]]);
    // In another rhythm he answers them.
    const answer = part('voice-tenor', figure('G3 F3 E3', 1, 6, 12));
    const soloist = part('trumpet-bflat', figure('C5 E5', 1, 1, 16), 'foreground');
    expect(barsOf(findingsFor(soloist, ...others, answer), 'broken-line')).toEqual([]);
  });

  it('a tune that is gone for a bar in the middle of its run; one that rests after a long note is at rest', () => {
    const backing = [
      through('horn-f', ['G4', 'A4', 'C5', 'B4', 'F4']),
      through('bassoon', ['C3', 'D3', 'E3', 'F3', 'G3']),
    ];
    const names = ['C5', 'D5', 'E5', 'F5', 'G5'];
    const run = part('trumpet-bflat', throughBars(names, 7).join(' '), 'foreground');
    expect(barsOf(findingsFor(run, ...backing), 'broken-line')).toEqual([['note', 7, 7]]);
    const close = part('trumpet-bflat', `${throughBars(names, 6, 7).join(' ')} G5:20:4:60`, 'foreground');
    expect(barsOf(findingsFor(close, ...backing), 'broken-line')).toEqual([]);
  });

  it('a bass that is gone for two bars inside a phrase leaves four players without a ground', () => {
    const upper = [
      through('trumpet-bflat', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground'),
      through('horn-f', ['G4', 'A4', 'C5', 'B4', 'F4']),
      through('oboe', ['E5', 'C5', 'D5', 'F5', 'A5']),
      through('clarinet-bflat', ['E4', 'G4', 'A4', 'F4', 'D4']),
    ];
    const tuba = part('tuba', `${figure('C2 G2', 2, 1, 5)} ${figure('C2 G2', 2, 8, 16)}`);
    expect(barsOf(findingsFor(...upper, tuba), 'broken-line')).toEqual([['note', 6, 7]]);
    // Who has the ground in nine bars of ten leaves it nowhere else: that is to be looked at.
    const once = part('tuba', `${figure('C2 G2', 2, 1, 5)} ${figure('C2 G2', 2, 7, 16)}`);
    expect(barsOf(findingsFor(...upper, once), 'broken-line')).toEqual([['look', 6, 6]]);
    // From phrase to phrase it is a rest.
    const phrase = part('tuba', `${figure('C2 G2', 2, 1, 4)} ${figure('C2 G2', 2, 9, 16)}`);
    expect(barsOf(findingsFor(...upper, phrase), 'broken-line')).toEqual([]);
  });

  it('a bass guitar that is gone for a whole phrase while drums and two guitars play on over it is missed; without drums, or where one goes down to it, it rests', () => {
    const upper = [
      through('flute', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground'),
      through('mandolin', ['E4', 'G4', 'A4', 'F4', 'D4']),
    ];
    const guitar = (low: string): Part =>
      part('guitar', `${figure('C3 G3', 2, 1, 4)} ${figure(low, 2, 5, 8)} ${figure('C3 G3', 2, 9, 16)}`);
    const bass = part('bass-guitar', `${figure('C2 G2', 2, 1, 4)} ${figure('C2 G2', 2, 9, 16)}`);
    const drums = part('percussion-unpitched', figure('C2 D2', 1, 1, 16));
    expect(barsOf(findingsFor(...upper, guitar('C4 G4'), bass, drums), 'broken-line')).toEqual([['look', 5, 8]]);
    expect(barsOf(findingsFor(...upper, guitar('C4 G4'), bass), 'broken-line')).toEqual([]);
    // More than an octave over it nobody has taken its place, whoever is the lowest there.
    expect(barsOf(findingsFor(...upper, guitar('D3 A3'), bass, drums), 'broken-line')).toEqual([['look', 5, 8]]);
    expect(barsOf(findingsFor(...upper, guitar('C3 G3'), bass, drums), 'broken-line')).toEqual([]);
  });

  it('a bass guitar that is gone for three bars and comes back within a phrase is missed where drums play on, though a fiddle rests with it; without drums it may be meant', () => {
    const upper = [
      through('flute', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground'),
      part('guitar', figure('C4 G4', 2, 1, 16)),
      part('violin', `${figure('E5 G5', 2, 1, 4)} ${figure('E5 G5', 2, 8, 16)}`),
    ];
    const bass = part('bass-guitar', `${figure('C2 G2', 2, 1, 4)} ${figure('C2 G2', 2, 8, 16)}`);
    const drums = part('percussion-unpitched', figure('C2 D2', 1, 1, 16));
    expect(barsOf(findingsFor(...upper, bass, drums), 'broken-line')).toEqual([['look', 5, 7]]);
    expect(barsOf(findingsFor(...upper, bass), 'broken-line')).toEqual([]);
  });

  it('a bass that is gone with those who double it in octaves is missed as well', () => {
    const upper = [
      through('trumpet-bflat', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground'),
      through('oboe', ['E5', 'C5', 'D5', 'F5', 'A5']),
      through('clarinet-bflat', ['E4', 'G4', 'A4', 'F4', 'D4']),
    ];
    const gone = (instrument: string, music: string): Part =>
      part(instrument, `${figure(music, 2, 1, 5)} ${figure(music, 2, 7, 16)}`);
    const low = [gone('tuba', 'C2 G2'), gone('bassoon', 'C3 G3'), gone('cello', 'C3 G3')];
    const holes = findingsFor(...upper, ...low).filter(({ rule }) => rule === 'broken-line');
    expect(holes.map(({ from, to, partIds }) => [from, to, partIds])).toEqual([[6, 6, ['tuba']]]);
    // Where others rest with it who have lines of their own, the texture thins out.
    const thin = ['A3 B3', 'F3 E3'].map((music, index) => gone(['bassoon', 'cello'][index] ?? '', music));
    expect(barsOf(findingsFor(...upper, ...low.slice(0, 1), ...thin), 'broken-line')).toEqual([]);
  });

  it('under a tune and chords of one player a bass that is gone for a bar is missed too, a fill before it or not', () => {
    const tune = through('trumpet-bflat', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground');
    const chords = part('piano', ['E4', 'G4', 'B4', 'D5'].map((pitch) => figure(pitch, 1, 1, 16)).join(' '));
    const fill = part('guitar', 'G4:16:1 A4:17:1 B4:18:1');
    const tuba = part('tuba', `${figure('C2 G2', 2, 1, 5)} ${figure('C2 G2', 2, 7, 16)}`);
    expect(barsOf(findingsFor(tune, chords, fill, tuba), 'broken-line')).toEqual([['look', 6, 6]]);
    // Over one line alone the ground may rest.
    const line = part('piano', figure('E4', 1, 1, 16));
    expect(barsOf(findingsFor(tune, line, fill, tuba), 'broken-line')).toEqual([]);
  });

  it('a bass that is gone for four bars over a change of winds, and comes back on a higher note, is told once', () => {
    const names = ['E4', 'G4', 'A3', 'F4', 'D4'];
    const winds = [
      through('trumpet-bflat', ['C5', 'D5', 'E5', 'F5', 'G5'], 'foreground'),
      through('horn-f', ['G4', 'A4', 'C5', 'B4', 'F4']),
      through('clarinet-bflat', names),
      part('oboe', throughBars(['E5', 'C5', 'D5', 'F5', 'A5'], 8, 9, 10, 11, 12, 13, 14, 15, 16).join(' ')),
      part('flute', throughBars(['E5', 'C5', 'D5', 'F5', 'A5'], 1, 2, 3, 4, 5, 6, 7).join(' ')),
    ];
    const tuba = part('tuba', `${figure('C2 G2', 2, 1, 5)} ${figure('G3', 4, 10, 10)} ${figure('C2 G2', 2, 11, 16)}`);
    const findings = findingsFor(...winds, tuba);
    expect(barsOf(findings, 'broken-line')).toEqual([['note', 6, 9]]);
    expect(barsOf(findings, 'entry-off-phrase')).toEqual([]);
    // Where two of five leave with it the texture thins out, and that is meant.
    const oboe = throughBars(['E5', 'C5', 'D5', 'F5', 'A5'], 6, 7, 8, 9);
    const thinner = [
      ...winds.slice(0, 2),
      part('clarinet-bflat', throughBars(names, 6, 7, 8, 9).join(' ')),
      part('oboe', oboe.join(' ')),
      through('flute', ['G5', 'F5', 'E5', 'D5', 'C5']),
    ];
    expect(barsOf(findingsFor(...thinner, tuba), 'broken-line')).toEqual([]);
  });
});
