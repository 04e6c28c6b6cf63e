/**
 * Folders of many kinds by hand.
 *
 *   npm run kinds -- write DIR [ID...]    writes the folders, each with its truth beside it (DIR/ID, DIR/ID.truth.json)
 *   npm run kinds -- judge [ID...]        judges them and prints everything; --seed N draws the timing anew
 *   npm run kinds -- unread [ID...]       findings that nobody has read yet, as lines for tests/kinds/verdicts
 *   npm run kinds -- bars ID FROM TO      what sounds, beat by beat, to proof-read the music
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { KINDS as OWN } from './folders.ts';
import { KEPT_ASIDE } from './kept-aside/folders.ts';
import { countKind } from './judge/count-kind.ts';
import { judgeKind } from './judge/judge-kind.ts';
import { kindReport } from './judge/kind-report.ts';
import type { KindFolder } from './kind.ts';

const KINDS = [...OWN, ...KEPT_ASIDE];
const [command, ...words] = process.argv.slice(2);
const seedAt = words.indexOf('--seed');
const seed = seedAt < 0 ? 1 : Number(words[seedAt + 1]);
const rest = words.filter((_, index) => seedAt < 0 || (index !== seedAt && index !== seedAt + 1));

function chosen(ids: readonly string[]): readonly KindFolder[] {
  const unknown = ids.filter((id) => !KINDS.some((folder) => folder.id === id));
  if (unknown.length > 0) {
    throw new Error(`There is no folder ${unknown.join(', ')}; there are ${KINDS.map((each) => each.id).join(', ')}.`);
  }
  return ids.length === 0 ? KINDS : KINDS.filter((folder) => ids.includes(folder.id));
}

function write(target: string, folder: KindFolder): void {
  for (const [path, bytes] of folder.files(seed)) {
    const file = join(target, folder.id, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, bytes);
  }
  writeFileSync(join(target, `${folder.id}.truth.json`), `${JSON.stringify(folder.truth, null, 1)}\n`);
}

/** What sounds at every half beat, lowest first, with the tracks. */
function printBars(folder: KindFolder, from: number, to: number, quartersOfBar: number): void {
  const { notes } = folder.truth;
  const onsets = [...new Set(notes.map((note) => note.start))].sort((a, b) => a - b);
  for (const at of onsets) {
    const bar = Math.floor(at / quartersOfBar) + 1;
    if (bar < from || bar > to) continue;
    const sounding = notes
      .filter((note) => note.pitch !== undefined && note.start <= at + 1e-6 && note.start + note.length > at + 1e-6)
      .sort((a, b) => a.midi - b.midi);
    const texts = sounding.map((note) => `${note.pitch ?? ''}${note.start < at - 1e-6 ? '~' : ''}(${note.track})`);
    console.log(`${String(bar)}.${(at - (bar - 1) * quartersOfBar + 1).toFixed(2)}  ${texts.join(' ')}`);
  }
}

if (command === 'write') {
  const [target = 'kinds', ...ids] = rest;
  for (const folder of chosen(ids)) write(target, folder);
} else if (command === 'judge') {
  for (const folder of chosen(rest)) console.log(`${kindReport(countKind(await judgeKind(folder, seed)))}\n`);
} else if (command === 'unread') {
  for (const folder of chosen(rest)) {
    console.log(folder.id);
    for (const { finding, verdict } of countKind(await judgeKind(folder, seed)).verdicts) {
      if (verdict !== 'unread') continue;
      const { rule, level, from, to, tracks, message } = finding;
      const line = { rule, level, bars: [from, to], parts: tracks, verdict: '', why: '' };
      console.log(`  ${JSON.stringify(line)},\n    // ${message}`);
    }
  }
} else if (command === 'bars') {
  const [id = '', from = '1', to = '4'] = rest;
  for (const folder of chosen([id])) {
    const meter = folder.truth.meters[0];
    const quarters = meter === undefined ? 4 : (meter.numerator * 4) / meter.denominator;
    printBars(folder, Number(from), Number(to), quarters);
  }
} else {
  console.log('write DIR [ID...], judge [ID...], unread [ID...] or bars ID FROM TO');
}
