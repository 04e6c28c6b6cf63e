/** Pieces shared out among machines that know nothing of one another. */
import { inOrder, type Share } from '../../publish/shelf/shelf-entry.ts';
import type { FoundPiece } from './find-pieces.ts';

/**
 * The pieces of one share, in their order: the largest first, each goes to the share that has least so far (R. L. Graham 1969: at most a third
 * more than the best there is). The same on every machine that has the same files.
 */
export function shareOf(pieces: readonly FoundPiece[], { number, of }: Share): readonly FoundPiece[] {
  const loads = Array.from({ length: of }, () => 0);
  const own = new Set<FoundPiece>();
  const bySize = [...pieces].sort((one, other) => other.bytes - one.bytes || inOrder(one, other));
  for (const piece of bySize) {
    const least = loads.indexOf(Math.min(...loads));
    loads[least] = (loads[least] ?? 0) + piece.bytes;
    if (least === number - 1) own.add(piece);
  }
  return pieces.filter((piece) => own.has(piece));
}
