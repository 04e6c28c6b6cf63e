/** Dates in the names of stages: those that people write in Europe and America, with a time of day behind them or without. */
import { quoted } from '../../read/clean-text.ts';
import { isMonthAlone, monthNamed } from './month-names.ts';

const READINGS = ['dayFirst', 'monthFirst', 'yearFirst'] as const;
type Reading = (typeof READINGS)[number];

/** For each reading year, month and day as one number that orders; undefined where it is no date in this reading. */
type Days = Readonly<Partial<Record<Reading, number | undefined>>>;

interface FoundDate extends Days {
  /** As it stands in the name, with its time of day. */
  readonly text: string;
  readonly index: number;
  /** Seconds from midnight; undefined where no time follows. */
  readonly time: number | undefined;
}

const YEAR = String.raw`((?:19|20)\d\d)`;
const START = String.raw`(?<![\p{L}\d])`;
const END = String.raw`(?!\d)`;
const GAP = String.raw`[-_. ]+`;
const DAY = String.raw`(\d{1,2})(?:st|nd|rd|th|er)?\.?`;
const NAME = String.raw`(\p{L}{3,10})\.?,?`;
const DE = String.raw`(?:de[-_ ]+)?`;
/** Two digits alone are a year where the month has its name. */
const ANY_YEAR = String.raw`((?:19|20)?\d\d)`;

/** Year first (ISO 8601-1, calendar date, in full or without separators; with separators in single digits too). */
const YEAR_FIRST = new RegExp(`(?<!\\d)${YEAR}(?:([-_. ])(\\d{1,2})\\2(\\d{1,2})|(\\d\\d)(\\d\\d))${END}`, 'u');
const YEAR_LAST = new RegExp(`(?<!\\d)(\\d{1,2})([-_. ])(\\d{1,2})\\2${YEAR}${END}`, 'u');
/** Two digits each, or it would be a version: 1.2.10 is none. */
const SHORT = /(?<![\d.])(\d\d)([-_.])(\d\d)\2(\d\d)(?![\d.]|[-_.]\d)/u;
const DAY_NAME = new RegExp(`${START}${DAY}(?:[-_. ]*)${DE}${NAME}${GAP}${DE}['’]?${ANY_YEAR}${END}`, 'iu');
const NAME_DAY = new RegExp(
  `(?<!\\p{L})${NAME}(?:[-_. ]*)(\\d{1,2})(?:st|nd|rd|th)?,?${GAP}['’]?${ANY_YEAR}${END}`,
  'iu',
);
const NAME_YEAR = new RegExp(`(?<!\\p{L})${NAME}${GAP}${YEAR}${END}`, 'iu');
/** `T14:30`, ` 14.30`, `-1430`, `_14h30`, ` 2.30 pm`, with seconds or without; only behind a date. */
const TIME =
  /^(?:T|[-_., ]+(?:at )?)(\d{1,2})(?:[h:.-](\d\d)(?:[:.-](\d\d))?|(\d\d)(\d\d)?)(?: ?([ap])\.?m\b)?(?!\d)/iu;

function dayNumber(yearText: string | undefined, month: number, day: number): number | undefined {
  const written = Number(yearText);
  const year = written < 100 ? 2000 + written : written;
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const last = month === 2 ? (isLeap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
  if (month < 1 || month > 12 || day < 1 || day > last) return undefined;
  return year * 10_000 + month * 100 + day;
}

/** The time of day at the start of a text. */
function timeIn(text: string): { readonly text: string; readonly seconds: number } | undefined {
  const match = TIME.exec(text);
  if (match === null) return undefined;
  const [whole, hourText, minute = match[4], second = match[5] ?? '0', , , half] = match;
  const [hour, minutes, seconds] = [Number(hourText), Number(minute), Number(second)];
  const isHalf = half !== undefined;
  if (hour > (isHalf ? 12 : 23) || minutes > 59 || seconds > 59) return undefined;
  const hours = isHalf ? (hour % 12) + (half.toLowerCase() === 'p' ? 12 : 0) : hour;
  return { text: whole, seconds: 3600 * hours + 60 * minutes + seconds };
}

/** The same day however it is read. */
const only = (day: number | undefined): Days => ({
  dayFirst: day,
  monthFirst: day,
  yearFirst: day,
});

type Form = (name: string) => FoundDate | undefined;

function form(pattern: RegExp, read: (match: RegExpExecArray) => Days): Form {
  return (name) => {
    const match = pattern.exec(name);
    if (match === null) return undefined;
    const days = read(match);
    if (READINGS.every((reading) => days[reading] === undefined)) return undefined;
    const time = timeIn(name.slice(match.index + match[0].length));
    return { ...days, text: match[0] + (time?.text ?? ''), index: match.index, time: time?.seconds };
  };
}

/** The forms, the surest first. A point between numbers is European: the day comes first (Unicode CLDR: de, fr-CH, pl). */
const FORMS: readonly Form[] = [
  form(YEAR_FIRST, (found) => only(dayNumber(found[1], Number(found[3] ?? found[5]), Number(found[4] ?? found[6])))),
  form(YEAR_LAST, ([, one, separator, other, year]) => {
    const dayFirst = dayNumber(year, Number(other), Number(one));
    const monthFirst = separator === '.' ? undefined : dayNumber(year, Number(one), Number(other));
    // A year of four digits at the end is not at the start, whichever of the two others is.
    return { dayFirst, monthFirst };
  }),
  form(DAY_NAME, ([, day, month, year]) => only(dayNumber(year, monthNamed(month), Number(day)))),
  form(NAME_DAY, ([, month, day, year]) => only(dayNumber(year, monthNamed(month), Number(day)))),
  form(SHORT, ([, one, separator, other, last]) => {
    const dayFirst = dayNumber(last, Number(other), Number(one));
    if (separator === '.') return { dayFirst };
    return {
      dayFirst,
      monthFirst: dayNumber(last, Number(one), Number(other)),
      yearFirst: dayNumber(one, Number(other), Number(last)),
    };
  }),
  form(NAME_YEAR, ([, month, year]) => {
    const number = isMonthAlone(month) ? monthNamed(month) : 0;
    // Before every day of the month.
    return number === 0 ? {} : only(Number(year) * 10_000 + number * 100);
  }),
];

/** The date in a name; undefined where there is none. */
export function dateIn(name: string): FoundDate | undefined {
  for (const read of FORMS) {
    const found = read(name);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** Indices in order of the dates in one reading, times of day too where every name has one; undefined where a name has no date in it. */
function orderIn(dates: readonly (FoundDate | undefined)[], reading: Reading): readonly number[] | undefined {
  const days = dates.map((date) => date?.[reading]);
  if (days.some((day) => day === undefined)) return undefined;
  const times = dates.map((date) => date?.time);
  const hasTimes = times.every((time) => time !== undefined);
  const timeOf = (index: number): number => (hasTimes ? (times[index] ?? 0) : 0);
  return days
    .map((_, index) => index)
    .sort((a, b) => (days[a] ?? 0) - (days[b] ?? 0) || timeOf(a) - timeOf(b) || a - b);
}

/** Orders of the names by their dates, one for each reading that differs; none where not every name has a date. */
function dateOrders(names: readonly string[]): readonly (readonly number[])[] {
  const dates = names.map(dateIn);
  const orders = READINGS.flatMap((reading) => {
    const order = orderIn(dates, reading);
    return order === undefined ? [] : [order];
  });
  return orders.filter((order, place) => !orders.slice(0, place).some((other) => other.join() === order.join()));
}

/** True where a number leads a name before its date: that is an order that somebody gave. */
function isNumbered(names: readonly string[]): boolean {
  return names.some((name) => (dateIn(name)?.index ?? 0) > 0 && /^\s*\d/.test(name));
}

/** The stages in order of the dates in their names, where each has one and the order is clear; else as they came. */
export function orderedByDate<Named extends { readonly name: string }>(stages: readonly Named[]): readonly Named[] {
  const names = stages.map(({ name }) => name);
  const [order, another] = isNumbered(names) ? [] : dateOrders(names);
  if (order === undefined || another !== undefined) return stages;
  return order.flatMap((index) => stages[index] ?? []);
}

/** Asks which comes first where day and month could be either and the order of the stages hangs on it. */
export function dateQuestion(names: readonly string[]): string | undefined {
  if (isNumbered(names) || dateOrders(names).length < 2) return undefined;
  const example = names.map((name) => dateIn(name)?.text ?? '').find((text) => text !== '') ?? '';
  return `The dates in the names of the stages, such as ${quoted(example)}, can be read with the day or the month first${names.some((name) => isShort(name)) ? ', or the year' : ''}, and the stages would follow in another order: they stand in the order of their names; say which comes when with stages: NAME: order.`;
}

/** True where a date has two digits for each of its numbers, the year too. */
function isShort(name: string): boolean {
  const date = dateIn(name);
  return date?.yearFirst !== undefined && date.yearFirst !== date.dayFirst;
}

/**
 * Says that the dates in the names run against the order in force, given by numbers or by the settings: the story would be told
 * backwards. Undefined where they do not, or where nobody can tell. `names`: in the order in force.
 */
export function backwardsRemark(names: readonly string[]): string | undefined {
  const [order, another] = dateOrders(names);
  if (order === undefined || another !== undefined) return undefined;
  const placeOf = new Map(order.map((index, place) => [index, place]));
  const wrong = names.findIndex((_, index) => index > 0 && (placeOf.get(index) ?? 0) < (placeOf.get(index - 1) ?? 0));
  const [earlier, later] = [names[wrong - 1], names[wrong]];
  if (earlier === undefined || later === undefined) return undefined;
  return `The stages stand in the order of their numbers or of the settings, though the dates in their names say otherwise: ${quoted(later)} follows ${quoted(earlier)}, and what changed is told in that direction; say which comes when with stages: NAME: order.`;
}
