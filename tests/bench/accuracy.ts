/**
 * How often the notation is right, beside published figures. Scores that people set (OpenScore, CC0, tests/data/LICENCES.md) are replayed by
 * a seeded machine to a click, without a stated key, and compared with their printed form; the chords and hands of the sample are
 * compared with its composer's plan. What was kept aside while constants of rhythm and hands were set stands apart from what was not. Published figures are of other music: they give the order of magnitude, not a ranking.
 *
 * `npm run bench:accuracy` prints everything; `npm run bench:accuracy -- spelling grid` some methods only; `-- kinds` what is said of folders of
 * many kinds beside their truths. `-- --since [methods]` measures what a clone alone can and prints what rose or fell since the figures that are kept in
 * tests/bench/figures; `-- --keep [methods]` keeps the new ones.
 */
import { flow } from '../../src/library.ts';
import type { ReadScore } from '../support/musicxml-score.ts';
import type { Share } from '../support/notation-truth.ts';
import {
  lengthShare,
  linkShare,
  onsetShare,
  replay,
  replayAsOne,
  isKeptAside,
  scoresOf,
  signatureShare,
  spellingShare,
  staffShare,
  sumOf,
} from '../support/notation-truth.ts';
import { hasWholeData, openFiles, withShippedDataOnly } from '../support/open-data.ts';
import { spawnSync } from 'node:child_process';
import type { BenchLine } from './kept-figures.ts';
import { differences, figuresOf, keepFigures, keptFigures, keptMeasures } from './kept-figures.ts';
import { keyRows } from './key-rows.ts';
import { leaderRows } from './leader-rows.ts';
import { kindLines, printKinds } from './kinds.ts';
import { outerLines, printOuterNotes } from './outer.ts';
import { printReader } from './reader.ts';
import { isNameKeptAside, judgeName, namedTracks } from '../support/track-names.ts';
import { chordsAgainstPlan, handsAgainstPlan, sampleArrangement } from '../support/sample-truth.ts';

type Method = 'leader' | 'spelling' | 'grid' | 'lengths' | 'hands' | 'voices' | 'key' | 'chords' | 'names';

/** Scores that no constant of rhythm or hands was set on, those that some were, and music with a plan of its own. */
const GROUPS = ['kept aside', 'used in setting constants', 'both together', 'sample', 'tuning', 'last-look'] as const;
type Group = (typeof GROUPS)[number];

interface Row {
  readonly method: Method;
  readonly group: Group;
  readonly music: string;
  readonly figure: string;
}

const PUBLISHED: Readonly<Record<Method, string>> = {
  leader:
    'the highest sounding part is the annotated one in 58.4 % of the quarters of 62 orchestral movements (counted on the Hauptstimme annotations)',
  spelling:
    'ps13s1: 99.44 % of 195 972 notes (D. Meredith, JNMR 35(2), 2006); PSE: 98.2 % of piano scores (Bouquillard and Jacquemard, 2024)',
  grid: 'onset F1 97.3 % on expressive piano with the beats given (arXiv 2604.22290, 2026); none for playing to a click',
  lengths: 'note values 83.3 % on expressive piano with the beats given (arXiv 2604.22290, 2026)',
  hands: 'none in the literature at hand; a fixed split at middle C is the usual base line',
  voices: 'voice consistency 88.98 % on 48 fugues and the inventions, contig mapping (Chew and Wu, CMMR 2004)',
  key: 'key signature 95.6 % of piano scores (Bouquillard and Jacquemard, 2024); keys about 93 % (Albrecht and Shanahan, 2013, from memory)',
  names: 'none at hand; the aim is 98 % right, the rest asked',
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

const words = process.argv.slice(2);
/** Compare with kept figures, or keep new ones, rather than print. */
const compares = words.includes('--since');
const keeps = words.includes('--keep');
const named = words.filter((word) => !word.startsWith('--'));
const asked = (compares || keeps) && named.length === 0 ? keptMeasures() : named;

/** Nothing of the open scores where only the folders, the names or the second reader are asked for. */
const setsAsked =
  asked.length > 0 && asked.every((method) => ['kinds', 'names', 'reader', 'reduction'].includes(method)) ? [] : SETS;

function isAsked(method: Method): boolean {
  return asked.length === 0 || asked.includes(method);
}

function gridRows(set: string, group: Group, scores: readonly ReadScore[]): Row[] {
  return [60, 90, 120].flatMap((tempo): Row[] => {
    const spreads = [0, 10, 20, 30].map((jitterMs) => {
      const runs = scores.map((score) => replay(score, tempo, jitterMs));
      return { jitterMs, onsets: sumOf(runs.map(onsetShare)), lengths: sumOf(runs.map(lengthShare)) };
    });
    const text = (measure: 'onsets' | 'lengths'): string =>
      spreads.map((spread) => `${String(spread.jitterMs)} ms ${percent(spread[measure])}`).join(', ');
    const music = `${set}, ${String(tempo)} to the minute`;
    return [
      { method: 'grid', group, music, figure: text('onsets') },
      { method: 'lengths', group, music, figure: text('lengths') },
    ];
  });
}

function groupRows(set: string, group: Group): Row[] {
  const scores = scoresOf(set, (name) => isKeptAside(set, name) === (group === 'kept aside'));
  if (scores.length === 0) return [];
  const rows: Row[] = isAsked('grid') || isAsked('lengths') ? gridRows(set, group, scores) : [];
  if (isAsked('spelling') || isAsked('hands') || isAsked('voices') || isAsked('key')) {
    const runs = scores.map((score) => replay(score, PLAIN_TEMPO, 10));
    const add = (method: Method, music: string, share: Share): void => {
      if (share.all > 0) rows.push({ method, group, music, figure: counted(share) });
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

function scoreRows(set: string): Row[] {
  const keys = isAsked('key') ? keyRows(set).map((row): Row => ({ ...row, group: 'both together' })) : [];
  return [...groupRows(set, 'kept aside'), ...groupRows(set, 'used in setting constants'), ...keys];
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
        group: 'sample',
        music,
        figure: `roots ${percent(roots)}, symbols ${percent(symbols)}, basses ${percent(basses)}`,
      },
      {
        method: 'hands',
        group: 'sample',
        music: `sample, stage ${String(index + 1)}, hand of the plan`,
        figure: counted(hands),
      },
    ];
  });
}

/** Track names by where they are from: what they are taken for in their company. */
function nameRows(): Row[] {
  const judged = namedTracks().map(judgeName);
  return (['kept aside', 'used in setting constants'] as const).flatMap((group) => {
    const half = judged.filter(({ name }) => isNameKeptAside(name) === (group === 'kept aside'));
    const sources = ['all', ...new Set(half.map(({ source }) => source))];
    return sources.map((source): Row => {
      const own = half.filter((one) => source === 'all' || one.source === source);
      const count = (verdict: string): number => own.filter((one) => one.verdict === verdict).length;
      const right = counted({ right: count('right'), all: own.length });
      const figure = `${right}; asked ${String(count('asked'))}, wrong without a question ${String(count('wrong'))}`;
      return { method: 'names', group, music: `track names, ${source}`, figure };
    });
  });
}

function print(rows: readonly Row[]): void {
  const width = Math.max(...rows.map((row) => row.music.length));
  for (const method of Object.keys(PUBLISHED) as Method[]) {
    if (!isAsked(method) || !rows.some((row) => row.method === method)) continue;
    console.log(`\n${method} (published: ${PUBLISHED[method]})`);
    for (const group of GROUPS) {
      const own = rows.filter((row) => row.method === method && row.group === group);
      if (own.length > 0) console.log(`  ${group}`);
      for (const row of own) console.log(`    ${row.music.padEnd(width)}  ${row.figure}`);
    }
  }
  for (const group of GROUPS.slice(0, 2)) {
    const files = setsAsked.flatMap((set) =>
      openFiles(set).filter((name) => isKeptAside(set, name) === (group === 'kept aside')),
    );
    if (files.length > 0) console.log(`\n${group}: ${files.join(', ')}`);
  }
}

async function allRows(): Promise<readonly Row[]> {
  return [
    ...(isAsked('names') ? nameRows() : []),
    ...setsAsked.flatMap(scoreRows),
    ...(isAsked('chords') || isAsked('hands') ? await sampleRows() : []),
    ...(isAsked('leader') ? (await leaderRows()).map((row): Row => ({ method: 'leader', ...row })) : []),
  ];
}

async function printAll(): Promise<void> {
  if (asked.length === 0 || asked.includes('kinds')) await printKinds();
  if (asked.length === 0 || asked.includes('reader')) await printReader();
  if (asked.length === 0 || asked.includes('reduction')) await printOuterNotes();
  const rows = await allRows();
  if (setsAsked.length > 0 && !hasWholeData) {
    console.log(
      'The whole open data are not here: only the sample and the few open scores in tests/data are measured.',
    );
  }
  print(rows);
}

/** Measures one after another, tells what differs from the kept figures, and keeps the new ones where that was asked for. */
async function compareAll(): Promise<void> {
  const rows = await allRows();
  for (const measure of asked) {
    const lines: readonly BenchLine[] =
      measure === 'kinds'
        ? await kindLines()
        : measure === 'reduction'
          ? await outerLines()
          : rows
              .filter(({ method }) => method === measure)
              .map(({ group, music, figure }) => ({ on: `${group}, ${music}`, text: figure }));
    const figures = figuresOf(lines);
    const changes = differences(keptFigures(measure), figures);
    const state =
      changes.length === 0 ? 'as kept' : `${String(changes.length)} of ${String(Object.keys(figures).length)}`;
    console.log([`${measure}: ${state}`, ...changes.map((change) => `  ${change}`)].join('\n'));
    if (keeps) keepFigures(measure, figures);
  }
}

if (!compares && !keeps) await printAll();
else if (!hasWholeData) await compareAll();
else {
  // Kept figures are of what the repository ships, so that every clone can compare.
  const env = withShippedDataOnly();
  process.exitCode =
    spawnSync(process.execPath, [...process.execArgv, ...process.argv.slice(1)], { env, stdio: 'inherit' }).status ?? 1;
}
