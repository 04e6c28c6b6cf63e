import { describe, expect, it } from 'vitest';
import { dateIn, dateQuestion, orderedByDate } from '../../src/assemble/stage-dates.ts';
import { nameStages } from '../../src/assemble/stage-names.ts';

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
