/** What zod found wrong, as one sentence each: the place, what was found, what is allowed, the nearest valid name. */
import type { z } from 'zod';
import type { Problem } from '../problems/problem.ts';
import { quoted } from './clean-text.ts';
import { nearestName } from './nearest-name.ts';
import type { Row, Rows } from './settings-table.ts';
import { pathKey } from './yaml-source.ts';
import type { Path, YamlSource } from './yaml-source.ts';

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

function found(content: unknown): string {
  if (content === undefined || content === null) return 'nothing';
  if (typeof content === 'string') return quoted(content);
  if (typeof content === 'number' || typeof content === 'boolean') return String(content);
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
  const words = path.map((key) => (typeof key === 'number' ? `item ${key + 1}` : quoted(key, 60)));
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

function sentences(
  issue: Issue,
  path: Path,
  root: unknown,
  rows: Rows,
): readonly { readonly path: Path; readonly isKey: boolean; readonly code: string; readonly message: string }[] {
  const { row, inside } = rowAt(path, rows);
  if (issue.code === 'unrecognized_keys') {
    const candidates = inside === undefined ? innerKeys(row) : Object.keys(inside);
    return issue.keys.map((key) => {
      const nearest = nearestName(key, candidates);
      const meant = nearest === undefined ? '' : `; perhaps ${quoted(nearest)} is meant`;
      const place = path.length === 0 ? 'a setting' : `a setting in ${pathWords(path)}`;
      return {
        path: [...path, key],
        isKey: true,
        code: 'unknown-key',
        message: `${quoted(key, 60)} is not ${place}${meant} (${allowedNames(candidates)}).`,
      };
    });
  }
  const content = contentAt(root, path);
  // An item of a list or a map by name is described by what may stand in it.
  const isItem = row?.inside !== undefined && row.inside.kind !== 'map' && inside !== undefined;
  const allowed = isItem ? `a map {${Object.keys(inside).join(', ')}}` : (row?.allowed ?? 'something else');
  if (content === undefined) {
    const [owner, name] = [path.slice(0, -1), String(path.at(-1) ?? '')];
    return [
      {
        path: owner,
        isKey: false,
        code: 'missing-key',
        message: `${quoted(name)} is missing in ${pathWords(owner)} (expected is ${allowed}).`,
      },
    ];
  }
  const why =
    issue.code === 'custom' && issue.message !== '' && issue.message !== 'Invalid input' ? ` (${issue.message})` : '';
  const options = issue.code === 'invalid_value' ? issue.values.map(String) : [];
  const nearest = typeof content === 'string' ? nearestName(content, options) : undefined;
  const meant = nearest === undefined ? '' : `, perhaps ${quoted(nearest)}`;
  return [
    {
      path,
      isKey: false,
      code: 'bad-setting',
      message: `${pathWords(path)} is ${found(content)}${why}, but expected is ${allowed}${meant}.`,
    },
  ];
}

/** One problem for each issue, at the line and column where it stands, in order of place. */
export function problemsOf(issues: readonly Issue[], source: YamlSource, rows: Rows, file: string): readonly Problem[] {
  const problems = flat(issues, []).flatMap(({ issue, path }) =>
    sentences(issue, path, source.root, rows).map(({ path: place, isKey, code, message }): Problem => {
      const key = pathKey(place);
      const position = (isKey ? undefined : source.values.get(key)) ??
        source.keys[key] ??
        source.values.get(pathKey([])) ?? { line: 1, column: 1 };
      return {
        kind: 'settings',
        code,
        file,
        ...position,
        message: message.slice(0, 1).toUpperCase() + message.slice(1),
      };
    }),
  );
  const seen = new Set<string>();
  return problems
    .filter(({ line = 0, column = 0, message }) => {
      const key = `${line}:${column}:${message}`;
      return !seen.has(key) && seen.add(key).size > 0;
    })
    .sort((a, b) => (a.line ?? 0) - (b.line ?? 0) || (a.column ?? 0) - (b.column ?? 0))
    .slice(0, MOST_PROBLEMS);
}
