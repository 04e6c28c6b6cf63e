/** How counts, lists and spans of bars are said, everywhere. Plain text: whoever shows it escapes it. */

const EN_DASH = '\u2013';

/** `1 bar`, `12 bars`. */
export function counted(count: number, singular: string, plural = `${singular}s`): string {
  return `${String(count)} ${agreeing(count, singular, plural)}`;
}

/** The word that agrees with a number: `is` or `are`, `plays` or `play`, `bar` or `bars`. */
export function agreeing(count: number, singular: string, plural: string): string {
  return count === 1 ? singular : plural;
}

/** `a`, `a and b`, `a, b and c`; of more than `most` items the last are counted: `a, b and 3 more`. '' for none. */
export function listText(items: readonly string[], most = Number.POSITIVE_INFINITY): string {
  const shown = items.length > most ? [...items.slice(0, most - 1), `${String(items.length - most + 1)} more`] : items;
  const last = shown.at(-1) ?? '';
  return shown.length < 2 ? last : `${shown.slice(0, -1).join(', ')} and ${last}`;
}

/** `12`, `9–12`. */
export function spanText(from: number, to: number): string {
  return from === to ? String(from) : `${String(from)}${EN_DASH}${String(to)}`;
}

/** `bar 12`, `bars 9–12`. */
export function barSpanText(from: number, to: number): string {
  return `${from === to ? 'bar' : 'bars'} ${spanText(from, to)}`;
}

/** Runs of consecutive numbers, both ends included, in ascending order. */
export function runsOf(numbers: readonly number[]): readonly { readonly from: number; readonly to: number }[] {
  const runs: { from: number; to: number }[] = [];
  for (const number of [...new Set(numbers)].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last !== undefined && number === last.to + 1) last.to = number;
    else runs.push({ from: number, to: number });
  }
  return runs;
}

/** The numbers of a run, both ends included. */
export function numbersIn({ from, to }: { readonly from: number; readonly to: number }): readonly number[] {
  return Array.from({ length: to - from + 1 }, (_, index) => from + index);
}

/** `bars 1–4, 7 and 9–12`, `bar 3`; `no bar` for none. Of more than `most` runs the bars of the last are counted: `bars 12, 16 and 9 more`. */
export function barsText(bars: readonly number[], most = Number.POSITIVE_INFINITY): string {
  const runs = runsOf(bars);
  const [first] = runs;
  if (first === undefined) return 'no bar';
  if (runs.length === 1) return barSpanText(first.from, first.to);
  const shown = runs.slice(0, runs.length > most ? most - 1 : most);
  const more = runs.slice(shown.length).reduce((sum, { from, to }) => sum + to - from + 1, 0);
  return `bars ${listText([...shown.map(({ from, to }) => spanText(from, to)), ...(more > 0 ? [`${String(more)} more`] : [])])}`;
}

/** A share 0..1 in per cent, number and sign on one line: `43\u00a0%`; an en dash where there is none. */
export function percentText(share: number | undefined): string {
  return share === undefined || !Number.isFinite(share) ? EN_DASH : `${String(Math.round(share * 100))}\u00a0%`;
}

/** The same where little is not nothing: `under 1\u00a0%`. */
export function percentAtLeast(share: number): string {
  return share > 0 && share < 0.005 ? 'under 1\u00a0%' : percentText(share);
}

/** With a full stop, unless one or another closing sign is there: names end in dots too. */
export function closed(text: string): string {
  return /[.?!…]$/.test(text) ? text : `${text}.`;
}

/** A stage in a list: `4 Complete`; `1: 1m1` where its title begins with a number of its own. */
export function numberedTitle(order: number, title: string): string {
  return `${String(order)}${/^\p{N}/u.test(title) ? ':' : ''} ${title}`;
}

/** First letter in upper case. */
export function sentenceStart(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** With one full stop at its end: a name that ends with one (`Akk.`) has it already. */
export function fullStop(text: string): string {
  return text.endsWith('.') ? text : `${text}.`;
}

/** Where a sentence ends with a name that has a full stop of its own (`Akk.`), one of the two. */
export function oneStop(text: string): string {
  return text.replaceAll(/(?<=\p{L})\.\.(?=\s|$)/gu, '.');
}

/** First letter in lower case, for words that go on in a sentence. */
export function inSentence(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

/** Minutes and seconds, `3:07`. */
export function minutesText(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  return `${String(Math.floor(whole / 60))}:${String(whole % 60).padStart(2, '0')}`;
}

/** Size of a file: `24 kB`, `3.1 MB`. */
export function sizeWords(bytes: number): string {
  return bytes < 1_000_000 ? `${String(Math.ceil(bytes / 1000))} kB` : `${(bytes / 1_000_000).toFixed(1)} MB`;
}

/** True of a text that ends with a question, in brackets or quotation marks too. */
export function asks(text: string): boolean {
  return /\?[\s)”"»]*$/u.test(text);
}
