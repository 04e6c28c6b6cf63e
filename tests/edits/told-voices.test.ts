/**
 * A voice of a part that plays several at a time, given to a part that plays one. Common practice, no source: who takes the top line off the
 * piano and gives it to the recorder has neither thinned out the piano nor written the recorder anything new.
 */
import { describe, expect, it } from 'vitest';
import { line, notesIn, notesOutside, part, playedBy, sheet } from './story-music.ts';
import { toldSteps } from './told-stages.ts';
import type { Sheet, SheetNote } from './sheet.ts';

const top = line(71, 76, 4, 1);
const middle = line(72, 60, 4, 2);
const bass = line(73, 43, 4, 4);
const song = line(74, 64, 4, 2);
const piece = (piano: readonly SheetNote[], others: Sheet['parts'] = []): Sheet =>
  sheet(4, [...others, part(5, 'Voice', 52, song), part(6, 'Piano', 0, piano)]);
const whole = piece([...top, ...middle, ...bass]);

const recorder = (notes: readonly SheetNote[]): Sheet['parts'] => [part(1, 'Recorder', 74, playedBy(notes, 75, 0.02))];
const without = (voice: readonly SheetNote[]): readonly SheetNote[] =>
  [top, middle, bass].flatMap((own) => (own === voice ? notesOutside(own, 8, 11) : own));
const higher = (notes: readonly SheetNote[], semitones: number): readonly SheetNote[] =>
  notes.map((note) => ({ ...note, midi: note.midi + semitones }));

describe('a voice of the piano that another part has now', () => {
  it('was its top line, where the voices below it stay', async () => {
    const [step] = await toldSteps([whole, piece(without(top), recorder(notesIn(top, 8, 11)))]);
    expect(step!.sentences.slice(0, -1)).toEqual([
      'Recorder is new: it plays in bars 9–12.',
      'Recorder has the top line of Piano in bars 9–12 now.',
    ]);
    expect(step!.lead).toBe(
      'Stage 2 adds Recorder in bars 9–12; and gives the top line of Piano in bars 9–12 to Recorder.',
    );
  });

  it('was its top line also where the piano has broken chords there instead', async () => {
    const broken = notesIn(line(76, 48, 4, 0.5), 8, 11);
    const piano = [...[top, middle, bass].flatMap((own) => notesOutside(own, 8, 11)), ...broken];
    const [step] = await toldSteps([whole, piece(piano, recorder(higher(notesIn(top, 8, 11), 12)))]);
    expect(step!.sentences).toContain('Recorder has the top line of Piano in bars 9–12 now, an octave higher.');
    expect(step!.sentences).toContain('Piano: rewritten in bars 9–12.');
  });

  it('was its top line in all its bars, also in one between them in which the piano plays it still', async () => {
    const piano = [...without(top), ...notesIn(top, 9, 9)];
    const [step] = await toldSteps([whole, piece(piano, recorder(notesIn(top, 8, 11)))]);
    expect(step!.sentences).toContain('Recorder has the top line of Piano in bars 9–12 now.');
    const other = [...notesOutside(notesIn(top, 8, 11), 9, 9), ...notesIn(line(78, 72, 4, 1), 9, 9)];
    const [apart] = await toldSteps([whole, piece(piano, recorder(other))]);
    expect(apart!.sentences).toContain('Recorder has the top line of Piano in bars 9 and 11–12 now.');
  });

  it('was its top line also where it is much of what the piano had: no piano is divided into a piano and a recorder', async () => {
    const piano = [...notesOutside(top, 0, 11), ...middle, ...bass];
    const [step] = await toldSteps([whole, piece(piano, recorder(notesIn(top, 0, 11)))]);
    expect(step!.sentences.slice(0, -1)).toEqual([
      'Recorder is new: it plays in bars 1–12.',
      'Recorder has the top line of Piano in bars 1–12 now.',
    ]);
  });

  it('was its bass, where a bass takes that', async () => {
    const plucked = part(1, 'Bass', 32, playedBy(notesIn(bass, 8, 11), 75, 0.02));
    const [step] = await toldSteps([whole, piece(without(bass), [plucked])]);
    expect(step!.sentences.slice(0, -1)).toEqual([
      'Bass is new: it plays in bars 9–12.',
      'Bass has the bass line of Piano in bars 9–12 now.',
    ]);
  });

  it('is not the music of one who plays something else where the piano lost its top line', async () => {
    const other = notesIn(line(77, 72, 4, 1), 8, 11);
    const [step] = await toldSteps([whole, piece(without(top), recorder(other))]);
    expect(step!.sentences.slice(0, -1)).toEqual([
      'Recorder is new: it plays in bars 9–12.',
      'Piano: thinned out, the notes left as before in bars 9–12.',
    ]);
  });
});
