/**
 * Exports that were whole when the dossier was built last and are broken off now: the program that writes them is not done, or has
 * failed. A dossier without them, or with half of them, would take the place of a good one.
 */
import type { Problem } from '../problems/problem.ts';
import { InputError } from '../problems/problem.ts';
import type { RawFolder } from '../read/raw.ts';

/** Remarks of the reader on a file whose end is missing. */
const CUT_SHORT: ReadonlySet<string> = new Set(['truncated-track', 'missing-end', 'track-count']);

/** For each MIDI file of the last good build what was said of its end: nothing for most. */
export type WholeExports = ReadonlyMap<string, ReadonlySet<string>>;

export const NONE_WHOLE: WholeExports = new Map();

const isOfTheEnd = ({ kind, code, track }: Problem): boolean =>
  CUT_SHORT.has(code) || (kind === 'refused' && track === undefined);

function endsOf(raw: RawFolder): Map<string, Set<string>> {
  const said = new Map<string, Set<string>>();
  for (const problem of raw.problems.filter(isOfTheEnd)) {
    const codes = said.get(problem.file) ?? new Set();
    said.set(problem.file, codes.add(problem.code));
  }
  return said;
}

/** What is to be remembered of a reading from which a dossier was made. */
export function wholeExports(raw: RawFolder): WholeExports {
  const said = endsOf(raw);
  const used = raw.stages.flatMap(({ files }) => files);
  return new Map(used.map(({ path }) => [path, said.get(path) ?? new Set<string>()]));
}

/** Throws an InputError that names every export that was whole before and is broken off now. One that is gone was taken away. */
export function refuseBrokenOff(raw: RawFolder, before: WholeExports): void {
  const said = endsOf(raw);
  const broken = [...before].flatMap(([file, known]): readonly Problem[] => {
    const fresh = [...(said.get(file) ?? [])].filter((code) => !known.has(code));
    if (fresh.length === 0) return [];
    const why = raw.problems.find((problem) => problem.file === file && problem.code === fresh[0])?.message ?? '';
    const message = `This export was whole when the dossier was built last and is broken off now (${why.replace(/\.$/, '')}): export it again, or take it out of the folder.`;
    return [{ kind: 'refused', code: 'broken-off', file, message }];
  });
  if (broken.length > 0) throw new InputError(broken);
}
