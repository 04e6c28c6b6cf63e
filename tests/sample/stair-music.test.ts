/** The second sample proof-read as a harmony teacher would, from its script and from the files as an independent reader finds them. */
import tonejs from '@tonejs/midi';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import catalogue from '../../shared/instruments.json' with { type: 'json' };
import { notesIn } from '../../sample-input/notation.ts';
import type { WrittenNote } from '../../sample-input/notation.ts';
import { STAIR_CLOCK } from '../../sample-input/stair.ts';
import { STAIR_BARS, stairChords } from '../../sample-input/stair-music.ts';
import { STAIR_STAGES } from '../../sample-input/stair-stages.ts';
import type { StagePlan } from '../../sample-input/stages.ts';
import { MENDED, STAIR_FOLDER, STAIR_INSTRUMENTS, isFlawed, leaderIn, plansOf, scriptOf } from './stair-support.ts';

const SPANS = stairChords();

function barAt(eighths: number): number {
  return STAIR_BARS.findLast((bar) => bar.start <= eighths + 1e-9)!.number;
}

function soundingAt(notes: readonly WrittenNote[], eighths: number): WrittenNote | undefined {
  return notes.find((note) => note.start <= eighths + 1e-9 && note.start + note.length > eighths + 1e-9);
}

function overlaps(note: WrittenNote, span: { start: number; length: number }): boolean {
  return note.start < span.start + span.length - 1e-9 && note.start + note.length > span.start + 1e-9;
}

function allNotes(stage: StagePlan): WrittenNote[] {
  return plansOf(stage).flatMap((plan) => scriptOf(stage, plan.name));
}

describe.each(STAIR_STAGES.map((stage) => ({ title: stage.name, stage })))('$title', ({ stage }) => {
  it('keeps every part inside what a professional reaches, but where that is the flaw', () => {
    for (const plan of plansOf(stage)) {
      const record = catalogue.instruments.find((each) => each.id === STAIR_INSTRUMENTS[plan.name]);
      const range = record!.extremeRange!;
      for (const note of scriptOf(stage, plan.name)) {
        if (isFlawed(stage, note.bar, 'outside-range') && plan.name === 'Violino II') continue;
        expect(note.midi, `${plan.name} bar ${note.bar}`).toBeGreaterThanOrEqual(range.low);
        expect(note.midi, `${plan.name} bar ${note.bar}`).toBeLessThanOrEqual(range.high);
      }
    }
  });

  // Chord tones from the tonal library, not from our script.
  it('every note of a quarter or more is a tone of the chord that is planned for it', () => {
    for (const plan of plansOf(stage)) {
      for (const note of scriptOf(stage, plan.name).filter((each) => each.length >= 2)) {
        for (const span of SPANS.filter((each) => overlaps(note, each))) {
          if (isFlawed(stage, span.bar)) continue;
          const tones = Chord.get(span.symbol).notes.map((name) => Note.chroma(name));
          expect(tones.length, span.symbol).toBeGreaterThan(2);
          const meant = [...tones, Note.chroma(span.bass)];
          expect(meant, `${plan.name} bar ${span.bar} ${span.symbol}: ${note.name}`).toContain(note.midi % 12);
        }
      }
    }
  });

  it('has the planned bass at the bottom of every chord, and its root and third', () => {
    for (const span of SPANS) {
      if (isFlawed(stage, span.bar)) continue;
      const sounding = allNotes(stage).filter((note) => overlaps(note, span));
      const lowest = Math.min(...sounding.map((note) => note.midi));
      expect(lowest % 12, `bar ${span.bar} ${span.symbol}`).toBe(Note.chroma(span.bass));
      const classes = new Set(sounding.map((note) => note.midi % 12));
      const [root, third] = Chord.get(span.symbol).notes.map((name) => Note.chroma(name));
      expect([classes.has(root!), classes.has(third!)], `bar ${span.bar} ${span.symbol}`).toEqual([true, true]);
    }
  });

  it('has nothing above the tune, whoever has it, but where that is the flaw', () => {
    for (const plan of plansOf(stage)) {
      for (const note of scriptOf(stage, plan.name)) {
        for (let at = note.start; at < note.start + note.length - 1e-9; at += 0.5) {
          const bar = barAt(at);
          const leader = leaderIn(bar);
          const top = soundingAt(scriptOf(stage, leader), at);
          if (plan.name === leader || top === undefined || isFlawed(stage, bar, 'background-above-melody')) continue;
          expect(note.midi, `${plan.name} bar ${bar}`).toBeLessThanOrEqual(top.midi);
        }
      }
    }
  });

  // Common practice (four-part writing): two parts do not move in parallel fifths or octaves. The harp doubles and is left out.
  it('the clarinet and the strings have no parallel fifths or octaves among one another', () => {
    const names = ['Clarinetto in La', 'Violino I', 'Violino II', 'Viola', 'Violoncello'];
    const lines = names.map((name) => ({ name, notes: scriptOf(stage, name) })).filter((line) => line.notes.length > 0);
    const found: string[] = [];
    lines.forEach((upper, index) => {
      for (const lower of lines.slice(index + 1)) {
        const moments = [...new Set([...upper.notes, ...lower.notes].map((note) => note.start))].sort((a, b) => a - b);
        for (const at of moments) {
          const [here, there] = [soundingAt(upper.notes, at), soundingAt(lower.notes, at)];
          const [before, beneath] = [soundingAt(upper.notes, at - 0.5), soundingAt(lower.notes, at - 0.5)];
          if (here === undefined || there === undefined || before === undefined || beneath === undefined) continue;
          if (here.midi === before.midi || there.midi === beneath.midi || isFlawed(stage, barAt(at))) continue;
          const now = Math.abs(here.midi - there.midi) % 12;
          const then = Math.abs(before.midi - beneath.midi) % 12;
          const sameWay = Math.sign(here.midi - before.midi) === Math.sign(there.midi - beneath.midi);
          if (sameWay && now === then && (now === 0 || now === 7)) {
            found.push(`${upper.name}/${lower.name} bar ${String(barAt(at))}`);
          }
        }
      }
    });
    expect(found).toEqual([]);
  });

  // Common practice, no source: inner lines move by step and small leaps.
  it('no upper string leaps more than a sixth within a phrase', () => {
    for (const name of ['Violino I', 'Violino II', 'Viola']) {
      const notes = scriptOf(stage, name);
      notes.slice(1).forEach((note, index) => {
        const before = notes[index]!;
        if (
          note.start - before.start - before.length > 1e-9 ||
          isFlawed(stage, note.bar) ||
          isFlawed(stage, before.bar)
        )
          return;
        expect(Math.abs(note.midi - before.midi), `${name} bar ${note.bar}`).toBeLessThanOrEqual(9);
      });
    }
  });

  // Seconds of a breath at mf from the catalogue (there with its source).
  it('leaves the clarinet room to breathe, but where that is the flaw', () => {
    const breath = catalogue.instruments.find((each) => each.id === 'clarinet-a')!.breathSeconds!.mf;
    let seconds = 0;
    let longest = 0;
    let end = -1;
    for (const note of scriptOf(stage, 'Clarinetto in La')) {
      if (note.start > end + 0.9) seconds = 0;
      seconds += (note.length / 2) * (60 / STAIR_CLOCK.tempoAt(note.start));
      end = note.start + note.length;
      longest = Math.max(longest, seconds);
    }
    if (isFlawed(stage, 30, 'breath')) expect(longest).toBeGreaterThan(breath);
    else expect(longest).toBeLessThan(breath);
  });

  it('gives the harpist at most four notes a hand, and one pedal setting for each letter in a bar', () => {
    for (const bar of STAIR_BARS) {
      const notes = scriptOf(stage, 'Arpa').filter((note) => note.bar === bar.number);
      for (const note of notes) {
        expect(notes.filter((other) => other.start === note.start).length).toBeLessThanOrEqual(8);
      }
      // Half a bar is where bars 23 and 24 change A; no letter has two settings within it.
      for (const half of [0, 1]) {
        const heard = notes.filter((note) => Math.floor(((note.start - bar.start) * 2) / bar.length) === half);
        const settings = new Map<string, Set<string>>();
        for (const { name } of heard) {
          const letter = name.slice(0, 1);
          settings.set(letter, (settings.get(letter) ?? new Set()).add(name.replace(/\d/, '')));
        }
        for (const [letter, names] of settings) expect([...names], `bar ${bar.number}, ${letter}`).toHaveLength(1);
      }
    }
  });
});

describe('the files of the last stage as an independent reader finds them', () => {
  const files = MENDED.files.map((file) => ({
    plan: file.tracks[0]!,
    midi: new tonejs.Midi(readFileSync(join(STAIR_FOLDER, file.path))),
  }));

  it('each holds one part and the whole map of tempo, meter and key', () => {
    for (const { plan, midi } of files) {
      expect(midi.tracks.filter((track) => track.notes.length > 0).map((track) => track.name)).toEqual([plan.name]);
      expect(midi.header.timeSignatures.map((change) => change.timeSignature.join('/'))).toEqual([
        '1/4',
        '3/4',
        '4/4',
        '6/8',
        '3/4',
      ]);
      expect(midi.header.tempos.length).toBeGreaterThan(10);
      expect(midi.header.keySignatures.map((key) => key.scale)).toEqual(['major', 'minor', 'major']);
    }
  });

  it('onsets wander about as much as a good player: 8 to 12 ms around the written place', () => {
    const wander: number[] = [];
    for (const { plan, midi } of files) {
      const script = plan.lines.flatMap((line) => notesIn(STAIR_CLOCK.bars, line));
      const played = midi.tracks.find((track) => track.notes.length > 0)!.notes;
      const offsets = played.map((note) => {
        const start = (note.ticks * 2) / midi.header.ppq;
        const near = script
          .filter((each) => each.midi === note.midi)
          .reduce((best, each) => (Math.abs(each.start - start) < Math.abs(best.start - start) ? each : best));
        return ((start - near.start) / 2) * (60_000 / STAIR_CLOCK.tempoAt(near.start));
      });
      const mean = offsets.reduce((sum, each) => sum + each, 0) / offsets.length;
      expect(Math.abs(mean - (plan.latenessMs ?? 0)), plan.name).toBeLessThan(6);
      wander.push(...offsets.map((each) => each - mean));
    }
    const deviation = Math.sqrt(wander.reduce((sum, each) => sum + each ** 2, 0) / wander.length);
    expect(deviation).toBeGreaterThan(8);
    expect(deviation).toBeLessThan(12);
  });
});
