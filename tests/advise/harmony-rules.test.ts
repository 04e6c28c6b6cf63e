import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { ChordSpan } from '../../src/model/music/written.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { chordOn } from '../support/written.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(12);

const dominant = (from: number, to: number): ChordSpan =>
  chordOn(from, to, { symbol: 'G', root: { step: 'G', alter: 0 }, roman: 'V', tones: [7, 11, 2] }, 'G');

const part = (instrument: string, pitch: string, from = 1, to = 12): Part =>
  partOf(instrument, figure(pitch, 4, from, to), timeline);
const front = (pitch: string): Part => partOf('flute', figure(pitch, 4, 1, 12, 100), timeline, { role: 'foreground' });
const judge = (parts: Part[], chords: ChordSpan[]) => findingsOf(stageOf(parts, timeline), {}, [], chords);

describe('incomplete-chord (root and third are never left out, the fifth may go)', () => {
  const chords = [chordOn(1, 4), chordOn(5, 6), chordOn(7, 12)];
  const full = [front('G5'), part('cello', 'C3'), part('viola', 'G4')];

  it('names the bars in which nobody has the third', () => {
    const findings = judge([...full, part('violin', 'E4', 1, 4), part('oboe', 'E4', 7, 12)], chords);
    expect(barsOf(findings, 'incomplete-chord')).toEqual([['note', 5, 6]]);
    expect(messageOf(findings, 'incomplete-chord')).toContain('Nobody has the third of C at bar 5, beat 1');
  });

  it('does not miss the fifth, nor the third of a suspended chord, nor judge two parts or a doubtful chord', () => {
    const noFifth = [front('C5'), part('cello', 'C3'), part('viola', 'E4')];
    expect(barsOf(judge(noFifth, [chordOn(1, 12)]), 'incomplete-chord')).toEqual([]);
    const suspended = chordOn(1, 12, { quality: 'suspended-fourth', tones: [0, 5, 7] });
    expect(barsOf(judge(full, [suspended]), 'incomplete-chord')).toEqual([]);
    expect(barsOf(judge(full.slice(1), [chordOn(1, 12)]), 'incomplete-chord')).toEqual([]);
    expect(barsOf(judge(full, [chordOn(1, 12, { coverage: 0.7 })]), 'incomplete-chord')).toEqual([]);
  });
});

describe('hollow-without-foreground (take the solo away and listen)', () => {
  const background = [part('cello', 'C3'), part('viola', 'G4'), part('horn-f', 'C4')];

  it('names the bars in which only the soloist has the third', () => {
    const findings = judge(
      [front('E5'), ...background, part('oboe', 'E4', 5, 12)],
      [chordOn(1, 2), chordOn(3, 4), chordOn(5, 12)],
    );
    expect(barsOf(findings, 'hollow-without-foreground')).toEqual([['note', 1, 4]]);
    expect(messageOf(findings, 'hollow-without-foreground')).toContain('as C at bar 1, beat 1 its third');
  });

  it('is silent where an inner part has it too, where it is short, or where two parts accompany', () => {
    expect(
      barsOf(judge([front('E5'), ...background, part('oboe', 'E4')], [chordOn(1, 12)]), 'hollow-without-foreground'),
    ).toEqual([]);
    const short = [front('E5'), ...background, part('oboe', 'E4', 2, 12)];
    expect(barsOf(judge(short, [chordOn(1, 1), chordOn(2, 12)]), 'hollow-without-foreground')).toEqual([]);
    expect(barsOf(judge([front('E5'), ...background.slice(1)], [chordOn(1, 12)]), 'hollow-without-foreground')).toEqual(
      [],
    );
  });

  it('a third that nobody has is another matter', () => {
    const findings = judge([front('G5'), ...background], [chordOn(1, 12)]);
    expect(barsOf(findings, 'hollow-without-foreground')).toEqual([]);
    expect(barsOf(findings, 'incomplete-chord')).toHaveLength(1);
  });
});

describe('root-not-in-bass', () => {
  const parts = [front('E5'), part('cello', 'G2'), part('viola', 'C4')];

  it('a long chord over its fifth, and a last chord over its third', () => {
    const findings = judge(parts, [chordOn(1, 2, {}, 'G'), chordOn(3, 12)]);
    expect(barsOf(findings, 'root-not-in-bass')).toEqual([['note', 1, 2]]);
    expect(messageOf(findings, 'root-not-in-bass')).toContain('C/G');
    const last = judge(parts, [chordOn(1, 11), chordOn(12, 12, {}, 'E')]);
    expect(barsOf(last, 'root-not-in-bass')).toEqual([['note', 12, 12]]);
    expect(messageOf(last, 'root-not-in-bass')).toContain('The last chord');
  });

  it('a six-four chord that leads to the dominant over the same bass is what it is for', () => {
    expect(barsOf(judge(parts, [chordOn(1, 2, {}, 'G'), dominant(3, 4), chordOn(5, 12)]), 'root-not-in-bass')).toEqual(
      [],
    );
  });

  it('a first inversion or a short one is not mentioned', () => {
    expect(barsOf(judge(parts, [chordOn(1, 4, {}, 'E'), chordOn(5, 12)]), 'root-not-in-bass')).toEqual([]);
    expect(barsOf(judge(parts, [chordOn(1, 1, {}, 'G'), chordOn(2, 12)]), 'root-not-in-bass')).toEqual([]);
  });
});

describe('unresolved-tone (a seventh falls, a leading note rises: Kostka and Payne, Aldwell and Schachter, from memory)', () => {
  const seventh = { quality: 'dominant-seventh', symbol: 'G7', roman: 'V7', tones: [7, 11, 2, 5] };
  const chords = [chordOn(1, 3), { ...dominant(4, 4), ...seventh }, chordOn(5, 6)];
  /** A note a bar. */
  const line = (pitches: string): string =>
    pitches
      .split(' ')
      .map((pitch, bar) => `${pitch}:${String(4 * bar)}:4`)
      .join(' ');
  const string = (instrument: string, pitches: string, role: Part['role'] = 'background'): Part =>
    partOf(instrument, line(pitches), timeline, { role });
  const tune = string('oboe', 'G5 G5 G5 D5 C5 C5', 'foreground');
  const violin = string('violin', 'C5 C5 C5 B4 C5 C5');
  const cello = string('cello', 'C3 C3 C3 G3 C3 C3');
  const found = (...parts: Part[]) => barsOf(judge(parts, chords), 'unresolved-tone');

  it('a seventh that rises to the fifth and that nobody resolves, in its bar, in the words of the trade', () => {
    const findings = judge([tune, violin, string('viola', 'E4 E4 E4 F4 G4 G4'), cello], chords);
    expect(barsOf(findings, 'unresolved-tone')).toEqual([['note', 4, 4]]);
    expect(messageOf(findings, 'unresolved-tone')).toBe(
      'Viola does not resolve the seventh of G7, F4 to G4 at bar 4, beat 1, and nobody else does.',
    );
  });

  it('a leading note on top that leaps down', () => {
    const low = string('oboe', 'G4 G4 G4 G4 G4 G4', 'foreground');
    expect(found(low, string('violin', 'C5 C5 C5 B4 G4 G4'), cello)).toEqual([['note', 4, 4]]);
  });

  it('an inner leading note that falls to the fifth, a seventh that falls, one that a neighbour resolves, and one that stops are none', () => {
    expect(found(tune, string('violin', 'C5 C5 C5 B4 G4 G4'), cello)).toEqual([]);
    expect(found(tune, violin, string('viola', 'E4 E4 E4 F4 E4 E4'), cello)).toEqual([]);
    const neighbour = string('clarinet-bflat', 'C4 C4 C4 D4 E4 E4');
    expect(found(tune, violin, string('viola', 'E4 E4 E4 F4 G4 G4'), neighbour, cello)).toEqual([]);
    expect(found(tune, violin, string('viola', 'E4 E4 E4 F4'), cello)).toEqual([]);
  });

  it('what begins as the root of a triad of its own is no seventh there, whatever chord is read over the longer time', () => {
    const viola = string('viola', 'E4 E4 E4 F4 G4 G4');
    const over = (fourth: string) =>
      found(
        string('oboe', `G5 G5 G5 ${fourth} C5 C5`, 'foreground'),
        string('violin', 'C5 C5 C5 C5 C5 C5'),
        viola,
        cello,
      );
    expect(over('D5')).toEqual([['note', 4, 4]]);
    expect(over('A5')).toEqual([]);
  });

  it('the tune goes where it likes', () => {
    expect(found(string('oboe', 'G5 G5 G5 F5 G5 G5', 'foreground'), violin, cello)).toEqual([]);
  });

  it('a broken chord is no voice: the last eighth of a figure may leap from the seventh, a held one may not', () => {
    const figure = 'C4:0:4 C4:4:4 C4:8:4 B3:12:0.5 D4:12.5:0.5 F4:13:0.5 D4:13.5:0.5 B3:14:0.5 D4:14.5:0.5 B3:15:0.5';
    const last = (length: number): string => `${figure} F4:15.5:${String(length)} A4:16:4`;
    expect(found(tune, violin, partOf('harp', last(0.5), timeline), cello)).toEqual([]);
    expect(found(tune, violin, partOf('viola', last(0.5), timeline), cello)).toEqual([]);
    const held = 'C4:0:4 C4:4:4 C4:8:4 B3:12:1 D4:13:1 F4:14:2 A4:16:4';
    expect(found(tune, violin, partOf('harp', held, timeline), cello)).toEqual([['note', 4, 4]]);
  });

  it('how many places may pass unmentioned can be set', () => {
    const stage = stageOf([tune, violin, string('viola', 'E4 E4 E4 F4 G4 G4'), cello], timeline);
    expect(barsOf(findingsOf(stage, { 'unresolved-tone': 1 }, [], chords), 'unresolved-tone')).toEqual([]);
  });
});
