import { describe, expect, it } from 'vitest';
import { RULES } from '../../src/advise/all-rules.ts';
import { placeText, verb } from '../../src/advise/words.ts';
import { isPluralName } from '../../src/model/words/part-grammar.ts';
import { RULES_WITHOUT_LIMIT } from '../../src/model/readings/rule-names.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { findingsOf, messageOf } from './stage-findings.ts';

describe('verbs agree with the names of parts', () => {
  it.each([
    'Flutes',
    'Flutes 1-2',
    'Horns in F',
    'Violini II',
    'Celli',
    'Timpani',
    'Hörner 1+2',
    'Strings',
    'Voices (high)',
  ])('%s are several', (name) => {
    expect(isPluralName(name)).toBe(true);
  });

  it.each([
    'Flute',
    'Pos',
    'Violin II',
    'Double Bass',
    'Kontrabass',
    'Contrabass',
    'Chorus',
    'Horn in F',
    'Viola',
    'B',
    '',
    'Brass',
  ])('%s is one', (name) => {
    expect(isPluralName(name)).toBe(false);
  });

  it('two parts together are several', () => {
    const timeline = timelineOf(1);
    const [flute, horns] = [partOf('flute', '', timeline), partOf('horn-f', '', timeline, { name: 'Horns in F' })];
    expect(verb([flute], 'lies', 'lie')).toBe('lies');
    expect(verb([horns], 'lies', 'lie')).toBe('lie');
    expect(verb([flute, horns], 'lies', 'lie')).toBe('lie');
  });

  it('in a finding: Flutes leave their range, a Flute leaves its', () => {
    const timeline = timelineOf(2);
    const said = (name: string): string =>
      messageOf(findingsOf(stageOf([partOf('flute', 'A3:0:4', timeline, { name })], timeline)), 'outside-range');
    expect(said('Flutes')).toContain('Flutes leave the range of the instrument in bar 1');
    expect(said('Flute')).toContain('Flute leaves the range of the instrument in bar 1');
  });
});

describe('places are told in beats as they are felt', () => {
  const six = timelineOf(4, { numerator: 6, denominator: 8 });

  it('6/8 has two beats a bar; between them players count eighths', () => {
    expect(placeText(six, 3)).toBe('bar 2, beat 1');
    expect(placeText(six, 4.5)).toBe('bar 2, beat 2');
    expect(placeText(six, 5)).toBe('bar 2, eighth 5');
  });

  it('simple meters keep their fractions: the third quaver of 4/4 is beat 2, the fourth 2.5', () => {
    const four = timelineOf(2);
    expect(placeText(four, 1)).toBe('bar 1, beat 2');
    expect(placeText(four, 1.5)).toBe('bar 1, beat 2.5');
  });

  it('what was played without a click has no beats: the clock tells the place', () => {
    expect(placeText({ ...timelineOf(2), isFree: true }, 5.52)).toBe('bar 2 (0:06)');
  });

  it('a pickup of an eighth in 6/8 is its sixth eighth', () => {
    const pickup = timelineOf(2, { numerator: 6, denominator: 8 }, 60, 0.5);
    expect(placeText(pickup, -0.5)).toBe('bar 0, eighth 6');
  });
});

describe('thresholds', () => {
  it('those that settings refuse are those of rules without one', () => {
    const without = RULES.filter(({ limit }) => limit === undefined).map(({ name }) => name);
    expect(without.sort()).toEqual([...RULES_WITHOUT_LIMIT].sort());
  });

  it('are told in good English: one beat, two decibels under', () => {
    const limitsOf = (name: string): string => RULES.find((rule) => rule.name === name)?.limits[0] ?? '';
    expect(limitsOf('inaudible-entry')).toMatch(/^1 beat:/);
    expect(limitsOf('background-as-loud')).toMatch(/^−2 dB:/);
    expect(limitsOf('late-part')).toMatch(/^40 ms:/);
  });
});
