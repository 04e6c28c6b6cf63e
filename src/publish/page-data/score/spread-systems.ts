/** The systems of the reduced score spread over their sheets of paper, as a copyist leaves no third of a sheet white at its foot. */
import type { NoteLink } from '../page-frame/notes-section.ts';
import type { ShownSystem } from './shown-system.ts';

/** Width and height of what stands on a sheet of the score, in CSS pixels: the paper without the margins of `print.css`. */
const MM = 96 / 25.4;
const SHEETS = {
  a4: { width: (210 - 32) * MM, height: (297 - 24) * MM },
  letter: { width: (215.9 - 32) * MM, height: (279.4 - 24) * MM },
} as const;

/** What `print.css` sets round a system and in lines of text, in CSS pixels of its print, and letters in a line of each. */
const ROUND_SYSTEM = 10;
const UNDER = { line: 13, gap: 4, letters: 130 };
const HEADING = 45;
const INTRO = { line: 16.5, letters: 112 };
/** A row of flags reaches so much of the width over its system; the first only a little. */
const ROW_OF_FLAGS = 0.0235;
const FIRST_ROW_LESS = 0.0169;

/** Nearer to the foot of a sheet than this our reckoning cannot tell whether a system still stands on it: from there on nothing is spread. */
const UNSURE = 12;
/** Of what is left white so much is given to the gaps between systems, each at most so many steps of 3 mm. */
const GIVEN = 0.85;
const STEP = 3 * MM;
const MOST_STEPS = 10;

/** Lines of text under a system. */
type SystemTexts = Pick<ShownSystem, 'doublings' | 'leftOut'> & { readonly notes: readonly NoteLink[] };

type PrintedSystem = Pick<ShownSystem, 'viewBox' | 'lanes'> & SystemTexts;

function linesOf(text: string, letters: number): number {
  return Math.ceil(text.length / letters);
}

function heightOf({ viewBox, lanes, doublings, leftOut, notes }: PrintedSystem, width: number): number {
  const [, , across = 1, down = 0] = viewBox.split(' ').map(Number);
  const paragraphs = [
    ...(doublings.length === 0 ? [] : [`Doublings: ${doublings.join('; ')}`]),
    ...(leftOut.length === 0 ? [] : [`Omitted: ${leftOut.join('; ')}`]),
    ...notes.map(({ kind, place, heading }) => `${kind}, ${place}: ${heading}`),
  ];
  const texts = paragraphs.reduce((sum, text) => sum + linesOf(text, UNDER.letters) * UNDER.line + UNDER.gap, 0);
  const flags = lanes === 0 ? 0 : lanes * ROW_OF_FLAGS - FIRST_ROW_LESS;
  return width * (down / across - flags) + texts + ROUND_SYSTEM;
}

/**
 * Steps of 3 mm by which each system is moved down from the one above it, 0 for the first of a sheet and on the last sheet. `above` are the sentences
 * between the heading and the first system.
 */
export function spreadSystems(
  systems: readonly PrintedSystem[],
  above: readonly string[],
  paper: keyof typeof SHEETS,
): readonly number[] {
  const { width, height } = SHEETS[paper];
  const steps = systems.map(() => 0);
  let used = above.reduce((sum, text) => sum + linesOf(text, INTRO.letters) * INTRO.line, HEADING);
  let first = 0;
  for (const [index, system] of systems.entries()) {
    const own = heightOf(system, width);
    const left = height - used;
    if (Math.abs(left - own) < UNSURE) return steps;
    if (own > left) {
      const gaps = index - first - 1;
      const each = gaps < 1 ? 0 : Math.min(MOST_STEPS, Math.floor((GIVEN * left) / gaps / STEP));
      for (let moved = first + 1; moved < index; moved++) steps[moved] = each;
      first = index;
      used = 0;
    }
    used += own;
  }
  return steps;
}
