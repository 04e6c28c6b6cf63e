/**
 * How often the notation is right, beside published figures. Scores that people set (OpenScore, CC0, ../shared/data/LICENCES.md) are replayed by
 * a seeded machine to a click, without a stated key, and compared with their printed form; the chords and hands of the sample are
 * compared with its composer's plan. Published figures are of other music: they give the order of magnitude, not a ranking.
 *
 * `npm run bench:accuracy` prints everything; `npm run bench:accuracy -- spelling grid` some methods only.
 */
import { flow } from '../../src/library.ts';
import type { Replay, Share } from '../support/notation-truth.ts';
import {
  lengthShare,
  linkShare,
  onsetShare,
  replay,
  replayAsOne,
  scoresOf,
  signatureShare,
  spellingShare,
  staffShare,
  sumOf,
} from '../support/notation-truth.ts';
import { keyRows } from './key-rows.ts';
import { chordsAgainstPlan, handsAgainstPlan, sampleArrangement } from '../support/sample-truth.ts';

type Method = 'spelling' | 'grid' | 'lengths' | 'hands' | 'voices' | 'key' | 'chords';

interface Row {
  readonly method: Method;
  readonly music: string;
  readonly figure: string;
}

const PUBLISHED: Readonly<Record<Method, string>> = {
  spelling:
    'ps13s1: 99.44 % of 195 972 notes (D. Meredith, JNMR 35(2), 2006); PSE: 98.2 % of piano scores (Bouquillard and Jacquemard, 2024)',
  grid: 'onset F1 97.3 % on expressive piano with the beats given (arXiv 2604.22290, 2026); none for playing to a click',
  lengths: 'note values 83.3 % on expressive piano with the beats given (arXiv 2604.22290, 2026)',
  hands: 'none in the literature at hand; a fixed split at middle C is the usual base line',
  voices: 'voice consistency 88.98 % on 48 fugues and the inventions, contig mapping (Chew and Wu, CMMR 2004)',
  key: 'key signature 95.6 % of piano scores (Bouquillard and Jacquemard, 2024); keys about 93 % (Albrecht and Shanahan, 2013, from memory)',
  chords: 'about 76 % of 45 textbook excerpts (Pardo and Birmingham, CMJ 26(2), 2002, from memory)',
};

const SETS = ['openscore-quartets', 'openscore-lieder', 'openscore-orchestra'] as const;
const PLAIN_TEMPO = 90;

function percent({ right, all }: Share): string {
  return all === 0 ? '-' : `${((100 * right) / all).toFixed(2)} %`;
}

function counted(share: Share): string {
  return `${percent(share)} of ${String(share.all)}`;
}

const asked = process.argv.slice(2);

function isAsked(method: Method): boolean {
  return asked.length === 0 || asked.includes(method);
}

function gridRows(set: string): Row[] {
  const scores = scoresOf(set);
  return [60, 90, 120].flatMap((tempo): Row[] => {
    const spreads = [0, 10, 20, 30].map((jitterMs) => ({
      jitterMs,
      runs: scores.map((score) => replay(score, tempo, jitterMs)),
    }));
    const text = (measure: (run: Replay) => Share): string =>
      spreads.map(({ jitterMs, runs }) => `${String(jitterMs)} ms ${percent(sumOf(runs.map(measure)))}`).join(', ');
    const music = `${set}, ${String(tempo)} to the minute`;
    return [
      { method: 'grid', music, figure: text(onsetShare) },
      { method: 'lengths', music, figure: text(lengthShare) },
    ];
  });
}

function scoreRows(set: string): Row[] {
  const rows: Row[] = [];
  const scores = scoresOf(set);
  if (isAsked('grid') || isAsked('lengths')) rows.push(...gridRows(set));
  if (isAsked('key')) rows.push(...keyRows(set));
  if (isAsked('spelling') || isAsked('hands') || isAsked('voices') || isAsked('key')) {
    const runs = scores.map((score) => replay(score, PLAIN_TEMPO, 10));
    const add = (method: Method, music: string, share: Share): void => {
      if (share.all > 0) rows.push({ method, music, figure: counted(share) });
    };
    add('spelling', `${set}, no key stated`, sumOf(runs.map(spellingShare)));
    add('key', `${set}, signature of the first bar`, sumOf(runs.map(signatureShare)));
    add('hands', `${set}, printed staff`, sumOf(runs.map(staffShare)));
    if (set === 'openscore-lieder') add('voices', `${set}, links in a staff (F)`, sumOf(runs.map(linkShare)));
    if (set === 'openscore-quartets') {
      const merged = scores.map((score) => replayAsOne(score, PLAIN_TEMPO, 0));
      add('voices', `${set}, four parts on one keyboard, links (F)`, sumOf(merged.map(linkShare)));
    }
  }
  return rows;
}

async function sampleRows(): Promise<Row[]> {
  const { stages } = await sampleArrangement();
  return stages.flatMap((stage, index): Row[] => {
    const written = flow.notateStage(stage);
    const { roots, symbols, basses } = chordsAgainstPlan(written);
    const music = `sample, stage ${String(index + 1)}, of the time`;
    const hands = handsAgainstPlan(written, index === stages.length - 1);
    return [
      {
        method: 'chords',
        music,
        figure: `roots ${percent(roots)}, symbols ${percent(symbols)}, basses ${percent(basses)}`,
      },
      { method: 'hands', music: `sample, stage ${String(index + 1)}, hand of the plan`, figure: counted(hands) },
    ];
  });
}

function print(rows: readonly Row[]): void {
  const width = Math.max(...rows.map((row) => row.music.length));
  for (const method of Object.keys(PUBLISHED) as Method[]) {
    const own = rows.filter((row) => row.method === method);
    if (own.length === 0 || !isAsked(method)) continue;
    console.log(`\n${method} (published: ${PUBLISHED[method]})`);
    for (const row of own) console.log(`  ${row.music.padEnd(width)}  ${row.figure}`);
  }
}

const rows = [...SETS.flatMap(scoreRows), ...(isAsked('chords') || isAsked('hands') ? await sampleRows() : [])];
if (SETS.every((set) => scoresOf(set).length === 0)) {
  console.log('../shared/data is absent: only the sample is measured, the open scores are skipped.');
}
print(rows);
