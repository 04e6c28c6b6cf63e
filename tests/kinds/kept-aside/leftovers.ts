/** What people leave in an export. */
import type { Member } from '../last-look/folder.ts';
import { member } from '../last-look/folder.ts';
import type { BarList } from '../last-look/compose.ts';
import { strokes } from '../last-look/compose.ts';
import type { KindFolder, KindTruth } from '../kind.ts';

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

export function keptAside(id: string, trade: string, files: KindFolder['files'], truth: KindTruth): KindFolder {
  return { id, trade, half: 'kept-aside', files, truth };
}
