/** The balance chart: level of the foreground against the sum of the background, by estimate, and the covered share. */
import { scaleLinear } from 'd3-scale';
import type { Stage } from '../../../model/music/arrangement.ts';
import type { ChartDrawing, LegendEntry } from '../../../model/drawing.ts';
import { barsText, counted, percentText, sentenceStart } from '../../../model/words/plain-words.ts';
import { amplifiedBars, frontStanding, nobodyAmplified } from '../../../analyse/level/measured/judged-balance.ts';
import type { StageReadings } from '../../../model/readings/readings.ts';
import { element, textElement } from '../../svg.ts';
import { balanceDefs, marginAreas, levelPath, shadeId } from './balance-shapes.ts';
import { CLOSE_MARGIN_DB, balanceSeriesOf, type BalanceSeries } from './balance-series.ts';
import { balanceData, balanceTable } from './balance-table.ts';
import { chartId, framed, legendSign, scrolling, type ChartOptions, type LinePicture } from '../frame/frame.ts';
import { endLabel, frontOf, type Front } from '../frame/front.ts';
import { trianglePath } from '../register/register-shapes.ts';
import { GUTTER_WIDTH, rulerOf, type RulerLine } from '../../ruler/ruler.ts';
import { MOST_SPANS, dbText } from '../../ruler/wording.ts';
import { round } from '../../svg.ts';

const TITLE = 'Balance';
const PANEL_HEIGHT = 170;
const SIGN_HEIGHT = 14;
const SHARE_HEIGHT = 34;

export interface BalanceOptions extends ChartOptions {
  /** Margin in dB under which the background is shown as close. */
  readonly closeMarginDb?: number;
}

/** Draws foreground against background. Nothing is drawn where no level could be estimated. */
export function drawBalance(stage: Stage, readings: StageReadings, options: BalanceOptions = {}): ChartDrawing {
  const front = frontOf(stage);
  const ruler = rulerOf(stage, options.mostBarsInALine);
  const series = balanceSeriesOf(readings, options.closeMarginDb ?? CLOSE_MARGIN_DB);
  const id = chartId(stage, 'balance', options);
  const table = balanceTable(readings);
  const csv = balanceData(stage, readings);
  const description = describe(stage, readings, front, series);
  if (series.loudestDb === undefined || ruler.lines.length === 0) {
    return { id, title: TITLE, description, svg: '', legend: [], table: { ...table, rows: [] }, csv };
  }
  const loudestDb = series.loudestDb;
  const lines = framed({
    stage,
    ruler,
    id,
    title: TITLE,
    description,
    draw: (line, top, prefix) => drawLine(series, loudestDb, front, line, top, prefix),
    barText: (bar) => barText(series, bar),
    marks: options.marks ?? [],
  });
  return {
    id,
    title: TITLE,
    description,
    svg: scrolling(TITLE, lines),
    legend: legendOf(series, loudestDb, id),
    table,
    csv,
  };
}

/** Why an estimate says little of some bars: the voice or the guitar that leads there is taken as it is. */
const WITHOUT_IT = 'taken without a microphone or an amplifier';

function describe(stage: Stage, readings: StageReadings, front: Front, series: BalanceSeries): string {
  if (series.loudestDb === undefined)
    return 'No level could be estimated for this stage, so there is no balance to show.';
  const both = stage.timeline.bars.flatMap(({ number: bar }) => {
    const standing = series.standingOf(bar);
    return standing === 'alone' || standing === 'absent'
      ? []
      : [{ ...series.at(bar), bar, standing, isMeasured: false }];
  });
  const name = sentenceStart(front.name);
  if (stage.parts.length === 1) return `${name} plays alone: there is no background to weigh it against.`;
  if (both.length === 0) return `${name} and the background never sound together, so there is no margin to show.`;
  // As on the first screen: what is led into a microphone is not told beside the rest.
  const amplified = amplifiedBars(stage);
  const told = both.filter(({ bar }) => !amplified.has(bar));
  const isUntold = told.length < both.length;
  const known = told.length === 0 ? both : told;
  const start = `By estimate${told.length === 0 ? `, ${WITHOUT_IT},` : ''} ${front.name}`;
  const where = isUntold && told.length > 0 ? `where ${nobodyAmplified(stage)} leads` : '';
  const limit = `${dbText(series.limitDb, Number.isInteger(series.limitDb) ? 0 : 1)} dB`;
  const barsWith = (standing: string): readonly number[] =>
    known.flatMap((own) => (own.standing === standing ? [own.bar] : []));
  const [below, close] = [barsWith('below'), barsWith('close')];
  const wherever = where === '' ? 'wherever both sound' : where;
  if (below.length === 0 && close.length === 0)
    return `${start} stays at least ${limit} above the background ${wherever}.`;
  const ofWhere = where === '' ? '' : ` ${where}`;
  if (below.length === 0)
    return `${start} stays above the background${ofWhere}, by less than ${limit} in ${barsText(close, MOST_SPANS)}.`;
  const within = close.length === 0 ? '.' : `; within ${limit} of it in ${barsText(close, MOST_SPANS)}.`;
  const { softer, under, isNear, isMostlySofter } = frontStanding(known, stage, readings);
  if (isMostlySofter) {
    const share =
      softer.length === known.length
        ? wherever
        : `in ${String(softer.length)} of ${counted(known.length, 'bar')}${ofWhere}`;
    const grade =
      under.length === softer.length
        ? ''
        : under.length === 0
          ? ', by less than a dynamic grade'
          : `, by about a dynamic grade or more in ${barsText(under, MOST_SPANS)}`;
    return `${start} is softer than the whole background together ${share}${grade}${within}`;
  }
  const about = softer.filter((bar) => !under.includes(bar));
  const stays = isNear ? 'is about as loud as the background or louder' : 'stays above the background';
  const slightly = about.length === 0 ? '' : `; softer by less than a dynamic grade in ${barsText(about, MOST_SPANS)}`;
  const except =
    under.length === 0
      ? where === ''
        ? 'throughout'
        : where
      : `${where === '' ? '' : `${where}, `}except in ${barsText(under, MOST_SPANS)}`;
  return `${start} ${stays} ${except}${slightly}${within}`;
}

function barText(series: BalanceSeries, bar: number): string {
  const reading = series.at(bar);
  if (reading === undefined) return `Bar ${bar}: silent`;
  const share = reading.maskedShare === undefined ? '' : `, masked ${percentText(reading.maskedShare)}`;
  return `Bar ${bar}: foreground ${dbText(reading.foregroundDb)} dB, background ${dbText(reading.backgroundDb)} dB, margin ${dbText(reading.marginDb)} dB${share}`;
}

function drawLine(
  series: BalanceSeries,
  loudestDb: number,
  front: Front,
  line: RulerLine,
  top: number,
  id: string,
): LinePicture {
  const upper = top + 6;
  const foot = upper + PANEL_HEIGHT;
  const toY = scaleLinear([series.lowestDb - loudestDb, 0], [foot, upper]).nice(6);
  const floor = toY.domain()[0] ?? -12;
  const y = (db: number): number => toY(Math.max(floor, db - loudestDb));
  const ticks = toY.ticks(6);
  const left = line.bars[0]?.x ?? 0;
  const rules = ticks.map((tick) => `M${round(left)} ${round(toY(tick))}H${round(line.right)}`).join('');
  const signTop = foot + 9;
  const shareTop = signTop + SIGN_HEIGHT + 6;
  const below = line.bars.filter((box) => series.standingOf(box.number) === 'below');
  const close = line.bars.filter((box) => series.standingOf(box.number) === 'close');
  const share = drawShare(series, line, shareTop);
  const plot =
    element('path', { class: 'octave', d: rules }) +
    marginAreas(series, line, y, id) +
    levelOf(series, line, y, 'backgroundDb') +
    levelOf(series, line, y, 'foregroundDb') +
    (close.length === 0 ? '' : element('path', { class: 'sign-close', d: trianglePath(close, signTop + 3) })) +
    (below.length === 0 ? '' : element('path', { class: 'sign-below', d: trianglePath(below, signTop + 3) })) +
    endLabels(series, front, line, y, foot) +
    share.plot;
  const gutter =
    ticks
      .map((tick) => textElement(dbText(tick, 0), { class: 'tick end', x: GUTTER_WIDTH - 8, y: toY(tick) + 3.5 }))
      .join('') +
    textElement('estimated,', { class: 'tick faint end', x: GUTTER_WIDTH - 34, y: upper + 3.5 }) +
    textElement('dB below the', { class: 'tick faint end', x: GUTTER_WIDTH - 34, y: upper + 14.5 }) +
    textElement('loudest bar', { class: 'tick faint end', x: GUTTER_WIDTH - 34, y: upper + 25.5 }) +
    textElement('close or below', { class: 'tick end', x: GUTTER_WIDTH - 8, y: signTop + 9 }) +
    share.gutter;
  return { height: shareTop + SHARE_HEIGHT + 5, defs: balanceDefs(id), gutter, plot };
}

function levelOf(
  series: BalanceSeries,
  line: RulerLine,
  y: (db: number) => number,
  side: 'foregroundDb' | 'backgroundDb',
): string {
  const path = levelPath(line, (bar) => series.at(bar)?.[side], y);
  return path === '' ? '' : element('path', { class: side === 'foregroundDb' ? 'level-front' : 'level-back', d: path });
}

function endLabels(
  series: BalanceSeries,
  front: Front,
  line: RulerLine,
  y: (db: number) => number,
  foot: number,
): string {
  const lastLevel = (side: 'foregroundDb' | 'backgroundDb'): number | undefined =>
    line.bars.reduce<number | undefined>((found, box) => series.at(box.number)?.[side] ?? found, undefined);
  const frontDb = lastLevel('foregroundDb');
  const backDb = lastLevel('backgroundDb');
  let frontY = frontDb === undefined ? undefined : y(frontDb) + 3.5;
  let backY = backDb === undefined ? undefined : y(backDb) + 3.5;
  if (frontY !== undefined && backY !== undefined && Math.abs(frontY - backY) < 13) {
    const middle = Math.min(foot - 8, (frontY + backY) / 2);
    const push = frontY <= backY ? 6.5 : -6.5;
    frontY = middle - push;
    backY = middle + push;
  }
  const only = front.parts.length === 1 ? front.parts[0] : undefined;
  const x = line.right + 6;
  return (
    (frontY === undefined
      ? ''
      : textElement(only === undefined ? 'foreground' : endLabel(only, 72), { class: 'label strong', x, y: frontY })) +
    (backY === undefined ? '' : textElement('background', { class: 'label', x, y: backY }))
  );
}

function drawShare(
  series: BalanceSeries,
  line: RulerLine,
  top: number,
): { readonly plot: string; readonly gutter: string } {
  const foot = top + SHARE_HEIGHT;
  let path = '';
  for (const box of line.bars) {
    const share = series.at(box.number)?.maskedShare;
    if (share === undefined) continue;
    const height = SHARE_HEIGHT * Math.min(1, Math.max(0, share));
    path += `M${round(box.x + 0.5)} ${round(foot)}v${round(-height)}h${round(box.width - 1)}v${round(height)}z`;
  }
  const left = round(line.bars[0]?.x ?? 0);
  return {
    plot:
      element('path', {
        class: 'octave',
        d: `M${left} ${round(top)}H${round(line.right)}M${left} ${round(top + SHARE_HEIGHT / 2)}H${round(line.right)}`,
      }) +
      (path === '' ? '' : element('path', { class: 'share', d: path })) +
      element('path', { class: 'ruler', d: `M${left} ${round(foot)}H${round(line.right)}` }),
    gutter:
      textElement('100 %', { class: 'tick end', x: GUTTER_WIDTH - 8, y: top + 4 }) +
      textElement('0', { class: 'tick end', x: GUTTER_WIDTH - 8, y: foot + 2 }) +
      textElement('masked', { class: 'tick faint end', x: GUTTER_WIDTH - 42, y: top + SHARE_HEIGHT / 2 + 3 }),
  };
}

function legendOf(series: BalanceSeries, loudestDb: number, id: string): LegendEntry[] {
  const prefix = `${id}-key`;
  const area = (kind: 'clear' | 'close' | 'below'): string =>
    legendSign(
      element('path', { class: `margin-${kind}`, fill: `url(#${shadeId(prefix, kind)})`, d: 'M2 3h24v13h-24z' }),
      28,
      balanceDefs(prefix, [kind]),
    );
  const limit = dbText(series.limitDb, Number.isInteger(series.limitDb) ? 0 : 1);
  return [
    {
      sign: legendSign(element('path', { class: 'level-front', d: 'M1 9h26' })),
      text: 'Foreground: median of the beats of the bar',
    },
    {
      sign: legendSign(element('path', { class: 'level-back', d: 'M1 9h26' })),
      text: 'Background: all other parts together, powers added',
    },
    { sign: area('clear'), text: `Foreground at least ${limit} dB above the background` },
    {
      sign: area('close') + legendSign(element('path', { class: 'sign-close', d: 'M6 13h8l-4 -7z' }), 20),
      text: `Background closer than ${limit} dB`,
    },
    {
      sign: area('below') + legendSign(element('path', { class: 'sign-below', d: 'M6 13h8l-4 -7z' }), 20),
      text: 'Background above the foreground',
    },
    {
      sign: legendSign(element('path', { class: 'share', d: 'M6 4h16v12h-16z' })),
      text: 'Masked: share of the foreground masked by the background, by critical bands',
    },
    {
      sign: '',
      text: `All levels are estimated from MIDI; 0 on the axis is ${dbText(loudestDb)} dB in the table.`,
    },
  ];
}
