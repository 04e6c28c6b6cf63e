import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, steps } from './stage-findings.ts';

const timeline = timelineOf(12);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));
const solo = (music: string): Part => partOf('oboe', music, timeline, { role: 'foreground' });

describe('inaudible-entry', () => {
  const tune = solo('A5:0:48:110');

  it('names the bars from the written entry to where the controller first lets it sound', () => {
    const cello = partOf('cello', 'C3:16:4 D3:20:4 E3:24:4 F3:28:20', timeline, {
      curves: [steps(11, 127, [0, 0], [28, 40])],
    });
    const findings = findingsFor(tune, cello);
    expect(barsOf(findings, 'inaudible-entry')).toEqual([['fix', 5, 7]]);
    expect(findings[0]?.message).toContain('bar 5, beat 1');
    expect(findings[0]?.message).toContain('until bar 8, beat 1');
  });

  it('is only to be looked at under the modulation wheel: many instruments go on softly at zero', () => {
    const cello = partOf('cello', 'C3:16:4 D3:20:4 E3:24:4 F3:28:20', timeline, {
      dynamics: 'cc1',
      curves: [steps(1, 0, [0, 0], [28, 40])],
    });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([['look', 5, 7]]);
  });

  it('two bars at next to nothing before a step to mezzo forte are told; by degrees, or with all others, they are meant', () => {
    const line = (instrument: string, ...velocities: readonly number[]): Part =>
      partOf(
        instrument,
        velocities.map((velocity, bar) => figure('C4 D4', 2, bar + 5, bar + 5, velocity)).join(' '),
        timeline,
      );
    const horn = line('horn-f', 72, 70, 74, 71, 70);
    const told = (...parts: readonly Part[]) => barsOf(findingsFor(tune, ...parts), 'inaudible-entry');
    expect(told(line('clarinet-bflat', 7, 6, 72, 70, 71), horn)).toEqual([['look', 5, 6]]);
    expect(told(line('clarinet-bflat', 7, 30, 50, 70, 71), horn)).toEqual([]);
    expect(told(line('clarinet-bflat', 7, 6, 72, 70, 71), line('horn-f', 7, 6, 72, 70, 74))).toEqual([]);
  });

  it('a part that fades out is done', () => {
    const cello = partOf('cello', figure('C3 D3', 2, 1, 12), timeline, {
      curves: [steps(11, 127, [0, 100], [20, 80], [24, 40], [28, 10], [30, 0])],
    });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([]);
  });

  it('covers the whole span where the controller never leaves zero: such a part was muted, on purpose or not', () => {
    const cello = partOf('cello', 'C3:16:8 E3:24:8', timeline, { curves: [steps(7, 100, [0, 0])] });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([['look', 5, 8]]);
  });

  it('takes an entry from nothing for what it is', () => {
    const rise = Array.from({ length: 33 }, (_, step) => [16 + step / 4, Math.round(step * 1.5)] as const);
    const cello = partOf('cello', 'C3:16:32', timeline, { dynamics: 'cc1', curves: [steps(1, 0, ...rise)] });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([]);
  });

  it('asks for a look, no more, where the controller climbs from nothing but takes bars to be heard', () => {
    // Two bars under a setting of 8, a step every beat, and only then audible.
    const rise = Array.from(
      { length: 24 },
      (_, beat) => [16 + beat, beat < 8 ? Math.floor(beat / 2) : 4 * beat] as const,
    );
    const cello = partOf('cello', 'C3:16:32', timeline, { dynamics: 'cc1', curves: [steps(1, 0, ...rise)] });
    const findings = findingsFor(tune, cello);
    expect(barsOf(findings, 'inaudible-entry')).toEqual([['look', 5, 6]]);
    expect(findings.find((finding) => finding.rule === 'inaudible-entry')?.message).toContain('rises from nothing');
  });

  it('takes a fade to nothing on the last note for what it is', () => {
    const cello = partOf('cello', 'C3:16:4 D3:20:28', timeline, {
      dynamics: 'cc1',
      curves: [steps(1, 0, [0, 50], [32, 30], [36, 10], [40, 0])],
    });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([]);
  });

  it('finds a passage played on at zero after it was heard', () => {
    const cello = partOf('cello', 'C3:0:8 D3:8:4 E3:12:4 F3:16:4 G3:20:12', timeline, {
      curves: [steps(11, 127, [0, 50], [8, 0], [20, 50])],
    });
    expect(barsOf(findingsFor(tune, cello), 'inaudible-entry')).toEqual([['fix', 3, 5]]);
  });

  it('waits as long as the settings allow', () => {
    const cello = partOf('cello', 'C3:16:20', timeline, { curves: [steps(11, 127, [0, 0], [19, 50])] });
    const stage = stageOf([tune, cello], timeline);
    expect(barsOf(findingsOf(stage), 'inaudible-entry')).toEqual([['fix', 5, 5]]);
    expect(barsOf(findingsOf(stage, { 'inaudible-entry': 4 }), 'inaudible-entry')).toEqual([]);
  });
});

describe('foreground-ends-first', () => {
  const strings = (music: string): Part => partOf('violin', music, timeline, { name: 'Violin' });

  it('says by how much the soloist stops before the strings at the end', () => {
    const findings = findingsFor(solo('A5:0:40:110 C5:40:5:110'), strings('C4:0:40:30 E4:40:8:30'));
    expect(barsOf(findings, 'foreground-ends-first')).toEqual([['look', 12, 12]]);
    expect(findings[0]?.message).toContain(
      'ends at bar 12, beat 2, 3 beats (3 s) before Violin at the end of the piece',
    );
    expect(findings[0]?.partIds).toEqual(['oboe', 'violin']);
  });

  it('finds it before a general pause too', () => {
    const findings = findingsFor(solo('A5:0:6:110 A5:16:32:110'), strings('C4:0:8:30 E4:16:32:30'));
    expect(barsOf(findings, 'foreground-ends-first')).toEqual([['look', 2, 2]]);
    expect(findings[0]?.message).toContain('before the general pause');
  });

  it('allows the strings to ring on for less than half a beat', () => {
    expect(barsOf(findingsFor(solo('A5:0:47.6:110'), strings('C4:0:48:30')), 'foreground-ends-first')).toEqual([]);
  });

  it('has nothing to say where the foreground closes, or where there is none', () => {
    expect(barsOf(findingsFor(solo('A5:0:48:110'), strings('C4:0:46:30')), 'foreground-ends-first')).toEqual([]);
    expect(barsOf(findingsFor(solo(''), strings('C4:0:46:30')), 'foreground-ends-first')).toEqual([]);
  });

  it('is none where players let go of the last chord one after another, somebody with the soloist', () => {
    const winds = (clarinet: number): Part[] => [
      partOf('flute', 'E5:0:47.9:60', timeline),
      partOf('clarinet-bflat', `G4:0:${String(clarinet)}:60`, timeline),
    ];
    const told = (clarinet: number) =>
      barsOf(findingsFor(solo('A5:0:47.35:110'), ...winds(clarinet)), 'foreground-ends-first');
    expect(told(47.4)).toEqual([]);
    expect(told(47.9)).toEqual([['look', 12, 12]]);
  });

  it('is none where who ends only doubled the tune, which another part goes on with', () => {
    const tune = (by: number, bars: number): string =>
      Array.from({ length: 2 * bars }, (_, at) => {
        const pitch = ['C', 'E', 'D', 'F'][at % 4] ?? 'C';
        return `${pitch}${String(by)}:${String(2 * at)}:2:80`;
      }).join(' ');
    const cello = partOf('cello', 'C3:0:48:30', timeline);
    const flute = partOf('flute', tune(6, 11), timeline, { role: 'foreground' });
    const told = (violin: string) => barsOf(findingsFor(flute, strings(violin), cello), 'foreground-ends-first');
    expect(told(tune(5, 12))).toEqual([]);
    // A violin that had something else, and one that only holds on.
    expect(told('G4:0:24 A4:24:20 G4:44:4')).toEqual([['look', 11, 12]]);
    expect(told(`${tune(5, 11)} F5:42:6:80`)).toEqual([['look', 11, 12]]);
  });

  it('lets a pedalled chord of the foreground ring', () => {
    const piano = partOf('piano', 'C6:0:40:127 C6:40:4:127', timeline, { role: 'foreground' });
    const ringing = piano.notes.map((note) => (note.startQuarters === 40 ? { ...note, soundingEndSecond: 48 } : note));
    const findings = findingsFor({ ...piano, notes: ringing }, strings('C4:0:48:5'));
    expect(barsOf(findings, 'foreground-ends-first')).toEqual([]);
  });

  it('takes a postlude with music of its own for a note, a long one for meant', () => {
    const pitches = ['C4', 'D4', 'E4', 'F4'];
    const after = Array.from({ length: 12 }, (_, bar) => `${pitches[bar % 4] ?? ''}:${bar * 4}:4:30`).join(' ');
    expect(barsOf(findingsFor(solo('A5:0:36:110'), strings(after)), 'foreground-ends-first')).toEqual([
      ['note', 9, 12],
    ]);
    expect(barsOf(findingsFor(solo('A5:0:24:110'), strings(after)), 'foreground-ends-first')).toEqual([]);
  });

  it('a background that only repeats the last chord for three bars is a slip as one beat is', () => {
    const after = Array.from({ length: 12 }, (_, bar) => `C4:${bar * 4}:4:30`).join(' ');
    expect(barsOf(findingsFor(solo('A5:0:36:110'), strings(after)), 'foreground-ends-first')).toEqual([
      ['look', 9, 12],
    ]);
    expect(barsOf(findingsFor(solo('A5:0:47:110'), strings(after)), 'foreground-ends-first')).toEqual([
      ['look', 12, 12],
    ]);
  });
});

describe('late-part', () => {
  const late = (median: number, spread: number): Part => ({
    ...partOf('oboe', 'A5:4:2 B5:6:2 A5:8:2 G5:10:2', timeline),
    latenessMs: { median, spread },
  });

  it('a part 60 ms behind the beat is late in the bars it plays', () => {
    const findings = findingsFor(late(60, 10));
    expect(barsOf(findings, 'late-part')).toEqual([['look', 2, 3]]);
    expect(findings[0]?.message).toContain('60 ms late');
  });

  it('40 ms is not yet late, and the limit can be moved', () => {
    expect(barsOf(findingsFor(late(40, 10)), 'late-part')).toEqual([]);
    expect(findingsOf(stageOf([late(60, 10)], timeline), { 'late-part': 80 })).toEqual([]);
  });

  it('early is beside the beat as well', () => {
    expect(findingsFor(late(-55, 10))[0]?.message).toContain('55 ms early');
  });

  it('a soloist of a combo who lays back by 60 ms is in time, one of the rhythm section is not, and 90 ms are late for both', () => {
    const bassist = (median: number): Part => ({
      ...partOf('double-bass', 'C2:0:2 G2:2:2 C2:4:4 C2:8:4', timeline),
      latenessMs: { median, spread: 10 },
    });
    const soloist = (median: number): Part => ({ ...late(median, 10), role: 'foreground' });
    const said = (...parts: readonly Part[]) =>
      barsOf(findingsOf({ ...stageOf(parts, timeline), ensemble: { kind: 'combo', sure: true } }), 'late-part');
    expect(said(soloist(60), bassist(0))).toEqual([]);
    expect(said(soloist(90), bassist(0))).toEqual([['look', 2, 3]]);
    expect(said(soloist(0), bassist(60))).toEqual([['look', 1, 3]]);
  });

  it('free playing is a note, not a delay', () => {
    expect(barsOf(findingsFor(late(60, 90)), 'late-part')).toEqual([['note', 2, 3]]);
  });
});
