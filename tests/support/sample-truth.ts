/** The notation of the sample counted against its plan: the harmony and the hands as its composer wrote them down. */
import { LEFT_HAND, LEFT_HAND_COMPLETE, TUNE, TUNE_COMPLETE, chordSpans } from '../../sample-input/solo.ts';
import { SLUG } from '../../sample-input/make-sample.ts';
import { BARS, notesOf } from '../../sample-input/notation.ts';
import type { Arrangement } from '../../src/model/music/arrangement.ts';
import { className, pitchClassOf } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { resolve } from 'node:path';
import type { Share } from './notation-truth.ts';
import { arrangementIn } from './read-stages.ts';

const EIGHTH = 240;
const PICKUP = (BARS[0]?.length ?? 0) * EIGHTH;

/** The committed sample, assembled. */
export function sampleArrangement(): Promise<Arrangement> {
  return arrangementIn(resolve('sample-input', SLUG));
}

const ROOT = /^([A-G])(b|#)?/;

function classOf(name: string): number {
  const [, letter = 'C', sign] = ROOT.exec(name) ?? [];
  return pitchClassOf({ step: letter as 'C', alter: sign === 'b' ? -1 : sign === '#' ? 1 : 0 });
}

export interface ChordCount {
  /** Counted in divisions of time. */
  readonly roots: Share;
  readonly symbols: Share;
  readonly basses: Share;
  readonly misses: readonly string[];
}

/** Roots, whole symbols without the bass, and basses, by duration over all planned chords. */
export function chordsAgainstPlan(written: WrittenStage): ChordCount {
  let all = 0;
  let roots = 0;
  let symbols = 0;
  let basses = 0;
  const misses: string[] = [];
  for (const plan of chordSpans()) {
    const from = plan.start * EIGHTH - PICKUP;
    const to = from + plan.length * EIGHTH;
    all += to - from;
    const heard: string[] = [];
    for (const chord of written.chords) {
      const overlap = Math.min(to, chord.start + chord.length) - Math.max(from, chord.start);
      if (overlap <= 0) continue;
      heard.push(`${chord.symbol.split('/')[0] ?? ''}/${className(chord.bass)}`);
      // The plan is written in chord symbols, and so is compared by the root of the symbol: a six-four over the dominant is Gm/D in both.
      if (classOf(chord.symbol) === classOf(plan.symbol)) roots += overlap;
      if (chord.symbol.split('/')[0] === plan.symbol) symbols += overlap;
      if (className(chord.bass) === plan.bass) basses += overlap;
    }
    const wanted = `${plan.symbol}/${plan.bass}`;
    if (heard.join() !== wanted) misses.push(`${String(plan.bar)}: ${wanted} read as ${heard.join(' ')}`);
  }
  return {
    roots: { right: roots, all },
    symbols: { right: symbols, all },
    basses: { right: basses, all },
    misses,
  };
}

/** Notes of the piano on the staff of the hand they were written for. */
export function handsAgainstPlan(written: WrittenStage, complete: boolean): Share {
  const hands = [
    ...notesOf(complete ? TUNE_COMPLETE : TUNE).map((note) => ({ ...note, staff: 1 })),
    ...notesOf(complete ? LEFT_HAND_COMPLETE : LEFT_HAND).map((note) => ({ ...note, staff: 2 })),
  ];
  const part = written.parts.find((item) => item.partId.includes('piano'));
  const found = (part?.notes ?? []).flatMap((note) => {
    const own = hands.find(
      (hand) => hand.midi === note.midi && Math.abs(hand.start * EIGHTH - PICKUP - note.start) < 2,
    );
    return own === undefined ? [] : [own.staff === note.staff];
  });
  return { right: found.filter((right) => right).length, all: found.length };
}
