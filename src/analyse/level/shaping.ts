/** Whether anybody shaped the dynamics of a sketch: without that its levels are those of the program that wrote it. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { controllerGainDb } from '../../model/music/dynamics.ts';

/** Controllers that shape loudness. */
const SHAPING: readonly number[] = [1, 2, 7, 11];
const VOLUME = 7;
/** A stray accent is no shape. Our convention. */
const SAME_SHARE = 0.98;
/** Volumes that differ by less are no mix. Our convention. */
const MIX_DB = 3;

function moves({ tracks }: Part): boolean {
  return tracks.some(({ curves }) =>
    curves.some(
      ({ controller, points }) =>
        SHAPING.includes(controller) && new Set(points.map(({ setting }) => setting)).size > 1,
    ),
  );
}

/** The velocity that nearly all of the notes have; undefined where they differ. */
function commonVelocity(parts: readonly Part[]): number | undefined {
  const counts = new Map<number, number>();
  let all = 0;
  for (const { notes } of parts) {
    for (const { velocity } of notes) {
      counts.set(velocity, (counts.get(velocity) ?? 0) + 1);
      all++;
    }
  }
  return [...counts].find(([, count]) => count >= SAME_SHARE * all)?.[0];
}

/** The one velocity of each part that nobody shaped, by part id. */
export function unshapedVelocities(parts: readonly Part[]): ReadonlyMap<string, number> {
  return new Map(
    parts.flatMap((part) => {
      const velocity = moves(part) ? undefined : commonVelocity([part]);
      return velocity === undefined ? [] : [[part.id, velocity] as const];
    }),
  );
}

/**
 * True where all parts but those that somebody shaped (`beside`) have one and the same velocity (`unshaped`, by part id): their level is
 * that of the program that wrote them, nobody's will.
 */
export function isLeftAsWritten(
  part: Part,
  beside: readonly Part[],
  all: readonly Part[],
  unshaped: ReadonlyMap<string, number>,
): boolean {
  const velocity = unshaped.get(part.id);
  if (velocity === undefined || beside.length === 0 || beside.some(({ id }) => unshaped.has(id))) return false;
  const behind = all.filter((other) => !beside.includes(other) && !other.unpitched && other.notes.length > 0);
  return behind.length > 1 && behind.every(({ id }) => unshaped.get(id) === velocity);
}

/** Gain of the volume that a part's tracks stand at, dB; 0 where they state none. */
function volumeDb({ tracks }: Part): number {
  const setting = tracks.flatMap(
    ({ curves }) => curves.find(({ controller }) => controller === VOLUME)?.points ?? [],
  )[0]?.setting;
  return setting === undefined ? 0 : controllerGainDb(setting);
}

/**
 * The one velocity of a stage without dynamics: several parts, nearly all of their notes of one velocity, no controller that moves, no
 * mix of volumes and no trim. Undefined where somebody shaped anything.
 */
export function flatVelocity({ parts }: Pick<Stage, 'parts'>): number | undefined {
  const playing = parts.filter(({ notes }) => notes.length > 0);
  if (playing.length < 2 || playing.some((part) => moves(part) || part.trimDb !== 0)) return undefined;
  const volumes = playing.map(volumeDb).filter(Number.isFinite);
  if (Math.max(...volumes) - Math.min(...volumes) >= MIX_DB) return undefined;
  return commonVelocity(playing);
}
