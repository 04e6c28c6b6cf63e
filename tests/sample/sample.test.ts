import tonejs from '@tonejs/midi';
import { mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, relative, resolve } from 'node:path';
import { Chord, Note } from 'tonal';
import { afterAll, describe, expect, it } from 'vitest';
import catalogue from '../../shared/instruments.json' with { type: 'json' };
import { FLAWS } from '../../sample-input/flaws.ts';
import { MARKERS, SLUG, writeSample } from '../../sample-input/make-sample.ts';
import { BARS, LAST_BAR, TOTAL_EIGHTHS, barAt, barOf, notesOf } from '../../sample-input/script/notation.ts';
import type { WrittenNote } from '../../sample-input/script/notation.ts';
import { tempoAt } from '../../sample-input/script/shape.ts';
import { PASSING, chordSpans } from '../../sample-input/script/solo.ts';
import { STAGES } from '../../sample-input/script/stages.ts';
import type { StagePlan } from '../../sample-input/script/stages.ts';

const SAMPLE = resolve('sample-input', SLUG);
const SPANS = chordSpans();

/** Catalogue id of each track, as a musician reads the names. */
const INSTRUMENTS: Readonly<Record<string, string>> = {
  'Piano solo': 'piano',
  'Violin I legato': 'violin',
  'Violin I pizz': 'violin',
  'Violin II': 'violin',
  'Vla.': 'viola',
  Violoncello: 'cello',
  Kontrabass: 'double-bass',
  Flöte: 'flute',
  'Clarinet in Bb': 'clarinet-bflat',
  Fagott: 'bassoon',
  'Horn in F': 'horn-f',
  Timpani: 'timpani',
};

function filesIn(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(folder, join(entry.parentPath, entry.name)))
    .sort();
}

interface PlayedTrack {
  readonly name: string;
  readonly channel: number;
  /** In eighths from the start of the pickup, key switches left out. */
  readonly notes: readonly {
    readonly midi: number;
    readonly start: number;
    readonly end: number;
    readonly velocity: number;
  }[];
  readonly switches: number;
  readonly controllers: Readonly<Record<number, readonly { readonly eighths: number; readonly setting: number }[]>>;
}

/** The tracks with notes of a stage as an independent reader finds them. */
function readStage(stage: StagePlan): PlayedTrack[] {
  return stage.files.flatMap((file) => {
    const midi = new tonejs.Midi(readFileSync(join(SAMPLE, file.path)));
    return midi.tracks
      .filter((track) => track.notes.length > 0)
      .map((track): PlayedTrack => {
        const eighths = (ticks: number): number => (ticks * 2) / midi.header.ppq;
        const controllers: Record<number, { eighths: number; setting: number }[]> = {};
        for (const changes of Object.values(track.controlChanges)) {
          for (const change of changes) {
            (controllers[change.number] ??= []).push({
              eighths: eighths(change.ticks),
              setting: Math.round(change.value * 127),
            });
          }
        }
        return {
          // The reader gives the bytes of a name as Latin-1 letters; the files are written in UTF-8.
          name: Buffer.from(track.name, 'latin1').toString('utf8'),
          channel: track.channel,
          notes: track.notes
            .filter((note) => note.midi > 13)
            .map((note) => ({
              midi: note.midi,
              start: eighths(note.ticks),
              end: eighths(note.ticks + note.durationTicks),
              velocity: Math.round(note.velocity * 127),
            })),
          switches: track.notes.filter((note) => note.midi <= 13).length,
          controllers,
        };
      });
  });
}

const READ = new Map(STAGES.map((stage) => [stage.name, readStage(stage)]));

function tracksOf(stage: StagePlan): PlayedTrack[] {
  return READ.get(stage.name) ?? [];
}

function trackOf(stage: StagePlan, name: string): PlayedTrack {
  const found = tracksOf(stage).find((track) => track.name === name);
  if (found === undefined) throw new Error(`${stage.name} has no track ${name}`);
  return found;
}

function lineOf(stage: StagePlan, name: string): WrittenNote[] {
  const plan = stage.files.flatMap((file) => file.tracks).find((track) => track.name === name);
  return plan === undefined ? [] : notesOf(plan.lines[0] ?? '');
}

function soundingAt(notes: readonly WrittenNote[], eighths: number): WrittenNote | undefined {
  return notes.find((note) => note.start <= eighths + 1e-9 && note.start + note.length > eighths + 1e-9);
}

function flawedBars(rule: string, part: string): (bar: number) => boolean {
  const flaws = FLAWS.filter((flaw) => flaw.rule === rule && flaw.parts.includes(part));
  return (bar) => flaws.some((flaw) => bar >= flaw.from && bar <= flaw.to);
}

const COMPLETE = STAGES.at(-1)!;
const EARLIER = STAGES.slice(0, -1);

describe('the sample folder', () => {
  const fresh = mkdtempSync(join(tmpdir(), 'sample-'));
  afterAll(() => {
    rmSync(fresh, { recursive: true, force: true });
  });

  it('is what its script writes, byte for byte', () => {
    writeSample(fresh);
    expect(filesIn(fresh)).toEqual(filesIn(SAMPLE));
    for (const file of filesIn(SAMPLE)) {
      expect(readFileSync(join(fresh, file)).equals(readFileSync(join(SAMPLE, file))), file).toBe(true);
    }
  });

  it('has one stage as a folder with one file a part, the others as single files, in two divisions', () => {
    expect(STAGES.map((stage) => stage.files.length)).toEqual([1, 7, 1, 1]);
    expect(new Set(STAGES.map((stage) => stage.ticksPerQuarter)).size).toBe(2);
  });

  it('grows from the solo to ten ensemble parts', () => {
    const names = STAGES.map(
      (stage) => new Set(tracksOf(stage).map((track) => track.name.replace(/ (legato|pizz)$/, ''))),
    );
    expect(names.map((set) => set.size)).toEqual([1, 6, 9, 11]);
  });
});

describe('bars, tempo and sections', () => {
  const conducted = STAGES.map((stage) => new tonejs.Midi(readFileSync(join(SAMPLE, stage.files[0]!.path))));

  it('a pickup of three eighths stands before 48 bars', () => {
    for (const midi of conducted) {
      const meters = midi.header.timeSignatures.map((change) => change.timeSignature.join('/'));
      expect(meters).toEqual(['3/8', '6/8', '9/8', '5/4', '6/8', '9/8', '6/8']);
      // 3/8, then 34 bars of 6/8, 2 of 9/8 and 12 of 5/4: in eighths.
      const eighths = 3 + 34 * 6 + 2 * 9 + 12 * 10;
      expect(34 + 2 + 12).toBe(LAST_BAR);
      expect(TOTAL_EIGHTHS).toBe(eighths);
      const last = Math.max(...midi.tracks.flatMap((track) => track.notes.map((note) => note.ticks)));
      expect((last * 2) / midi.header.ppq).toBeLessThan(eighths);
      expect((last * 2) / midi.header.ppq).toBeGreaterThan(eighths - 14);
    }
  });

  it('markers name the sections at the bars where they begin', () => {
    for (const midi of conducted) {
      const markers = midi.header.meta
        .filter((meta) => meta.type === 'marker')
        .map((meta) => ({ bar: barAt((meta.ticks * 2) / midi.header.ppq).number, name: meta.text }));
      expect(markers).toEqual(MARKERS);
    }
  });

  it('the middle section is slower and both ends of it slow down first', () => {
    expect(tempoAt(barOf(17).start)).toBeLessThan(tempoAt(barOf(14).start));
    expect(tempoAt(barOf(16).start + 6)).toBeLessThan(tempoAt(barOf(15).start));
    expect(tempoAt(barOf(28).start + 4)).toBeLessThan(tempoAt(barOf(26).start));
    expect(tempoAt(barOf(48).start)).toBeLessThan(tempoAt(barOf(43).start));
    for (const midi of conducted) expect(midi.header.tempos.length).toBeGreaterThan(15);
  });

  it('G minor and E flat major are stated by their signatures', () => {
    for (const midi of conducted) {
      expect(midi.header.keySignatures.map((key) => `${key.key} ${key.scale}`)).toEqual([
        'Bb minor',
        'Eb major',
        'Bb minor',
      ]);
    }
  });
});

describe.each(STAGES.map((stage) => ({ title: stage.name, stage })))('$title', ({ stage }) => {
  const isLast = stage === COMPLETE;

  it('no note lies outside what a professional reaches, but where that is the flaw', () => {
    for (const track of tracksOf(stage)) {
      const record = catalogue.instruments.find((instrument) => instrument.id === INSTRUMENTS[track.name]);
      const range = record?.absoluteRange;
      if (range === undefined) throw new Error(`no range for ${track.name}`);
      const known = isLast ? flawedBars('outside-range', track.name) : () => false;
      for (const note of track.notes) {
        const bar = barAt(note.start + 0.25).number;
        if (note.midi < range.low || note.midi > range.high) {
          expect(known(bar), `${track.name} bar ${bar}: ${Note.fromMidi(note.midi)}`).toBe(true);
        }
      }
    }
  });

  // Chord tones from the tonal library, not from our script.
  it('every held note is a tone of the chord that is planned for it', () => {
    for (const track of tracksOf(stage)) {
      const late = isLast && track.name === 'Vla.' ? 0.15 : 0;
      for (const note of track.notes) {
        const start = note.start - late;
        if (note.end - note.start < 1.6) continue;
        for (const span of SPANS) {
          const overlap = Math.min(note.end - late, span.start + span.length) - Math.max(start, span.start);
          if (overlap < 0.8) continue;
          const tones = Chord.get(span.symbol).notes.map((name) => Note.chroma(name));
          expect(tones.length, span.symbol).toBeGreaterThan(2);
          const passing = PASSING.some((each) => each.bar === span.bar && Note.midi(each.name) === note.midi);
          if (passing) continue;
          expect(tones, `${track.name} bar ${span.bar} ${span.symbol}: ${Note.fromMidi(note.midi)}`).toContain(
            note.midi % 12,
          );
        }
      }
    }
  });

  it('the lowest note of every chord is the bass that is planned', () => {
    const plans = stage.files.flatMap((file) => file.tracks).flatMap((track) => track.lines.flatMap(notesOf));
    for (const span of SPANS) {
      const sounding = plans.filter(
        (note) => note.start < span.start + span.length && note.start + note.length > span.start,
      );
      const lowest = Math.min(...sounding.map((note) => note.midi));
      expect(lowest % 12, `bar ${span.bar} ${span.symbol}`).toBe(Note.chroma(span.bass));
    }
  });

  it('root and third of every chord sound', () => {
    const plans = stage.files.flatMap((file) => file.tracks).flatMap((track) => track.lines.flatMap(notesOf));
    for (const span of SPANS) {
      const classes = new Set(
        plans
          .filter((note) => note.start < span.start + span.length && note.start + note.length > span.start)
          .map((note) => note.midi % 12),
      );
      const [root, third] = Chord.get(span.symbol).notes.map((name) => Note.chroma(name));
      expect([classes.has(root!), classes.has(third!)], `bar ${span.bar} ${span.symbol}`).toEqual([true, true]);
    }
  });

  it('nothing sounds above the tune, but the flute in the reprise and where that is the flaw', () => {
    const tune = lineOf(stage, 'Piano solo');
    for (const plan of stage.files.flatMap((file) => file.tracks).filter((track) => track.name !== 'Piano solo')) {
      const flaw = isLast ? flawedBars('background-above-melody', plan.name) : () => false;
      for (const note of plan.lines.flatMap(notesOf)) {
        for (let at = note.start; at < note.start + note.length; at += 0.5) {
          const top = soundingAt(tune, at);
          const bar = barAt(at).number;
          const meant = plan.name === 'Flöte' && ((bar >= 29 && bar <= 40) || (bar === 17 && !isLast));
          if (top === undefined || meant || flaw(bar)) continue;
          expect(note.midi, `${plan.name} bar ${bar}`).toBeLessThanOrEqual(top.midi);
        }
      }
    }
  });

  // Common practice (four-part writing): two parts do not move in parallel fifths or octaves.
  it('the strings have no parallel fifths or octaves among one another', () => {
    const names = ['Violin I legato', 'Violin II', 'Vla.', 'Violoncello', 'Kontrabass'];
    const lines = names.map((name) => ({ name, notes: lineOf(stage, name) })).filter((line) => line.notes.length > 0);
    const found: string[] = [];
    lines.forEach((upper, index) => {
      for (const lower of lines.slice(index + 1)) {
        // Basses double the cellos an octave lower: that is what they are for.
        if (upper.name === 'Violoncello') continue;
        const moments = [...new Set([...upper.notes, ...lower.notes].map((note) => note.start))].sort((a, b) => a - b);
        for (const at of moments) {
          const [here, there] = [soundingAt(upper.notes, at), soundingAt(lower.notes, at)];
          const [before, beneath] = [soundingAt(upper.notes, at - 0.5), soundingAt(lower.notes, at - 0.5)];
          if (here === undefined || there === undefined || before === undefined || beneath === undefined) continue;
          if (here.midi === before.midi || there.midi === beneath.midi) continue;
          const now = (((here.midi - there.midi) % 12) + 12) % 12;
          const then = (((before.midi - beneath.midi) % 12) + 12) % 12;
          const sameWay = Math.sign(here.midi - before.midi) === Math.sign(there.midi - beneath.midi);
          const bar = barAt(at).number;
          if (isLast && FLAWS.some((flaw) => flaw.music !== undefined && bar >= flaw.from && bar <= flaw.to)) continue;
          if (sameWay && now === then && (now === 0 || now === 7)) found.push(`${upper.name}/${lower.name} bar ${bar}`);
        }
      }
    });
    expect(found).toEqual([]);
  });

  it('onsets wander about as much as a good player: 8 to 12 ms around the written place', () => {
    const wander: number[] = [];
    for (const track of tracksOf(stage)) {
      const plan = stage.files.flatMap((file) => file.tracks).find((each) => each.name === track.name)!;
      const line = plan.lines.flatMap(notesOf);
      const offsets = track.notes.map((note) => {
        const near = line.reduce((best, each) =>
          Math.abs(each.start - note.start) < Math.abs(best.start - note.start) ? each : best,
        );
        return ((note.start - near.start) / 2) * (60_000 / tempoAt(near.start));
      });
      const mean = offsets.reduce((sum, each) => sum + each, 0) / offsets.length;
      wander.push(...offsets.map((each) => each - mean));
      const late = FLAWS.some((flaw) => isLast && flaw.rule === 'late-part' && flaw.parts.includes(track.name));
      expect(Math.abs(mean - (late ? 55 : 0)), track.name).toBeLessThan(6);
    }
    const deviation = Math.sqrt(wander.reduce((sum, each) => sum + each ** 2, 0) / wander.length);
    expect(deviation).toBeGreaterThan(8);
    expect(deviation).toBeLessThan(12);
  });
});

describe('the plan of entries', () => {
  function firstBar(stage: StagePlan, name: string): number {
    return barAt(trackOf(stage, name).notes[0]!.start + 0.25).number;
  }

  it('the first phrase is the solo alone, the strings answer, the basses wait for the second half', () => {
    const strings = STAGES[1]!;
    expect(firstBar(strings, 'Piano solo')).toBe(0);
    for (const name of ['Violin I legato', 'Violin II', 'Vla.', 'Violoncello']) expect(firstBar(strings, name)).toBe(5);
    expect(firstBar(strings, 'Kontrabass')).toBe(9);
  });

  it('the flute waits for the reprise once its early idea is taken out', () => {
    expect(firstBar(STAGES[2]!, 'Flöte')).toBe(16);
    expect(firstBar(COMPLETE, 'Flöte')).toBe(29);
  });

  it('key switches stand outside the music, two octaves and more below the instrument', () => {
    expect(trackOf(COMPLETE, 'Violin I legato').switches).toBe(2);
    expect(trackOf(COMPLETE, 'Violin I pizz').switches).toBe(1);
    expect(trackOf(COMPLETE, 'Vla.').switches).toBe(1);
  });
});

describe('the deliberate flaws are in the last stage and not before', () => {
  const expression = (name: string, from: number, to: number): number[] =>
    (trackOf(COMPLETE, name).controllers[11] ?? [])
      .filter(
        (point) => point.eighths >= barOf(from).start - 0.1 && point.eighths < barOf(to).start + barOf(to).length - 2,
      )
      .map((point) => point.setting);

  /** Mean setting of controller 1 over bars, or NaN where it is not there. */
  function modulation(stage: StagePlan, name: string, from: number, to: number): number {
    const points = (trackOf(stage, name).controllers[1] ?? []).filter(
      (point) => point.eighths >= barOf(from).start && point.eighths < barOf(to).start + barOf(to).length,
    );
    return points.reduce((sum, point) => sum + point.setting, 0) / points.length;
  }

  it('F sharp 3 for second violins, a semitone under the open string, and B flat 3 for a flute', () => {
    const lowest = (stage: StagePlan, name: string): number =>
      Math.min(...trackOf(stage, name).notes.map((note) => note.midi));
    expect(lowest(COMPLETE, 'Violin II')).toBe(Note.midi('F#3'));
    expect(lowest(COMPLETE, 'Flöte')).toBe(Note.midi('Bb3'));
    expect(lowest(STAGES[2]!, 'Violin II')).toBeGreaterThanOrEqual(Note.midi('G3')!);
    expect(lowest(STAGES[2]!, 'Flöte')).toBeGreaterThanOrEqual(Note.midi('C4')!);
  });

  it('second violins over firsts in bars 9-12', () => {
    expect(modulation(COMPLETE, 'Violin II', 9, 12)).toBeGreaterThan(
      modulation(COMPLETE, 'Violin I legato', 9, 12) + 30,
    );
    expect(modulation(STAGES[2]!, 'Violin II', 9, 12)).toBeLessThan(modulation(STAGES[2]!, 'Violin I legato', 9, 12));
  });

  it('strings at full force under a soft solo in bars 21-24', () => {
    expect(modulation(COMPLETE, 'Violin I legato', 21, 24)).toBeGreaterThan(100);
    expect(modulation(STAGES[2]!, 'Violin I legato', 21, 24)).toBeLessThan(70);
    const soft = trackOf(COMPLETE, 'Piano solo').notes.filter((note) =>
      [21, 22, 23, 24].includes(barAt(note.start + 0.2).number),
    );
    expect(Math.max(...soft.map((note) => note.velocity))).toBeLessThan(65);
  });

  it('a horn at expression zero in bars 25-28 that is heard from bar 37 on', () => {
    expect((trackOf(COMPLETE, 'Horn in F').controllers[11] ?? [])[0]?.setting).toBe(0);
    expect(Math.max(0, ...expression('Horn in F', 25, 28))).toBe(0);
    expect(Math.max(...expression('Horn in F', 37, 40))).toBeGreaterThan(80);
  });

  it('two notes at once for one bassoon in bar 42 and nowhere else', () => {
    const notes = trackOf(COMPLETE, 'Fagott').notes;
    const together = notes.filter((note, index) =>
      notes.some(
        (other, at) => at !== index && Math.min(note.end, other.end) - Math.max(note.start, other.start) > 0.5,
      ),
    );
    expect([...new Set(together.map((note) => barAt(note.start + 0.2).number))]).toEqual([42]);
  });

  it('the soloist stops before the strings in the last stage and together with them before', () => {
    const end = (stage: StagePlan, name: string): number =>
      Math.max(...trackOf(stage, name).notes.map((note) => note.end));
    expect(end(COMPLETE, 'Violoncello') - end(COMPLETE, 'Piano solo')).toBeGreaterThan(6);
    for (const stage of EARLIER.slice(1))
      expect(end(stage, 'Piano solo')).toBeGreaterThanOrEqual(end(stage, 'Violoncello'));
    const pedal = trackOf(COMPLETE, 'Piano solo').controllers[64] ?? [];
    expect(pedal.at(-1)?.setting).toBe(0);
    expect(pedal.at(-1)!.eighths).toBeLessThan(barOf(47).start + 3);
  });

  it('every bar that is named exists, and every part is a track of the last stage', () => {
    const names = new Set(tracksOf(COMPLETE).map((track) => track.name));
    for (const flaw of FLAWS) {
      expect(flaw.from).toBeLessThanOrEqual(flaw.to);
      expect(BARS.at(-1)!.number).toBeGreaterThanOrEqual(flaw.to);
      for (const part of flaw.parts) expect(names).toContain(part);
    }
  });
});
