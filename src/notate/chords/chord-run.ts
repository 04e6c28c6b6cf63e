/** A run of one chord: its template and the frames in which it is heard. */
import type { Frame } from './chord-frames.ts';
import type { Template } from './chord-templates.ts';

export interface ChordRun {
  readonly template: Template;
  readonly frames: readonly Frame[];
  /** 0..11 major, 12..23 minor: the key in which the search heard it. */
  readonly key: number;
  /** True where it is the six-four chord over the dominant that a dominant resolves. */
  readonly isCadential?: boolean;
}
