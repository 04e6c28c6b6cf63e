/** Keys and signatures of the open scores, exactly played, beside what is printed; see `tests/support/key-truth.ts` for where truth is from. */
import { OPENING_KEYS, isKey, keysHeard, printedKey, signedBars } from '../support/key-truth.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { scoresOf, sumOf } from '../support/notation-truth.ts';

export interface KeyRow {
  readonly method: 'key';
  readonly music: string;
  readonly figure: string;
}

function row(music: string, right: number, all: number): KeyRow {
  return { method: 'key', music, figure: `${((100 * right) / all).toFixed(2)} % of ${String(all)}` };
}

/** Rows of one set of scores. */
export function keyRows(set: string): KeyRow[] {
  const scores = scoresOf(set).map((score) => ({ score, keys: keysHeard(score) }));
  if (scores.length === 0) return [];
  const signed = sumOf(scores.map(({ score, keys }) => signedBars(score, keys)));
  const rows = [row(`${set}, bars under the printed signature`, signed.right, signed.all)];
  if (set === 'openscore-lieder') {
    const known = scores.flatMap(({ score, keys }) => {
      const key = printedKey(score);
      return key === undefined ? [] : [isKey(keys[0], key)];
    });
    rows.push(
      row(`${set}, opening key, against signature and last bass`, known.filter((is) => is).length, known.length),
    );
  }
  if (set === 'openscore-orchestra') {
    const known = openFiles(set).flatMap((file) => {
      const key = OPENING_KEYS[file.replace('.mxl', '')];
      return key === undefined ? [] : [isKey(keysHeard(readMxl(openFile(set, file)))[0], key)];
    });
    rows.push(row(`${set}, opening key, against catalogues`, known.filter((is) => is).length, known.length));
  }
  return rows;
}
