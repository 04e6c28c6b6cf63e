/** Folders written apart from the rules, by trade knowledge alone: judged, reported, and nothing is set by them. */
import type { KindFolder } from '../kind.ts';

export const KEPT_ASIDE: readonly KindFolder[] = [];
