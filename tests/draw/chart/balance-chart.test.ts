import { describe, expect, it } from 'vitest';
import { drawBalance } from '../../../src/draw/chart/balance/balance-chart.ts';
import { balanceSeriesOf } from '../../../src/draw/chart/balance/balance-series.ts';
import { boxOf, rulerOf } from '../../../src/draw/ruler/ruler.ts';
import type { MeasuredReading } from '../../../src/model/readings/measured.ts';
import type { BarBalance } from '../../../src/model/readings/readings.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { numbersIn, pageOf, readingsOf } from './small-stage.ts';

const timeline = timelineOf(6);
const stage = stageOf(
  [partOf('flute', '', timeline, { id: 'flute', name: 'Flute' }), partOf('viola', '', timeline, { id: 'viola' })],
  timeline,
);

function bar(number: number, foregroundDb?: number, backgroundDb?: number, maskedShare?: number): BarBalance {
  return {
    bar: number,
    partsDb: {},
    ...(foregroundDb === undefined ? {} : { foregroundDb }),
    ...(backgroundDb === undefined ? {} : { backgroundDb }),
    ...(foregroundDb === undefined || backgroundDb === undefined ? {} : { marginDb: foregroundDb - backgroundDb }),
    ...(maskedShare === undefined ? {} : { maskedShare }),
  };
}

const balance = [
  bar(1, 80),
  bar(2, 80, 70, 0.1),
  bar(3, 80, 78, 0.5),
  bar(4, 80, 83.25, 1),
  bar(5, undefined, 75),
  bar(6, 80, 77, 0.3),
];
const readings = readingsOf({ balance });

describe('the balance chart', () => {
  it('tells bars where the foreground is clear, close, below, alone or absent', () => {
    const series = balanceSeriesOf(readings, 3);
    expect([1, 2, 3, 4, 5, 6].map((number) => series.standingOf(number))).toEqual([
      'alone',
      'clear',
      'close',
      'below',
      'absent',
      'clear',
    ]);
  });

  it('shades the area between the levels with another pattern for each', () => {
    const page = pageOf(drawBalance(stage, readings).svg);
    const fills = ['clear', 'close', 'below'].map((kind) =>
      page.querySelector(`path.margin-${kind}`)!.getAttribute('fill'),
    );
    expect(new Set(fills).size).toBe(3);
    const below = boxOf(rulerOf(stage).lines[0]!, 4)!;
    expect(numbersIn(page.querySelector('path.margin-below')!.getAttribute('d'))[0]).toBeCloseTo(below.x, 0);
  });

  it('marks close and lower bars with signs of two shapes, open and filled', () => {
    const page = pageOf(drawBalance(stage, readings).svg);
    expect(page.querySelector('.sign-close')!.getAttribute('d')!.match(/M/g)).toHaveLength(1);
    expect(page.querySelector('.sign-below')!.getAttribute('d')!.match(/M/g)).toHaveLength(1);
  });

  it('says in which bars the foreground does not stay above', () => {
    expect(drawBalance(stage, readings).description).toBe(
      'By estimate Flute stays above the background except in bar 4; within 3 dB of it in bar 3.',
    );
    expect(drawBalance(stage, readingsOf({ balance: [bar(1, 80, 60)] })).description).toBe(
      'By estimate Flute stays at least 3 dB above the background wherever both sound.',
    );
  });

  it('says with the first screen what an assumed level leaves open', () => {
    const levelAssumptions = [{ partId: stage.foreground[0]!.partId, assumed: true, text: '' }];
    const told = (...balance: BarBalance[]) =>
      drawBalance(stage, readingsOf({ balance, levelAssumptions })).description;
    expect(told(bar(1, 80, 60), bar(2, 60, 70), bar(3, 60, 62), bar(4, 80, 60))).toBe(
      'By estimate Flute is about as loud as the background or louder except in bar 2; softer by less than a dynamic grade in bar 3.',
    );
    expect(told(bar(1, 80, 60), bar(2, 60, 70), bar(3, 60, 62))).toBe(
      'By estimate Flute is softer than the whole background together in 2 of 3 bars, by about a dynamic grade or more in bar 2.',
    );
    expect(told(bar(1, 80, 60), bar(2, 60, 62))).toBe(
      'By estimate Flute is about as loud as the background or louder throughout; softer by less than a dynamic grade in bar 2.',
    );
  });

  it('tells bars with a singer who has a microphone apart, as the first screen does', () => {
    const players = [
      partOf('voice', '', timeline, { id: 'lead', name: 'Lead', family: 'voice' }),
      partOf('flute', '', timeline, { id: 'flute', name: 'Flute' }),
      partOf('drum-kit', '', timeline),
    ];
    const sung = (to: number) =>
      stageOf(players, timeline, {
        ensemble: { kind: 'band', sure: true },
        foreground: [leadSpan('lead', 1, to), ...(to < 6 ? [leadSpan('flute', to + 1, 6)] : [])],
      });
    const levels = readingsOf({ balance: [bar(2, 60, 70), bar(5, 80, 60), bar(6, 80, 60)] });
    expect(drawBalance(sung(4), levels).description).toBe(
      'By estimate the foreground stays at least 3 dB above the background where no singer leads.',
    );
    expect(drawBalance(sung(6), readingsOf({ balance: [bar(2, 60, 70)] })).description).toBe(
      'By estimate, taken without a microphone or an amplifier, Lead is softer than the whole background together wherever both sound.',
    );
  });

  it('draws a louder level higher', () => {
    const page = pageOf(drawBalance(stage, readingsOf({ balance: [bar(1, 80, 60)] })).svg);
    const y = (name: string): number => numbersIn(page.querySelector(`.${name}`)!.getAttribute('d'))[1]!;
    expect(y('level-front')).toBeLessThan(y('level-back'));
  });

  it('tells the two levels apart without colour', () => {
    const page = pageOf(drawBalance(stage, readings).svg);
    expect([...page.querySelectorAll('.chart-plot .label')].map((node) => node.textContent)).toEqual([
      'Flute',
      'background',
    ]);
  });

  it('draws the covered share from nothing to whole', () => {
    const path = pageOf(drawBalance(stage, readings).svg).querySelector('.share')!.getAttribute('d')!;
    const heights = [...path.matchAll(/v-([\d.]+)h/g)].map((match) => Number(match[1]));
    expect(heights).toHaveLength(4);
    expect(heights[2]! / heights[1]!).toBeCloseTo(2, 1);
  });

  it('moves its limit with the settings', () => {
    expect(drawBalance(stage, readings, { closeMarginDb: 12 }).description).toContain(
      'within 12 dB of it in bars 2–3 and 6',
    );
  });

  it('says that its levels are estimates', () => {
    const drawing = drawBalance(stage, readings);
    expect(drawing.table.caption).toContain('Estimated');
    expect(drawing.legend.map((entry) => entry.text).join(' ')).toContain('estimated from MIDI');
    expect(drawing.svg).toContain('estimated');
  });
});

describe('the table of the balance', () => {
  it('gives the readings to a tenth of a dB, with a real minus sign, and the data unrounded', () => {
    const { table, csv } = drawBalance(stage, readings);
    expect(table.rows[3]).toEqual(['4', '80.0', '83.3', '−3.3', '100\u00a0%', '–']);
    expect(table.rows[0]).toEqual(['1', '80.0', '–', '–', '–', '–']);
    expect(csv.rows[3]!.slice(0, 6)).toEqual([4, 80, 83.25, -3.25, 1, null]);
    expect(csv.rows[0]!.slice(0, 6)).toEqual([1, 80, null, null, null, null]);
  });
});

describe('levels that do not exist', () => {
  it('are not drawn and not counted: minus infinity is silence', () => {
    const silent = readingsOf({
      balance: [{ ...bar(1, 80, Number.NEGATIVE_INFINITY), marginDb: Number.POSITIVE_INFINITY }, bar(2, 80, 70)],
    });
    const drawing = drawBalance(stage, silent);
    expect(drawing.svg).not.toMatch(/NaN|Infinity/);
    expect(drawing.table.rows[0]).toEqual(['1', '80.0', '–', '–', '–', '–']);
    expect(balanceSeriesOf(silent, 3).standingOf(1)).toBe('alone');
  });

  it('leave a sentence where there is no level at all', () => {
    const drawing = drawBalance(stage, readingsOf({ balance: [bar(1), bar(2)] }));
    expect(drawing.svg).toBe('');
    expect(drawing.description).toBe('No level could be estimated for this stage, so there is no balance to show.');
  });

  it('leave a sentence where a part plays alone', () => {
    const alone = stageOf([partOf('flute', '', timeline, { name: 'Flute' })], timeline);
    expect(drawBalance(alone, readingsOf({ balance: [bar(1, 80)] })).description).toBe(
      'Flute plays alone: there is no background to weigh it against.',
    );
  });
});

describe('the numbers of the balance', () => {
  it('have what was measured beside what was estimated, with its files, and say by which the bar is judged', () => {
    const measured: MeasuredReading = {
      groups: [{ partIds: ['flute'], files: ['stems/Flute.wav'] }],
      bars: balance.map(({ bar: number }) =>
        number === 2
          ? { bar: 2, foregroundDb: -20, backgroundDb: -24, marginDb: 4, maskedShare: 0.25, groupsDb: [-20] }
          : { bar: number, groupsDb: [undefined] },
      ),
      toEstimateDb: 100,
      groupDifferencesDb: [0],
      differences: [],
    };
    const { csv } = drawBalance(stage, { ...readings, measured });
    expect(csv.columns.slice(-6)).toEqual([
      'judgedBy',
      'measuredForegroundLufs',
      'measuredBackgroundLufs',
      'measuredMarginDb',
      'measuredMaskedShare',
      'flute LUFS on stems/Flute.wav',
    ]);
    expect(csv.rows[1]?.slice(-6)).toEqual(['measured', -20, -24, 4, 0.25, -20]);
    expect(csv.rows[2]?.slice(-6)).toEqual(['estimated', null, null, null, null, null]);
    expect(drawBalance(stage, readings).csv.columns.at(-1)).toBe('viola');
  });
});
