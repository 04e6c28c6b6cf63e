/** What zod found wrong, as one sentence each: the place, what was found, what is allowed, the nearest valid name. */
import type * as z from 'zod';
import type { Problem } from '../../problems/problem.ts';
import { quoted } from '../clean-text.ts';
import { nearestName } from '../../problems/nearest-name.ts';
import type { Row, Rows } from './settings-rows.ts';
import { pathKey } from './yaml-source.ts';
import type { Path, Position, YamlSource } from './yaml-source.ts';

type Issue = z.core.$ZodIssue;

const MOST_LISTED = 14;
const MOST_PROBLEMS = 20;

/** Keys that no row lists: those inside a range or a span of bars. */
function innerKeys(row: Row<unknown> | undefined): readonly string[] {
  return row?.type === 'range' ? ['low', 'high'] : ['from', 'to'];
}

interface Place {
  readonly row: Row<unknown> | undefined;
  /** What may stand as a key here; undefined where no table says. */
  readonly inside: Rows | undefined;
}

/** The row that a path leads to, and the rows allowed inside it. */
function rowAt(path: Path, rows: Rows): Place {
  const [first, ...rest] = path;
  if (first === undefined) return { row: undefined, inside: rows };
  const row = Object.hasOwn(rows, first) ? rows[first] : undefined;
  const inside = row?.inside;
  if (row === undefined || inside === undefined) return { row, inside: undefined };
  if (inside.kind === 'map') return rest.length === 0 ? { row, inside: inside.rows } : rowAt(rest, inside.rows);
  // The name or number of the item stands between the key and what is in it.
  if (rest.length <= 1) return { row, inside: rest.length === 0 ? undefined : inside.rows };
  return rowAt(rest.slice(1), inside.rows);
}

/** For the YAML reader: whether text belongs at a path, so that `02` or `true` there are text as written. */
export function isTextAt(rows: Rows): (path: Path) => boolean {
  return (path) => /text|name/.test(rowAt(path, rows).row?.type ?? '');
}

/** As YAML 1.2 writes it (core schema, 10.3.2). */
function asWritten(content: number | boolean): string {
  if (typeof content === 'boolean' || Number.isFinite(content)) return String(content);
  return Number.isNaN(content) ? '.nan' : content > 0 ? '.inf' : '-.inf';
}

function found(content: unknown): string {
  if (content === undefined || content === null) return 'nothing';
  if (typeof content === 'string') return quoted(content);
  if (typeof content === 'number' || typeof content === 'boolean') return asWritten(content);
  return Array.isArray(content) ? 'a list' : 'a map';
}

function contentAt(root: unknown, path: Path): unknown {
  let content: unknown = root;
  for (const key of path) {
    if (typeof content !== 'object' || content === null) return undefined;
    content = Object.hasOwn(content, key) ? (content as Record<string | number, unknown>)[key] : undefined;
  }
  return content;
}

/** `parts, "Vn 1", players` for people: the last name of a path, with the list or map it stands in. */
function pathWords(path: Path): string {
  const words = path.map((key) => (typeof key === 'number' ? `item ${key + 1}` : quoted(key)));
  return words.length === 0 ? 'the file' : words.toReversed().slice(0, 2).join(' of ');
}

function allowedNames(candidates: readonly string[]): string {
  return candidates.length > MOST_LISTED ? 'the README lists what is' : `allowed are ${candidates.join(', ')}`;
}

/** Issues with paths from the root; of a choice between forms, those of the form that was meant. */
function flat(issues: readonly Issue[], prefix: Path): readonly { readonly issue: Issue; readonly path: Path }[] {
  return issues.flatMap((issue) => {
    const path: Path = [...prefix, ...(issue.path as Path)];
    if (issue.code === 'invalid_union') {
      const meant = issue.errors.filter((errors) =>
        errors.some(({ path: inner, code }) => inner.length > 0 || code === 'unrecognized_keys'),
      );
      const [only] = meant;
      if (only !== undefined && meant.length === 1) return flat(only, path);
    }
    return [{ issue, path }];
  });
}

interface Fault {
  readonly path: Path;
  /** Whether the key itself is at fault, and not what stands under it. */
  readonly isKey: boolean;
  readonly code: string;
  readonly message: string;
  /** Path of the key that a misspelt one stands for; that one is then not missing. */
  readonly meant?: Path;
}

function unknownKey(key: string, path: Path, candidates: readonly string[]): Fault {
  const nearest = nearestName(key, candidates);
  const hint = nearest === undefined ? '' : `; perhaps ${quoted(nearest)} is meant`;
  const place = path.length === 0 ? 'a setting' : `a setting in ${pathWords(path)}`;
  return {
    path: [...path, key],
    isKey: true,
    code: 'unknown-key',
    message: `${quoted(key)} is not ${place}${hint} (${allowedNames(candidates)}).`,
    ...(nearest === undefined ? {} : { meant: [...path, nearest] }),
  };
}

function faultsOf(issue: Issue, path: Path, root: unknown, rows: Rows): readonly Fault[] {
  const { row, inside } = rowAt(path, rows);
  if (issue.code === 'unrecognized_keys') {
    const candidates = inside === undefined ? innerKeys(row) : Object.keys(inside);
    return issue.keys.map((key) => unknownKey(key, path, candidates));
  }
  const content = contentAt(root, path);
  // An item of a list or a map by name is described by what may stand in it.
  const isItem = row?.inside !== undefined && row.inside.kind !== 'map' && inside !== undefined;
  const allowed = isItem ? `a map {${Object.keys(inside).join(', ')}}` : (row?.allowed ?? 'something else');
  if (content === undefined) {
    const message = `${quoted(String(path.at(-1) ?? ''))} is missing in ${pathWords(path.slice(0, -1))} (expected is ${allowed}).`;
    return [{ path, isKey: false, code: 'missing-key', message }];
  }
  const isOurs = issue.code === 'custom' && issue.message !== '' && issue.message !== 'Invalid input';
  const why = isOurs ? ` (${issue.message})` : '';
  const options = issue.code === 'invalid_value' ? issue.values.map(String) : [];
  const nearest = typeof content === 'string' ? nearestName(content, options) : undefined;
  const hint = nearest === undefined ? '' : `, perhaps ${quoted(nearest)}`;
  const message = `${pathWords(path)} is ${found(content)}${why}, but expected is ${allowed}${hint}.`;
  return [{ path, isKey: false, code: 'bad-setting', message }];
}

/** Line and column of a fault; a key that is missing is reported where its owner begins. */
function positionOf({ path, isKey, code }: Fault, source: YamlSource): Position {
  const key = pathKey(code === 'missing-key' ? path.slice(0, -1) : path);
  return (isKey ? undefined : source.values.get(key)) ?? source.keys[key] ?? { line: 1, column: 1 };
}

/** One problem for each issue, at the line and column where it stands, in order of place. */
export function problemsOf(issues: readonly Issue[], source: YamlSource, rows: Rows, file: string): readonly Problem[] {
  const faults = flat(issues, []).flatMap(({ issue, path }) => faultsOf(issue, path, source.root, rows));
  const misspelt = new Set(faults.flatMap(({ meant }) => (meant === undefined ? [] : [pathKey(meant)])));
  const problems = new Map<string, Problem>();
  for (const fault of faults) {
    if (fault.code === 'missing-key' && misspelt.has(pathKey(fault.path))) continue;
    const { code } = fault;
    const message = fault.message.slice(0, 1).toUpperCase() + fault.message.slice(1);
    const { line, column } = positionOf(fault, source);
    problems.set(`${line}:${column}:${message}`, { kind: 'settings', code, file, line, column, message });
  }
  return [...problems.values()]
    .sort((a, b) => (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0))
    .slice(0, MOST_PROBLEMS);
}
