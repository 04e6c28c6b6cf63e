import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

/** 60 quarters a minute: a quarter is a second, a bar four. */
const timeline = timelineOf(64);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));
const solo = partOf('piano', figure('C5 D5 E5 F5', 1, 1, 64, 90), timeline, { role: 'foreground', name: 'Solo' });

describe('breath (planning values of the catalogue: a flute about 12 s at mf; derived, no table is published)', () => {
  // Velocity 74 is 0.583 of 127, the middle of mf.
  const running = (from: number, to: number, players = 1): Part =>
    partOf('flute', figure('C5 D5 E5 F5', 0.5, from, to, 74), timeline, { players });

  it('a flute that runs on for four bars of four seconds has no place to breathe', () => {
    const findings = findingsFor(solo, running(5, 8));
    expect(barsOf(findings, 'breath')).toEqual([['note', 5, 8]]);
    expect(messageOf(findings, 'breath')).toContain('16 s without a place to breathe');
    expect(messageOf(findings, 'breath')).toContain('about 12 s');
  });

  it('for two breaths it is to be looked at', () => {
    expect(barsOf(findingsFor(solo, running(5, 10)), 'breath')).toEqual([['look', 5, 10]]);
  });

  it('three bars are one breath, and a rest starts a new one', () => {
    expect(barsOf(findingsFor(solo, running(5, 7)), 'breath')).toEqual([]);
    const rested = partOf(
      'flute',
      `${figure('C5 D5', 0.5, 5, 6, 74)} C5:24:0.5:74 ${figure('C5 D5', 0.5, 8, 9, 74)}`,
      timeline,
    );
    expect(barsOf(findingsFor(solo, rested), 'breath')).toEqual([]);
  });

  it('a tune of two breaths without a written rest is told, though its longer notes could end early; a rest in its middle answers it', () => {
    // A bar of eighths, of four seconds; then half a bar of them and a half note, or a quarter and a rest.
    const line = (rest: number, bars: number): string =>
      Array.from({ length: bars }, (_, bar) => {
        const at = 16 + 4 * bar;
        const last = bar % 2 === 0 ? '' : `G5:${String(at + 2)}:${String(2 - rest)}:74`;
        const moving = bar % 2 === 0 ? [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5] : [0, 0.5, 1, 1.5];
        return `${moving.map((onset) => `D5:${String(at + onset)}:0.5:74`).join(' ')} ${last}`;
      }).join(' ');
    const told = (music: string, leads = true, isNamed = false) => {
      const flute = partOf('flute', music, timeline);
      const foreground = [leadSpan(leads ? flute.id : solo.id, 1, timeline.bars.length)];
      const announced = isNamed ? [{ partId: flute.id, from: 1, to: timeline.bars.length }] : [];
      return findingsOf(stageOf([solo, flute], timeline, { foreground, announced }));
    };
    expect(barsOf(told(line(0, 6)), 'breath')).toEqual([['note', 5, 10]]);
    expect(messageOf(told(line(0, 6)), 'breath')).toContain('24 s without a written rest');
    expect(barsOf(told(line(1, 6)), 'breath')).toEqual([]);
    expect(barsOf(told(line(0, 4)), 'breath')).toEqual([]);
    // Who accompanies may drop a note.
    expect(barsOf(told(line(0, 6), false), 'breath')).toEqual([]);
    // A counter-melody that a note names has none to drop.
    expect(barsOf(told(line(0, 6), false, true), 'breath')).toEqual([['note', 5, 10]]);
  });

  it('a note of a second can give up its end, a note of five breaths cannot', () => {
    const slow = partOf('flute', figure('C5 D5 E5', 1, 5, 12, 74), timeline);
    expect(barsOf(findingsFor(solo, slow), 'breath')).toEqual([]);
    const held = partOf('flute', 'C5:16:60:74', timeline);
    expect(barsOf(findingsFor(solo, held), 'breath')).toEqual([['look', 5, 19]]);
  });

  it('is told with all that has no written rest about it, where a long note could give up its end: a phrase, no sweep', () => {
    const music = `${figure('C5 D5', 0.5, 4, 4, 74)} E5:16:4:74 ${figure('C5 D5 E5 F5', 0.5, 6, 9, 74)} E5:36:2:74 C5:38:2:74`;
    const findings = findingsFor(solo, partOf('flute', music, timeline));
    expect(barsOf(findings, 'breath')).toEqual([['note', 4, 10]]);
    expect(messageOf(findings, 'breath')).toContain(
      '28 s without a written rest in bars 4–10, 18 s of them, in bars 6–10',
    );
    // A rest before and after the run, and it stands alone.
    const alone = `${figure('C5 D5', 0.5, 4, 4, 74)} E5:16:3:74 ${figure('C5 D5 E5 F5', 0.5, 6, 9, 74)}`;
    expect(barsOf(findingsFor(solo, partOf('flute', alone, timeline)), 'breath')).toEqual([['note', 6, 9]]);
  });

  it('goes by what is played: whole notes that are let go half a beat early leave a place to breathe, though no rest is written', () => {
    // Of 148 beats a minute: half a beat is a fifth of a second, less than a catch breath.
    const fast = timelineOf(64, { numerator: 4, denominator: 4 }, 148);
    const music = `${figure('C5 E5', 4, 1, 8, 74)} ${figure('C5 D5 E5 F5', 0.5, 9, 18, 74)}`;
    const flute = partOf('flute', music, fast);
    const early: Part = {
      ...flute,
      notes: flute.notes.map((note) =>
        note.endQuarters - note.startQuarters < 4 ? note : { ...note, endSecond: note.endSecond - 30 / 148 },
      ),
    };
    const told = (part: Part) =>
      barsOf(findingsOf(stageOf([partOf('piano', figure('C4', 4, 1, 64), fast), part], fast)), 'breath');
    expect(told(flute)).toEqual([['note', 1, 18]]);
    expect(told(early)).toEqual([['note', 9, 18]]);
  });

  it('a repeated note of half a second is no place to breathe, though a player lifts the tongue for a moment', () => {
    const repeated = (from: number, to: number): Part =>
      partOf('flute', figure('C5 D5 D5 E5', 0.5, from, to, 74), timeline, { players: 1 });
    const lifted = (part: Part): Part => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, endSecond: note.endSecond - 0.054 })),
    });
    expect(barsOf(findingsFor(solo, lifted(repeated(5, 8))), 'breath')).toEqual([['note', 5, 8]]);
    // A fifth of a second between notes of six tenths is one: they give up what is lacking.
    const detached = Array.from({ length: 40 }, (_, index) => `C5:${String(16 + 0.8 * index)}:0.6:74`).join(' ');
    expect(barsOf(findingsFor(solo, partOf('flute', detached, timeline)), 'breath')).toEqual([]);
  });

  it('twelve whole bars on one another without a written rest leave the breath to the player (common practice, no source)', () => {
    const row = (to: number): Part => partOf('flute', figure('C5 E5', 4, 5, to, 74), timeline);
    const findings = findingsFor(solo, row(16));
    expect(barsOf(findings, 'breath')).toEqual([['look', 5, 16]]);
    expect(messageOf(findings, 'breath')).toContain('48 s without a written rest');
    expect(findings.find(({ rule }) => rule === 'breath')?.advice).toContain('ask the player');
    expect(barsOf(findingsFor(solo, row(15)), 'breath')).toEqual([]);
    // A quarter of rest at the end of a bar, or a longer note at the end of a phrase, is a place.
    const rested = `${figure('C5 E5', 4, 5, 9, 74)} C5:36:3:74 ${figure('C5 E5', 4, 11, 16, 74)}`;
    expect(barsOf(findingsFor(solo, partOf('flute', rested, timeline)), 'breath')).toEqual([]);
    const phrased = `${figure('C5 E5', 4, 5, 8, 74)} C5:32:8:74 ${figure('C5 E5', 4, 11, 18, 74)}`;
    expect(barsOf(findingsFor(solo, partOf('flute', phrased, timeline)), 'breath')).toEqual([]);
  });

  it('two players can take turns, and strings need no breath', () => {
    expect(barsOf(findingsFor(solo, running(5, 12, 2)), 'breath')).toEqual([]);
    const violin = partOf('violin', figure('C5 D5 E5 F5', 0.5, 5, 30, 74), timeline);
    expect(barsOf(findingsFor(solo, violin), 'breath')).toEqual([]);
  });

  it('soft playing lasts longer (an oboe about 40 s at pp, 18 s at ff)', () => {
    const oboe = (velocity: number): Part => partOf('oboe', figure('C5 D5 E5', 0.5, 5, 10, velocity), timeline);
    expect(barsOf(findingsFor(solo, oboe(10)), 'breath')).toEqual([]);
    expect(barsOf(findingsFor(solo, oboe(120)), 'breath')).toEqual([['note', 5, 10]]);
  });

  it('a pair that runs on together is one finding', () => {
    const pair = ['Flute 1', 'Flute 2'].map((name) => ({ ...running(5, 8), id: name.slice(-1), name }));
    const findings = findingsFor(solo, ...pair);
    expect(barsOf(findings, 'breath')).toHaveLength(1);
    expect(messageOf(findings, 'breath')).toContain('Flute 1 and Flute 2 play');
  });
});

describe('wide-leap', () => {
  const clarinet = (leap: string): Part =>
    partOf('clarinet-bflat', `E4:16:0.25 F4:16.25:0.25 ${leap} E5:20:4`, timeline);

  it('a clarinet that leaps two octaves in a quarter of a second', () => {
    const findings = findingsFor(solo, clarinet('F6:16.5:0.25'));
    expect(barsOf(findings, 'wide-leap')).toEqual([['note', 5, 5]]);
    expect(messageOf(findings, 'wide-leap')).toContain('F4 (written G4) to F6 (written G6)');
  });

  it('a tenth is not mentioned, nor a leap after a rest or from a long note', () => {
    expect(barsOf(findingsFor(solo, clarinet('A5:16.5:0.25')), 'wide-leap')).toEqual([]);
    expect(barsOf(findingsFor(solo, clarinet('F6:17:0.25')), 'wide-leap')).toEqual([]);
    const slow = partOf('clarinet-bflat', 'F4:16:2 F6:18:1', timeline);
    expect(barsOf(findingsFor(solo, slow), 'wide-leap')).toEqual([]);
  });

  it('to a note that the instrument has not it is that one fault, and told once', () => {
    const flute = (low: string): Part => partOf('flute', `C6:16:0.25 F6:16.25:0.25 ${low}:16.5:0.25 E5:20:4`, timeline);
    const [told, once] = [findingsFor(solo, flute('D4')), findingsFor(solo, flute('A3'))];
    expect([barsOf(told, 'wide-leap').length, barsOf(told, 'outside-range').length]).toEqual([1, 0]);
    expect([barsOf(once, 'wide-leap').length, barsOf(once, 'outside-range').length]).toEqual([0, 1]);
  });

  it('strings and keyboards are left to their players', () => {
    for (const instrument of ['violin', 'piano']) {
      const part = partOf(instrument, 'G3:16:0.25 G3:16.25:0.25 E6:16.5:0.25', timeline, { name: 'Other' });
      expect(barsOf(findingsFor(solo, part), 'wide-leap')).toEqual([]);
    }
  });
});

describe('static-part', () => {
  const bass = partOf('double-bass', figure('C2 G2', 2, 1, 64), timeline);
  const horn = (to: number): Part => partOf('horn-f', figure('G4', 4, 5, to), timeline);

  it('a horn on one note for thirteen bars', () => {
    const findings = findingsFor(solo, horn(17), bass);
    expect(barsOf(findings, 'static-part')).toEqual([['note', 5, 17]]);
    expect(messageOf(findings, 'static-part')).toContain('nothing but G4 (written D5) for 13 bars');
  });

  it('twelve bars are not mentioned, nor a pedal point in the bass, nor a string part', () => {
    expect(barsOf(findingsFor(solo, horn(16), bass), 'static-part')).toEqual([]);
    const pedal = partOf('bassoon', figure('C2', 4, 5, 30), timeline);
    expect(barsOf(findingsFor(solo, pedal), 'static-part')).toEqual([]);
    const viola = partOf('viola', figure('G4', 4, 5, 30), timeline);
    expect(barsOf(findingsFor(solo, viola, bass), 'static-part')).toEqual([]);
  });

  it('a bar of rest starts anew, and two horns that stand still together are one finding', () => {
    const rested = partOf('horn-f', `${figure('G4', 4, 5, 12)} ${figure('G4', 4, 14, 21)}`, timeline);
    expect(barsOf(findingsFor(solo, rested, bass), 'static-part')).toEqual([]);
    const pair = [1, 2].map((number) => ({ ...horn(20), id: `horn-${number}`, name: `Horn ${number}`, number }));
    const findings = findingsFor(solo, ...pair, bass);
    expect(barsOf(findings, 'static-part')).toEqual([['note', 5, 20]]);
    expect(messageOf(findings, 'static-part')).toContain('Horn 1 and Horn 2 have');
  });
});

describe('restless-part', () => {
  it('a bassoon that leaps a tenth from note to note for four bars', () => {
    const bassoon = partOf('bassoon', `${figure('C3 D3', 1, 1, 4)} ${figure('C3 E4', 1, 5, 8)}`, timeline);
    const cello = partOf('cello', figure('C2', 4, 1, 8), timeline);
    expect(barsOf(findingsFor(solo, bassoon, cello), 'restless-part')).toEqual([['note', 5, 8]]);
    // As the lowest part it is a bass, which leaps by nature.
    expect(barsOf(findingsFor(solo, bassoon), 'restless-part')).toEqual([]);
  });

  it('two bars are a gesture, fifths are a figure, and strings and the foreground are left alone', () => {
    const two = partOf('bassoon', `${figure('C3 D3', 1, 1, 4)} ${figure('C3 E4', 1, 5, 6)}`, timeline);
    expect(barsOf(findingsFor(solo, two), 'restless-part')).toEqual([]);
    const fifths = partOf('bassoon', figure('C3 G3', 1, 5, 10), timeline);
    expect(barsOf(findingsFor(solo, fifths), 'restless-part')).toEqual([]);
    const cello = partOf('cello', figure('C3 E4', 1, 5, 10), timeline);
    expect(barsOf(findingsFor(solo, cello), 'restless-part')).toEqual([]);
    const inFront = partOf('bassoon', figure('C3 E4', 1, 5, 10), timeline, { role: 'foreground' });
    expect(barsOf(findingsFor(inFront), 'restless-part')).toEqual([]);
  });

  it('a broken chord of a clarinet keeps to its tones; a line that never comes back leaps', () => {
    const cello = partOf('cello', figure('C2', 4, 1, 10), timeline);
    const broken = partOf('clarinet-bflat', figure('G3 E4 G3 E4', 1, 5, 8), timeline);
    expect(barsOf(findingsFor(solo, broken, cello), 'restless-part')).toEqual([]);
    const leaping = partOf('clarinet-bflat', figure('G3 E4 A3 F4', 1, 5, 8), timeline);
    expect(barsOf(findingsFor(solo, leaping, cello), 'restless-part')).toEqual([['note', 5, 8]]);
  });
});

describe('never-rests', () => {
  const oboe = (music: string, players = 1): Part => partOf('oboe', music, timeline, { players });

  it('an oboe without a bar of rest for 49 bars', () => {
    const findings = findingsFor(solo, oboe(figure('C5 D5', 2, 3, 51)));
    expect(barsOf(findings, 'never-rests')).toEqual([['note', 3, 51]]);
    expect(messageOf(findings, 'never-rests')).toContain('49 bars, 3.3 min');
  });

  it('48 bars are enough, one bar of rest is one, and two players or strings are not asked', () => {
    expect(barsOf(findingsFor(solo, oboe(figure('C5 D5', 2, 3, 50))), 'never-rests')).toEqual([]);
    const rested = oboe(`${figure('C5 D5', 2, 3, 30)} ${figure('C5 D5', 2, 32, 60)}`);
    expect(barsOf(findingsFor(solo, rested), 'never-rests')).toEqual([]);
    expect(barsOf(findingsFor(solo, oboe(figure('C5 D5', 2, 3, 60), 2)), 'never-rests')).toEqual([]);
    const violin = partOf('violin', figure('C5 D5', 2, 3, 60), timeline);
    expect(barsOf(findingsFor(solo, violin), 'never-rests')).toEqual([]);
  });
});
