/**
 * How an archive lies on the disk: a marker, a record a build under the hash of its bytes, the kept files under theirs, and a
 * head that names the last records. A record names the records it follows, so that archives that were copied into one another,
 * in whatever order, are one archive: nothing in it ever has to be written twice or to have one name for two contents.
 */
import * as z from 'zod';
export const ARCHIVE_MARKER = '.arrangement-dossier-archive';
export const ARCHIVE_TITLE = 'arrangement-dossier archive 3';
/** Archives of numbered records, `build-0001-….json`, and of records without a picture, which are read and carried on. */
export const EARLIER_TITLES = ['arrangement-dossier archive 1', 'arrangement-dossier archive 2'];
export const ARCHIVE_FORMAT = 'arrangement-dossier-archive/3';
export const OBJECTS = 'objects';
export const RECORDS = 'records';
export const HEAD = 'head.json';
/** The page that tells a reader with a browser what the archive has. */
export const ARCHIVE_PAGE = 'index.html';

/** Marks what is not yet whole: `NAME.RUN.part`. */
export const PART_NAME = /\.([0-9a-f-]+)\.part$/;

/** The name of a file while this run writes it. */
export function partName(name: string, run: string): string {
  return `${name}.${run}.part`;
}

/** Bytes of an object at most: more than any file that is read or written here. */
export const MOST_OBJECT_BYTES = 1_000_000_000;

/** At most one folder deep and no way out of the folder; any other name that some disk allows. */
function isPathInside(path: string): boolean {
  const names = path.split('/');
  return names.length <= 2 && names.every((name) => name !== '' && name !== '.' && name !== '..');
}

const hash = z.string().regex(/^[0-9a-f]{64}$/);
const count = z.number().int().min(0);

const content = {
  title: z.string(),
  date: z.string().nullable(),
  files: z.array(
    z.strictObject({
      path: z.string().refine(isPathInside),
      sha256: hash,
      use: z.enum(['stage', 'settings', 'notes']),
    }),
  ),
  stages: z.array(
    z.strictObject({
      title: z.string(),
      bars: count,
      parts: count,
      seconds: z.number().min(0),
      findings: z.strictObject({ fix: count, look: count, note: count }),
    }),
  ),
  dossier: hash,
};

const following = {
  /** One more than the highest of those it follows. */
  number: z.number().int().min(1),
  /** Hashes of the records it follows, in order; none for the first. */
  parents: z.array(hash),
};

export const recordSchema = z.discriminatedUnion('format', [
  z.strictObject({
    format: z.literal(ARCHIVE_FORMAT),
    ...following,
    ...content,
    newest: z
      .string()
      .regex(/^\d{4}-\d{2}-\d{2}$/)
      .nullable(),
    picture: hash.nullable(),
    done: z.array(z.string()).optional(),
  }),
  z.strictObject({ format: z.literal('arrangement-dossier-archive/2'), ...following, ...content }),
  z.strictObject({
    format: z.literal('arrangement-dossier-archive/1'),
    number: z.number().int().min(1),
    previous: hash.nullable(),
    ...content,
  }),
]);

export const headSchema = z.strictObject({ records: z.array(hash) });

/** The text of a head that names these records. */
export function headText(records: readonly string[]): string {
  return `${JSON.stringify({ records: [...records].sort() }, undefined, 1)}\n`;
}
