import { describe, expect, it } from 'vitest';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import { asShown } from '../../src/notate/as-shown.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { fullScoreXml, reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { clockLines } from '../../src/terminal-text.ts';
import { arrangementOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { schemaErrors } from '../support/musicxml-export.ts';
import type { ScoreNote } from '../support/musicxml-score.ts';
import { ownBeats, playedFreely } from '../support/free-playing.ts';
import { inventedLine } from '../support/swung.ts';

const FOUR = { numerator: 4, denominator: 4 };
const RHYTHMS = [[0], [0, 0.5], [0, 0.5], [0, 0.25, 0.5, 0.75], [0, 0.75]];

/** A solo and layers that follow it, bar lines at 120 to the minute. */
function freeStage(instruments: readonly string[], beatCount = 96): Stage {
  const timeline = timelineOf(Math.ceil(beatCount / 2.2), FOUR, 120);
  const beats = ownBeats(beatCount + 1, 5);
  const parts = instruments.map((instrument, index) =>
    playedFreely(instrument, inventedLine(RHYTHMS, beatCount, 20 + index), beats, timeline, index + 1),
  );
  return stageOf(parts, timeline);
}

describe('a stage that was played without a click', () => {
  const stage = freeStage(['piano', 'violin', 'cello']);
  const written = notateStage(stage);

  it('is recognised from all its parts, alone or with layers that follow the solo', () => {
    for (const instruments of [['piano'], ['piano', 'violin'], ['flute', 'violin', 'viola', 'cello']]) {
      expect(notateStage(freeStage(instruments)).onGrid).toBe(false);
    }
  });

  it('says so in one remark, with what to do', () => {
    const said = written.remarks.filter((remark) => remark.includes('without a click'));
    expect(said).toHaveLength(1);
    expect(said[0]).toContain('record to a click');
    expect(clockLines([{ stage, written }])).toHaveLength(1);
    expect(clockLines([{ stage, written: { onGrid: true } }])).toEqual([]);
  });

  it('keeps every note where it was played', () => {
    for (const [index, part] of written.parts.entries()) {
      expect(part.notes).toHaveLength(stage.parts[index]!.notes.length);
      for (const note of part.notes) {
        const { startSecond } = stage.parts[index]!.notes[note.played]!;
        expect(Math.abs(note.start / 960 - startSecond)).toBeLessThan(0.11);
      }
    }
  });

  it('keeps together what was struck together, and apart what was not', () => {
    const timeline = timelineOf(20, FOUR, 120);
    const beats = ownBeats(40, 9);
    const chords = Array.from({ length: 36 }, (_, beat) =>
      [48, 55, 64].map((midi): ScoreNote => {
        const pitch = { step: 'C', alter: 0, octave: 4 } as const;
        return { midi: midi + (beat % 5), pitch, start: beat, length: 1, staff: 1, voice: '1' };
      }),
    ).flat();
    const { parts, onGrid } = notateStage(stageOf([playedFreely('piano', chords, beats, timeline, 3)], timeline));
    expect(onGrid).toBe(false);
    expect(new Set(parts[0]!.notes.map((note) => note.start)).size).toBe(36);
  });

  it('is shown as heads without stems: no flags, no dots, no tuplets, no rests but those of whole bars', () => {
    const shown = asShown(written.reduced, written, stage.timeline.bars);
    const events = shown.bars.flatMap((bar) => bar.staves.flatMap((staff) => staff.voices.flat()));
    for (const event of events) {
      if (event.kind === 'rest') expect(event.wholeBar).toBe(true);
      else expect(event).toMatchObject({ stemless: true, figure: { dots: 0 } });
      expect([1, 2, 4]).toContain(event.figure.base);
      expect(event.figure.tuplet).toBeUndefined();
    }
    expect(shown.bars.every((bar) => !bar.showMeter)).toBe(true);
    expect(shown.bars[0]!.tempoText).toBe('Free time (not measured)');
    expect(engraveScore(shown, { widthPx: 1000, title: 'Test' }).systems.length).toBeGreaterThan(0);
  });

  it('gets no judgement that counts beats', () => {
    const findings = adviseStage({
      stage,
      written,
      readings: analyseStage(stage, written),
      limits: {},
      accepted: [],
    });
    const beatRules = [
      'foreground-ends-first',
      'incomplete-chord',
      'root-not-in-bass',
      'entry-off-phrase',
      'late-part',
    ];
    expect(findings.filter(({ rule }) => beatRules.includes(rule))).toEqual([]);
  });

  it.each(['full', 'reduced'])('is valid MusicXML without note values, %s', async (kind) => {
    const input = { arrangement: arrangementOf([stage]), stage, written };
    const xml = kind === 'full' ? fullScoreXml(input) : reducedScoreXml(input);
    expect(xml).toContain('<words>Free time (not measured)</words>');
    expect(xml).not.toContain('<beam');
    expect(xml).not.toContain('<metronome>');
    expect(xml).toContain('<stem>none</stem>');
    expect(await schemaErrors([xml])).toEqual([]);
  });

  it('but to a steady beat of its own is told that tempo', () => {
    const timeline = timelineOf(50, FOUR, 120);
    const beats = Array.from({ length: 140 }, (_, beat) => 0.4 + (beat * 60) / 97);
    const part = playedFreely('piano', inventedLine(RHYTHMS, 120, 4), beats, timeline, 2);
    const { onGrid, steadyBeat, remarks } = notateStage(stageOf([part], timeline));
    expect(onGrid).toBe(false);
    expect(steadyBeat).toBeCloseTo(97, 0);
    expect(remarks.join(' ')).toContain('97.0 to the minute');
    expect(written.steadyBeat).toBeUndefined();
  });
});

describe('a stage that keeps to its bar lines', () => {
  it('may be free in tempo where the tempo map follows', () => {
    const beats = ownBeats(96, 5);
    const plain = timelineOf(24, FOUR, 76);
    const tempo = beats.slice(0, -1).map((second, beat) => ({
      startQuarters: beat,
      startSecond: second,
      secondsPerQuarter: (beats[beat + 1] ?? second + 1) - second,
    }));
    const timeline = { ...plain, tempo };
    const part = playedFreely('piano', inventedLine(RHYTHMS, 92, 6), beats, timeline, 7);
    const written = notateStage(stageOf([part], timeline));
    expect(written.onGrid).toBe(true);
    expect(written.remarks.join(' ')).not.toContain('click');
  });

  it('may be too short to say anything else', () => {
    const written = notateStage(freeStage(['piano'], 8));
    expect(written.onGrid).toBe(true);
  });
});
