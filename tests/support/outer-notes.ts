/** The highest and lowest note that sound at each moment, and whether the reduced score has them at their pitch. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import { midiOf } from '../../src/model/music/pitch.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';

interface Sounding {
  readonly from: number;
  readonly to: number;
  readonly midi: number;
}

export interface OuterNotes {
  /** Moments at which a pitched note begins, and of them those whose highest (lowest) sounding pitch is in the reduced score. */
  readonly moments: number;
  readonly highest: number;
  readonly lowest: number;
}

const sounds =
  (moment: number) =>
  ({ from, to }: Sounding): boolean =>
    from <= moment && to > moment;

/** Counts over a stage. Written lengths count, small notes do not. */
export function outerNotes(stage: Stage, { parts, reduced }: WrittenStage): OuterNotes {
  const notes = parts
    .filter((_, index) => stage.parts[index]?.unpitched !== true)
    .flatMap((part) =>
      part.notes.map(({ start, length, midi }): Sounding => ({ from: start, to: start + length, midi })),
    );
  const heads = reduced.bars.flatMap(({ staves }) =>
    staves.flatMap(({ voices }) =>
      voices
        .flat()
        .flatMap((event) =>
          event.heads.flatMap(({ pitch, sounds: keys = [midiOf(pitch)] }): Sounding[] =>
            keys.map((midi) => ({ from: event.start, to: event.start + event.length, midi })),
          ),
        ),
    ),
  );
  const moments = [...new Set(notes.map(({ from }) => from))];
  let highest = 0;
  let lowest = 0;
  for (const moment of moments) {
    const heard = notes.filter(sounds(moment)).map(({ midi }) => midi);
    const shown = new Set(heads.filter(sounds(moment)).map(({ midi }) => midi));
    if (shown.has(Math.max(...heard))) highest++;
    if (shown.has(Math.min(...heard))) lowest++;
  }
  return { moments: moments.length, highest, lowest };
}
