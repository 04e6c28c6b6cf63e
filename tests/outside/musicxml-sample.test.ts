import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { prepareSample } from '../../src/library.ts';
import { midiOf, pitchName } from '../../src/model/music/pitch.ts';
import type { DossierInput } from '../../src/publish/dossier-input.ts';
import { percussionKey } from '../../src/model/music/percussion-keys.ts';
import { fullScoreXml, reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { readDirections, readLines, readWithLibrary, schemaErrors, writtenLines } from '../support/musicxml-export.ts';
import { openFile } from '../support/open-data.ts';
import { readScore } from '../support/musicxml-score.ts';

// Schema and sounds: MusicXML 4.0, W3C Music Notation Community Group. Reader: the npm package musicxml-io, which knows nothing of this project.
let input: DossierInput;
let scores: { full: string; reduced: string }[];

beforeAll(async () => {
  input = await prepareSample();
  scores = input.stages.map(({ stage, written }) => {
    const all = { arrangement: input.arrangement, stage, written };
    return { full: fullScoreXml(all), reduced: reducedScoreXml(all) };
  });
});

describe('the scores of the sample as MusicXML', () => {
  it('every stage is valid under the official schema', async () => {
    expect(await schemaErrors(scores.flatMap(({ full, reduced }) => [full, reduced]))).toEqual([]);
  });

  it('the schema is really asked: a note without a duration is refused', async () => {
    const broken = (scores[0]?.full ?? '').replace(/<duration>\d+<\/duration>/, '');
    expect((await schemaErrors([broken])).length).toBeGreaterThan(0);
  });

  it('an independent reader finds every written note in the full score: pitch, spelling, start and length', () => {
    for (const [index, { stage, written }] of input.stages.entries()) {
      const origin = scoreTimeOf(stage.timeline.bars).start;
      const parts = readWithLibrary(scores[index]?.full ?? '');
      expect(parts.map((part) => part.name)).toEqual(stage.parts.map((part) => part.name));
      for (const [place, part] of parts.entries()) {
        const notes = written.parts[place]?.notes ?? [];
        expect(notes.length).toBeGreaterThan(0);
        expect(readLines(part.notes)).toEqual(writtenLines(notes, origin));
      }
    }
  });

  it('a second reader, written for open scores, finds the same notes', () => {
    for (const [index, { written }] of input.stages.entries()) {
      const read = readScore(scores[index]?.full ?? '');
      for (const [place, part] of read.parts.entries()) {
        const found = part.notes.map((note) => `${pitchName(note.pitch)} ${String(Math.round(note.start * 480))}`);
        const own = written.parts[place]?.notes ?? [];
        expect(found.sort()).toEqual(own.map((note) => `${pitchName(note.pitch)} ${String(note.start)}`).sort());
      }
    }
  });

  it('the reduced score holds the heads of the engraved one, at sounding pitch', () => {
    for (const [index, { written }] of input.stages.entries()) {
      const found = readWithLibrary(scores[index]?.reduced ?? '').flatMap((part) => part.notes);
      const heads = written.reduced.bars.flatMap((bar) =>
        bar.staves.flatMap((staff) => staff.voices.flatMap((voice) => voice.flatMap((event) => event.heads))),
      );
      const struck = heads.filter((head) => !head.tieFromPrevious);
      expect(found.map((note) => pitchName(note.sounding)).sort()).toEqual(
        struck.map((head) => pitchName(head.pitch)).sort(),
      );
    }
  });

  it('an independent reader finds the dynamics, hairpins, names and cues of the reduced score, each at its place and staff', () => {
    for (const [index, { stage, written }] of input.stages.entries()) {
      const origin = scoreTimeOf(stage.timeline.bars).start;
      const { staves, bars } = written.reduced;
      // The second staff of a brace is staff 2 of its part.
      const staffNumber = (staff: number): string =>
        staff > 0 && staves[staff]?.brace === staves[staff - 1]?.brace ? '2' : '1';
      const place = (staff: number, start: number): string => `${String(start - origin)} staff ${staffNumber(staff)}`;
      const wanted = bars.flatMap(({ cues, names, dynamics, startDivisions, tempoText, tempoAt = 0 }) => [
        // Words of the tempo, over the beat on which it begins to give way; a metronome mark is no words.
        ...(tempoText === undefined || tempoText.includes('=')
          ? []
          : [`${place(0, startDivisions + tempoAt)} ${tempoText}`]),
        ...[...cues, ...names].map(({ staff, start, text }) => `${place(staff, start)} ${text}`),
        ...dynamics.flatMap((mark) =>
          mark.kind === 'level'
            ? [`${place(mark.staff, mark.start)} ${mark.level}`]
            : [`${place(mark.staff, mark.start)} ${mark.direction}`, `${place(mark.staff, mark.end)} stop`],
        ),
      ]);
      expect(wanted.length).toBeGreaterThan(0);
      expect(
        readDirections(scores[index]?.reduced ?? '')
          .flat()
          .sort(),
      ).toEqual(wanted.sort());
    }
  });

  it('the dynamics of every part stand in the full score; no hairpin is left open', () => {
    const parts = readDirections(scores.at(-1)?.full ?? '');
    expect(parts.filter((signs) => signs.some((sign) => / (pp|p|mp|mf|f|ff)$/.test(sign))).length).toBeGreaterThan(8);
    for (const signs of parts) {
      const opened = signs.filter((sign) => / (crescendo|diminuendo)$/.test(sign)).length;
      expect(signs.filter((sign) => sign.endsWith(' stop')).length).toBe(opened);
    }
  });

  it('every voice of every bar lasts as long as the bar, and the pickup is bar 0 and implicit', () => {
    for (const [index, { stage }] of input.stages.entries()) {
      const bars = scoreTimeOf(stage.timeline.bars).bars;
      for (const xml of [scores[index]?.full ?? '', scores[index]?.reduced ?? '']) {
        for (const part of readWithLibrary(xml)) {
          expect(part.measures.map((measure) => measure.number)).toEqual(bars.map((bar) => String(bar.number)));
          for (const [place, measure] of part.measures.entries()) {
            expect(measure.implicit).toBe(bars[place]?.number === 0);
            expect([...measure.voices.values()].every((sum) => sum === bars[place]?.length)).toBe(true);
          }
        }
      }
    }
  });

  it('the horn stands a fifth above where it sounds, the clarinet a tone, the double bass an octave', () => {
    // Any table of transpositions; checked one by one in instruments-transposition.test.ts.
    const above: Readonly<Record<string, readonly [letters: number, semitones: number]>> = {
      Horn: [4, 7],
      Clarinet: [1, 2],
      'Double bass': [7, 12],
      Cello: [0, 0],
    };
    const parts = readWithLibrary(scores.at(-1)?.full ?? '');
    for (const [name, [letters, semitones]] of Object.entries(above)) {
      const notes = parts.find((part) => part.name === name)?.notes ?? [];
      expect(notes.length, name).toBeGreaterThan(0);
      for (const { written, sounding } of notes) {
        expect(midiOf(written) - midiOf(sounding)).toBe(semitones);
        const steps = 'CDEFGAB';
        const moved =
          steps.indexOf(written.step) - steps.indexOf(sounding.step) + 7 * (written.octave - sounding.octave);
        expect(moved).toBe(letters);
      }
    }
  });

  it('the same arrangement gives the same bytes', () => {
    for (const [index, { stage, written }] of input.stages.entries()) {
      const again = fullScoreXml({ arrangement: input.arrangement, stage, written });
      expect(again).toBe(scores[index]?.full);
      expect(again).not.toContain('encoding-date');
    }
  });
});

describe('unpitched sounds', () => {
  it('every key of the percussion map has a sound id of the standard', () => {
    const text = readFileSync(openFile('musicxml', 'sounds.xml'), 'utf8');
    const ids = new Set([...text.matchAll(/<sound id="([^"]+)"/g)].map((match) => match[1]));
    // General MIDI 1 defines percussion keys 35 to 81.
    const keys = Array.from({ length: 47 }, (_, index) => percussionKey(35 + index));
    expect(keys.filter((key) => !ids.has(key.sound)).map((key) => key.name)).toEqual([]);
  });
});
