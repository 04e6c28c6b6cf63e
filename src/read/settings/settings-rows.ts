/** How a table of settings is written down, and what is made from it. The tables themselves are in settings-table.ts. */
import * as z from 'zod';
import type { ValueKind } from './settings-values.ts';

export interface Row<Content> extends ValueKind<Content> {
  readonly description: string;
  /** What holds where the key is not given, in words; '' where the key is required in its list item. */
  readonly fallback: string;
  /** As written in YAML. */
  readonly example: string;
  /** Keys inside, where this is a map, a list of maps, or maps by name. */
  readonly inside?: { readonly kind: 'map' | 'list' | 'by-name'; readonly rows: Rows };
}

export type Rows = Readonly<Record<string, Row<unknown>>>;

/** A row for every key of a type, each holding what the type has there. */
export type RowsOf<Type> = { readonly [Key in keyof Required<Type>]: Row<Required<Type>[Key]> };

/** A row of a table. */
export function row<Content>(
  kind: ValueKind<Content>,
  description: string,
  fallback: string,
  example: string,
): Row<Content> {
  return { ...kind, description, fallback, example };
}

/** Checks a map by its rows: each key by its own schema, no others. */
export function schemaOf<Type>(rows: RowsOf<Type>): z.ZodType<Type> {
  const shape: Record<string, z.ZodType> = {};
  for (const [name, { schema, description, example, fallback }] of Object.entries(rows as unknown as Rows)) {
    const rest = fallback === '' ? '' : ` Default: ${fallback}.`;
    const described = schema.meta({ description: `${description} Example: ${example}.${rest}` });
    shape[name] = fallback === '' ? described : described.optional();
  }
  // The rows were checked against the type one by one; zod cannot express its exact optional keys.
  return z.strictObject(shape) as unknown as z.ZodType<Type>;
}

/** A type whose rows were checked one by one, as a plain table. */
export function plain<Type>(rows: RowsOf<Type>): Rows {
  return rows;
}

export interface SettingsTableRow {
  /** e.g. `parts.NAME.instrument`, `sections[].bars`. */
  readonly key: string;
  readonly type: string;
  readonly default: string;
  readonly description: string;
  readonly example: string;
}

/** The rows of a table and of those inside it, one a key. */
export function listed(rows: Rows, prefix: string): readonly SettingsTableRow[] {
  return Object.entries(rows).flatMap(([name, { type, fallback, description, example, inside }]) => {
    const own = { key: prefix + name, type, default: fallback === '' ? 'required' : fallback, description, example };
    if (inside === undefined || name === 'limits') return [own];
    const step = inside.kind === 'list' ? '[].' : inside.kind === 'by-name' ? '.NAME.' : '.';
    return [own, ...listed(inside.rows, prefix + name + step)];
  });
}
