import { describe, expect, it } from 'vitest';
import { furtherNames } from '../../src/assemble/names/further-names.ts';
import { lexicon } from '../../src/assemble/names/lexicon.ts';
import { wordsOf } from '../../src/assemble/names/name-words.ts';
import { catalogue, instrumentById, instruments } from '../../src/model/music/catalogue.ts';

describe('the catalogue', () => {
  it('has an id once only, in score order', () => {
    const ids = instruments.map((instrument) => instrument.id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(id).toMatch(/^[a-z0-9-]+$/);
    const order = instruments.map((instrument) => instrument.scoreOrder);
    expect(order.toSorted((a, b) => a - b)).toEqual(order);
  });

  it('has ranges that run upwards, and none for percussion without pitch only', () => {
    for (const { extremeRange, practicalRange, extension, polyphony, registers } of instruments) {
      expect(extremeRange === undefined).toBe(polyphony.kind === 'unpitched');
      for (const range of [extremeRange, practicalRange, extension, ...registers])
        if (range !== undefined) expect(range.low).toBeLessThanOrEqual(range.high);
    }
  });

  it('cites only sources that it lists, for every range, transposition and level', () => {
    for (const instrument of instruments) {
      const cited = [
        instrument.transposition,
        instrument.extremeRange,
        instrument.practicalRange,
        instrument.soundPowerDb,
        instrument.polyphony,
        instrument.sectionPlayers,
      ].flatMap((one) => (one === undefined ? [] : one.src));
      expect(cited.length).toBeGreaterThan(0);
      for (const key of cited) expect(catalogue.sources[key]?.title, `${instrument.id} ${key}`).toBeTruthy();
    }
  });

  it('says of every name that two instruments share which one is likelier', () => {
    const folded = (name: string): string =>
      wordsOf(name)
        .map((word) => word.text)
        .join(' ');
    const stated = new Set(
      [
        ...catalogue.ambiguousTrackNames.map(({ token }) => token),
        ...furtherNames.filter(({ candidates }) => candidates.length > 1).map(({ name }) => name),
      ].flatMap((token) => [
        folded(token),
        folded(token.replaceAll(/[äöü]/g, (letter) => `${letter.normalize('NFD')[0] ?? ''}e`)),
      ]),
    );
    const shared = [...lexicon].filter(([, entry]) => entry.candidates.length > 1).map(([name]) => name);
    expect(shared.filter((name) => !stated.has(name))).toEqual([]);
  });

  it('names only instruments it has among the names of further languages', () => {
    for (const { name, candidates } of furtherNames) {
      expect(name).not.toBe('');
      for (const id of candidates) expect(instrumentById(id)?.id, name).toBe(id);
    }
  });

  it('names only instruments it has among ambiguous names', () => {
    for (const { candidates } of catalogue.ambiguousTrackNames)
      for (const id of candidates) expect(instrumentById(id)?.id).toBe(id);
  });
});
