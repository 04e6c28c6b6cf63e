import { describe, expect, it } from 'vitest';
import { plainSpelling } from '../../src/model/pitch.ts';
import type { WrittenNote } from '../../src/model/written.ts';
import { scoreTimeOf } from '../../src/notate/score-time.ts';
import { staffBars } from '../../src/publish/musicxml/part-bars.ts';
import { timelineOf } from '../support/arrangement.ts';

const FOUR = { numerator: 4, denominator: 4 };

describe('an ornament in the model', () => {
  const time = scoreTimeOf(timelineOf(2, FOUR, 60).bars);
  const grace = { midi: 69, pitch: plainSpelling(69), played: 0 };
  const trilled: WrittenNote = {
    midi: 71,
    pitch: plainSpelling(71),
    start: 1440,
    length: 960,
    staff: 1,
    voice: 1,
    played: 1,
    ornament: { graces: [grace], sign: 'trill', covers: [2, 3, 4, 5] },
  };
  const events = staffBars([trilled], time, (pitch) => pitch)
    .flat(2)
    .filter((event) => event.kind === 'notes');

  it('stands at the first figure of a note that is tied over the bar line, not at the second', () => {
    expect(events).toHaveLength(2);
    expect(events[0]!.ornament).toEqual({ graces: [grace], sign: 'trill' });
    expect(events[1]!.ornament).toBeUndefined();
  });

  it('has its small notes transposed with the part', () => {
    const up = staffBars([trilled], time, (pitch) => ({ ...pitch, octave: pitch.octave + 1 })).flat(2);
    const first = up.find((event) => event.ornament !== undefined);
    expect(first?.ornament?.graces[0]?.pitch.octave).toBe(grace.pitch.octave + 1);
  });
});
