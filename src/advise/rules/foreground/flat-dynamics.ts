import { barSpanText } from '../../../model/words/plain-words.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';

export const flatDynamics = defineRule(
  {
    name: 'flat-dynamics',
    title: 'A sketch without dynamics',
    looksAt:
      'Whether nearly all notes of all parts have one velocity, while no controller of loudness moves, no volume differs and no trim is set.',
    why: 'The levels of such a sketch are those of the program that wrote it: who is louder than whom is not decided yet, and no remark on balance would mean anything.',
    source: COMMON_PRACTICE,
    level: 'note',
  },
  ({ flatVelocity, stage: { timeline } }) => {
    const [first, last] = [timeline.bars[0], timeline.bars.at(-1)];
    if (flatVelocity === undefined || first === undefined || last === undefined) return [];
    return [
      {
        level: 'note' as const,
        from: first.number,
        to: last.number,
        partIds: [],
        message: `The notes in ${barSpanText(first.number, last.number)} have one velocity, ${flatVelocity}, and no controller moves: the sketch has no dynamics, so nothing is said of balance.`,
        advice:
          'Play or draw the dynamics (velocity; controller 1 or 11 for what is held), or give each part its level with the setting “trim”.',
        amount: 0,
      },
    ];
  },
);
