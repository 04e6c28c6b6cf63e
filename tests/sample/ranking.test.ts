/**
 * Whether the first five findings are the five that matter. Into a clean stage of each sample five flaws are planted that a conductor would stop for,
 * beside the trifles that the clean stage has of its own. How grave each is was judged before anything was run, and why:
 * 1. a note that the instrument does not have: the part cannot be played, it goes back to the desk;
 * 2. an entry with its controller left at zero: played and never heard, whole bars of work are lost;
 * 3. an accompaniment as loud as the soloist for eight bars: the piece is for the soloist;
 * 4. the soloist stops before the accompaniment at the close: a slip that everybody hears, but for a moment;
 * 5. a part over the tune where a phrase closes: the ear takes the wrong note for the tune, in one place.
 * Common practice, no source.
 */
import { describe, expect, it } from 'vitest';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import type { Part, PlayedNote, Stage } from '../../src/model/music/arrangement.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import { sampleArrangement } from '../support/sample-truth.ts';
import { stairArrangement } from './stair-support.ts';
import { notated } from '../support/notated.ts';

type Change = (stage: Stage) => Stage;

function inPart(id: string, change: (part: Part) => Part): Change {
  return (stage) => ({ ...stage, parts: stage.parts.map((part) => (part.id === id ? change(part) : part)) });
}

/** Quarters at which a bar begins; the end of the stage for the bar after the last. */
function startOf({ timeline: { bars } }: Stage, number: number): number {
  const bar = bars.find((candidate) => candidate.number === number);
  const last = bars.at(-1);
  return bar?.startQuarters ?? (last === undefined ? 0 : last.startQuarters + last.lengthQuarters);
}

function notesInBars(
  id: string,
  from: number,
  to: number,
  change: (note: PlayedNote, index: number) => PlayedNote | undefined,
): Change {
  return (stage) => {
    const [begin, end] = [startOf(stage, from), startOf(stage, to + 1)];
    let index = 0;
    return inPart(id, (part) => ({
      ...part,
      notes: part.notes.flatMap((note) =>
        note.startQuarters < begin - 0.05 || note.startQuarters >= end - 0.05 ? [note] : (change(note, index++) ?? []),
      ),
    }))(stage);
  };
}

/** One controller of a part held at a setting through these bars. */
function held(id: string, controller: number, from: number, to: number, setting: number): Change {
  return (stage) => {
    const [begin, end] = [startOf(stage, from) - 0.1, startOf(stage, to + 1) - 0.1];
    return inPart(id, (part) => ({
      ...part,
      tracks: part.tracks.map((track) => {
        const own = track.curves.find((curve) => curve.controller === controller);
        const points = own?.points ?? [];
        const after = points.filter(({ quarters }) => quarters < end).at(-1)?.setting ?? 127;
        return {
          ...track,
          curves: [
            ...track.curves.filter((curve) => curve !== own),
            {
              controller,
              settingBefore: own?.settingBefore ?? 127,
              points: [
                ...points.filter(({ quarters }) => quarters < begin),
                { quarters: begin, setting },
                { quarters: end, setting: after },
                ...points.filter(({ quarters }) => quarters > end),
              ],
            },
          ],
        };
      }),
    }))(stage);
  };
}

function judge(stage: Stage): readonly Finding[] {
  const written = notated(stage);
  return adviseStage({ stage, written, readings: analyseStage(stage, written), limits: {}, accepted: [] });
}

const ORDER = [
  'outside-range',
  'inaudible-entry',
  'background-as-loud',
  'foreground-ends-first',
  'background-above-melody',
];

const applied = (stage: Stage, changes: readonly Change[]): Stage =>
  changes.reduce((changed, change) => change(changed), stage);
const rulesOf = (findings: readonly Finding[]): readonly string[] => findings.slice(0, 5).map(({ rule }) => rule);

describe('the first five findings are the five that matter, in the order of their weight', () => {
  it('in the first sample', async () => {
    const clean = (await sampleArrangement()).stages[2]!;
    const strings = ['violin-1', 'violin-2', 'viola', 'cello', 'double-bass'];
    const findings = judge(
      applied(clean, [
        notesInBars('bassoon', 33, 33, (note) => ({ ...note, midi: 32 })),
        held('clarinet-bflat', 11, 37, 40, 0),
        ...strings.map((id) => held(id, 1, 21, 28, 127)),
        notesInBars('solo-piano', 47, 48, () => undefined),
        notesInBars('violin-1', 40, 40, (note) => ({ ...note, midi: note.midi + 24 })),
      ]),
    );
    expect(rulesOf(findings)).toEqual(ORDER);
  });

  it('in the second', async () => {
    const clean = (await stairArrangement()).stages[1]!;
    const findings = judge(
      applied(clean, [
        notesInBars('violin-1', 30, 30, (note) => ({ ...note, midi: 50 })),
        held('viola', 11, 9, 12, 0),
        ...['violin-1', 'violin-2', 'viola', 'cello'].map((id) => held(id, 1, 31, 38, 127)),
        notesInBars('clarinet-a', 39, 40, () => undefined),
        notesInBars('violin-1', 16, 16, (note) => ({ ...note, midi: note.midi + 24 })),
      ]),
    );
    expect(rulesOf(findings)).toEqual(ORDER);
  });
});
