/** Dates in the names of stages. Years have four digits, so that a version such as 1.2.10 is none. */
import { quoted } from '../read/clean-text.ts';

interface FoundDate {
  /** As it stands in the name. */
  readonly text: string;
  readonly index: number;
  /** Year, month and day as one number that orders; undefined where it is no date in this reading. */
  readonly dayFirst: number | undefined;
  readonly monthFirst: number | undefined;
}

/** Year first with two digits each for month and day, in full or without separators (ISO 8601-1, calendar date). */
const YEAR_FIRST = /(?<!\d)((?:19|20)\d\d)([-_.]?)(\d\d)\2(\d\d)(?!\d)/;
const YEAR_LAST = /(?<!\d)(\d{1,2})([-_. ])(\d{1,2})\2((?:19|20)\d\d)(?!\d)/;
const DAY_MONTH_NAME = /(?<!\d)(\d{1,2})(?:st|nd|rd|th)?[-_. ]+(\p{L}{3,9})\.?,?[-_. ]+((?:19|20)\d\d)(?!\d)/u;
const MONTH_NAME_DAY = /(?<!\p{L})(\p{L}{3,9})\.?[-_. ]+(\d{1,2})(?:st|nd|rd|th)?,?[-_. ]+((?:19|20)\d\d)(?!\d)/u;
/** English and German. */
const MONTHS = [
  ['january', 'januar'],
  ['february', 'februar'],
  ['march', 'märz'],
  ['april'],
  ['may', 'mai'],
  ['june', 'juni'],
  ['july', 'juli'],
  ['august'],
  ['september'],
  ['october', 'oktober'],
  ['november'],
  ['december', 'dezember'],
] as const;

function dayNumber(yearText: string | undefined, month: number, day: number): number | undefined {
  const year = Number(yearText);
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const last = month === 2 ? (isLeap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
  if (month < 1 || month > 12 || day < 1 || day > last) return undefined;
  return year * 10_000 + month * 100 + day;
}

/** 1 for January, from three letters on; 0 for no month. */
function monthNamed(word = ''): number {
  const letters = word.normalize('NFC').toLowerCase();
  return 1 + MONTHS.findIndex((names) => names.some((name) => name.startsWith(letters)));
}

function foundIn(match: RegExpExecArray, dayFirst?: number, monthFirst?: number): FoundDate | undefined {
  if (dayFirst === undefined && monthFirst === undefined) return undefined;
  return { text: match[0], index: match.index, dayFirst, monthFirst };
}

/** The date in a name; undefined where there is none. A point between numbers is European: the day comes first (Unicode CLDR: de, fr-CH, pl). */
export function dateIn(name: string): FoundDate | undefined {
  const iso = YEAR_FIRST.exec(name);
  if (iso !== null) {
    const day = dayNumber(iso[1], Number(iso[3]), Number(iso[4]));
    if (day !== undefined) return foundIn(iso, day, day);
  }
  const numbers = YEAR_LAST.exec(name);
  if (numbers !== null) {
    const [one, other] = [Number(numbers[1]), Number(numbers[3])];
    const monthFirst = numbers[2] === '.' ? undefined : dayNumber(numbers[4], one, other);
    return foundIn(numbers, dayNumber(numbers[4], other, one), monthFirst);
  }
  const european = DAY_MONTH_NAME.exec(name);
  if (european !== null) {
    const day = dayNumber(european[3], monthNamed(european[2]), Number(european[1]));
    return foundIn(european, day, day);
  }
  const american = MONTH_NAME_DAY.exec(name);
  if (american === null) return undefined;
  const day = dayNumber(american[3], monthNamed(american[1]), Number(american[2]));
  return foundIn(american, day, day);
}

type Reading = 'dayFirst' | 'monthFirst';

/** Indices in order of the dates in one reading; undefined where a name has no date in it. */
function orderIn(dates: readonly (FoundDate | undefined)[], reading: Reading): readonly number[] | undefined {
  const days = dates.map((date) => date?.[reading]);
  if (days.some((day) => day === undefined)) return undefined;
  return days.map((_, index) => index).sort((a, b) => (days[a] ?? 0) - (days[b] ?? 0) || a - b);
}

/** Orders of the names by their dates, one for each reading that differs; none where not every name has a date or a number leads. */
function dateOrders(names: readonly string[]): readonly (readonly number[])[] {
  const dates = names.map(dateIn);
  // A leading number is an order that somebody gave.
  if (dates.some((date, index) => date !== undefined && date.index > 0 && /^\s*\d/.test(names[index] ?? ''))) return [];
  const orders = (['dayFirst', 'monthFirst'] as const).flatMap((reading) => {
    const order = orderIn(dates, reading);
    return order === undefined ? [] : [order];
  });
  return orders.filter((order, place) => !orders.slice(0, place).some((other) => other.join() === order.join()));
}

/** The stages in order of the dates in their names, where each has one and the order is clear; else as they came. */
export function orderedByDate<Named extends { readonly name: string }>(stages: readonly Named[]): readonly Named[] {
  const [order, another] = dateOrders(stages.map(({ name }) => name));
  if (order === undefined || another !== undefined) return stages;
  return order.flatMap((index) => stages[index] ?? []);
}

/** Asks which comes first where day and month could be either and the order of the stages hangs on it. */
export function dateQuestion(names: readonly string[]): string | undefined {
  if (dateOrders(names).length < 2) return undefined;
  const example = names.map((name) => dateIn(name)?.text ?? '').find((text) => text !== '') ?? '';
  return `The dates in the names of the stages, such as ${quoted(example)}, can be read with the day or the month first, and the stages would follow in another order: they stand in the order of their names; say which comes when with stages: NAME: order.`;
}
