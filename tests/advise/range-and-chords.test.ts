import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, findingsOf, messageOf } from './stage-findings.ts';

const timeline = timelineOf(12);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));

describe('outside-range', () => {
  it('a violin below its open G string cannot play: adjacent bars are one finding, others another', () => {
    const findings = findingsFor(partOf('violin', 'A4:0:4 F#3:4:2 F3:9:1 A4:12:4 E3:29:1', timeline));
    expect(barsOf(findings, 'outside-range')).toEqual([
      ['fix', 8, 8],
      ['fix', 2, 3],
    ]);
    const message = findings.find(({ from }) => from === 2)?.message ?? '';
    expect(message).toContain('bars 2–3');
    expect(message).toContain('F3 at bar 3, beat 2');
    expect(message).toContain('2 semitones below the lowest note, G3');
  });

  it('names what a transposing player reads beside what sounds', () => {
    const findings = findingsFor(partOf('clarinet-bflat', 'C3:0:4', timeline));
    expect(findings[0]).toMatchObject({ rule: 'outside-range', level: 'fix' });
    // Sounding D3 is written E3 for a clarinet in B-flat.
    expect(findings[0]?.message).toContain('C3 (written D3)');
    expect(findings[0]?.message).toContain('D3 (written E3)');
  });

  it('a bass guitar of four strings has no D1, and one whose strings nobody counted may have it', () => {
    const bass = (strings?: number): Part =>
      partOf('bass-guitar', 'E1:0:4 D1:4:4 A1:8:8', timeline, strings === undefined ? {} : { strings });
    expect(barsOf(findingsOf(stageOf([bass(4)], timeline)), 'outside-range')).toEqual([['fix', 2, 2]]);
    expect(barsOf(findingsOf(stageOf([bass()], timeline)), 'outside-range')).toEqual([['look', 2, 2]]);
    expect(barsOf(findingsOf(stageOf([bass(5)], timeline)), 'outside-range')).toEqual([]);
  });

  it('asks to look where an extension would do: the low C of the double bass', () => {
    const findings = findingsFor(partOf('double-bass', 'C1:4:4 E1:8:4', timeline));
    expect(barsOf(findings, 'outside-range')).toEqual([['look', 2, 2]]);
    expect(findings[0]?.message).toContain('C1 (written C2)');
  });

  it('a trumpet has nothing more than a tone below the note of all three valves; nearer by, lips and slides may bend it', () => {
    // Written F sharp 3 is the lowest of three valves, E3 on a trumpet in B flat (Rimsky-Korsakov, Principles of Orchestration, table C).
    const level = (instrument: string, pitch: string, changes: Partial<Part> = {}) =>
      barsOf(findingsFor(partOf(instrument, `C4:0:4 ${pitch}:4:4 C4:8:4`, timeline, changes)), 'outside-range');
    expect(level('trumpet-bflat', 'C#3')).toEqual([['fix', 2, 2]]);
    expect(level('cornet-bflat', 'C#3')).toEqual([['fix', 2, 2]]);
    expect(level('trumpet-bflat', 'D3')).toEqual([['look', 2, 2]]);
    // Exporters write a program where it sounds near enough.
    expect(level('trumpet-bflat', 'C#3', { recognisedBy: 'program' })).toEqual([['note', 2, 2]]);
    expect(level('trumpet-bflat', 'C#3', { recognisedBy: 'channel' })).toEqual([['look', 2, 2]]);
    // Often with a fourth valve.
    expect(level('flugelhorn', 'C#3')).toEqual([['look', 2, 2]]);
  });

  it('says why a note is only to check, and asks singers as singers', () => {
    const message = (instrument: string, music: string, changes: Partial<Part> = {}): string =>
      messageOf(findingsFor(partOf(instrument, music, timeline, changes)), 'outside-range');
    const singer = findingsFor(partOf('voice-soprano', 'A4:0:4 G3:4:4', timeline));
    expect(barsOf(singer, 'outside-range')).toEqual([['look', 2, 2]]);
    expect(singer[0]?.message).toContain('to check only, as singers differ by so much');
    expect(singer[0]?.advice).toContain('ask the singer');
    // Rimsky-Korsakov (Principles of Orchestration, table F) has F3 as the lowest note of a contralto soloist: D3 nobody has.
    expect(barsOf(findingsFor(partOf('voice-alto', 'A3:0:4 D3:4:4', timeline)), 'outside-range')).toEqual([
      ['fix', 2, 2],
    ]);
    expect(barsOf(findingsFor(partOf('voice-alto', 'A3:0:4 E3:4:4', timeline)), 'outside-range')).toEqual([
      ['look', 2, 2],
    ]);
    expect(message('guitar', 'E3:0:4 D2:4:4')).toContain('as a string may be tuned down');
    expect(message('violin', 'A4:0:4 F3:4:4', { recognisedBy: 'program' })).toContain(
      'for information, if it is a violin, which its program alone says',
    );
    expect(message('violin', 'A4:0:4 F3:4:4', { recognisedBy: 'channel' })).toContain('as the instrument is a guess');
    expect(message('double-bass', 'C1:4:4 E1:8:4', { recognisedBy: 'program' })).toContain('if it is a double bass');
    const long = (changes: Partial<Part>) => findingsFor(partOf('flute', 'C#7:0:30', timeline, changes));
    expect(barsOf(long({}), 'tessitura').map(([rank]) => rank)).toEqual(['look']);
    expect(barsOf(long({ recognisedBy: 'program' }), 'tessitura').map(([rank]) => rank)).toEqual(['note']);
    expect(message('violin', 'A4:0:4 F3:4:4')).not.toContain('to check only');
  });

  // Tunings of choro and of basses with five strings: common practice, no source.
  it('a name that states the strings states how low it goes', () => {
    const rows: [string, string, number | undefined, string[]][] = [
      ['guitar', 'E3:0:4 C2:4:4', 7, []],
      ['guitar', 'E3:0:4 C2:4:4', undefined, ['fix']],
      ['guitar', 'E3:0:4 C2:4:4', 12, ['fix']],
      ['guitar', 'E3:0:4 F1:4:4', 7, ['fix']],
      ['bass-guitar', 'E2:0:4 B0:4:4', 5, []],
      ['bass-guitar', 'E2:0:4 B0:4:4', undefined, ['look']],
      // Whoever counted four has said that there is no fifth.
      ['bass-guitar', 'E2:0:4 B0:4:4', 4, ['fix']],
    ];
    for (const [instrument, music, strings, levels] of rows) {
      const part = partOf(instrument, music, timeline, strings === undefined ? {} : { strings });
      const found = findingsFor(part).filter(({ rule }) => rule === 'outside-range');
      expect([instrument, strings, found.map(({ level }) => level)]).toEqual([instrument, strings, levels]);
    }
    const seven = 'B1:4:2 E2:4:2 A2:4:2 D3:4:2 G3:4:2 B3:4:2 E4:4:2';
    const rules = (strings?: number): string[] =>
      findingsFor(
        partOf('guitar', seven, timeline, { playersBy: 'settings', ...(strings === undefined ? {} : { strings }) }),
      )
        .map(({ rule }) => rule)
        .filter((rule) => rule !== 'outside-range');
    expect(rules(7)).toEqual([]);
    expect(rules()).toContain('too-many-notes');
  });

  it('takes the range set for the player for the last word', () => {
    const high = partOf('flute', 'C6:4:4', timeline);
    expect(findingsFor(high)).toEqual([]);
    const [finding] = findingsFor({ ...high, range: { low: 60, high: 81 } });
    expect(finding).toMatchObject({ rule: 'outside-range', from: 2, to: 2 });
    expect(finding?.source).toContain('set for this player');
  });

  it('has nothing to say of unknown instruments and of percussion without pitch', () => {
    expect(findingsFor(partOf('unknown', 'C0:0:4', timeline))).toEqual([]);
    expect(findingsFor(partOf('percussion-unpitched', 'C0:0:4 D0:0:4 E0:0:4', timeline))).toEqual([]);
  });
});

describe('edge-of-range', () => {
  it('a choir between C4 and G5, G3 and D5, C3 and G4, E2 and C4 is at home (choir guides; harmony courses)', () => {
    const choir = [
      partOf('voice-soprano', 'C4:0:4 G5:4:4', timeline),
      partOf('voice-alto', 'G3:0:4 D5:4:4', timeline),
      partOf('voice-tenor', 'C3:0:4 G4:4:4', timeline),
      partOf('voice-bass', 'E2:0:4 C4:4:4', timeline),
    ];
    for (const voice of choir) expect(barsOf(findingsFor(voice), 'edge-of-range')).toEqual([]);
    // A sixth above the staff is for the few, not for nobody.
    const high = findingsFor(partOf('voice-soprano', 'A5:0:4 B5:4:4 D6:8:4', timeline));
    expect(barsOf(high, 'edge-of-range')).toEqual([['note', 1, 2]]);
    expect(barsOf(high, 'outside-range')).toEqual([['look', 3, 3]]);
  });

  it('remarks a trumpet above its usual range, once for the whole part', () => {
    // Usual top B-flat 5 sounding (Rimsky-Korsakov, table C), last note D6.
    const findings = findingsFor(partOf('trumpet-bflat', 'C6:4:1 G5:8:4 C6:12:1 D6:36:1', timeline));
    expect(barsOf(findings, 'edge-of-range')).toEqual([['note', 10, 10]]);
    // Three quarters of seven that sound.
    expect(messageOf(findings, 'edge-of-range')).toContain(
      'plays 3 notes beyond the practical range, 43\u00a0% of its time, in bars 2, 4 and 10',
    );
    expect(findings[0]?.message).toContain('D6 (written E6)');
  });

  it('is silent inside the usual range', () => {
    expect(findingsFor(partOf('trumpet-bflat', 'C4:4:1 G5:8:4', timeline))).toEqual([]);
  });
});

describe('too-many-notes', () => {
  it('one flute cannot play a chord: certain where it is said to be one', () => {
    const chord = 'C5:0:4 C5:4:4 E5:4:4 G5:8:4';
    const asked = findingsFor(partOf('flute', chord, timeline));
    expect(barsOf(asked, 'too-many-notes')).toEqual([['look', 2, 2]]);
    const findings = findingsFor(partOf('flute', chord, timeline, { name: 'Flute 1', number: 1 }));
    expect(barsOf(findings, 'too-many-notes')).toEqual([['fix', 2, 2]]);
    expect(findings[0]?.message).toContain('C5 and E5 at bar 2, beat 1');
  });

  it('a name in the plural is not one player', () => {
    expect(findingsFor(partOf('trumpet-bflat', 'C4:0:4 E4:0:4 G4:0:4', timeline, { name: 'Trumpets' }))).toEqual([]);
  });

  it('two flutes can play two notes, and no third', () => {
    const pair = (music: string): Part => partOf('flute', music, timeline, { players: 2, playersBy: 'name' });
    expect(findingsFor(pair('C5:0:4 E5:0:4'))).toEqual([]);
    expect(barsOf(findingsFor(pair('C5:0:4 E5:0:4 G5:0:4')), 'too-many-notes')).toEqual([['fix', 1, 1]]);
  });

  it('a legato overlap is no chord', () => {
    expect(findingsFor(partOf('flute', 'C5:0:1.04 D5:1:1.08 E5:2:2.1 F5:4:1', timeline))).toEqual([]);
  });

  it('a held note under a moving one on a melody instrument is a chord for as long as it lasts', () => {
    const findings = findingsFor(partOf('oboe', 'C5:0:12 E5:5:1 G5:8:2', timeline, { number: 1 }));
    expect(barsOf(findings, 'too-many-notes')).toEqual([['fix', 2, 3]]);
  });

  it('a solo violin holds two notes; three are for the player to judge, five for nobody', () => {
    const chord = 'G3:0:2 D4:0:2';
    expect(findingsFor(partOf('violin', chord, timeline))).toEqual([]);
    expect(barsOf(findingsFor(partOf('violin', `${chord} B4:0:2`, timeline)), 'too-many-notes')).toEqual([
      ['look', 1, 1],
    ]);
    const five = `${chord} B4:0:2 G5:0:2 D6:0:2`;
    expect(barsOf(findingsFor(partOf('violin', five, timeline, { playersBy: 'settings' })), 'too-many-notes')).toEqual([
      ['fix', 1, 1],
    ]);
  });

  it('a section of eight violas divides into four by desks, not into five', () => {
    const section = (music: string): Part => partOf('viola', music, timeline, { players: 8 });
    expect(findingsFor(section('C4:0:4 E4:0:4 G4:0:4 C5:0:4'))).toEqual([]);
    const five = findingsFor(section('C4:0:4 E4:0:4 G4:0:4 C5:0:4 E5:0:4'));
    expect(barsOf(five, 'too-many-notes')).toEqual([['look', 1, 1]]);
  });

  it('ten fingers play ten notes, pedalled ones do not count', () => {
    const keys = ['C2', 'G2', 'C3', 'E3', 'G3', 'C4', 'E4', 'G4', 'C5', 'E5'];
    const chord = (start: number): string => keys.map((key) => `${key}:${start}:2`).join(' ');
    const piano = partOf('piano', `${chord(0)} F2:2:2 F3:2:2`, timeline);
    const pedalled = piano.notes.map((note) => ({ ...note, soundingEndSecond: 8 }));
    expect(barsOf(findingsFor({ ...piano, notes: pedalled }), 'too-many-notes')).toEqual([]);
    const eleven = findingsFor(partOf('piano', `${chord(0)} G5:0:2`, timeline));
    expect(barsOf(eleven, 'too-many-notes')).toEqual([['look', 1, 1]]);
  });
});
