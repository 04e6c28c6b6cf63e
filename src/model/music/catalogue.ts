/** The instrument catalogue of `shared/instruments.json`, typed, with a look-up by id. */
import catalogueJson from '../../../shared/instruments.json' with { type: 'json' };
import type { CatalogueSource, Instrument, InstrumentCatalogue } from './instrument.ts';

// The compiler infers a type for the file that is too wide (`string` for a clef); tests/assemble/catalogue.test.ts checks its form.
export const catalogue = catalogueJson as unknown as InstrumentCatalogue;

/** Every instrument we know, in score order. */
export const instruments: readonly Instrument[] = catalogue.instruments;

const byId: ReadonlyMap<string, Instrument> = new Map(instruments.map((instrument) => [instrument.id, instrument]));

/** The record of an instrument; undefined for an id that the catalogue does not have (`unknown` among them). */
export function instrumentById(id: string): Instrument | undefined {
  return byId.get(id);
}

/** Titles of the sources behind a value, in the order given; keys without a record are left out. */
export function sourcesOf(keys: readonly string[]): readonly CatalogueSource[] {
  return keys.flatMap((key) => catalogue.sources[key] ?? []);
}
