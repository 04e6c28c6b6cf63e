/** The kinds of value in `dossier.yaml`: each checks what is written, in any of its forms, and gives the one form that we use. */
import * as z from 'zod';
import { midiOf, parsePitch } from '../../model/music/pitch.ts';
import { BAR_SPAN_PATTERN, MOST_BAR, parseBarSpan } from './bar-span.ts';
import { cleanText } from '../clean-text.ts';
import { parseKey } from './parse-key.ts';
import type { BarSpan, Settings } from './settings.ts';

/** A schema with its name for lists and the words that say what is allowed. */
export interface ValueKind<Content> {
  readonly schema: z.ZodType<Content>;
  /** Short, for the list in the README. */
  readonly type: string;
  /** After "expected is". */
  readonly allowed: string;
}

const SHORT_TEXT = 200;
const LONG_TEXT = 2000;

function textOfLength(most: number): z.ZodType<string> {
  return z
    .union([z.string().min(1), z.number()])
    .transform((written) => cleanText(String(written), most))
    .refine((cleaned) => cleaned !== '');
}

export const text: ValueKind<string> = { schema: textOfLength(SHORT_TEXT), type: 'text', allowed: 'a line of text' };
export const longText: ValueKind<string> = { schema: textOfLength(LONG_TEXT), type: 'text', allowed: 'some text' };

/** The first digits of a SHA-256 hash. */
export const hash: ValueKind<string> = {
  schema: z
    .string()
    .regex(/^\s*[0-9a-f]{12,64}\s*$/i)
    .transform((written) => written.trim().toLowerCase()),
  type: 'text (hash)',
  allowed: '12 or more digits 0-9 and a-f',
};

export const yesOrNo: ValueKind<boolean> = { schema: z.boolean(), type: 'true or false', allowed: 'true or false' };

export function wholeNumber(least: number, most: number): ValueKind<number> {
  return {
    schema: z.int().min(least).max(most),
    type: 'whole number',
    allowed: `a whole number from ${least} to ${most}`,
  };
}

export function number(least: number, most: number, unit = ''): ValueKind<number> {
  return {
    schema: z.number().min(least).max(most),
    type: unit === '' ? 'number' : `number (${unit})`,
    allowed: `a number from ${least} to ${most}${unit === '' ? '' : ` (${unit})`}`,
  };
}

export function oneOf<const Name extends string>(names: readonly Name[]): ValueKind<Name> {
  return { schema: z.enum(names), type: names.join(', '), allowed: `one of ${names.join(', ')}` };
}

export const paper: ValueKind<'a4' | 'letter'> = {
  schema: z
    .enum(['a4', 'letter', 'A4', 'Letter'])
    .transform((written) => (written.toLowerCase() === 'a4' ? ('a4' as const) : ('letter' as const))),
  type: 'a4 or letter',
  allowed: 'a4 or letter',
};

export const staves: ValueKind<'auto' | 4 | 5 | 6> = {
  schema: z.union([z.literal('auto'), z.literal(4), z.literal(5), z.literal(6)]),
  type: 'auto, 4, 5 or 6',
  allowed: 'auto, 4, 5 or 6',
};

const bar = z.int().min(0).max(MOST_BAR);

export const bars: ValueKind<BarSpan> = {
  schema: z
    .union([z.string().regex(BAR_SPAN_PATTERN), bar, z.tuple([bar, bar]), z.strictObject({ from: bar, to: bar })])
    .transform((written, context): BarSpan => {
      const span =
        typeof written === 'number'
          ? { from: written, to: written }
          : typeof written === 'string'
            ? (parseBarSpan(written) ?? { from: 0, to: 0 })
            : 'from' in written
              ? written
              : { from: written[0], to: written[1] };
      if (span.from > span.to) context.addIssue({ code: 'custom', message: 'the first bar comes after the last' });
      return span;
    }),
  type: 'bar or span',
  allowed: 'a bar or a span of bars such as 9, 9-12, [9, 12] or {from: 9, to: 12}',
};

const PITCH = '[A-Ga-g](?:bb|##|b|#|♭|♯|x)?-?[0-9]{1,2}';
const RANGE_PATTERN = new RegExp(`^\\s*(${PITCH})\\s*(?:-|–|—|to)\\s*(${PITCH})\\s*$`);

export const range: ValueKind<{ readonly low: number; readonly high: number }> = {
  schema: z
    .union([
      z.string().regex(RANGE_PATTERN),
      z.strictObject({
        low: z.string().regex(new RegExp(`^${PITCH}$`)),
        high: z.string().regex(new RegExp(`^${PITCH}$`)),
      }),
    ])
    .transform((written, context) => {
      const [, first = '', second = ''] = typeof written === 'string' ? (RANGE_PATTERN.exec(written) ?? []) : [];
      const ends = typeof written === 'string' ? { low: first, high: second } : written;
      const lowPitch = parsePitch(ends.low);
      const highPitch = parsePitch(ends.high);
      const low = lowPitch === undefined ? -1 : midiOf(lowPitch);
      const high = highPitch === undefined ? -1 : midiOf(highPitch);
      if (low > high) context.addIssue({ code: 'custom', message: 'the lowest note is above the highest' });
      if (low < 0 || high > 127) context.addIssue({ code: 'custom', message: 'MIDI reaches from C-1 to G9' });
      return { low, high };
    }),
  type: 'range',
  allowed: 'two sounding pitches such as G3-E7 or {low: G3, high: E7} (C4 is middle C)',
};

export const key: ValueKind<NonNullable<Settings['key']>> = {
  schema: z.string().transform((written, context) => {
    const parsed = parseKey(written);
    if (parsed !== undefined) return parsed;
    context.addIssue({ code: 'custom', message: '' });
    return z.NEVER;
  }),
  type: 'key',
  allowed: 'a key with at most seven sharps or flats such as F# minor, E-flat major, Gm or fis-Moll',
};

const MOST_PICKUP_QUARTERS = 64;

export const quarters: ValueKind<number> = {
  schema: z
    .union([z.number().min(0), z.string().regex(/^\s*\d{1,3}\s*\/\s*[1-9]\d{0,2}\s*$/)])
    .transform((written) => {
      if (typeof written === 'number') return written;
      const [above, below] = written.split('/').map(Number);
      return (above ?? 0) / (below ?? 1);
    })
    .refine((length) => length <= MOST_PICKUP_QUARTERS),
  type: 'quarter notes',
  allowed: `a number of quarter notes from 0 to ${MOST_PICKUP_QUARTERS} such as 1, 0.5 or "3/2"`,
};

/** One name or a list of names. */
export const names: ValueKind<readonly string[]> = {
  schema: z
    .union([text.schema, z.array(text.schema)])
    .transform((written) => (typeof written === 'string' ? [written] : written)),
  type: 'name or list of names',
  allowed: 'a name or a list of names',
};
