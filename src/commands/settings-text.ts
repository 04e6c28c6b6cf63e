/** Writes a commented `dossier.yaml`; every comment about a setting comes from the table of settings. Pure. */
import { stringify } from 'yaml';
import type { Row, Rows } from '../read/settings/settings-rows.ts';
import { settingsRows } from '../read/settings/settings-table.ts';
import type { StartEntry } from './start-facts.ts';

const WIDTH_CHARACTERS = 100;

/** Text as lines of comment after an indent, broken between words; `hang` comes before all lines but the first. */
function comment(text: string, indent = '', hang = '', first = ''): string[] {
  const lines: string[] = [];
  let line = `${indent}#${first}`;
  let isEmpty = true;
  for (const word of text.split(/\s+/).filter((each) => each !== '')) {
    if (!isEmpty && line.length + 1 + word.length > WIDTH_CHARACTERS) {
      lines.push(line);
      line = `${indent}#${hang}`;
    }
    line += ` ${word}`;
    isEmpty = false;
  }
  return [...lines, line];
}

function yamlLines(content: unknown, indent = ''): string[] {
  const text = stringify(content, { lineWidth: 0, indent: 2 });
  return text
    .replace(/\n$/, '')
    .split('\n')
    .map((line) => indent + line);
}

/** Lines that are not read; taking away the sign and the space after it makes them setting again. */
function switchedOff(lines: readonly string[], indent = ''): string[] {
  return lines.map((line) => `${indent}# ${line.slice(indent.length)}`);
}

function meaning({ description, fallback }: Pick<Row<unknown>, 'description' | 'fallback'>): string {
  return fallback === '' ? description : `${description} Without it: ${fallback}.`;
}

/** What may stand inside a setting, one line a key. */
function insideLines(inside: NonNullable<Row<unknown>['inside']>, name: string): string[] {
  if (inside.kind === 'map') return comment(`The names of the checks are ${Object.keys(inside.rows).join(', ')}.`);
  const holder = inside.kind === 'list' ? 'Each item' : `Each name in “${name}”`;
  return [
    ...comment(`${holder} may have:`),
    ...Object.entries(inside.rows).flatMap(([key, row]) =>
      comment(`${key}: ${meaning(row)} Example: ${row.example}`, '', '    ', '  '),
    ),
  ];
}

/** One entry below its map, e.g. a part: sure ones as they are, unsure ones as comment with the reason. */
function entryLines(entry: StartEntry): string[] {
  const name = entry.path.at(-1) ?? '';
  const own = yamlLines({ [name]: entry.content }, '  ');
  const offered = Object.entries(entry.offered ?? {}).flatMap(([key, content]) =>
    yamlLines({ [key]: content }, '    '),
  );
  if (entry.unsure === undefined) return [...own, ...switchedOff(offered, '    ')];
  return [...comment(entry.unsure, '  '), ...switchedOff(own, '  ')];
}

function settingLines(name: string, row: Row<unknown>, entries: readonly StartEntry[]): string[] {
  const lines = comment(meaning(row));
  if (row.inside !== undefined) lines.push(...insideLines(row.inside, name));
  const below = entries.filter((entry) => entry.path.length > 1);
  const [own] = entries.filter((entry) => entry.path.length === 1);
  if (below.length > 0) return [...lines, `${name}:`, ...below.flatMap(entryLines)];
  if (own === undefined) return [...lines, `# ${name}: ${row.example}`];
  const written = yamlLines({ [name]: own.content });
  if (own.unsure === undefined) return [...lines, ...written];
  return [...lines, ...comment(own.unsure), ...switchedOff(written)];
}

const HEAD = [
  'Settings of the dossier, written from what the MIDI files show. All of them may be left out.',
  'A line that begins with the sign # is not read: take the sign and the space after it away to put the setting in force.',
];

/** The whole file. Entries whose path begins with a setting's name stand under it; all other settings are shown by example. */
export function settingsText(entries: readonly StartEntry[], rows: Rows = settingsRows): string {
  const blocks = Object.entries(rows).map(([name, row]) =>
    settingLines(
      name,
      row,
      entries.filter((entry) => entry.path[0] === name),
    ),
  );
  return `${[HEAD.flatMap((text) => comment(text)), ...blocks].map((lines) => lines.join('\n')).join('\n\n')}\n`;
}
