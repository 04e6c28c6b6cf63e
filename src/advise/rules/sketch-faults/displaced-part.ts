import { displacedPassages } from '../../../analyse/misplaced/displaced-parts.ts';
import { momentsOf } from '../../../analyse/misplaced/moments.ts';
import { laggingPassages } from '../../../analyse/misplaced/lagging-parts.ts';
import { lateBesideFellows, movedPassages } from '../../../analyse/misplaced/moved-passages.ts';
import { worseMoved } from '../../../analyse/misplaced/worse-moved.ts';
import type { WorsePassage } from '../../../analyse/misplaced/worse-moved.ts';
import { meet } from '../../../analyse/misplaced/passages.ts';
import { untransposedPassages } from '../../../analyse/misplaced/untransposed-parts.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { anInterval } from '../../../model/music/interval-names.ts';
import { barSpanText } from '../../../model/words/plain-words.ts';
import type { DraftFinding } from '../../rule.ts';
import { COMMON_PRACTICE, defineRule } from '../../rule.ts';
import { rounded, verb } from '../../words.ts';
import { isBassPlayer } from '../../../notate/chords/style.ts';
import type { EnsembleKind } from '../../../model/music/ensemble.ts';

/** Kinds in which the bass alone has the roots, under voicings without them (common practice, no source). */
const ROOTLESS: readonly EnsembleKind[] = ['combo', 'big-band'];

const MOVE_IT = 'Look whether the passage was put down at the wrong place; if so, move it as a whole.';

/** A passage of a part in bars, by index, with how much of it is in the harmony where it is and where it would belong. */
interface Told {
  readonly part: Part;
  readonly from: number;
  readonly to: number;
  readonly fitsHere: number;
  readonly fitsThere: number;
}

export const displacedPart = defineRule(
  {
    name: 'displaced-part',
    title: 'A passage out of its place',
    looksAt:
      'Four bars and more in which the notes of a background part do not belong to what the others play there, and do to what they play a bar or a beat earlier or later; three bars where it doubles a line everywhere else, and that line is where it would be. Two bars and more of a transposing instrument that belong to the others as written, and not as they sound. Three bars and more in which a part is so much less at home than in all its other bars, and a bar, a beat, a semitone or a tone away as much. Three bars and more with which a part comes in a bar after another of its instrument, in the rhythm that the other had a bar before, two of which grind there and would not a bar earlier. Three bars and more in which a part begins a beat or half a beat beside those with whom it goes everywhere else, or behind its own places in the bar, after as long a rest, and would be better placed with them: in the harmony, or on stronger beats. A passage that stood a beat, half a beat or a bar beside at the stage before, while the others stand as they did, and was better placed there: in the harmony, or with those with whom it went. The bass of a jazz group has the roots alone and is left out.',
    why: 'A passage pasted to a wrong place grinds in every bar, and each clash alone looks like a wrong note.',
    limit: { standard: 60, unit: 'per cent', meaning: 'how much of its time may be in the harmony of its own place' },
    source: COMMON_PRACTICE,
    level: 'look',
  },
  ({ parts, slices, front, moved: movedSinceBefore, limit, readings, idiom, stage: { timeline } }) => {
    const numberOf = (bar: number): number => timeline.bars[bar]?.number ?? 0;
    const percent = (share: number): string => rounded(share * 100, 0);
    const sharedText = (share: number): string => (share === 0 ? 'none' : `${percent(share)} %`);
    const told = (passage: Told, says: (where: string) => string, advice: string): DraftFinding => {
      const { part, fitsHere, fitsThere } = passage;
      const [from, to] = [numberOf(passage.from), numberOf(passage.to)];
      return {
        level: 'look',
        from,
        to,
        partIds: [part.id],
        message: `${part.name} ${verb([part], 'seems', 'seem')} to ${says(barSpanText(from, to))}`,
        advice,
        amount: (fitsThere - fitsHere) * (to - from + 1),
      };
    };
    const moments = momentsOf(slices, parts, front);
    const isAside = ({ part }: Told): boolean => ROOTLESS.includes(idiom.kind) && isBassPlayer(part);
    const untransposed = untransposedPassages(parts, moments, timeline);
    const asWritten = untransposed.map((passage) => {
      const { semitones, fitsHere, fitsThere } = passage;
      return told(
        passage,
        (where) =>
          `stand in another key in ${where}: ${percent(fitsHere)} % of the time its notes are among those of the others, ${percent(fitsThere)} % ${anInterval(Math.abs(semitones))} ${semitones < 0 ? 'lower' : 'higher'}, which is the interval by which this instrument transposes.`,
        'Look whether the passage was put down as written, or transposed twice; if so, transpose it as a whole.',
      );
    });
    const displacedTold = (passage: Told, displacement: string): DraftFinding =>
      told(
        passage,
        (where) =>
          `be ${displacement} in ${where}: ${percent(passage.fitsHere)} % of the time its notes are among those of the others there, ${percent(passage.fitsThere)} % where it would then belong.`,
        MOVE_IT,
      );
    const sinceTold = (passage: WorsePassage): DraftFinding => {
      const { part, words, by, fitsHere, fitsThere } = passage;
      const [step, side] = [words.replace(/ (?:late|early)$/, ''), words.endsWith('late') ? 'earlier' : 'later'];
      const shares =
        by === 'harmony'
          ? `${percent(fitsHere)} % of the time ${verb([part], 'its', 'their')} notes are among those of the others now, ${percent(fitsThere)} % were there`
          : `${percent(fitsHere)} % of ${verb([part], 'its', 'their')} notes begin with those of the parts in its rhythm now, ${percent(fitsThere)} % did there`;
      return told(
        passage,
        (where) =>
          `be ${words} in ${where}: at the stage before ${verb([part], 'it', 'they')} had the same notes ${step} ${side}; ${shares}.`,
        `Look whether ${part.name} ${verb([part], 'was', 'were')} moved by mistake; if so, move the passage ${step} ${words.endsWith('late') ? 'back' : 'on'}.`,
      );
    };
    const passages = displacedPassages(parts, moments, front, timeline, limit / 100, readings.doublings).filter(
      (passage) => !isAside(passage),
    );
    const displaced = passages.map((passage) => displacedTold(passage, passage.displacement));
    const byHabit = movedPassages(parts, moments, front, timeline.bars).filter(
      (passage) => !isAside(passage) && ![...passages, ...untransposed].some((other) => meet(other, passage)),
    );
    const moved = byHabit.map((passage) => {
      const { move, fitsHere, fitsThere } = passage;
      if (move.kind === 'time') return displacedTold(passage, move.words);
      const interval = anInterval(Math.abs(move.semitones));
      return told(
        passage,
        (where) =>
          `stand ${interval} too ${move.semitones < 0 ? 'high' : 'low'} in ${where}: ${percent(fitsHere)} % of the time its notes are among those of the others, ${percent(fitsThere)} % ${interval} ${move.semitones < 0 ? 'lower' : 'higher'}.`,
        'Look whether the passage was put down at a wrong pitch; if so, transpose it as a whole.',
      );
    });
    const besideFellows = lateBesideFellows(parts, moments, front, timeline.bars)
      .filter((passage) => ![...passages, ...byHabit].some((other) => meet(other, passage)))
      .map((passage) =>
        told(
          passage,
          (where) =>
            `be a bar late in ${where}: ${passage.fellow.name} ${verb([passage.fellow], 'comes', 'come')} in a bar before in the same rhythm; ${percent(passage.fitsHere)} % of the time its notes are among those of the others there, ${percent(passage.fitsThere)} % where it would then belong.`,
          MOVE_IT,
        ),
      );
    const lagging = laggingPassages(parts, moments, front, timeline.bars)
      .filter(
        (passage) =>
          ![...passages, ...byHabit].some((other) => other.part.id === passage.part.id && meet(other, passage)),
      )
      .map(({ togetherHere, togetherThere, ...passage }) =>
        told(
          { ...passage, fitsHere: togetherHere, fitsThere: togetherThere },
          (where) =>
            `be ${passage.displacement} in ${where}: ${sharedText(togetherHere)} of its notes begin ${passage.against === 'habit' ? 'at the places of the bar at which it begins elsewhere' : 'with the parts whose rhythm it shares elsewhere'}; ${passage.displacement.replace(/ (late|early)$/, (side) => (side === ' late' ? ' earlier' : ' later'))} ${togetherThere === 1 ? 'all' : sharedText(togetherThere)} would.`,
          MOVE_IT,
        ),
      );
    const found = [...displaced, ...asWritten, ...moved, ...besideFellows, ...lagging];
    const since = worseMoved(movedSinceBefore, parts, moments, timeline.bars)
      .filter((passage) => !isAside(passage))
      .map((passage) => sinceTold(passage));
    // Where it stood is known there, and only guessed where nothing but its habit tells.
    const others = found.filter(
      ({ from, to, partIds }) =>
        !since.some((other) => other.partIds.some((id) => partIds.includes(id)) && meet(other, { from, to })),
    );
    return [...others, ...since];
  },
);
