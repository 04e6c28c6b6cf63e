/** `dossier.yaml`, read and checked against the one table of settings. */
import type { Problem } from '../../problems/problem.ts';
import type { RawSettings } from '../raw.ts';
import { settingsRows, settingsSchema } from './settings-table.ts';
import { isTextAt, problemsOf } from './settings-problems.ts';
import type { Settings } from './settings.ts';
import { parseYaml, pathKey, utf8Text } from './yaml-source.ts';
import type { Path, Position } from './yaml-source.ts';

export const NO_SETTINGS: RawSettings = { content: {}, positions: {} };

export interface SettingsReading {
  /** Empty where anything was wrong. */
  readonly settings: RawSettings;
  readonly problems: readonly Problem[];
}

/** Places for the long form of what was written in short form: a lone name stands where its list item would. */
function withLongForms(content: Settings, positions: Readonly<Record<string, Position>>): Record<string, Position> {
  const all: Record<string, Position> = { ...positions };
  const fill = (path: Path, from: Path): void => {
    const position = all[pathKey(from)];
    if (position !== undefined) all[pathKey(path)] ??= position;
  };
  content.foreground?.forEach((_, index) => {
    fill(['foreground', index], ['foreground']);
    fill(['foreground', index, 'part'], ['foreground', index]);
  });
  content.accepted?.forEach(({ parts = [] }, index) => {
    parts.forEach((_, part) => {
      fill(['accepted', index, 'parts', part], ['accepted', index, 'parts']);
    });
  });
  return all;
}

/** Reads a settings file; `file` is the path to report. Every fault is a problem of kind `settings` with line and column. */
export function readSettings(bytes: Uint8Array, file: string): SettingsReading {
  const none: RawSettings = { file, content: {}, positions: {} };
  const text = utf8Text(bytes);
  if (text === undefined) {
    const message = 'The file is not in UTF-8, so that its letters cannot be told: save it as UTF-8.';
    return { settings: none, problems: [{ kind: 'settings', code: 'not-utf-8', file, line: 1, column: 1, message }] };
  }
  const source = parseYaml(text, file, isTextAt(settingsRows));
  if (source.root === undefined) return { settings: none, problems: source.problems };
  const checked = settingsSchema.safeParse(source.root);
  if (!checked.success) {
    return { settings: none, problems: problemsOf(checked.error.issues, source, settingsRows, file) };
  }
  const content = checked.data;
  return { settings: { file, content, positions: withLongForms(content, source.keys) }, problems: [] };
}
