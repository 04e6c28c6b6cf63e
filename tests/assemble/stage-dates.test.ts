import { describe, expect, it } from 'vitest';
import { backwardsRemark, dateIn, dateQuestion, orderedByDate } from '../../src/assemble/stage-order/stage-dates.ts';
import { nameStages } from '../../src/assemble/stage-order/stage-names.ts';

const ordered = (...names: string[]): readonly string[] =>
  orderedByDate(names.map((name) => ({ name }))).map(({ name }) => name);
const titles = (...names: string[]): readonly string[] =>
  nameStages(
    names.map((name) => ({ name, isFolder: false, files: [] })),
    {},
  ).map(({ title }) => title);

describe('dates in the names of stages', () => {
  it('are read as people write them', () => {
    // 1 March 2026 in ISO 8601 and in the usual European and American forms (Unicode CLDR: en-GB, de, en-US).
    const forms = [
      '2026-03-01 strings',
      '20260301',
      '2026_03_01',
      '01.03.2026',
      '1 March 2026',
      '1. März 2026',
      'Mar 1, 2026',
    ];
    expect(forms.map((name) => dateIn(name)?.dayFirst)).toEqual(forms.map(() => 20_260_301));
    expect(dateIn('03-25-2026')).toMatchObject({ dayFirst: undefined, monthFirst: 20_260_325 });
    for (const name of ['Version 1.2.10', '2026-13-40', 'take 120', '31.02.2026', '29.02.2026', '2026-00-10'])
      expect(dateIn(name)).toBeUndefined();
  });

  it('stay whole in the title', () => {
    expect(titles('2026-03-01 strings', '2026-03-09_winds')).toEqual(['2026-03-01 strings', '2026-03-09 winds']);
    expect(titles('01.03.2026 strings')).toEqual(['01.03.2026 strings']);
    expect(titles('03 Winds')).toEqual(['Winds']);
  });

  it('order the stages where every name has one', () => {
    expect(ordered('01.03.2026 end', '15.02.2026 strings', '28.01.2026 sketch')).toEqual([
      '28.01.2026 sketch',
      '15.02.2026 strings',
      '01.03.2026 end',
    ]);
    expect(ordered('01-25-2027 end', '03-12-2026 sketch')).toEqual(['03-12-2026 sketch', '01-25-2027 end']);
    expect(ordered('01.03.2026 end', 'sketch')).toEqual(['01.03.2026 end', 'sketch']);
    expect(ordered('1 sketch 02.03.2026', '2 end 01.03.2026')).toEqual(['1 sketch 02.03.2026', '2 end 01.03.2026']);
  });

  it('are asked about where day and month could be either', () => {
    const unclear = ['01-02-2026 one', '02-01-2026 two'];
    expect(ordered(...unclear)).toEqual(unclear);
    expect(dateQuestion(unclear)).toContain('day or the month first');
    // One name settles it, or the order is the same either way.
    expect(dateQuestion([...unclear, '25-02-2026 three'])).toBeUndefined();
    expect(dateQuestion(['01-02-2026 one', '01-03-2027 two'])).toBeUndefined();
  });
});

/** 1 February 2026 as people write it in names of files (Unicode CLDR: short, medium and long dates of the languages named). */
const FORMS: readonly (readonly [name: string, why: string])[] = [
  ['1.2.2026', 'German, short, single digits: points mean day first'],
  ['01.02.2026 Streicher', 'German, with zeros'],
  ['01.02.26 Streicher', 'German, year in two digits'],
  ['1. Februar 2026', 'German, long'],
  ['1. Feb. 2026', 'German, medium'],
  ['1 Feb 2026', 'British, medium'],
  ['1st February 2026', 'British, spoken'],
  ['01-Feb-2026', 'with hyphens, as tables write it'],
  ['Feb 1 2026', 'American, without its comma'],
  ['Feb 1, 2026', 'American, medium'],
  ['February 1st, 2026 strings', 'American, spoken'],
  ['1 février 2026', 'French, long'],
  ['1er fév 2026', 'French: the first has a sign of its own'],
  ['1 de febrero de 2026', 'Spanish, long'],
  ['1 febbraio 2026', 'Italian, long'],
  ['1 feb 2026', 'Dutch, medium'],
  ["1 Feb '26", 'year in two digits beside a month with its name'],
  ['2026-02-01 strings', 'ISO 8601-1'],
  ['2026_02_01', 'year first, underlines'],
  ['2026.2.1', 'year first, single digits (Hungarian, East Asian)'],
  ['20260201', 'ISO 8601-1, basic form'],
  ['Strings v2 20260201b', 'in the middle of a name'],
];

describe('forms of a date', () => {
  it.each(FORMS)('%s: %s', (name) => {
    expect(dateIn(name)?.dayFirst).toBe(20_260_201);
  });

  it.each([
    ['01-02-2026', 'the first of February or the second of January', [20_260_201, 20_260_102, undefined]],
    ['1 2 2026', 'the same with spaces', [20_260_201, 20_260_102, undefined]],
    ['01-02-26', 'or the twenty-sixth of February 2001', [20_260_201, 20_260_102, 20_010_226]],
    ['13-02-26', 'no thirteenth month: the day or the year is first', [20_260_213, undefined, 20_130_226]],
    ['1.2.2026', 'points: never the month first', [20_260_201, undefined, undefined]],
  ])('%s is %s', (name, _, days) => {
    const date = dateIn(name);
    expect([date?.dayFirst, date?.monthFirst, date?.yearFirst]).toEqual(days);
  });

  it.each([
    ['Version 1.2.10', 'a version has single digits'],
    ['v01.02.03.04', 'four numbers are no date'],
    ['Take 12 2026', 'no month'],
    ['Second March 2', 'a march'],
    ['Marc 2026', 'a name, no month'],
    ['31.02.2026', 'no such day'],
    ['29-02-2026', 'no leap year'],
    ['120 bpm 4-4', 'tempo and meter'],
  ])('%s is none: %s', (name) => {
    expect(dateIn(name)).toBeUndefined();
  });

  it('are kept whole with their time of day, which orders the stages of one day', () => {
    const times = [
      '2026-02-01 14.30 end',
      '2026-02-01T09:05 sketch',
      '20260201-1130 strings',
      '2026_02_01_12h15',
      '1 Feb 2026 1.45 pm',
    ];
    expect(ordered(...times)).toEqual([times[1], times[2], times[3], times[4], times[0]]);
    expect(titles('2026-02-01_14-30_strings', '2026-02-02_09-00')).toEqual([
      '2026-02-01_14-30 strings',
      '2026-02-02_09-00',
    ]);
    // Where one has no time nobody knows which came first on that day.
    expect(ordered('2026-02-01 14.30 end', '2026-02-01 sketch')).toEqual(['2026-02-01 14.30 end', '2026-02-01 sketch']);
  });

  it('order stages across forms and months', () => {
    expect(ordered('2 Feb 2026 b', 'Jan 30 2026 a', '2026-02-10 c')).toEqual([
      'Jan 30 2026 a',
      '2 Feb 2026 b',
      '2026-02-10 c',
    ]);
    expect(ordered('February 2026', 'January 2026')).toEqual(['January 2026', 'February 2026']);
    expect(ordered('01.12.25 sketch', '01.02.26 end')).toEqual(['01.12.25 sketch', '01.02.26 end']);
  });

  it('of two digits each are asked about where day, month or year could be first', () => {
    expect(dateQuestion(['01-02-26 one', '02-01-26 two'])).toContain('day or the month first, or the year');
    expect(dateQuestion(['01-02-26 one', '01-03-26 two'])).toBeUndefined();
  });
});

describe('a story that would be told backwards', () => {
  it('is said where numbers or settings stand against the dates', () => {
    expect(backwardsRemark(['1 end 01.03.2026', '2 sketch 02.02.2026'])).toContain(
      '“2 sketch 02.02.2026” follows “1 end 01.03.2026”',
    );
    expect(backwardsRemark(['1 sketch 02.02.2026', '2 end 01.03.2026'])).toBeUndefined();
    // Nobody knows which way it runs.
    expect(backwardsRemark(['1 one 01-02-2026', '2 two 02-01-2026'])).toBeUndefined();
    expect(backwardsRemark(['end', 'sketch 02.02.2026'])).toBeUndefined();
  });
});
