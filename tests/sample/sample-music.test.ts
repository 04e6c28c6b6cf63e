import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import catalogue from '../../shared/instruments.json' with { type: 'json' };
import { FLAWS } from '../../sample-input/flaws.ts';
import { barAt, notesOf } from '../../sample-input/notation.ts';
import { tempoAt } from '../../sample-input/shape.ts';
import { PASSING, chordSpans } from '../../sample-input/solo.ts';
import { STAGES } from '../../sample-input/stages.ts';
import { COMPLETE, INSTRUMENTS, flawedBars, lineOf, soundingAt, tracksOf } from './sample-support.ts';

const SPANS = chordSpans();

describe.each(STAGES.map((stage) => ({ title: stage.name, stage })))('$title', ({ stage }) => {
  const isLast = stage === COMPLETE;

  it('no note lies outside what a professional reaches, but where that is the flaw', () => {
    for (const track of tracksOf(stage)) {
      const record = catalogue.instruments.find((instrument) => instrument.id === INSTRUMENTS[track.name]);
      const range = record?.extremeRange;
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

  // Seconds of a breath at mf from the catalogue (there with its source).
  it('every wind line leaves room to breathe', () => {
    for (const plan of stage.files.flatMap((file) => file.tracks).filter((track) => track.touch === 'blown')) {
      const record = catalogue.instruments.find((instrument) => instrument.id === INSTRUMENTS[plan.name]);
      const breath = record?.breathSeconds?.mf;
      if (breath === undefined) throw new Error(`no breath for ${plan.name}`);
      let seconds = 0;
      let end = -1;
      for (const note of plan.lines.flatMap(notesOf)) {
        if (note.start > end + 0.4) seconds = 0;
        seconds += (note.length / 2) * (60 / tempoAt(note.start));
        end = note.start + note.length;
        expect(seconds, `${plan.name} bar ${note.bar}`).toBeLessThan(breath);
      }
    }
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
