/** The instrument catalogue of `shared/instruments.json`, typed, with a look-up by id. */
import catalogueJson from '../../../shared/instruments.json' with { type: 'json' };
import type { CatalogueSource, Instrument, InstrumentCatalogue } from './instrument.ts';

// The compiler infers a type for the file that is too wide (`string` for a clef); tests/assemble/catalogue.test.ts checks its form.
export const catalogue = catalogueJson as unknown as InstrumentCatalogue;

/** Every instrument we know, in score order. */
export const instruments: readonly Instrument[] = catalogue.instruments;

const byId: ReadonlyMap<string, Instrument> = new Map(instruments.map((instrument) => [instrument.id, instrument]));

/** How these words would stand as the id of an instrument, whether or not there is one: `Clarinet Bflat` as `clarinet-bflat`. */
export function asInstrumentId(words: string): string {
  return words.trim().toLowerCase().replaceAll(/\s+/g, '-');
}

/** The record of an instrument; undefined for an id that the catalogue does not have (`unknown` among them). */
export function instrumentById(id: string): Instrument | undefined {
  return byId.get(id);
}

/** Titles of the sources behind a value, in the order given; keys without a record are left out. */
export function sourcesOf(keys: readonly string[]): readonly CatalogueSource[] {
  return keys.flatMap((key) => catalogue.sources[key] ?? []);
}

/**
 * Lowest and highest open string, as MIDI keys, of plucked and bowed basses that are built with other numbers of strings than the catalogue's; a
 * bound that is missing is the catalogue's. The lowest tuning that is in use, so that nothing playable is called out of range: B under the guitar's
 * E for seven strings (C in choro), F sharp for eight, low B for basses of five and six, high C for six. From memory.
 */
const BY_STRINGS: ReadonlyMap<string, ReadonlyMap<number, { readonly low?: number; readonly high?: number }>> = new Map(
  [
    [
      'guitar',
      new Map([
        [6, {}],
        [7, { low: 35 }],
        [8, { low: 30 }],
        [10, { low: 33 }],
        [12, {}],
      ]),
    ],
    [
      'bass-guitar',
      new Map([
        [4, {}],
        [5, { low: 23 }],
        [6, { low: 23, high: 48 }],
      ]),
    ],
    [
      'double-bass',
      new Map([
        [4, {}],
        [5, { low: 23 }],
      ]),
    ],
  ],
);

/** Whether an instrument is built with different numbers of strings, which its name may state: those that are plucked, and the double bass. */
export function hasStringCounts(id: string): boolean {
  return instrumentById(id)?.family === 'plucked' || id === 'double-bass';
}

/**
 * Open strings of an instrument, as MIDI keys from the lowest: the catalogue's, with those that a stated number of strings adds below or above.
 * Undefined where none are known.
 */
export function openStringsOf(id: string, strings: number | undefined): readonly number[] | undefined {
  const usual = instrumentById(id)?.openStrings;
  const { low, high } = (strings === undefined ? undefined : BY_STRINGS.get(id)?.get(strings)) ?? {};
  if (usual === undefined) return undefined;
  return [...(low === undefined ? [] : [low]), ...usual, ...(high === undefined ? [] : [high])];
}
