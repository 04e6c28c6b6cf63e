/** A passage that was put down beside its place since the stage before: common practice, no source. */
import { describe, expect, it } from 'vitest';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { movedSince } from '../../src/analyse/misplaced/moved-since.ts';
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { writtenOf } from '../support/written.ts';
import { barsOf, messageOf } from './stage-findings.ts';

const BARS = 16;
const timeline = timelineOf(BARS);
/** Four bars of harmony, again and again: tune, middle and bass of C, F, G and A minor. */
const TUNE = ['E5 G5 C6 G5', 'F5 A5 C6 A5', 'D5 G5 B5 G5', 'E5 A5 C6 A5'];
const MIDDLE = ['G4 E4', 'A4 F4', 'B4 G4', 'C5 A4'];
const BASS = ['C3', 'F3', 'G3', 'A3'];

/** A line by bars, each bar's pitches of equal length; those of some bars so many quarters later. */
function line(
  pitches: readonly string[],
  moved: { readonly from: number; readonly to: number; readonly by: number } = { from: 0, to: -1, by: 0 },
): string {
  return Array.from({ length: BARS }, (_, bar) => {
    const names = (pitches[bar % pitches.length] ?? '').split(' ');
    const by = bar + 1 >= moved.from && bar + 1 <= moved.to ? moved.by : 0;
    // What meets the music behind it is cut.
    const isGone = by >= 4 ? bar + 1 === moved.to : bar + 1 === moved.from - 99;
    if (isGone) return '';
    return names
      .map((name, index) => `${name}:${4 * bar + by + (4 / names.length) * index}:${4 / names.length}:60`)
      .join(' ');
  }).join(' ');
}

const part = (instrument: string, music: string, changes: Partial<Part> = {}): Part =>
  partOf(instrument, music, timeline, changes);
const solo = part('flute', line(TUNE), { role: 'foreground' });
const bass = part('bassoon', line(BASS));
/** Held tones that make each chord whole. */
const held = [part('oboe', line(['E4', 'F4', 'D4', 'E4'])), part('horn-f', line(['G3', 'A3', 'B3', 'C4']))];
const stage = (...parts: Part[]): Stage => stageOf(parts, timeline);

function findingsSince(before: Stage, after: Stage): readonly Finding[] {
  const written = writtenOf(after);
  return adviseStage({
    stage: after,
    written,
    readings: analyseStage(after, written),
    limits: {},
    accepted: [],
    moved: movedSince(before, after),
  });
}

const told = (before: Stage, after: Stage) => barsOf(findingsSince(before, after), 'displaced-part');

describe('a passage that stood elsewhere in the stage before', () => {
  const inPlace = stage(solo, part('clarinet-bflat', line(MIDDLE)), bass);

  it('is to be checked where it was in the harmony and is not any more', () => {
    const late = stage(solo, part('clarinet-bflat', line(MIDDLE, { from: 5, to: 8, by: 4 })), bass);
    const findings = findingsSince(inPlace, late);
    expect(barsOf(findings, 'displaced-part')).toEqual([['look', 5, 8]]);
    expect(messageOf(findings, 'displaced-part')).toContain(
      'a bar late in bars 5–8: at the stage before it had the same notes a bar earlier',
    );
    expect(findings.find(({ rule }) => rule === 'displaced-part')?.advice).toContain('move the passage a bar back');
  });

  it('begins where its notes are not what they were: a bar before them that kept its own is none of it', () => {
    const late = `${line(MIDDLE, { from: 5, to: 8, by: 4 })} G4:16:2:60 E4:18:2:60`;
    expect(told(inPlace, stage(solo, part('clarinet-bflat', late), bass))).toEqual([['look', 6, 8]]);
  });

  it('a beat late is one as well, and what only follows from it is not told besides', () => {
    const chords = [...MIDDLE, ...MIDDLE].map((own) => own.replace(/(\w+) (\w+)/, '$1 $2 $1 $2'));
    const before = stage(solo, part('clarinet-bflat', line(chords)), bass, ...held);
    const after = stage(solo, part('clarinet-bflat', line(chords, { from: 5, to: 6, by: 1 })), bass, ...held);
    const findings = findingsSince(before, after);
    expect(messageOf(findings, 'displaced-part')).toContain('a beat late in bars 5–');
    for (const rule of ['hole-between-parts', 'parallel-perfects', 'background-above-melody', 'broken-line'])
      expect(findings.filter((one) => one.rule === rule && one.partIds.includes('clarinet-bflat'))).toEqual([]);
  });

  it('is one where it went with others that are still there, though the harmony allows both', () => {
    const RHYTHM = ['E4 E4', 'E4 G4'];
    const others = [
      part('oboe', line(['C5 C5', 'C5 E5'])),
      part('horn-f', line(['G3 G3', 'G3 C4'])),
      part('bassoon', line(['C3 C3 C3 C3'])),
    ];
    const top = part('flute', line(['E5 G5 C6 G5']), { role: 'foreground' });
    const before = stage(top, ...others, part('viola', line(RHYTHM)));
    const after = stage(top, ...others, part('viola', line(RHYTHM, { from: 5, to: 8, by: 1 })));
    expect(told(before, after)).toEqual([['look', 5, 8]]);
  });

  it('is none where it fits as well as before, and nobody went with it', () => {
    const top = part('flute', line(['E5 G5 C6 G5']), { role: 'foreground' });
    const drone = part('bassoon', line(['C3']));
    const echo = (by: number): Part => part('clarinet-bflat', line(['E4 G4 C5 G4'], { from: 5, to: 8, by }));
    expect(told(stage(top, echo(0), drone), stage(top, echo(1), drone))).toEqual([]);
  });

  it('is none where it stood wrong before and is in its place now', () => {
    const late = stage(solo, part('clarinet-bflat', line(MIDDLE, { from: 5, to: 8, by: 4 })), bass);
    expect(told(late, inPlace)).toEqual([]);
  });

  it('is none where all others moved with it', () => {
    const by = { from: 5, to: 8, by: 1 };
    const all = stage(
      part('flute', line(TUNE, by), { role: 'foreground' }),
      part('clarinet-bflat', line(MIDDLE, by)),
      part('bassoon', line(BASS, by)),
    );
    expect(movedSince(inPlace, all)).toEqual([]);
  });

  it('is none of a new take, late as players are', () => {
    const late = part('clarinet-bflat', line(MIDDLE), { latenessMs: { median: 40, spread: 20 } });
    expect(movedSince(inPlace, stage(solo, late, bass))).toEqual([]);
  });
});
