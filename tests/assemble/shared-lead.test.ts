/** Who belongs to the foreground because they play the tune too (a doubling at the unison or octave is heard as one line: common practice). */
import { describe, expect, it } from 'vitest';
import { withSharedLeads } from '../../src/assemble/who-has-the-melody/shared-lead.ts';
import type { Part } from '../../src/model/music/arrangement.ts';
import { leadSpan, partOf, timelineOf } from '../support/arrangement.ts';

const timeline = timelineOf(8);
const tune = 'C5:0:1 D5:1:1 E5:2:2 G5:4:1 F5:5:1 E5:6:2 D5:8:1 E5:9:1 F5:10:2 E5:12:2 C5:14:2';
const octaveUp = tune.replaceAll(/5:(?=\d+:)/g, '6:');
const violin = partOf('violin', tune, timeline);

function sharers(parts: readonly Part[], lateMs: Readonly<Record<string, number>> = {}, last = 8, first = 1) {
  const lead = parts.map(({ id, notes, unpitched }) => ({
    id,
    notes,
    unpitched,
    lateSeconds: (lateMs[id] ?? 0) / 1000,
  }));
  return withSharedLeads([leadSpan('violin', first, last)], lead, timeline.bars)[0]!.shared;
}

describe('a part that plays the tune with its leader', () => {
  it('shares the lead at the octave and at the unison, while it does', () => {
    const flute = partOf('flute', octaveUp, timeline);
    const oboe = partOf('oboe', 'D5:8:1 E5:9:1 F5:10:2 E5:12:2 C5:14:2 C5:16:4', timeline);
    expect(sharers([violin, flute, oboe])).toEqual([
      { partId: 'flute', from: 1, to: 4, octaves: 1 },
      { partId: 'oboe', from: 3, to: 4, octaves: 0 },
    ]);
  });

  it('also where its samples speak late', () => {
    const late = octaveUp.replace(
      /(\d):(\d+):/g,
      (_, pitch: string, at: string) => `${pitch}:${String(Number(at) + 0.14)}:`,
    );
    const flute = partOf('flute', late, timeline);
    expect(sharers([violin, flute], { flute: 140 })).toHaveLength(1);
    expect(sharers([violin, flute])).toEqual([]);
  });

  it('also where one of the two brings the first note of a bar before the line, as players do', () => {
    const slow = 'C5:0:1 D5:1:1 E5:2:2 G5:4:3 F5:7:1 E5:8:1 D5:9:1 C5:10:2 D5:12:1 E5:13:1 F5:14:1 E5:15:1 C5:16:4';
    const early = slow.replaceAll(/:(4|16):/g, (_, at: string) => `:${String(Number(at) - 0.02)}:`);
    const share = { from: 1, to: 5, octaves: 0 };
    const [first, second] = [partOf('violin', slow, timeline), partOf('violin', early, timeline)];
    const pair = (leader: Part, other: Part) =>
      sharers(
        [
          { ...leader, id: 'violin' },
          { ...other, id: 'other' },
        ],
        {},
        5,
      );
    expect(pair(first, second)).toEqual([{ partId: 'other', ...share }]);
    expect(pair(second, first)).toEqual([{ partId: 'other', ...share }]);
  });

  it('also where now one and now the other is early at a bar line, from the first bar on', () => {
    const one = partOf('violin', 'C5:0:4 D5:3.98:2 F5:6:2 C5:8:4 D5:11.98:2 E5:14:2 F5:16:4', timeline);
    const other = partOf('other', 'C4:0:4 D5:4:2 F5:6:2 C5:7.98:4 D5:12:2 E5:14:2 F5:15.98:4', timeline);
    expect(sharers([one, other], {}, 5, 2)).toEqual([{ partId: 'other', from: 2, to: 5, octaves: 0 }]);
    // An upbeat is none: it is of the bar before.
    const upbeats = partOf('other', 'C4:0:4 D4:4:2 F4:6:1 C5:7.75:4 G4:12:2 A4:14:1 F5:15.75:4', timeline);
    expect(sharers([one, upbeats], {}, 5, 2)).toEqual([]);
  });

  it('is not one that has chords under its top notes: those are accompaniment', () => {
    const chords = tune
      .split(' ')
      .map((note) => {
        const [, at, length] = note.split(':');
        return `${note} E4:${at}:${length} C3:${at}:${length}`;
      })
      .join(' ');
    expect(sharers([violin, partOf('piano', chords, timeline)])).toEqual([]);
    const octaves = `${tune} ${tune.replaceAll(/5:(?=\d+:)/g, '4:')}`;
    expect(sharers([violin, partOf('piano', octaves, timeline)])).toHaveLength(1);
  });

  it('is not one that only meets it on the first beat of a bar, nor one in thirds', () => {
    const bed = partOf('viola', 'C4:0:4 G4:4:4 D4:8:4 E4:12:4', timeline);
    const third = partOf('oboe', 'E5:0:1 F5:1:1 G5:2:2 B5:4:1 A5:5:1 G5:6:2', timeline);
    expect(sharers([violin, bed, third])).toEqual([]);
  });
});
