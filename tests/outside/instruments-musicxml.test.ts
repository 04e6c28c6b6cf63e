import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { instruments } from '../../src/model/music/catalogue.ts';
import { openFile } from '../support/open-data.ts';

// MusicXML 4.0 standard sounds, sounds.xml (W3C Music Notation Community Group).
const SOUNDS = openFile('musicxml', 'sounds.xml');

describe('MusicXML sounds', () => {
  it('every instrument has a sound id of the standard', () => {
    const ids = new Set([...readFileSync(SOUNDS, 'utf8').matchAll(/<sound id="([^"]+)"/g)].map((match) => match[1]));
    expect(ids.size).toBeGreaterThan(800);
    expect(
      instruments.filter((instrument) => !ids.has(instrument.musicxmlSound)).map((instrument) => instrument.id),
    ).toEqual([]);
  });
});
