/** The word over the first bar of music whose even eighths are played long and short. */
import type { ReducedScore, WrittenStage } from '../model/written.ts';

/** The score with `Swing` before its first tempo mark where the stage swings; else the score as it is. */
export function withSwing(score: ReducedScore, swing: WrittenStage['swing']): ReducedScore {
  const [first, ...rest] = score.bars;
  if (swing === undefined || first === undefined) return score;
  const tempoText = ['Swing', ...(first.tempoText === undefined ? [] : [first.tempoText])].join(' ');
  return { ...score, bars: [{ ...first, tempoText }, ...rest] };
}
