import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { instruments } from '../../src/model/catalogue.ts';

// MusicXML 4.0 standard sounds, sounds.xml (W3C Music Notation Community Group).
const SOUNDS = resolve('../shared/data/musicxml/sounds.xml');

describe('MusicXML sounds', () => {
  it.skipIf(!existsSync(SOUNDS))(
    'every instrument has a sound id of the standard (skipped where ../shared/data is absent)',
    () => {
      const ids = new Set([...readFileSync(SOUNDS, 'utf8').matchAll(/<sound id="([^"]+)"/g)].map((match) => match[1]));
      expect(ids.size).toBeGreaterThan(800);
      expect(
        instruments.filter((instrument) => !ids.has(instrument.musicxmlSound)).map((instrument) => instrument.id),
      ).toEqual([]);
    },
  );
});
