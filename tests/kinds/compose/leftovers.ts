/** What people leave in an export. */
import type { Member } from './folder.ts';
import { member } from './folder.ts';
import type { BarList } from './compose.ts';
import { strokes } from './compose.ts';

/** A track that holds a name and nothing else; it is no part. */
export function empty(bars: BarList, name: string): Member {
  return member(bars, name, [], undefined, 'keys', '1:mf', []);
}

/** A click to the beat. */
export function click(bars: BarList, name: string, from: number, to: number, pattern: string): Member {
  return member(bars, name, [], undefined, 'struck', '1:f', strokes(bars, from, to, pattern, 0.1), {
    channel: 9,
    scatterMs: 0,
  });
}
