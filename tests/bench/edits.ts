/**
 * What is said of stages with known edits between them, each half apart.
 *
 * `npm run bench:edits` prints both halves; `npm run bench:edits -- tuning` one of them, `-- tuning tell` with a line for each thing that is
 * wrong (of the tuning half alone), `-- tuning tell=ballad` those of one piece.
 */
import { basesOf, type Base } from '../edits/bases.ts';
import { comparedFolder, foldersOf } from '../edits/edit-folders.ts';
import { judgeEdits } from '../edits/judge-edits.ts';

/** About 170 folders with edits a half, and three of every piece in which nothing was done. */
const FOLDERS_A_HALF = 170;
const UNEDITED = 3;
const SEED = { tuning: 5, 'kept aside': 6 } as const;

interface Tally {
  readonly named: Map<string, { right: number; all: number }>;
  readonly wrong: Map<string, number>;
}

function add(tally: Map<string, { right: number; all: number }>, key: string, isRight: boolean): void {
  const known = tally.get(key) ?? { right: 0, all: 0 };
  tally.set(key, { right: known.right + (isRight ? 1 : 0), all: known.all + 1 });
}

function printTally(half: Base['half'], folders: number, { named, wrong }: Tally): void {
  const total = { right: 0, all: 0 };
  for (const { right, all } of named.values()) {
    total.right += right;
    total.all += all;
  }
  const falseCount = [...wrong.values()].reduce((sum, one) => sum + one, 0);
  const share = (part: number): string => `${((100 * part) / Math.max(1, total.all)).toFixed(1)} %`;
  console.log(`\nedits between stages, ${half}: ${String(folders)} folders`);
  console.log(
    `  named rightly, with parts and bars: ${String(total.right)} of ${String(total.all)} (${share(total.right)})`,
  );
  console.log(`  false claims: ${String(falseCount)} (${share(falseCount)} of the edits)`);
  const lines = [...named].sort().map(([key, { right, all }]) => `${key} ${String(right)}/${String(all)}`);
  console.log(`  named by kind: ${lines.join(', ')}`);
  const claims = [...wrong].sort((a, b) => b[1] - a[1]).map(([key, count]) => `${key} ${String(count)}`);
  console.log(`  false by kind of sentence: ${claims.join(', ') || 'none'}`);
}

/** Compares every folder of one half and prints the counts; `tell` gets a line for each thing that is wrong, on the tuning half alone. */
async function printEdits(
  half: Base['half'],
  tell?: (line: string) => void,
  only?: string,
  seed: number = SEED[half],
): Promise<void> {
  const tally: Tally = { named: new Map(), wrong: new Map() };
  const bases = await basesOf(half);
  const count = UNEDITED + Math.ceil(FOLDERS_A_HALF / bases.length);
  let folders = 0;
  for (const [index, base] of bases.entries()) {
    if (only !== undefined && !base.name.includes(only)) continue;
    for (const folder of foldersOf(base, count, 100 * seed + index)) {
      folders++;
      const { change, before, after } = await comparedFolder(folder);
      const { verdicts, falseClaims } = judgeEdits(folder.edited, change, before, after);
      const isTold = half === 'tuning' ? tell : undefined;
      const head = `${folder.name} (${folder.manner}; ${folder.edits.join(', ')})`;
      for (const { claim, isRight } of verdicts) {
        add(tally.named, claim.kind === 'edit' ? (claim.how ?? claim.as[0] ?? '') : claim.kind, isRight);
        if (!isRight) isTold?.(`${head}: MISSED ${JSON.stringify(claim)}`);
      }
      for (const said of falseClaims) {
        tally.wrong.set(said.kind, (tally.wrong.get(said.kind) ?? 0) + 1);
        isTold?.(
          `${head}: FALSE ${said.kind} ${said.parts.join(' + ')} ${said.bars.join(' ')} ${JSON.stringify(said.edit ?? '')}`,
        );
      }
    }
  }
  printTally(half, folders, tally);
}

const asked = process.argv.slice(2);
const isTold = asked.find((word) => word.startsWith('tell'));
const only = isTold?.split('=')[1];
const seed = asked.find((word) => word.startsWith('seed='))?.split('=')[1];
for (const half of ['tuning', 'kept aside'] as const) {
  const isAsked = asked.includes(half === 'tuning' ? 'tuning' : 'kept-aside');
  const isAny = ['tuning', 'kept-aside'].some((word) => asked.includes(word));
  if (isAny && !isAsked) continue;
  await printEdits(
    half,
    isTold === undefined ? undefined : console.log,
    only,
    seed === undefined ? undefined : Number(seed),
  );
}
