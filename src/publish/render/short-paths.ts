/**
 * Path data in fewer characters (SVG 2, 9.3): each step from where the pen stands or from the origin, whichever is shorter, without letters and blanks
 * that a reader does not need. Nothing is rounded: numbers are reckoned in hundredths, the finest that any drawing has.
 */

const UNITS = 100;
/** How many numbers a step has, by its letter; other letters leave the path as it is. */
const NUMBERS: Readonly<Record<string, number>> = { m: 2, l: 2, h: 1, v: 1, c: 6, z: 0 };
const TOKEN = /[a-zA-Z]|-?(?:\d+\.?\d*|\.\d+)/g;

interface Step {
  readonly letter: string;
  readonly numbers: readonly number[];
}

/** Steps with numbers in hundredths; undefined where a letter is not known or a number is finer. */
function stepsOf(path: string): readonly Step[] | undefined {
  const steps: Step[] = [];
  let letter = '';
  let numbers: number[] = [];
  const take = (): void => {
    steps.push({ letter, numbers });
    numbers = [];
    // What follows a move without a letter is a line.
    if (letter === 'M') letter = 'L';
    if (letter === 'm') letter = 'l';
  };
  for (const [token] of path.matchAll(TOKEN)) {
    if (/[a-zA-Z]/.test(token)) {
      letter = token;
      if (!(token.toLowerCase() in NUMBERS)) return undefined;
      if (token.toLowerCase() === 'z') take();
      continue;
    }
    const number = Math.round(Number(token) * UNITS);
    if (Math.abs(number - Number(token) * UNITS) > 1e-6) return undefined;
    numbers.push(number);
    if (numbers.length === NUMBERS[letter.toLowerCase()]) take();
  }
  return numbers.length === 0 ? steps : undefined;
}

function numberText(hundredths: number): string {
  const text = String(hundredths / UNITS);
  return text.replace(/^(-?)0\./, '$1.');
}

function joined(before: string, numbers: readonly number[]): string {
  let text = before;
  for (const number of numbers) {
    const next = numberText(number);
    const last = /[\d.]*$/.exec(text)?.[0] ?? '';
    const isApart = last === '' || next.startsWith('-') || (next.startsWith('.') && last.includes('.'));
    text += isApart ? next : ` ${next}`;
  }
  return text.slice(before.length);
}

/** The same path in as few characters; as it was where it has arcs or finer numbers. */
export function shortPath(path: string): string {
  const steps = stepsOf(path);
  if (steps === undefined) return path;
  let text = '';
  let written = '';
  let [x, y, startX, startY] = [0, 0, 0, 0];
  for (const { letter, numbers } of steps) {
    const kind = letter.toLowerCase();
    if (kind === 'z') {
      text += 'z';
      written = 'z';
      [x, y] = [startX, startY];
      continue;
    }
    const isRelative = letter === kind;
    const origin = numbers.map((_, index) => (kind === 'v' || (kind !== 'h' && index % 2 === 1) ? y : x));
    const absolute = isRelative ? numbers.map((number, index) => number + (origin[index] ?? 0)) : numbers;
    const relative = isRelative ? numbers : numbers.map((number, index) => number - (origin[index] ?? 0));
    const option = (sign: string, own: readonly number[]): { readonly sign: string; readonly added: string } => {
      const isSame = sign === written || (sign === 'L' && written === 'M') || (sign === 'l' && written === 'm');
      const needsNone = isSame && kind !== 'm';
      return { sign, added: needsNone ? joined(text.slice(-16), own) : sign + joined(sign, own) };
    };
    const [fromOrigin, fromPen] = [option(kind.toUpperCase(), absolute), option(kind, relative)];
    const best = fromPen.added.length < fromOrigin.added.length ? fromPen : fromOrigin;
    text += best.added;
    written = best.sign;
    if (kind === 'h') x = absolute[0] ?? x;
    else if (kind === 'v') y = absolute[0] ?? y;
    else [x = x, y = y] = absolute.slice(-2);
    if (kind === 'm') [startX, startY] = [x, y];
  }
  return text.length < path.length ? text : path;
}

/** Markup whose paths are short. */
export function withShortPaths(markup: string): string {
  return markup.replace(/ d="(M[^"]*)"/g, (_, path: string) => ` d="${shortPath(path)}"`);
}
