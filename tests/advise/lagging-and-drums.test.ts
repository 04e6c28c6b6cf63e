/** Parts pasted beside the beat, and drums far over the tune: common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(16);
const part = (instrument: string, music: string, changes: Partial<Part> = {}): Part =>
  partOf(instrument, music, timeline, changes);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));

describe('a part beside the beat of those with whom it goes elsewhere', () => {
  const solo = part('flute', figure('C6 E6 G6', 1, 1, 16, 100), { role: 'foreground' });
  /** Two half notes a bar; in bars 9 to 12 so many quarters later, and as long as given. */
  const halves = (pitches: string, later = 0, length = 2): string => {
    const names = pitches.split(' ');
    return Array.from({ length: 32 }, (_, index) => {
      const isOut = later > 0 && index >= 16 && index < 24;
      const start = 2 * index + (isOut ? later : 0);
      const size = isOut ? Math.min(length, 48 - start) : 2;
      return `${names[index % names.length]}:${start}:${size}:60`;
    }).join(' ');
  };
  const others = [part('oboe', halves('E4 G4')), part('bassoon', halves('C3 G2'))];
  const told = (horn: string) => findingsFor(solo, ...others, part('horn-f', horn));

  it('half a beat late for four bars is told, with the rest before it', () => {
    const findings = told(halves('G3 E3', 0.5));
    expect(barsOf(findings, 'displaced-part')).toEqual([['look', 9, 12]]);
    expect(messageOf(findings, 'displaced-part')).toContain('half a beat late');
  });

  it('after-beats, shorter than what they follow, are an accompaniment', () => {
    expect(barsOf(told(halves('G3 E3', 1, 1)), 'displaced-part')).toEqual([]);
    expect(barsOf(told(halves('G3 E3')), 'displaced-part')).toEqual([]);
  });
});

describe('an accompaniment that changes its rhythm', () => {
  const solo = part('flute', figure('C6 E6 G6', 1, 1, 16, 100), { role: 'foreground' });
  /** Short chords after the beat; in bars 9 to 12 as given. */
  const afterBeats = (pitches: string, instead: (start: number) => string = () => ''): string => {
    const chords = (bar: number): string =>
      [1, 3].flatMap((beat) => pitches.split(' ').map((name) => `${name}:${4 * bar + beat}:0.5:60`)).join(' ');
    return Array.from({ length: 16 }, (_, bar) =>
      bar >= 8 && bar < 12 ? instead(4 * bar) || chords(bar) : chords(bar),
    ).join(' ');
  };
  const bass = part('bassoon', figure('C3 G2', 2, 1, 16));
  const second = part('viola', afterBeats('E4 G4'));
  const told = (instead: (start: number) => string) =>
    barsOf(findingsFor(solo, bass, second, part('accordion', afterBeats('C4 E4', instead))), 'displaced-part');

  it('from after-beats to a chord a bar, held from its first beat, is in its place: it sounds with everybody there', () => {
    expect(told((start) => `C4:${start}:4:60 E4:${start}:4:60`)).toEqual([]);
  });

  it('from after-beats to chords on the beat is in its place too', () => {
    const short = (start: number): string => `C4:${start}:0.5:60 E4:${start}:0.5:60`;
    expect(told((start) => `${short(start)} ${short(start + 2)}`)).toEqual([]);
  });
});

describe('a bass on the first beat of every bar', () => {
  const long = timelineOf(24);
  const solo = partOf('flute', figure('C6 E6 G6', 1, 1, 24, 100), long, { role: 'foreground' });
  const after = partOf('guitar', figure('E4 G4', 1, 1, 24), long);
  /** One note a bar; in bars 12 to 14 a beat later, so long. */
  const bass = (later: number, length = 4): string =>
    Array.from({ length: 24 }, (_, bar) => {
      const isOut = later > 0 && bar >= 11 && bar < 14;
      const size = isOut ? (bar === 13 ? Math.min(length, 4 - later) : length) : bar === 10 ? 3 : 4;
      return `${bar % 2 === 0 ? 'C2' : 'G2'}:${4 * bar + (isOut ? later : 0)}:${size}:60`;
    }).join(' ');
  const told = (music: string) => findingsOf(stageOf([solo, after, partOf('double-bass', music, long)], long));

  it('that comes on the second for three bars and holds over the line is told by its own habit', () => {
    const findings = told(bass(1));
    expect(barsOf(findings, 'displaced-part')).toEqual([['look', 12, 14]]);
    expect(messageOf(findings, 'displaced-part')).toContain('a beat late');
    expect(messageOf(findings, 'displaced-part')).toContain('at the places of the bar at which it begins elsewhere');
  });

  it('that rests on the first beat and ends with the bar has another figure', () => {
    expect(barsOf(told(bass(1, 3)), 'displaced-part')).toEqual([]);
    expect(barsOf(told(bass(0)), 'displaced-part')).toEqual([]);
  });
});

describe('drums over the foreground', () => {
  /** Shaped by hand: a little louder in the second half. */
  const shaped = (pitches: string, velocity: number): string =>
    `${figure(pitches, 1, 1, 8, velocity)} ${figure(pitches, 1, 9, 16, velocity + 4)}`;
  const tune = part('vibraphone', shaped('C5 E5', 50), { role: 'foreground' });
  const soft = part('marimba', shaped('C4 G4', 46));
  const snare = (velocity: number): Part => {
    const roll = `${figure('D2', 0.25, 9, 10, velocity)} ${figure('D2', 0.25, 11, 12, velocity + 5)}`;
    return part('percussion-unpitched', roll, { name: 'Side drum' });
  };

  it('a roll ff over a soft vibraphone is told in its bars', () => {
    const findings = findingsFor(tune, soft, snare(112));
    expect(barsOf(findings, 'background-as-loud')).toEqual([['look', 9, 12]]);
    expect(messageOf(findings, 'background-as-loud')).toMatch(/Side drum is marked about \d dynamic grades over/);
  });

  it('one grade over it is none', () => {
    expect(barsOf(findingsFor(tune, soft, snare(72)), 'background-as-loud')).toEqual([]);
  });
});
