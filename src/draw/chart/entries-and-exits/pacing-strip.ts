/** Under the map of entries: who comes in, how many parts sound, how loud all of them are, and where nobody sounds. */
import type { Stage } from '../../../model/music/arrangement.ts';
import type { PacingReading, TextureBar } from '../../../model/readings/pacing.ts';
import { element, round, textElement } from '../../svg.ts';
import { labelOf } from '../frame/front.ts';
import { GUTTER_WIDTH, boxOf, spanInLine, xInBar, type RulerLine } from '../../ruler/ruler.ts';
import { dbText, shorten } from '../../ruler/wording.ts';

const COUNT_HEIGHT = 26;
const LEVEL_HEIGHT = 30;
/** Two lines of names, so that neighbours do not meet. */
const NAME_LINE = 10;
const NAME_LINES = 2;
/** Mean width of a character of the small text, in user units. */
const CHARACTER = 5;
const MOST_NAMES = 3;
/** Levels further under the loudest bar are drawn at the foot. */
const LEVEL_SPAN_DB = 30;

interface Strip {
  readonly plot: string;
  readonly gutter: string;
  readonly height: number;
}

function gutterText(text: string, y: number): string {
  return textElement(text, { class: 'tick end', x: GUTTER_WIDTH - 8, y });
}

/** The textures of the bars of a line. */
function inLine({ bars }: PacingReading, line: RulerLine): readonly TextureBar[] {
  const first = bars[0]?.bar ?? 1;
  return bars.slice(line.firstBar - first, line.lastBar - first + 1);
}

/** A step line over the bars of a line; broken where there is no number. */
function stepLine(line: RulerLine, y: (bar: number) => number | undefined): string {
  let path = '';
  let drawing = false;
  for (const box of line.bars) {
    const at = y(box.number);
    if (at === undefined) {
      drawing = false;
      continue;
    }
    path += `${drawing ? 'V' : `M${round(box.x)} `}${round(at)}H${round(box.x + box.width)}`;
    drawing = true;
  }
  return path;
}

/** Short names of the parts that come in, bar by bar; those that find no room are in the table only. */
function entryNames(stage: Stage, pacing: PacingReading, line: RulerLine, top: number): string {
  const parts = new Map(stage.parts.map((part) => [part.id, part]));
  const byBar = new Map<number, string[]>();
  for (const { partId, bar } of pacing.entries) {
    if (bar < line.firstBar || bar > line.lastBar) continue;
    const part = parts.get(partId);
    if (part === undefined) continue;
    const name = shorten(part.abbreviation === '' ? labelOf(part) : part.abbreviation, 9);
    byBar.set(bar, [...(byBar.get(bar) ?? []), name]);
  }
  const freeFrom = Array.from({ length: NAME_LINES }, () => 0);
  let texts = '';
  for (const [bar, names] of [...byBar].sort((a, b) => a[0] - b[0])) {
    const box = boxOf(line, bar);
    if (box === undefined) continue;
    const text = names.length > MOST_NAMES ? `${names.length} parts` : names.join(', ');
    const row = freeFrom.findIndex((from) => from <= box.x);
    if (row < 0) continue;
    freeFrom[row] = box.x + text.length * CHARACTER + 6;
    texts += textElement(text, { class: 'tick', x: box.x + 1, y: top + NAME_LINE * (row + 1) - 1.5 });
  }
  return texts;
}

function countStrip(stage: Stage, pacing: PacingReading, line: RulerLine, top: number): Strip {
  const foot = top + COUNT_HEIGHT;
  const all = Math.max(1, stage.parts.length);
  const textures = new Map(inLine(pacing, line).map((bar) => [bar.bar, bar]));
  const height = (count: number): number => foot - (COUNT_HEIGHT * count) / all;
  const left = line.bars[0]?.x ?? 0;
  let area = `M${round(left)} ${round(foot)}`;
  for (const box of line.bars) {
    area += `V${round(height(textures.get(box.number)?.partIds.length ?? 0))}H${round(box.x + box.width)}`;
  }
  const lines = stepLine(line, (bar) => {
    const texture = textures.get(bar);
    return texture === undefined || texture.partIds.length === 0 ? undefined : height(texture.lines);
  });
  return {
    height: COUNT_HEIGHT,
    plot:
      element('path', { class: 'count', d: `${area}V${round(foot)}z` }) +
      (lines === '' ? '' : element('path', { class: 'pacing-lines', d: lines })) +
      element('path', { class: 'ruler', d: `M${round(left)} ${round(foot)}H${round(line.right)}` }) +
      element('path', { class: 'octave', d: `M${round(left)} ${round(top)}H${round(line.right)}` }) +
      textElement(String(all), { class: 'tick faint', x: line.right + 5, y: top + 4 }) +
      textElement('0', { class: 'tick faint', x: line.right + 5, y: foot + 1 }),
    gutter: gutterText('parts playing', (top + foot) / 2 + 3.5),
  };
}

function levelStrip(pacing: PacingReading, line: RulerLine, top: number): Strip {
  const { peak } = pacing;
  if (peak === undefined) return { plot: '', gutter: '', height: 0 };
  const foot = top + LEVEL_HEIGHT;
  const levels = new Map(inLine(pacing, line).map((bar) => [bar.bar, bar.levelDb]));
  const y = (bar: number): number | undefined => {
    const db = levels.get(bar);
    return db === undefined
      ? undefined
      : foot - LEVEL_HEIGHT * Math.min(1, Math.max(0, 1 - (peak.levelDb - db) / LEVEL_SPAN_DB));
  };
  const box = boxOf(line, peak.bar);
  const summit = y(peak.bar);
  const middle = box === undefined ? 0 : box.x + box.width / 2;
  const sign =
    box === undefined || summit === undefined
      ? ''
      : element('path', { class: 'pacing-peak', d: `M${round(middle - 4)} ${round(summit - 6)}h8l-4 5z` });
  const left = round(line.bars[0]?.x ?? 0);
  return {
    height: LEVEL_HEIGHT,
    plot:
      element('path', { class: 'octave', d: `M${left} ${round(top)}H${round(line.right)}` }) +
      element('path', { class: 'ruler', d: `M${left} ${round(foot)}H${round(line.right)}` }) +
      element('path', { class: 'pacing-level', d: stepLine(line, y) }) +
      sign +
      textElement('0 dB', { class: 'tick faint', x: line.right + 5, y: top + 4 }) +
      textElement(dbText(-LEVEL_SPAN_DB, 0), { class: 'tick faint', x: line.right + 5, y: foot + 1 }),
    gutter: gutterText('total level (est.)', (top + foot) / 2 + 3.5),
  };
}

/** Silences as columns through the whole map, each with its seconds. */
function silenceColumns(pacing: PacingReading, line: RulerLine, top: number, foot: number): string {
  let columns = '';
  let texts = '';
  for (const silence of pacing.silences) {
    const span = spanInLine(line, silence.from, silence.to);
    if (span === undefined) continue;
    const from = silence.from >= line.firstBar ? xInBar(span.first, silence.startQuarters) : span.first.x;
    const to = silence.to <= line.lastBar ? xInBar(span.last, silence.endQuarters) : span.last.x + span.last.width;
    columns += `M${round(from)} ${round(top)}H${round(to)}V${round(foot)}H${round(from)}z`;
    const seconds = `${silence.seconds < 9.95 ? silence.seconds.toFixed(1) : String(Math.round(silence.seconds))} s`;
    texts += textElement(seconds, { class: 'tick middle', x: (from + to) / 2, y: top + 8 });
  }
  return columns === '' ? '' : element('path', { class: 'silence-event', d: columns }) + texts;
}

/** All that stands under the rows of the map, from `top` on; silences reach up to `mapTop`. */
export function drawPacing(stage: Stage, pacing: PacingReading, line: RulerLine, mapTop: number, top: number): Strip {
  const countTop = top + NAME_LINE * NAME_LINES + 3;
  const count = countStrip(stage, pacing, line, countTop);
  const level = levelStrip(pacing, line, countTop + count.height + 8);
  const height = countTop + count.height + (level.height === 0 ? 0 : level.height + 8) - top;
  return {
    height,
    plot:
      silenceColumns(pacing, line, mapTop, top + height) +
      entryNames(stage, pacing, line, top) +
      count.plot +
      level.plot,
    gutter: gutterText('entries', top + NAME_LINE + 2) + count.gutter + level.gutter,
  };
}
