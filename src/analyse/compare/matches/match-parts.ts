/**
 * Which part of one stage is which of another: by id, then by where the notes went. A part whose notes have gone over to
 * several new ones was split; several that went into one were joined; one that is found again elsewhere was renamed.
 */
import type { Part } from '../../../model/music/arrangement.ts';
import { groupedBy } from '../../../model/grouped.ts';
import { onceEach } from '../../../model/once-each.ts';
import { overlap } from '../../../model/sorted-sets.ts';

/** Notes of a part in bars that both stages have, coded so that the same note has the same code in both; ascending. */
export interface PartCodes {
  readonly part: Part;
  readonly codes: () => readonly number[];
}

/** Parts of the earlier stage and what became of them. */
export interface PartLine {
  readonly before: readonly string[];
  readonly after: readonly string[];
}

export interface PartMatch {
  readonly lines: readonly PartLine[];
  /** Of parts that were divided in unison: who has the line still, and those who have it too; each has a line of its own as well. */
  readonly divided: readonly PartLine[];
  readonly added: readonly string[];
  readonly removed: readonly string[];
}

/** This much of a part must be found in another for it to be held the same music. */
const SAME_MUSIC = 0.6;
/** Of two parts that came of one, each has at least this share of notes that the others have not. */
const OWN_SHARE = 0.15;
/** A few notes may agree by chance. */
const LEAST_NOTES = 4;

function without(codes: readonly number[], others: ReadonlySet<number>): readonly number[] {
  return codes.filter((code) => !others.has(code));
}

/** Notes are at the same place in the music where they begin within two quarters of each other: codes count sixteenths. */
const NEAR_SIXTEENTHS = 8;
const CODES_A_SIXTEENTH = 128;

/** Share of notes that have one of others, ascending, near them. */
function shareBeside(codes: readonly number[], others: readonly number[]): number {
  let at = 0;
  let beside = 0;
  for (const code of codes) {
    while (at < others.length && (others[at] ?? 0) < code - NEAR_SIXTEENTHS * CODES_A_SIXTEENTH) at++;
    if (Math.abs((others[at] ?? Infinity) - code) <= NEAR_SIXTEENTHS * CODES_A_SIXTEENTH) beside++;
  }
  return codes.length === 0 ? 0 : beside / codes.length;
}

/**
 * True where a line went over to another part: the part that had it is there, and is another instrument, or keeps nothing of it in these bars and plays
 * something new there. Nobody divided a part so: of an accordion and a violin the one has given its line to the other.
 */
function isPassage(source: PartCodes, rest: PartCodes | undefined, heir: PartCodes, got: readonly number[]): boolean {
  if (rest === undefined) return false;
  if (rest.part.instrument !== heir.part.instrument) return true;
  const had = new Set(source.codes());
  const now = rest.codes();
  const kept = now.filter((code) => had.has(code));
  if (kept.length === 0 || shareBeside(got, kept) >= 0.5) return false;
  return shareBeside(got, without(now, had)) >= 0.5;
}

/** A name without the number or letter at its end, its case and its plural. */
function stemOf(name: string): string {
  return name
    .trim()
    .replace(/[\s.]+$/u, '')
    .replace(/[\s.]*(?:\d+|[IVX]+|[a-d])$/iu, '')
    .trim()
    .toLowerCase();
}

/** True where two names are one name with numbers or letters to it that differ: `Sopran 1` and `Sopran 2` of `Sopran`. */
function areDesksOf(whole: Part, one: Part, other: Part): boolean {
  const name = whole.name.trim().replace(/\.$/u, '').toLowerCase();
  const hasEnding = (stem: string): boolean => name.startsWith(stem) && name.length - stem.length <= 2 && stem !== '';
  return (
    one.name !== other.name &&
    [one, other].every(
      (desk) => desk.name !== whole.name && desk.instrument === whole.instrument && hasEnding(stemOf(desk.name)),
    )
  );
}

interface Sides {
  readonly before: readonly PartCodes[];
  readonly after: readonly PartCodes[];
}

interface Split {
  readonly source: string;
  /** The source itself, where it is still there, and new parts, in order. */
  readonly into: readonly string[];
}

/** Parts whose notes have gone over, wholly or in part, to parts that the earlier stage does not have. */
function splitsOf({ before, after }: Sides): readonly Split[] {
  const idsBefore = new Set(before.map(({ part }) => part.id));
  const fresh = after.filter(({ part }) => !idsBefore.has(part.id));
  if (fresh.length === 0) return [];
  const taken = new Set<string>();
  return before.flatMap(({ part, codes: codesOf }): Split[] => {
    const codes = codesOf();
    const namesake = after.find((candidate) => candidate.part.id === part.id);
    // A desk may have the id of the part that it was divided from.
    const isDesk = namesake !== undefined && fresh.some((one) => areDesksOf(part, namesake.part, one.part));
    const rest = isDesk ? undefined : namesake;
    const lost = new Set(without(codes, new Set(rest?.codes())));
    const heirs = (isDesk ? [namesake, ...fresh] : fresh).flatMap((candidate) => {
      if (taken.has(candidate.part.id)) return [];
      const own = candidate.codes();
      const got = own.filter((code) => lost.has(code));
      const isHeir = got.length >= LEAST_NOTES && got.length >= SAME_MUSIC * own.length;
      return isHeir && !isPassage({ part, codes: codesOf }, rest, candidate, got) ? [{ candidate, got }] : [];
    });
    const kept = codes.filter((code) => !lost.has(code));
    const shares = [...(rest === undefined ? [] : [kept]), ...heirs.map((heir) => heir.got)];
    if (shares.length < 2 || heirs.length === 0) return [];
    const owners = new Map<number, number>();
    for (const share of shares) for (const code of share) owners.set(code, (owners.get(code) ?? 0) + 1);
    // Whose names say that they are the desks of one part may be in unison for long.
    const [first, second] = heirs.map(({ candidate }) => candidate.part);
    const areDesks = first !== undefined && second !== undefined && areDesksOf(part, first, second);
    const leastOwn = areDesks ? LEAST_NOTES : OWN_SHARE * codes.length;
    const hasOwn = shares.every((share) => share.filter((code) => owners.get(code) === 1).length >= leastOwn);
    if (!hasOwn || owners.size < SAME_MUSIC * codes.length) return [];
    for (const heir of heirs) taken.add(heir.candidate.part.id);
    const ids = new Set([part.id, ...heirs.map((heir) => heir.candidate.part.id)]);
    return [{ source: part.id, into: after.flatMap((item) => (ids.has(item.part.id) ? [item.part.id] : [])) }];
  });
}

/** Octaves at which a part may have gone to another instrument. */
const OCTAVES = [0, -1, 1, -2, 2];
/** Of two parts that have the music of a third the one at its own pitch is that part. */
const OCTAVE_LIKENESS = 0.98;

/** How alike two parts are at the octave at which they are most alike. */
function likenessOf(one: PartCodes, other: PartCodes): number {
  const isPitched = !one.part.unpitched && !other.part.unpitched;
  const [codes, others] = [one.codes(), other.codes()];
  return Math.max(
    ...(isPitched ? OCTAVES : [0]).map((octaves) =>
      octaves === 0
        ? overlap(codes, others)
        : OCTAVE_LIKENESS *
          overlap(
            codes.map((code) => code + 12 * octaves),
            others,
          ),
    ),
  );
}

/** Pairs of parts of different ids that have the same music, the most alike first. */
function renamingsOf(gone: readonly PartCodes[], fresh: readonly PartCodes[]): readonly PartLine[] {
  const pairs = gone
    .flatMap((one) => fresh.map((other) => ({ one, other, likeness: likenessOf(one, other) })))
    .filter(({ one, likeness }) => one.codes().length > 0 && likeness >= SAME_MUSIC)
    .sort((a, b) => b.likeness - a.likeness);
  const used = new Set<PartCodes>();
  return pairs.flatMap(({ one, other }) => {
    if (used.has(one) || used.has(other)) return [];
    used.add(one);
    used.add(other);
    return [{ before: [one.part.id], after: [other.part.id] }];
  });
}

/** Ids under which the parts of the earlier stage are compared, and back. */
export interface ComparedIds {
  readonly comparedOf: (earlierId: string) => string;
  readonly earlierOf: (comparedId: string) => string;
}

const byOwnName = onceEach((parts: readonly Part[]): ReadonlyMap<string, Part> => {
  const groups = groupedBy(parts, ({ name }) => name);
  return new Map(
    [...groups].flatMap(([name, [part, other]]) => (part === undefined || other !== undefined ? [] : [[name, part]])),
  );
});

/** Notes whose steps tell a tune again wherever it stands, and at whatever pitch. */
const STEPS = 4;

/** The runs of steps in a part, from note to note. */
const stepsOf = onceEach(({ notes }: Part): ReadonlySet<string> => {
  const steps = notes.slice(1).map(({ midi }, index) => midi - (notes[index]?.midi ?? midi));
  return new Set(steps.slice(STEPS - 1).map((_, at) => steps.slice(at, at + STEPS).join(' ')));
});

/** Share of the steps of the part that has fewer which the other has too. */
function stepsInCommon(one: Part, other: Part): number {
  const [own, others] = [stepsOf(one), stepsOf(other)];
  const [few, many] = own.size <= others.size ? [own, others] : [others, own];
  return few.size === 0 ? 0 : [...few].filter((step) => many.has(step)).length / few.size;
}

/** So much in common makes two parts the same music, and no more than so much others. */
const SAME_STEPS = 0.85;
const OTHER_STEPS = 0.6;

/**
 * Two parts under new names where the id of one went to the other: Solo Cornet and Rep Cornet are Cornet 1 and Cornet 2 now. Only where names and
 * music both say so, of both.
 */
function exchanged(before: readonly Part[], after: readonly Part[]): ReadonlyMap<string, string> {
  const idsBefore = new Set(before.map(({ id }) => id));
  const idsAfter = new Set(after.map(({ id }) => id));
  const gone = before.filter(({ id }) => !idsAfter.has(id));
  const fresh = after.filter(({ id }) => !idsBefore.has(id));
  const found = new Map<string, string>();
  for (const old of before) {
    const namesake = after.find(({ id }) => id === old.id);
    if (namesake === undefined || namesake.name === old.name || stepsInCommon(old, namesake) > OTHER_STEPS) continue;
    const now = fresh.find((part) => stepsInCommon(old, part) >= SAME_STEPS);
    const was = gone.find((part) => stepsInCommon(part, namesake) >= SAME_STEPS);
    if (now === undefined || was === undefined) continue;
    found.set(old.id, now.id);
    found.set(was.id, namesake.id);
  }
  return found;
}

/**
 * Parts that changed their ids and kept their names are compared under the later id: two desks that were numbered by their order, and
 * the order changed; a name that is read otherwise in other company. So are two whose names and ids were exchanged.
 */
export function comparedIds(before: readonly Part[], after: readonly Part[]): ComparedIds {
  const laterByName = byOwnName(after);
  const moved = new Map([
    ...exchanged(before, after),
    ...[...byOwnName(before)].flatMap(([name, part]) => {
      const later = laterByName.get(name);
      return later === undefined || later.id === part.id ? [] : [[part.id, later.id] as const];
    }),
  ]);
  if (moved.size === 0) return { comparedOf: (id) => id, earlierOf: (id) => id };
  const taken = new Set(moved.values());
  const compared = new Map(
    before.map(({ id }) => [id, moved.get(id) ?? (taken.has(id) ? `${id} (earlier)` : id)] as const),
  );
  const earlier = new Map([...compared].map(([id, as]) => [as, id]));
  return { comparedOf: (id) => compared.get(id) ?? id, earlierOf: (id) => earlier.get(id) ?? id };
}

/** New parts that have for the most part what a part has that was, with it, the desks of one part. */
function divisionsOf(
  lines: readonly PartLine[],
  left: readonly PartCodes[],
  { before, after }: Sides,
): readonly PartLine[] {
  if (left.length === 0) return [];
  return lines.flatMap((line): PartLine[] => {
    const whole = before.find(({ part }) => part.id === line.before[0]);
    const desk = after.find(({ part }) => part.id === line.after[0]);
    if (whole === undefined || desk === undefined || whole.part.name === desk.part.name) return [];
    const had = new Set(whole.codes());
    const others = left.filter((other) => {
      if (!areDesksOf(whole.part, desk.part, other.part)) return false;
      const own = other.codes();
      const kept = own.filter((code) => had.has(code)).length;
      return kept >= LEAST_NOTES && kept >= SAME_MUSIC * own.length;
    });
    return others.length === 0
      ? []
      : [{ before: [whole.part.id], after: [desk.part.id, ...others.map(({ part }) => part.id)] }];
  });
}

/** Follows the parts from one stage to the next. */
export function matchParts(before: readonly PartCodes[], after: readonly PartCodes[]): PartMatch {
  const splits = splitsOf({ before, after });
  const parted = new Set(splits.flatMap(({ source, into }) => [source, ...into]));
  const unions = splitsOf({ before: after, after: before }).filter(
    ({ source, into }) => !parted.has(source) && into.every((id) => !parted.has(id)),
  );
  for (const { source, into } of unions) for (const id of [source, ...into]) parted.add(id);
  const idsBefore = new Set(before.map(({ part }) => part.id));
  const idsAfter = new Set(after.map(({ part }) => part.id));
  const isFree = ({ part }: PartCodes): boolean => !parted.has(part.id);
  const gone = before.filter((item) => isFree(item) && !idsAfter.has(item.part.id));
  const fresh = after.filter((item) => isFree(item) && !idsBefore.has(item.part.id));
  const renamings = renamingsOf(gone, fresh);
  const same = after.filter((item) => isFree(item) && idsBefore.has(item.part.id));
  const alone = [...same.map(({ part }) => ({ before: [part.id], after: [part.id] })), ...renamings];
  const renamed = new Set(renamings.flatMap((line) => [...line.before, ...line.after]));
  const isLeft = ({ part }: PartCodes): boolean => !renamed.has(part.id);
  const divided = divisionsOf(alone, fresh.filter(isLeft), { before, after });
  const turned = alone.map((line): PartLine => ({ before: line.after, after: line.before }));
  const unisons = divisionsOf(turned, gone.filter(isLeft), { before: after, after: before });
  const told = new Set([...divided, ...unisons].flatMap((line) => line.after));
  const united = new Map(unisons.map((line) => [line.before[0], line.after]));
  return {
    lines: [
      ...alone.map((line) => ({ ...line, before: united.get(line.after[0]) ?? line.before })),
      ...splits.map(({ source, into }) => ({ before: [source], after: into })),
      ...unions.map(({ source, into }) => ({ before: into, after: [source] })),
      ...divided.flatMap((line) => line.after.slice(1).map((id) => ({ before: line.before, after: [id] }))),
    ],
    divided,
    added: fresh.filter((item) => isLeft(item) && !told.has(item.part.id)).map(({ part }) => part.id),
    removed: gone.filter((item) => isLeft(item) && !told.has(item.part.id)).map(({ part }) => part.id),
  };
}
