import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(16);
const flute = (pitch: string, from: number, to: number, changes: Partial<Part> = {}): Part =>
  partOf('flute', figure(pitch, 1, from, to, 80), timeline, changes);
const steady = flute('A5', 1, 16, { role: 'foreground', name: 'Solo' });
/** The first bar a little stronger: without any shape nothing would be said of balance. */
const solo: Part = {
  ...steady,
  notes: steady.notes.map((note, index) => (index < 4 ? { ...note, velocity: 90 } : note)),
};
const adviceOf = (findings: readonly Finding[], rule: string): string =>
  findings.find((finding) => finding.rule === rule)?.advice ?? '';
/** Loudness alone is judged by a rule of its own, which is kept out of the way here. */
const covers = (...parts: Part[]) => findingsOf(stageOf(parts, timeline), { 'background-as-loud': -40 });

describe('what would clear a background that is too loud (elementary acoustics: n equal players are 10 log10 n dB)', () => {
  it('eight flutes over one at the same marking are 9 dB too many: 8 dB softer leaves the 2 dB that are allowed', () => {
    const same = findingsOf(stageOf([solo, flute('A5', 5, 8, { name: 'Flutes', players: 8 })], timeline));
    expect(barsOf(same, 'background-as-loud')).toEqual([['look', 5, 8]]);
    expect(adviceOf(same, 'background-as-loud')).toContain('the background 8 dB softer would do');
    expect(adviceOf(same, 'background-as-loud')).toContain('(up to 2 dB over the foreground pass;');
    // One against one is 0 dB, one against two -3 dB: two are one too many.
    expect(adviceOf(same, 'background-as-loud')).toContain('Flutes with 1 of 8 players');
  });

  it('a solo 3 dB stronger stands against three of them (10 log10 3 = 4.8)', () => {
    const strong = { ...solo, trimDb: 3.02 };
    const findings = findingsOf(stageOf([strong, flute('A5', 5, 8, { name: 'Flutes', players: 8 })], timeline));
    expect(adviceOf(findings, 'background-as-loud')).toContain('the background 5 dB softer');
    expect(adviceOf(findings, 'background-as-loud')).toContain('Flutes with 3 of 8 players');
  });

  it('offers no fewer players where there is but one', () => {
    const findings = findingsOf(stageOf([solo, flute('A5', 5, 8, { name: 'Other', trimDb: 6 })], timeline));
    expect(adviceOf(findings, 'background-as-loud')).not.toContain('players');
  });
});

describe('background-covers', () => {
  it('a second flute in unison at the same level covers the first, in its bars; an octave lower it would not', () => {
    const findings = covers(solo, flute('A5', 5, 8, { name: 'Second' }));
    expect(messageOf(findings, 'background-covers')).toContain('mostly from A5 to');
    expect(barsOf(findings, 'background-covers')).toEqual([['note', 5, 8]]);
    expect(messageOf(findings, 'background-covers')).toContain('100\u00a0% of the sound of Solo');
    expect(messageOf(findings, 'background-covers')).toContain('under Second, without which it would be 0\u00a0%');
    // The fundamental then has no partner of its strength: the octave below gives it a second partial a quarter as strong.
    expect(adviceOf(findings, 'background-covers')).toContain('Second an octave lower');
    expect(barsOf(covers(solo, flute('A4', 5, 8, { name: 'Second' })), 'background-covers')).toEqual([]);
  });

  it('half a decibel less than equal uncovers it; three players are 10 log10 3 = 4.8 dB too many, and one of them would still be equal', () => {
    const one = covers(solo, flute('A5', 5, 8, { name: 'Second', trimDb: -0.5 }));
    expect(barsOf(one, 'background-covers')).toEqual([]);
    const three = covers(solo, flute('A5', 5, 8, { name: 'Others', players: 3 }));
    expect(adviceOf(three, 'background-covers')).toContain('5 dB softer');
    expect(adviceOf(three, 'background-covers')).not.toContain('players');
  });

  it('a bar on its own counts where nearly all is covered', () => {
    expect(barsOf(covers(solo, flute('A5', 5, 5, { name: 'Second' })), 'background-covers')).toEqual([['note', 5, 5]]);
    const half = flute('A5', 5, 5, { name: 'Second' });
    const lastTwo = { ...half, notes: half.notes.slice(2) };
    // Two of four beats are covered wholly; over the two beats in which both sound that is all of it.
    expect(barsOf(covers(solo, lastTwo), 'background-covers')).toEqual([['note', 5, 5]]);
  });

  it('who plays a line in unison with the soloist doubles it (colla parte), and masks nothing', () => {
    const told = (pitches: string) => {
      const lead = partOf('flute', figure(pitches, 1, 1, 16, 80), timeline, { name: 'Solo', role: 'foreground' });
      const notes = lead.notes.map((note, index) => (index < 4 ? { ...note, velocity: 90 } : note));
      const second = partOf('flute', figure(pitches, 1, 5, 8, 80), timeline, { name: 'Second' });
      return barsOf(covers({ ...lead, notes }, second), 'background-covers');
    };
    expect(told('A5 B5 C6 D6')).toEqual([]);
    // Two who repeat a tone or two together are two still.
    expect(told('A5 B5')).toEqual([['note', 5, 8]]);
  });

  it('nobody says of a singer that she covers an instrument', () => {
    const singer = (instrument: string) =>
      covers(solo, partOf(instrument, figure('A5', 1, 5, 8, 100), timeline, { name: 'Second' })).filter(
        ({ rule, partIds }) => ['background-covers', 'background-as-loud'].includes(rule) && partIds.includes('second'),
      );
    expect(singer('flute')).not.toEqual([]);
    expect(singer('voice-soprano')).toEqual([]);
  });

  it('leaves the word to the rule of loudness where that has the same bars', () => {
    const loud = stageOf([solo, flute('A5', 5, 8, { name: 'Others', players: 4 })], timeline);
    const rules = findingsOf(loud).map(({ rule }) => rule);
    expect(rules).toContain('background-as-loud');
    expect(rules).not.toContain('background-covers');
  });
});
