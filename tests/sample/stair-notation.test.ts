/** The second sample, written down again from how it was played, against its script: rhythm, spelling, harmony, keys. */
import { beforeAll, describe, expect, it } from 'vitest';
import { STAIR_BARS, stairChords } from '../../sample-input/stair-music.ts';
import { STAIR_STAGES } from '../../sample-input/stair-stages.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { className, pitchName } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../src/model/music/written.ts';
import { plansOf, scriptOf, stairArrangement } from './stair-support.ts';
import { notated } from '../support/notated.ts';

const EIGHTH = DIVISIONS_PER_QUARTER / 2;
const PICKUP = (STAIR_BARS[0]?.length ?? 0) * EIGHTH;

let arrangement: Arrangement;
let written: readonly WrittenStage[] = [];

beforeAll(async () => {
  arrangement = await stairArrangement();
  written = arrangement.stages.map((stage) => notated(stage));
});

interface ReadBack {
  readonly all: number;
  readonly places: number;
  readonly names: number;
  readonly lengths: number;
  /** Notes that are not in the script. */
  readonly added: number;
}

/** The notes of a track as written, looked up in its script by place and key. */
function readBack(stageIndex: number, name: string): ReadBack {
  const stage = arrangement.stages[stageIndex]!;
  const part = stage.parts.find((each) => each.tracks.some((track) => track.name === name))!;
  const own = written[stageIndex]!.parts.find((each) => each.partId === part.id)!;
  const script = scriptOf(STAIR_STAGES[stageIndex]!, name);
  const found = script.map((note) => ({
    note,
    own: own.notes.find((each) => each.midi === note.midi && each.start === note.start * EIGHTH - PICKUP),
  }));
  return {
    all: script.length,
    places: found.filter((each) => each.own !== undefined).length,
    names: found.filter((each) => each.own !== undefined && pitchName(each.own.pitch) === each.note.name).length,
    lengths: found.filter((each) => each.own?.length === each.note.length * EIGHTH).length,
    added: own.notes.length - script.length,
  };
}

function shareOver(stageIndex: number, share: 'names' | 'lengths'): number {
  const counts = plansOf(STAIR_STAGES[stageIndex]!).map((plan) => readBack(stageIndex, plan.name));
  const sum = (key: 'all' | 'names' | 'lengths'): number => counts.reduce((total, count) => total + count[key], 0);
  return sum(share) / sum('all');
}

describe.each(STAIR_STAGES.map((plan, index) => ({ title: plan.name, plan, index })))('$title', ({ plan, index }) => {
  it.each(plansOf(plan).map((track) => track.name))('%s has every note at its written place, and no other', (name) => {
    const { all, places, added } = readBack(index, name);
    expect(all).toBeGreaterThan(20);
    expect({ places, added }).toEqual({ places: all, added: 0 });
  });

  // The aim of the design (Meredith 2006): 99.4 %.
  it('spells what the script spells', () => {
    expect(shareOver(index, 'names')).toBeGreaterThan(0.994);
  });

  it('gives notes their lengths, and what is blown or bowed its breath before the next phrase', () => {
    expect(shareOver(index, 'lengths')).toBeGreaterThan(0.99);
    for (const { name } of plansOf(plan).filter((track) => track.touch === 'blown' || track.touch === 'bowed')) {
      const { all, lengths } = readBack(index, name);
      expect({ name, lengths }).toEqual({ name, lengths: all });
    }
  });

  it('has the bars of the script: a pickup of a quarter, 3/4, 4/4, 6/8 and 3/4', () => {
    const bars = arrangement.stages[index]!.timeline.bars;
    expect(bars.map((bar) => bar.number)).toEqual(STAIR_BARS.map((bar) => bar.number));
    expect(bars.map((bar) => bar.lengthQuarters * 2)).toEqual(STAIR_BARS.map((bar) => bar.length));
    for (const [from, meter] of [
      [1, '3/4'],
      [17, '4/4'],
      [25, '6/8'],
      [37, '3/4'],
    ] as const) {
      // prettier-ignore
      const bar = bars.find((each) => each.number === from)!;
      expect(`${String(bar.meter.numerator)}/${String(bar.meter.denominator)}`).toBe(meter);
    }
  });

  // In the sketch the harp alone has the harmony, with the bass on the first beat only.
  it('has the planned root and bass nine tenths of the time, three quarters with the harp alone', () => {
    let all = 0;
    const misses: string[] = [];
    let roots = 0;
    let basses = 0;
    for (const span of stairChords()) {
      const from = span.start * EIGHTH - PICKUP;
      const to = from + span.length * EIGHTH;
      all += to - from;
      const root = /^[A-G][b#]?/.exec(span.symbol)![0];
      for (const chord of written[index]!.chords) {
        const overlap = Math.min(to, chord.start + chord.length) - Math.max(from, chord.start);
        if (overlap <= 0) continue;
        if (className(chord.root) === root) roots += overlap;
        if (className(chord.bass) === span.bass) basses += overlap;
        if (className(chord.root) !== root) misses.push(`${String(span.bar)}: ${span.symbol} read as ${chord.symbol}`);
      }
    }
    const least = index === 0 ? 0.75 : 0.9;
    expect(roots / all, misses.join(', ')).toBeGreaterThan(least);
    expect(basses / all).toBeGreaterThan(least);
  });

  it('is in D major, in B minor from bar 17, and in D major again from bar 25', () => {
    const keys = written[index]!.keys.map((key) => `${String(key.from)} ${className(key.tonic)} ${key.mode}`);
    expect(keys).toEqual(['0 D major', '17 B minor', '25 D major']);
  });
});
