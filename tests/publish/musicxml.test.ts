import fc from 'fast-check';
import { parse, validate } from 'musicxml-io';
import { describe, expect, it } from 'vitest';
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import { instruments } from '../../src/model/music/catalogue.ts';
import { midiOf, parsePitch, pitchName, plainSpelling, transpose } from '../../src/model/music/pitch.ts';
import type { Timeline } from '../../src/model/music/timeline.ts';
import type { ChordSpan, KeySpan, NoteOrnament, WrittenStage } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import { fullScoreXml, reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { writtenSignature } from '../../src/notate/keys/written-pitch.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import {
  readDirections,
  readLines,
  readOrnaments,
  readWithLibrary,
  schemaErrors,
  writtenLines,
} from '../support/musicxml-export.ts';
import { demonstrationScore } from '../support/score.ts';
import { writtenOf } from '../support/written.ts';

function keyOf(fifths: number, timeline: Timeline): KeySpan {
  return {
    from: timeline.bars[0]?.number ?? 1,
    to: timeline.bars.at(-1)?.number ?? 1,
    tonic: { step: 'C', alter: 0 },
    mode: 'major',
    fifths,
    confidence: 1,
    by: 'settings',
  };
}

interface Made {
  readonly stage: Stage;
  readonly written: WrittenStage;
  readonly xml: string;
}

/** Full score of parts, each `[instrument, music]`, in a key. */
function full(music: readonly (readonly [string, string])[], fifths = 0, timeline = timelineOf(2)): Made {
  const parts = music.map(([instrument, notes], index) =>
    partOf(instrument, notes, timeline, { name: `${instrument} ${String(index + 1)}` }),
  );
  return fullOf(stageOf(parts, timeline), fifths);
}

function fullOf(stage: Stage, fifths = 0): Made {
  const written = { ...writtenOf(stage), keys: [keyOf(fifths, stage.timeline)] };
  return { stage, written, xml: fullScoreXml({ arrangement: arrangementOf([stage]), stage, written }) };
}

function attributes(xml: string): string {
  return /<attributes>(.*?)<\/attributes>/s.exec(xml)?.[1] ?? '';
}

function count(xml: string, text: string): number {
  return xml.split(text).length - 1;
}

describe('transposing instruments in MusicXML', () => {
  it('a horn in F in concert C has one sharp and sounds four letters and seven semitones lower', () => {
    // MusicXML 4.0 gives this very case as its example of `transpose`: fifths 1, diatonic -4, chromatic -7.
    const { xml } = full([['horn-f', 'F4:0:1']]);
    expect(attributes(xml)).toContain('<fifths>1</fifths>');
    expect(xml).toContain('<transpose><diatonic>-4</diatonic><chromatic>-7</chromatic></transpose>');
    expect(xml).toContain('<pitch><step>C</step><octave>5</octave></pitch>');
  });

  it('a low horn in F reads a fifth above its sound in the bass clef too, not a fourth below as in old scores', () => {
    // Old manner: written C2 in the bass clef sounds F2, second partial of the horn in F (N. Rimsky-Korsakov, Principles of
    // Orchestration, table C); today C3 is written for it, as in the treble clef (common practice, no source).
    expect(pitchName(transpose(parsePitch('C2')!, 3, 5))).toBe('F2');
    const { xml } = full([['horn-f', 'F2:0:8']]);
    expect(attributes(xml)).toContain('<sign>F</sign>');
    expect(xml).toContain('<pitch><step>C</step><octave>3</octave></pitch>');
    expect(xml).not.toContain('<octave>2</octave>');
    const both = full([['horn-f', 'F4:0:4 F2:4:4']]).xml;
    expect(count(both, '<transpose>')).toBe(1);
    expect(both).toContain('<pitch><step>C</step><octave>5</octave></pitch>');
    expect(both).toContain('<pitch><step>C</step><octave>3</octave></pitch>');
  });

  it('a clarinet in B flat reads a tone higher, with two sharps more', () => {
    const { xml } = full([['clarinet-bflat', 'Bb3:0:1']], -2);
    expect(attributes(xml)).toContain('<fifths>0</fifths>');
    expect(xml).toContain('<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>');
    expect(xml).toContain('<pitch><step>C</step><octave>4</octave></pitch>');
  });

  it('a double bass reads an octave higher and keeps its signature', () => {
    const { xml } = full([['double-bass', 'E1:0:4']], 3);
    expect(attributes(xml)).toContain('<fifths>3</fifths>');
    expect(xml).toContain(
      '<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>',
    );
    expect(xml).toContain('<pitch><step>E</step><octave>2</octave></pitch>');
  });

  it('a bass clarinet sounds an octave and a tone lower: the octave stands apart, as the standard asks', () => {
    const { xml } = full([['bass-clarinet', 'D3:0:4']]);
    expect(xml).toContain(
      '<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>',
    );
  });

  it('a guitar has its octave in the clef, so the pitch is the sounding one and nothing is transposed', () => {
    // MusicXML 4.0, clef-octave-change: "A treble clef for tenors would have a value of -1".
    const { xml } = full([['guitar', 'E3:0:4']]);
    expect(attributes(xml)).toContain(
      '<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>',
    );
    expect(xml).not.toContain('<transpose>');
    expect(xml).toContain('<pitch><step>E</step><octave>3</octave></pitch>');
  });

  it('a clarinet in six sharps is written in four flats, and its transposition keeps the sounding names', () => {
    // The case that the standard's authors discuss for `diatonic` (w3c/musicxml, issue 333).
    const { xml } = full([['clarinet-bflat', 'F#4:0:1 E4:1:1']], 6);
    expect(attributes(xml)).toContain('<fifths>-4</fifths>');
    expect(xml).toContain('<transpose><diatonic>-2</diatonic><chromatic>-2</chromatic></transpose>');
    expect(xml).toContain('<pitch><step>A</step><alter>-1</alter><octave>4</octave></pitch>');
    const [part] = readWithLibrary(xml);
    expect(part?.notes.map((note) => pitchName(note.sounding))).toEqual(['F#4', 'E4']);
  });

  it('no written signature has more than seven signs, and transposing ones have at most six', () => {
    for (const instrument of instruments) {
      const { semitones, diatonicSteps } = instrument.transposition;
      for (let fifths = -7; fifths <= 7; fifths++) {
        const written = writtenSignature(fifths, { diatonic: diatonicSteps, chromatic: semitones });
        const most = semitones % 12 === 0 ? 7 : 6;
        expect(Math.abs(written.fifths), `${instrument.id} in ${String(fifths)}`).toBeLessThanOrEqual(most);
        // A signature moves by the interval's fifths, seven for each semitone, and by whole circles of twelve.
        const circle = written.fifths - fifths + 7 * semitones;
        expect(((circle % 12) + 12) % 12).toBe(0);
      }
    }
  });
});

describe('staves, voices and figures in MusicXML', () => {
  it('a piano stands on two staves with treble and bass clef, a viola on one with the alto clef', () => {
    const { xml } = full([
      ['piano', 'C5:0:4'],
      ['viola', 'C4:0:4'],
    ]);
    const [piano = '', viola = ''] = xml.split('<part id="').slice(1);
    expect(attributes(piano)).toContain('<staves>2</staves><clef number="1"><sign>G</sign>');
    expect(attributes(piano)).toContain('<clef number="2"><sign>F</sign><line>4</line></clef>');
    expect(attributes(viola)).toContain('<clef><sign>C</sign><line>3</line></clef>');
    expect(attributes(viola)).not.toContain('staves');
  });

  it('a bar without notes is one rest of the whole bar', () => {
    const { xml } = full([['flute', 'C5:0:4']]);
    expect(count(xml, '<rest measure="yes"/><duration>1920</duration>')).toBe(1);
  });

  it('a note over the bar line is two notes under a tie', () => {
    const { xml } = full([['flute', 'C5:3:2']]);
    expect(count(xml, '<tie type="start"/>')).toBe(1);
    expect(count(xml, '<tied type="stop"/>')).toBe(1);
  });

  it('three eighths in the time of two are a triplet with a start and an end', () => {
    const third = String(1 / 3);
    const { xml } = full([['flute', `C5:0:${third} D5:${third}:${third} E5:${String(2 / 3)}:${third}`]]);
    expect(count(xml, '<actual-notes>3</actual-notes><normal-notes>2</normal-notes>')).toBe(3);
    expect(count(xml, '<tuplet type="start"')).toBe(1);
    expect(count(xml, '<tuplet type="stop"')).toBe(1);
    expect(count(xml, '<duration>160</duration>')).toBe(3);
  });

  it('two eighths of a beat share a beam, and a dotted eighth with a 16th has a hook at the second level', () => {
    const { xml } = full([['flute', 'C5:0:0.75 D5:0.75:0.25']]);
    expect(xml).toContain('<beam number="1">begin</beam>');
    expect(xml).toContain('<beam number="1">end</beam><beam number="2">backward hook</beam>');
  });

  it('a second voice of a staff goes back to the start of the bar and hides its outer rests', () => {
    const timeline = timelineOf(1);
    const stage = stageOf([partOf('viola', 'E4:0:4 C4:2:2', timeline)], timeline);
    const written = writtenOf(stage);
    const voiced = written.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note, index) => ({ ...note, voice: index + 1 })),
    }));
    const xml = fullScoreXml({ arrangement: arrangementOf([stage]), stage, written: { ...written, parts: voiced } });
    expect(count(xml, '<backup><duration>1920</duration></backup>')).toBe(1);
    expect(count(xml, '<note print-object="no"><rest/>')).toBe(1);
    expect(xml).toContain('<voice>2</voice><type>half</type><stem>down</stem>');
  });

  it('a pickup is measure 0, implicit, and as long as it is', () => {
    const timeline = timelineOf(1, { numerator: 3, denominator: 4 }, 60, 1);
    const { xml } = full([['flute', 'G4:-1:1 C5:0:3']], 0, timeline);
    const [part] = readWithLibrary(xml);
    expect(part?.measures.map(({ number, implicit, length }) => [number, implicit, length])).toEqual([
      ['0', true, 480],
      ['1', false, 1440],
    ]);
  });

  it('unpitched percussion has no key, a percussion clef, and one sound for each key that it strikes', () => {
    // General MIDI 1: key 36 bass drum, 38 snare drum, channel 10. MusicXML counts midi-unpitched from 1.
    const { xml } = full([['percussion-unpitched', 'C2:0:1 D2:1:1']], 3);
    expect(attributes(xml)).toContain('<fifths>0</fifths>');
    expect(attributes(xml)).toContain('<sign>percussion</sign>');
    expect(xml).toContain('<midi-channel>10</midi-channel><midi-unpitched>37</midi-unpitched>');
    expect(xml).toContain('<midi-channel>10</midi-channel><midi-unpitched>39</midi-unpitched>');
    expect(xml).toContain(
      '<unpitched><display-step>F</display-step><display-octave>4</display-octave></unpitched><duration>480</duration><instrument id="P1-I36"/>',
    );
    expect(xml).not.toContain('<pitch>');
  });

  it('a pitch below the lowest octave of the format falls away and leaves its time as a rest', () => {
    const timeline = timelineOf(1);
    const stage = stageOf([partOf('piano', 'C4:0:1', timeline, { name: 'P' })], timeline);
    const written = writtenOf(stage);
    const low = written.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note) => ({ ...note, midi: 5, pitch: { step: 'F' as const, alter: 0, octave: -1 } })),
    }));
    const xml = fullScoreXml({ arrangement: arrangementOf([stage]), stage, written: { ...written, parts: low } });
    const [part] = readWithLibrary(xml);
    expect(part?.notes).toEqual([]);
    expect([...(part?.measures[0]?.voices.values() ?? [])].every((sum) => sum === 1920)).toBe(true);
  });
});

describe('swing in MusicXML', () => {
  const timeline = timelineOf(4, { numerator: 4, denominator: 4 }, 120);
  const stage = stageOf([partOf('flute', 'C5:0:4 D5:4:4 E5:8:4 F5:12:4', timeline)], timeline);
  const swing = [{ from: 2, to: 3, unit: 'eighth' as const, ratio: 2 }];
  const written = { ...notateStage(stage), swing };
  const input = { arrangement: arrangementOf([stage]), stage, written };

  it.each([
    ['full', fullScoreXml(input)],
    ['reduced', reducedScoreXml(input)],
  ])('is a word and a ratio where it begins, and straight where it ends, in the %s score', async (_, xml) => {
    const measures = xml.split('<measure ');
    expect(measures[2]).toContain('<words>Swing (2 : 1)</words>');
    expect(measures[2]).toContain(
      '<sound><swing><first>2</first><second>1</second><swing-type>eighth</swing-type></swing></sound>',
    );
    expect(measures[4]).toContain('<sound><swing><straight/></swing></sound>');
    expect(count(xml, '<swing>')).toBe(2);
    expect(await schemaErrors([xml])).toEqual([]);
  });
});

describe('what stands over the score in MusicXML', () => {
  const timeline = timelineOf(2, { numerator: 6, denominator: 8 }, 90);
  const chord: ChordSpan = {
    start: 720,
    length: 720,
    bar: 1,
    symbol: 'Am7b5/C',
    root: { step: 'A', alter: 0 },
    quality: 'half-diminished',
    bass: { step: 'C', alter: 0 },
    roman: '',
    tones: [9, 0, 3, 7],
    coverage: 1,
  };

  function reducedOf(): string {
    const parts = [partOf('flute', 'C5:0:3 D5:3:3', timeline), partOf('cello', 'C3:0:6', timeline)];
    const stage = stageOf(parts, timeline, { sections: [{ name: 'Opening', from: 1, to: 2 }] });
    const written = notateStage(stage);
    const bars = written.reduced.bars.map((bar, index) =>
      index === 0 ? { ...bar, chords: [{ start: 720, text: 'Am7♭5/C' }] } : { ...bar, chords: [] },
    );
    const reduced = { ...written.reduced, bars };
    return reducedScoreXml({
      arrangement: arrangementOf([stage]),
      stage,
      written: { ...written, chords: [chord], reduced },
    });
  }

  it('six eight at 90 quarters a minute is marked as 60 dotted quarters and played at 90', () => {
    const xml = reducedOf();
    expect(xml).toContain(
      '<metronome><beat-unit>quarter</beat-unit><beat-unit-dot/><per-minute>60</per-minute></metronome>',
    );
    expect(xml).toContain('<sound tempo="90"/>');
    expect(count(xml, '<metronome>')).toBe(1);
  });

  it('a section is a rehearsal mark, once, over the first part', () => {
    expect(count(reducedOf(), '<rehearsal>Opening</rehearsal>')).toBe(1);
  });

  it('a chord symbol has root, kind, bass and its place in the bar', () => {
    expect(reducedOf()).toMatch(
      /<harmony><root><root-step>A<\/root-step><\/root><kind text="m7♭5">half-diminished<\/kind><bass><bass-step>C<\/bass-step><\/bass>(<offset>720<\/offset>)?<\/harmony>/,
    );
  });

  it('the entry of an accompanying part is words over the score', () => {
    expect(reducedOf()).toContain('<words>+Vc</words>');
  });

  it('the document names title, stage and program, and no date', () => {
    const { xml } = full([['flute', 'C5:0:4']]);
    const { metadata } = parse(xml);
    expect(metadata.workTitle).toBe('Test piece');
    expect(metadata.movementTitle).toBe('Test');
    expect(metadata.encoding?.software).toEqual(['arrangement-dossier']);
    expect(xml).not.toContain('date>');
  });

  it('a stage without bars or parts gives no document', () => {
    const empty = stageOf([], timeline);
    const arrangement = arrangementOf([empty]);
    expect(fullScoreXml({ arrangement, stage: empty, written: writtenOf(empty) })).toBe('');
    expect(reducedScoreXml({ arrangement, stage: empty, written: writtenOf(empty) })).toBe('');
  });
});

const HOSTILE = '</part-name><x a="1">&amp;\u0000\u001b[2J\r\n\u202e\ud800 "]]> <!-- \u0085';

describe('hostile names in MusicXML', () => {
  const timeline = timelineOf(2);
  const parts = ['flute', 'percussion-unpitched', 'unknown'].map((instrument, index) =>
    partOf(instrument, 'C4:0:1', timeline, {
      name: HOSTILE + String(index),
      abbreviation: HOSTILE,
      instrumentName: HOSTILE,
    }),
  );
  const sections = [{ name: HOSTILE, from: 1, to: 2 }];
  const stage = stageOf(parts, timeline, { title: HOSTILE, sections });
  const arrangement = arrangementOf([stage], { title: HOSTILE, arranger: HOSTILE });
  const written = notateStage(stage);
  const documents = [fullScoreXml({ arrangement, stage, written }), reducedScoreXml({ arrangement, stage, written })];

  it('stay text: a reader finds them as they were typed, without control characters', () => {
    const [score = ''] = documents;
    const title = parse(score).metadata.workTitle ?? '';
    expect(title.startsWith('</part-name><x a="1">&amp;')).toBe(true);
    for (const xml of documents) {
      expect(xml).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
      expect(xml).not.toContain('<x a=');
    }
  });

  it('do not break the document', async () => {
    expect(await schemaErrors(documents)).toEqual([]);
  });
});

/** Onsets inside a beat, in parts of it: straight, dotted and triplet patterns. */
const PATTERNS: readonly (readonly number[])[] = [
  [],
  [0],
  [0, 1 / 2],
  [1 / 2],
  [0, 3 / 4],
  [0, 1 / 4, 1 / 2, 3 / 4],
  [0, 1 / 3, 2 / 3],
  [0, 2 / 3],
];

const METERS = [
  { numerator: 4, denominator: 4 },
  { numerator: 3, denominator: 4 },
  { numerator: 6, denominator: 8 },
  { numerator: 7, denominator: 8 },
  { numerator: 2, denominator: 2 },
];

interface Drawn {
  readonly meter: (typeof METERS)[number];
  readonly fifths: number;
  readonly pickup: boolean;
  readonly parts: readonly {
    readonly instrument: string;
    readonly beats: readonly { readonly pattern: readonly number[]; readonly midi: number; readonly chord: boolean }[];
  }[];
}

const BARS = 3;

const drawn: fc.Arbitrary<Drawn> = fc.record({
  meter: fc.constantFrom(...METERS),
  fifths: fc.integer({ min: -7, max: 7 }),
  pickup: fc.boolean(),
  parts: fc.array(
    fc.record({
      instrument: fc.constantFrom(
        ...instruments.filter((item) => item.polyphony.kind !== 'unpitched').map((item) => item.id),
      ),
      beats: fc.array(
        fc.record({
          pattern: fc.constantFrom(...PATTERNS),
          midi: fc.integer({ min: 48, max: 84 }),
          chord: fc.boolean(),
        }),
        { minLength: 4, maxLength: 25 },
      ),
    }),
    { minLength: 1, maxLength: 3 },
  ),
});

/** Notes each of which lasts until the next one of its part, over bar lines too. */
function musicOf(part: Drawn['parts'][number], beat: number, start: number, end: number): string {
  const onsets = part.beats.flatMap(({ pattern, midi, chord }, index) =>
    pattern.map((place, order) => ({ at: start + (index + place) * beat, midi: midi + order, chord })),
  );
  const inside = onsets.filter((onset) => onset.at < end - 1e-6);
  return inside
    .flatMap(({ at, midi, chord }, index) => {
      const length = String((inside[index + 1]?.at ?? end) - at);
      return (chord ? [midi, midi + 4] : [midi]).map((key) => `${nameOf(key)}:${String(at)}:${length}`);
    })
    .join(' ');
}

function nameOf(midi: number): string {
  const names = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  return `${names[midi % 12] ?? 'C'}${String(Math.floor(midi / 12) - 1)}`;
}

function made({ meter, fifths, pickup, parts }: Drawn): Made {
  const beat = 4 / meter.denominator;
  const timeline = timelineOf(BARS, meter, 72, pickup ? beat : 0);
  const start = pickup ? -beat : 0;
  const end = BARS * meter.numerator * beat;
  const made = parts.map((part, index): Part =>
    partOf(part.instrument, musicOf(part, beat, start, end), timeline, { name: `Part ${String(index + 1)}` }),
  );
  return fullOf(stageOf(made, timeline), fifths);
}

describe('any score in MusicXML', () => {
  it('an independent reader finds the same sounds, names, starts and lengths, in bars that are full', () => {
    fc.assert(
      fc.property(drawn, (score) => {
        const { stage, written, xml } = made(score);
        const bars = scoreTimeOf(stage.timeline.bars);
        for (const [index, part] of readWithLibrary(xml).entries()) {
          expect(readLines(part.notes)).toEqual(writtenLines(written.parts[index]?.notes ?? [], bars.start));
          for (const [place, measure] of part.measures.entries()) {
            expect([...measure.voices.values()].every((sum) => sum === bars.bars[place]?.length)).toBe(true);
          }
        }
        // The reader's own checks: beams, tuplets, voices and ties that fit together.
        expect(validate(parse(xml)).errors).toEqual([]);
      }),
      { numRuns: 60, seed: 4 },
    );
  });

  it('what the written pitch and the transposition say together is what sounds', () => {
    fc.assert(
      fc.property(drawn, (score) => {
        const { stage, xml } = made(score);
        for (const [index, part] of readWithLibrary(xml).entries()) {
          const own = stage.parts[index]?.notes.map((note) => note.midi) ?? [];
          expect(part.notes.map((note) => midiOf(note.sounding)).sort()).toEqual([...own].sort());
        }
      }),
      { numRuns: 30, seed: 5 },
    );
  });

  it('notes at places that no figure can show still leave every bar full', () => {
    const timeline = timelineOf(BARS);
    const end = BARS * 1920;
    const raw = fc.record({
      start: fc.integer({ min: 0, max: end - 1 }),
      length: fc.integer({ min: 1, max: 3000 }),
      midi: fc.integer({ min: 0, max: 127 }),
      staff: fc.integer({ min: 1, max: 2 }),
      voice: fc.integer({ min: 1, max: 4 }),
    });
    fc.assert(
      fc.property(fc.array(raw, { maxLength: 30 }), (notes) => {
        const stage = stageOf([partOf('piano', 'C4:0:1', timeline)], timeline);
        const written = writtenOf(stage);
        const parts = written.parts.map((part) => ({
          ...part,
          notes: notes
            .map((note) => ({ ...note, pitch: plainSpelling(note.midi), played: 0 }))
            .sort((a, b) => a.start - b.start || a.midi - b.midi),
        }));
        const xml = fullScoreXml({ arrangement: arrangementOf([stage]), stage, written: { ...written, parts } });
        for (const part of readWithLibrary(xml)) {
          for (const measure of part.measures) {
            expect([...measure.voices.values()].every((sum) => sum === 1920)).toBe(true);
          }
        }
        expect(xml).not.toMatch(/NaN|undefined|<octave>(-|\d\d)/);
      }),
      { numRuns: 60, seed: 7 },
    );
  });

  it('is valid under the official schema', async () => {
    const documents = fc.sample(drawn, { numRuns: 25, seed: 6 }).map((score) => made(score).xml);
    const timeline = timelineOf(12);
    const stage = stageOf([], timeline);
    const reduced = reducedScoreXml({
      arrangement: arrangementOf([stage]),
      stage,
      written: { ...writtenOf(stage), reduced: demonstrationScore() },
    });
    expect(reduced).toContain('<measure');
    expect(await schemaErrors([...documents, reduced])).toEqual([]);
  });
});

describe('a clef that changes inside a bar, in MusicXML', () => {
  // Four beats low, then eighths round C5 from the third beat of bar 2 on.
  const climb =
    'C2:0:1 E2:1:1 G2:2:1 E2:3:1 C2:4:1 E2:5:1 A4:6:0.5 C5:6.5:0.5 B4:7:0.5 A4:7.5:0.5 ' +
    Array.from({ length: 8 }, (_, index) => `${['C5', 'D5', 'E5', 'B4'][index % 4] ?? ''}:${String(8 + index)}:1`).join(
      ' ',
    );

  it('stands in attributes of its own right before its note, once', () => {
    const { xml } = full([['cello', climb]], 0, timelineOf(4));
    const bar = /<measure number="2"[^>]*>(.*?)<\/measure>/s.exec(xml)?.[1] ?? '';
    const places = [...bar.matchAll(/<attributes><clef>|<step>/g)].map(([found]) => found);
    expect(places.indexOf('<attributes><clef>')).toBe(2);
    expect(count(xml, '<clef>')).toBe(2);
  });

  it('is valid, and no note moves', async () => {
    const { stage, written, xml } = full([['cello', climb]], 0, timelineOf(4));
    expect(await schemaErrors([xml])).toEqual([]);
    const origin = scoreTimeOf(stage.timeline.bars).start;
    const [part] = readWithLibrary(xml);
    expect(readLines(part?.notes ?? [])).toEqual(writtenLines(written.parts[0]?.notes ?? [], origin));
  });
});

// MusicXML 4.0: complex types `grace`, `ornaments`, `arpeggiate` and `octave-shift`. Read back with musicxml-io.
describe('ornaments in MusicXML', () => {
  /** A full score in which the notes of the first part have these signs, by index. */
  function ornamented(
    instrument: string,
    music: string,
    ornaments: Readonly<Record<number, Omit<NoteOrnament, 'covers'>>>,
    fifths = 0,
  ): Made {
    const timeline = timelineOf(2);
    const stage = stageOf([partOf(instrument, music, timeline)], timeline);
    const plain = writtenOf(stage);
    const parts = plain.parts.map((part) => ({
      ...part,
      notes: part.notes.map((note, index) => {
        const signs = ornaments[index];
        return signs === undefined ? note : { ...note, ornament: { ...signs, covers: [] } };
      }),
    }));
    const written = { ...plain, parts, keys: [keyOf(fifths, timeline)] };
    return { stage, written, xml: fullScoreXml({ arrangement: arrangementOf([stage]), stage, written }) };
  }
  const small = (midi: number) => ({ midi, pitch: plainSpelling(midi), played: 0 });

  it('one small note is an eighth with a stroke, several are sixteenths; they take no time', () => {
    const { stage, written, xml } = ornamented('flute', 'C5:0:1 D5:1:1 E5:2:2', {
      1: { graces: [small(76)] },
      2: { graces: [small(77), small(79)] },
    });
    expect(readOrnaments(xml)).toEqual(['small E5 eighth /', 'small F5 16th', 'small G5 16th']);
    const origin = scoreTimeOf(stage.timeline.bars).start;
    expect(readLines(readWithLibrary(xml)[0]?.notes ?? [])).toEqual(
      writtenLines(written.parts[0]?.notes ?? [], origin),
    );
  });

  it('a trill, a tremolo of three strokes and a chord rolled downwards are read as such', () => {
    const { xml } = ornamented('piano', 'C5:0:1 D5:1:1 E5:2:1 G5:2:1 C6:2:1', {
      0: { graces: [], sign: 'trill' },
      1: { graces: [], sign: 'tremolo' },
      2: { graces: [], roll: 'down' },
      3: { graces: [], roll: 'down' },
      4: { graces: [], roll: 'down' },
    });
    expect(readOrnaments(xml)).toEqual([
      'trill-mark C5',
      'tremolo 3 D5',
      'arpeggiate down E5',
      'arpeggiate down G5',
      'arpeggiate down C6',
    ]);
  });

  it('a dot is an articulation of its chord, said once', () => {
    const { xml } = ornamented('piano', 'C5:0:1 E5:0:1 D5:1:1', {
      0: { graces: [], staccato: true },
      1: { graces: [], staccato: true },
    });
    expect(count(xml, '<articulations><staccato/></articulations>')).toBe(1);
  });

  it('small notes are transposed with their part and have accidentals of their own', () => {
    const { xml } = ornamented('clarinet-bflat', 'C5:0:2', { 0: { graces: [small(71)] } });
    // Concert B4 before C5 is written C sharp 5 before D5, in D major, where the sharp is in the signature.
    expect(readOrnaments(xml)).toEqual(['small C#5 eighth /']);
    expect(count(xml, '<accidental>')).toBe(0);
    const flat = ornamented('flute', 'A4:0:2', { 0: { graces: [small(70)] } });
    expect(count(flat.xml, '<accidental>')).toBe(1);
  });

  it('all of them are valid', async () => {
    const all = ornamented('piano', 'C5:0:1 D5:1:1 E5:2:1 G5:2:1', {
      0: { graces: [small(71), small(73)], sign: 'trill' },
      1: { graces: [small(76)], sign: 'tremolo' },
      2: { graces: [small(75)], roll: 'up' },
      3: { graces: [], roll: 'up' },
    });
    const drum = ornamented('percussion-unpitched', 'D2:0:1 D2:1:1', { 1: { graces: [small(38)] } });
    expect(await schemaErrors([all.xml, drum.xml])).toEqual([]);
  });

  it('a passage under 8va is said, and its notes stay at their pitch', async () => {
    const high = Array.from(
      { length: 8 },
      (_, index) => `${['E7', 'F7', 'G7', 'A7'][index % 4] ?? ''}:${String(4 + index)}:1`,
    );
    const { xml } = full([['violin', `C5:0:4 ${high.join(' ')} C5:12:4`]], 0, timelineOf(4));
    expect(readDirections(xml)[0]).toEqual(['1920 staff 1 octave down', '5760 staff 1 octave stop']);
    expect(readWithLibrary(xml)[0]?.notes.filter((note) => note.sounding.octave === 7)).toHaveLength(8);
    expect(await schemaErrors([xml])).toEqual([]);
  });
});
