/**
 * What an arranger did, in the words that an arranger would use for it. Common practice, no source: a section that sings in unison and is
 * parted at the end was divided, and two hands on two tracks are one piano.
 */
import { describe, expect, it } from 'vitest';
import { line, notesIn, notesOutside, part, playedBy, sheet, withPart } from './story-music.ts';
import { seeded } from '../support/playing.ts';
import { strips, toldSteps } from './told-stages.ts';
import type { Sheet, SheetNote, SheetPart } from './sheet.ts';

const soprano = line(61, 67, 4, 1);
const alto = line(62, 60, 4, 2);
const choir = (sopranos: readonly SheetPart[]): Sheet =>
  sheet(4, [...sopranos, part(5, 'Alt', 52, alto), part(6, 'Bass', 52, line(63, 43, 4, 2))]);

describe('a part that was divided', () => {
  const whole = choir([part(0, 'Sopran', 52, soprano)]);
  const own = [...notesOutside(soprano, 12, 15), ...notesIn(line(64, 60, 4, 2), 12, 15)];
  const parted = choir([part(0, 'Sopran 1', 52, soprano), part(1, 'Sopran 2', 52, playedBy(own, 65, 0.02))]);

  it('in unison but for some bars is told as divided, and no part as new or doubling', async () => {
    const [step] = await toldSteps([whole, parted]);
    expect(step!.lead).toBe(
      'Stage 2 divides Sopran into Sopran 1 and Sopran 2, with notes of its own for Sopran 2 in bars 13–16.',
    );
    expect(step!.sentences.slice(0, 2)).toEqual([
      'Sopran was divided: its notes are with Sopran 1 and Sopran 2 now.',
      'Sopran 2 has notes of its own in bars 13–16.',
    ]);
  });

  it('in unison but for the bars in which it had two notes has the same notes still', async () => {
    const divisi = notesIn(soprano, 13, 15).map((note) => ({ ...note, midi: note.midi - 4 }));
    const [step] = await toldSteps([
      choir([part(0, 'Violinen', 40, [...soprano, ...divisi])]),
      choir([
        part(0, 'Violine 1', 40, soprano),
        part(1, 'Violine 2', 40, playedBy([...notesOutside(soprano, 13, 15), ...divisi], 65, 0.02)),
      ]),
    ]);
    expect(step!.sentences).toEqual(['Violinen were divided: their notes are with Violine 1 and Violine 2 now.']);
  });

  it('whose second desk comes in later was not there before: it neither rests nor enters elsewhere, and its bars are the later ones alone', async () => {
    const long = notesIn(line(68, 60, 4, 4), 9, 10);
    const second = [...notesIn(soprano, 8, 8), ...long, ...notesIn(soprano, 11, 15)];
    const [step] = await toldSteps([
      whole,
      choir([part(0, 'Sopran I', 52, soprano), part(1, 'Sopran II', 52, playedBy(second, 65, 0.02))]),
    ]);
    expect(step!.sentences).toEqual([
      'Sopran was divided: its notes are with Sopran I, and Sopran II joins in bars 9–16.',
      'Sopran II has notes of its own in bars 10–11.',
      'In all, 2 of 16 bars differ: bars 10–11.',
    ]);
    expect(step!.lead).toBe(
      'Stage 2 divides Sopran into Sopran I and Sopran II, with notes of its own for Sopran II in bars 10–11.',
    );
  });

  it('while another was given notes is told over the picture with the bars of those notes, as in the list, and alone with all of its own', async () => {
    const desks = [part(0, 'Sopran 1', 52, soprano), part(1, 'Sopran 2', 52, playedBy(soprano, 65, 0.02))];
    const organ = part(2, 'Orgel', 19, notesIn(line(69, 48, 4, 2), 4, 7));
    const [alone] = await strips([choir([part(0, 'Sopran', 52, soprano)]), choir(desks)]);
    expect(alone).toBe('Something was done to 2 of 4 parts, throughout.');
    const [both] = await strips([choir([part(0, 'Sopran', 52, soprano)]), choir([...desks, organ])]);
    expect(both).toBe('Something was done to 3 of 5 parts, in bars 5–8.');
  });

  it('and is put together again is told as joined', async () => {
    const unison = choir([part(0, 'Sopran 1', 52, soprano), part(1, 'Sopran 2', 52, playedBy(soprano, 66, 0.02))]);
    const [step] = await toldSteps([unison, whole]);
    expect(step!.lead).toBe('Stage 2 joins Sopran 1 and Sopran 2 in Sopran.');
  });

  it('is none where another instrument plays the line too', async () => {
    const more = withPart(choir([part(0, 'Sopran 1', 52, soprano)]), 'Bass', (one) => [
      one,
      part(7, 'Violine 2', 40, playedBy(soprano, 67, 0.02)),
    ]);
    const [step] = await toldSteps([whole, more]);
    expect(step!.lead).toMatch(/^Stage 2 adds Violine 2 .*renames Sopran to Sopran 1\.$/);
  });
});

// On an organ the feet play a line of their own; common practice, no source.
describe('an organ whose pedal was put on a track of its own', () => {
  const organ = (names: readonly (readonly [string, boolean, boolean])[]): Sheet => {
    const manuals = line(75, 64, 8, 1);
    const feet = line(76, 38, 8, 2);
    return sheet(8, [
      part(0, 'Trompete 1', 56, line(77, 67, 8, 1)),
      ...names.map(([name, hasHands, hasFeet], index) =>
        part(1 + index, name, 19, [...(hasHands ? manuals : []), ...(hasFeet ? feet : [])]),
      ),
    ]);
  };

  it.each([
    ['Orgel', 'Orgel Manual', 'Orgel Pedal'],
    ['Organ', 'Organ Manuals', 'Organ Pedals'],
  ])('is told as divided between its tracks and keeps its name: %s', async (whole, hands, pedal) => {
    const [step] = await toldSteps([
      organ([[whole, true, true]]),
      organ([
        [hands, true, false],
        [pedal, false, true],
      ]),
    ]);
    expect(step!.lead).toContain(`divide`);
    expect(step!.lead).toContain(hands);
    expect(step!.lead).toContain(pedal);
    expect(step!.lead).not.toMatch(/renames|is called|is new|adds|rewrites/u);
  });
});

describe('parts that have other names', () => {
  it('are all counted over the picture, those too to which something else was done', async () => {
    const [strip] = await strips([
      choir([part(0, 'Sopran', 52, soprano)]),
      sheet(4, [
        part(0, 'Sopran 1', 52, notesOutside(soprano, 8, 11)),
        part(5, 'Alt 1', 52, alto),
        part(6, 'Bass', 52, line(63, 43, 4, 2)),
      ]),
    ]);
    expect(strip).toContain('Something was done to 1 of 3 parts, in bars 9–12; 2 parts have another name.');
  });
});

describe('a piano whose hands were recorded apart', () => {
  const hands = (names: readonly (readonly [string, boolean, boolean])[]): Sheet => {
    const right = line(71, 67, 4, 0.5);
    const left = line(72, 41, 4, 2);
    return sheet(4, [
      part(0, 'Voice', 53, line(73, 65, 4, 1)),
      ...names.map(([name, hasRight, hasLeft], index) =>
        part(1 + index, name, 0, [...(hasRight ? right : []), ...(hasLeft ? left : [])]),
      ),
    ]);
  };
  const one = hands([['Piano', true, true]]);
  const two = hands([
    ['Pno RH', true, false],
    ['Pno LH', false, true],
  ]);
  const again = hands([['Keys', true, true]]);

  it('is told as divided between its tracks, and joined again, not as renamed', async () => {
    const [apart, together] = await toldSteps([one, two, again]);
    expect(apart!.lead).toMatch(
      /divided between the tracks “Pno RH” and “Pno LH”|divides Piano between the tracks Pno RH and Pno LH/,
    );
    expect(apart!.sentences.join(' ')).not.toContain('is called');
    expect(together!.lead).toMatch(/joins the tracks Pno RH and Pno LH in Keys/);
    expect(together!.sentences.join(' ')).not.toContain('is called');
  });
});

describe('other chords', () => {
  const tones = (root: number, third: number): readonly number[] => [root, root + third, root + 7];
  const chordOf = (bar: number, was: boolean): readonly number[] => {
    if (was && bar === 13) return tones(71, 3);
    if (was && bar === 14) return tones(67, 4);
    if (bar === 13) return tones(64, 3);
    if (bar === 14) return tones(69, 4);
    return [tones(62, 4), tones(67, 4), tones(69, 4), tones(62, 4)][bar % 4]!;
  };
  /** A jig over D, G, A, D: chords in the guitar, roots in the bass, a fiddle in the tones of the chord. */
  const jig = (was: boolean): Sheet => {
    const each = (of: (bar: number) => readonly SheetNote[]): readonly SheetNote[] =>
      Array.from({ length: 16 }, (_, bar) => of(bar)).flat();
    const note = (bar: number, onset: number, midi: number, held: number): SheetNote => ({
      bar,
      onset,
      midi,
      velocity: 80,
      late: 0.003 * ((bar + midi) % 3),
      held,
    });
    return sheet(3, [
      part(
        0,
        'Fiddle',
        40,
        each((bar) => [0, 1, 2, 1, 0, 2].map((tone, at) => note(bar, at / 2, chordOf(bar, was)[tone]! + 12, 0.45))),
      ),
      part(
        1,
        'Guitar',
        25,
        each((bar) => [0, 1.5].flatMap((onset) => chordOf(bar, was).map((midi) => note(bar, onset, midi - 12, 1.4)))),
      ),
      part(
        2,
        'Bass',
        32,
        each((bar) => [note(bar, 0, 28 + ((chordOf(bar, was)[0]! - 28) % 12), 2.8)]),
      ),
    ]);
  };

  it('in two bars in the rhythm of before are told by their names, with those who have other notes for it', async () => {
    const [step] = await toldSteps([jig(true), jig(false)]);
    expect(step!.lead).toBe('Stage 2 changes the chords in bars 14–15 (Em | A instead of Bm | G).');
    expect(step!.sentences).toEqual([
      'The chords in bars 14–15 are Em | A instead of Bm | G (estimated); other notes in the same rhythm for Guitar, Fiddle and Bass.',
      'In all, 2 of 16 bars differ: bars 14–15.',
    ]);
  });

  it('are one change where those who play them have another rhythm in one of the bars', async () => {
    const inHalves = (notes: readonly SheetNote[]): readonly SheetNote[] =>
      notes.flatMap((note) =>
        note.bar === 13 && note.held > 1
          ? [0, note.held / 4, note.held / 2].map((by) => ({ ...note, onset: note.onset + by, held: note.held / 5 }))
          : [note],
      );
    const other = jig(false);
    const after = { ...other, parts: other.parts.map((one) => ({ ...one, notes: inHalves(one.notes) })) };
    const [step] = await toldSteps([jig(true), after]);
    expect(step!.sentences[0]).toBe(
      'The chords in bars 14–15 are Em | A instead of Bm | G (estimated); other notes for Guitar, Fiddle and Bass.',
    );
  });

  it('are not told where one player varies a line over the same chords', async () => {
    const first = jig(false);
    const varied = withPart(first, 'Fiddle', (one) => [
      {
        ...one,
        notes: one.notes.map((note) => (note.bar === 5 ? { ...note, midi: note.midi === 79 ? 83 : 79 } : note)),
      },
    ]);
    const [step] = await toldSteps([first, varied]);
    expect(step!.sentences[0]).toBe('Fiddle: rewritten in bar 6.');
  });
});

describe('where something was done', () => {
  const tune = line(81, 67, 4, 1);
  const bass = line(82, 43, 4, 2);
  const duo = (upper: readonly SheetNote[], barCount = 16): Sheet =>
    sheet(4, [part(0, 'Flute', 73, upper), part(1, 'Cello', 42, bass)], barCount);

  it('a part was quantised from the first bar to the last of a passage, a bar of rest and one that was near the grid among them', async () => {
    const played = playedBy(notesOutside(tune, 3, 3), 83, 0.04).map((note) =>
      note.bar === 5 ? { ...note, late: 0.003 } : note,
    );
    const set = played.map((note) => (note.bar < 8 ? { ...note, late: 0 } : note));
    const [step] = await toldSteps([duo(played), duo(set)]);
    expect(step!.sentences[0]).toMatch(/^Flute: quantised: .*, in bars 1–8\.$/);
    expect(step!.bars).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  });

  it('a part was quantised throughout, though its first bar was on the grid before', async () => {
    const played = playedBy(tune, 85, 0.04).map((note) => (note.bar === 0 ? { ...note, late: 0 } : note));
    const [step] = await toldSteps([duo(played), duo(tune.map((note) => ({ ...note, late: 0 })))]);
    expect(step!.bars).toHaveLength(16);
    expect(step!.sentences[0]).not.toContain('bars');
  });

  it('a passage was moved by a bar is told by the bars from which and to which', async () => {
    const lick = notesIn(tune, 8, 8);
    const rest = notesOutside(tune, 8, 9);
    const later = lick.map((note) => ({ ...note, bar: 9 }));
    const [there, back] = await toldSteps([duo([...rest, ...lick]), duo([...rest, ...later]), duo([...rest, ...lick])]);
    expect(there!.sentences[0]).toBe('Flute: moved from bar 9 to bar 10, the same music.');
    expect(back!.sentences[0]).toBe('Flute: moved from bar 10 to bar 9, the same music.');
    expect(there!.lead).toBe('Stage 2 moves Flute from bar 9 to bar 10.');
  });

  it('bars at the end are slower from a beat on', async () => {
    const more = line(84, 67, 4, 1, 2).map((note) => ({ ...note, bar: note.bar + 16 }));
    const longer = duo([...tune, ...more], 18);
    const slower: Sheet = {
      ...longer,
      bars: longer.bars.map((bar, index) => (index === 17 ? { ...bar, tempo: 80 } : bar)),
    };
    const [step] = await toldSteps([duo(tune), slower]);
    expect(step!.sentences).toContain(
      'In the new bars the tempo is slower from bar 18 on: quarter = 80 instead of 96.',
    );
    const [same] = await toldSteps([duo(tune), longer]);
    expect(same!.sentences.join(' ')).not.toContain('tempo');
  });
});

describe('two deeds in the same bars', () => {
  const cello = line(91, 55, 4, 1);
  const low = line(92, 43, 4, 2);
  const strings = (violas: readonly SheetNote[], setting: number): Sheet => ({
    ...sheet(4, [
      part(0, 'Solo Cello', 42, cello),
      {
        ...part(1, 'Violas', 41, violas),
        dynamics: 'cc1',
        controls: Array.from({ length: 64 }, (_, at) => ({
          bar: Math.floor(at / 4),
          onset: at % 4,
          controller: 1,
          setting: (at >= 16 && at < 32 ? setting : 48) + (at % 3),
        })),
      },
      part(2, 'Basses', 43, low),
    ]),
  });
  const violas = line(93, 60, 4, 4);
  const rewritten = [...notesOutside(violas, 4, 7), ...notesIn(line(94, 60, 4, 2), 4, 7)];

  it('are both told where the modulation was raised with the rewriting', async () => {
    const [step] = await toldSteps([strings(violas, 48), strings(rewritten, 110)]);
    expect(step!.sentences[0]).toMatch(
      /^Violas: rewritten in bars 5–8; louder by about \d+\.\d dB \(estimated\) in bars 5–8\.$/,
    );
  });

  it('are one where nobody touched the controller', async () => {
    const [step] = await toldSteps([strings(violas, 48), strings(rewritten, 48)]);
    expect(step!.sentences[0]).toBe('Violas: rewritten in bars 5–8.');
  });
});

describe('notes that begin where they began', () => {
  it('and are held into the rests that were behind them are told as held longer', async () => {
    const short = line(95, 48, 4, 2).map((note) => ({ ...note, held: 0.95 }));
    const held = short.map((note) => (note.bar >= 8 && note.bar < 12 ? { ...note, held: 1.9 } : note));
    const choir = (notes: readonly SheetNote[]): Sheet =>
      sheet(4, [part(0, 'Sopran', 52, line(96, 67, 4, 1)), part(1, 'Bariton', 52, notes)]);
    const [step, back] = await toldSteps([choir(short), choir(held), choir(short)]);
    expect(step!.sentences[0]).toBe('Bariton: held longer, the same notes at the same places in bars 9–12.');
    expect(step!.lead).toMatch(/held longer|holds the notes of Bariton longer in bars 9–12/);
    expect(back!.sentences[0]).toBe('Bariton: held shorter, the same notes at the same places in bars 9–12.');
  });
});

describe('another touch', () => {
  const detached = line(97, 48, 4, 1).map((note) => ({ ...note, held: 0.62 }));
  const choir = (notes: readonly SheetNote[]): Sheet =>
    sheet(4, [part(0, 'Sopran', 52, line(96, 67, 4, 2)), part(1, 'Posaune', 57, notes)]);

  it('of notes that begin to the tick where they began is told in all its bars, though they are written as they were', async () => {
    const legato = detached.map((note) => (note.bar < 4 ? { ...note, held: 0.97 } : note));
    const [step, back] = await toldSteps([choir(detached), choir(legato), choir(detached)]);
    expect(step!.sentences[0]).toMatch(/^Posaune: held longer, .* in bars 1–4\.$/);
    expect(back!.sentences[0]).toMatch(/^Posaune: held shorter, .* in bars 1–4\.$/);
  });

  it('is none where the part was played anew, nor where an export ends all notes a little earlier', async () => {
    const first = playedBy(detached, 98, 0.03);
    const anew = playedBy(detached, 99, 0.03).map((note, index) => ({ ...note, held: 0.62 + 0.2 * (index % 2) }));
    const [take] = await toldSteps([choir(first), choir(anew)]);
    const [exported] = await toldSteps([choir(first), choir(first.map((note) => ({ ...note, held: 0.55 })))]);
    expect(take!.sentences).toEqual(['Nothing in the music differs.']);
    expect(exported!.sentences).toEqual(['Nothing in the music differs.']);
  });
});

describe('notes that came of those that were there', () => {
  const fiddle = line(101, 67, 4, 1);
  const walking = line(102, 43, 4, 0.5);
  const held = line(103, 60, 4, 4);
  const trio = (bass: readonly SheetNote[], horn: readonly SheetNote[] = held): Sheet =>
    sheet(4, [part(0, 'Violin', 40, fiddle), part(1, 'Horn', 60, horn), part(2, 'Guitar', 24, bass)]);
  const inBars = (notes: readonly SheetNote[], edit: (note: SheetNote) => readonly SheetNote[]): readonly SheetNote[] =>
    notes.flatMap((note) => (note.bar >= 8 && note.bar < 12 ? edit(note) : [note]));
  const onBeats = inBars(walking, (note) => (note.onset % 1 === 0 ? [note] : []));

  it('of which some fell out and the others stand to the tick are thinned out, and filled the other way round', async () => {
    const [thinner, fuller] = await toldSteps([trio(walking), trio(onBeats), trio(walking)]);
    expect(thinner!.sentences[0]).toBe('Guitar: thinned out, the notes left as before in bars 9–12.');
    expect(thinner!.lead).toBe('Stage 2 thins out Guitar in bars 9–12.');
    expect(fuller!.sentences[0]).toBe('Guitar: notes added to those of before in bars 9–12.');
    expect(fuller!.lead).toBe('Stage 3 adds notes to Guitar in bars 9–12.');
  });

  it('or are struck again where they were held over the bar line, or replaced there, are not notes added to others', async () => {
    const long = line(105, 60, 4, 4).flatMap((note) => (note.bar % 2 === 0 ? [{ ...note, held: 7.8 }] : []));
    const horn = (edit: (note: SheetNote) => readonly SheetNote[]): readonly SheetNote[] =>
      long.flatMap((note) => (note.bar === 8 ? edit({ ...note, held: 3.9 }) : [note]));
    const again = horn((note) => [note, { ...note, bar: 9 }]);
    const other = horn((note) => [note, { ...note, bar: 9, midi: note.midi - 3 }]);
    const [struck] = await toldSteps([trio(walking, long), trio(walking, again)]);
    expect(struck!.sentences[0]).toMatch(/^Horn: in another rhythm, the same pitches in bars? (9–)?10\.$/);
    const [replaced] = await toldSteps([trio(walking, long), trio(walking, other)]);
    expect(replaced!.sentences[0]).toMatch(/^Horn: rewritten in bars? (9–)?10\.$/);
  });

  it('of which some fell out while the others were given other pitches are rewritten', async () => {
    const other = inBars(onBeats, (note) => [note.onset === 2 ? { ...note, midi: note.midi + 1 } : note]);
    const [step] = await toldSteps([trio(walking), trio(other)]);
    expect(step!.sentences[0]).toBe('Guitar: rewritten in bars 9–12.');
  });

  it('and are struck again and again in place of being held are told as repeated, or as a tremolo, and held again the other way round', async () => {
    const struck = (count: number): readonly SheetNote[] =>
      inBars(held, (note) =>
        Array.from({ length: count }, (_, at) => ({ ...note, onset: (4 * at) / count, held: 3.2 / count })),
      );
    const [repeated, back] = await toldSteps([trio(walking), trio(walking, struck(8)), trio(walking)]);
    expect(repeated!.sentences[0]).toBe('Horn: the same notes, each of them repeated in bars 9–12.');
    expect(back!.sentences[0]).toBe('Horn: the same notes, held instead of repeated in bars 9–12.');
    const [rolled] = await toldSteps([trio(walking), trio(walking, struck(32))]);
    expect(rolled!.sentences[0]).toBe('Horn: the same notes, as a tremolo in bars 9–12.');
    expect(rolled!.lead).toBe('Stage 2 lets Horn play tremolo in bars 9–12.');
  });

  it('in another rhythm are told as that, and their places not once more as re-timed; those of other bars are', async () => {
    const struck = (onsets: readonly number[], chosen: readonly number[], late: (bar: number) => number) =>
      Array.from({ length: 16 }, (_, bar) => bar).flatMap((bar) =>
        (bar >= 8 && bar < 12 ? chosen : onsets).flatMap((onset) =>
          [48, 52, 55].map((midi) => ({ bar, onset, midi, held: 0.45, late: late(bar), velocity: 70 })),
        ),
      );
    const [old, fresh] = [
      [0, 1, 1.5, 2.5],
      [0, 1.5, 2, 2.5],
    ];
    const before = trio(struck(old, old, () => 0.02));
    const [step] = await toldSteps([before, trio(struck(old, fresh, (bar) => (bar >= 8 && bar < 12 ? -0.005 : 0.02)))]);
    expect(step!.sentences[0]).toBe('Guitar: in another rhythm, the same pitches in bars 9–12.');
    expect(step!.sentences.join(' ')).not.toContain('played about');
    const [later] = await toldSteps([before, trio(struck(old, fresh, () => 0.05))]);
    expect(later!.sentences).toContain('Guitar: in another rhythm, the same pitches in bars 9–12.');
    // 0.03 quarters at 96 to the minute.
    expect(later!.sentences.join(' ')).toContain('Guitar: played about 19 ms later');
  });

  it('and begin where they began, some held longer and some shorter, are no other rhythm', async () => {
    const touched = inBars(onBeats, (note) => [{ ...note, held: note.onset === 1 ? 0.2 : 0.95 }]);
    const [step] = await toldSteps([trio(inBars(onBeats, (note) => [{ ...note, held: 0.5 }])), trio(touched)]);
    expect(step!.sentences[0]).toMatch(
      /^Guitar: held (?:longer|otherwise).*, the same notes at the same places in bars 9–12\.$/,
    );
  });
});

describe('an amount', () => {
  it('is the same in the sentence that sums a step up and in its list, and of two parts that are nearly alike from the one to the other', async () => {
    const parts = [
      part(0, 'Violin', 40, line(42, 67, 4, 1)),
      part(1, 'Viola', 41, line(43, 55, 4, 1)),
      part(2, 'Cello', 42, line(44, 43, 4, 1)),
    ];
    const set = (settings: readonly number[]): Sheet =>
      sheet(
        4,
        parts.map((one, at) => ({ ...one, controls: [{ bar: 0, onset: 0, controller: 7, setting: settings[at]! }] })),
      );
    const [one, two] = await toldSteps([set([100, 100, 100]), set([78, 100, 100]), set([78, 77, 76])]);
    const amountIn = (text: string): string => /about ([\d. to]+) dB/.exec(text)![1]!;
    expect(amountIn(one!.lead)).toBe(amountIn(one!.sentences[0]!));
    const amounts = two!.sentences.filter((text) => text.includes('dB')).map(amountIn);
    expect(amounts).toHaveLength(2);
    expect(two!.lead).toContain(`about ${[...amounts].sort().join(' to ')} dB softer`);
  });
});

describe('a passage that was struck louder', () => {
  it('in an export that scatters its notes a little is louder in all its bars, those too in which every note lies otherwise', async () => {
    const low = line(44, 43, 4, 1);
    const next = seeded(9);
    const louder = low.map((note) => {
      const isScattered = note.bar > 2 && note.bar % 3 !== 0;
      const late = isScattered ? note.late + 0.004 + 0.008 * next() : note.late;
      return { ...note, late, velocity: note.velocity + (note.bar >= 8 && note.bar < 14 ? 14 : 0) };
    });
    const duo = (notes: readonly SheetNote[]): Sheet =>
      sheet(4, [part(0, 'Violin', 40, line(42, 67, 4, 1)), part(1, 'Trombone', 57, notes)]);
    const [step] = await toldSteps([duo(low), duo(louder)]);
    expect(step!.sentences[0]).toMatch(/^Trombone: louder by about \d\.\d dB \(estimated\) in bars 9–14\.$/);
  });
});

describe('a part that doubles the tune now', () => {
  it('does so in a bar too in which it had two of its tones before', async () => {
    const tune = line(71, 76, 4, 1);
    const middle = line(72, 60, 4, 2).map((note) => {
      const own = tune.find(({ bar, onset }) => bar === note.bar && onset === note.onset)!;
      return note.bar === 12 ? { ...note, midi: own.midi - 12 } : note;
    });
    const octaves = [
      ...notesOutside(middle, 8, 15),
      ...notesIn(tune, 8, 15).map((note) => ({ ...note, midi: note.midi - 12 })),
    ];
    const band = (notes: readonly SheetNote[]): Sheet =>
      sheet(4, [
        part(0, 'Trompete 1', 56, tune),
        part(1, 'Trompete 2', 56, notes),
        part(2, 'Tuba', 58, line(73, 36, 4, 2)),
      ]);
    const [step] = await toldSteps([band(middle), band(octaves)]);
    expect(step!.sentences).toEqual([
      'Trompete 2 doubles Trompete 1 an octave below in bars 9–16.',
      'In all, 8 of 16 bars differ: bars 9–16.',
    ]);
  });
});

describe('a part that was played anew and set by its volume', () => {
  const low = line(44, 43, 4, 1, 32);
  const struck = (seed: number, softer: readonly number[] = []): readonly SheetNote[] => {
    const next = seeded(seed);
    return low.map((note) => ({
      ...note,
      late: 0.02 * (next() + next() - 1),
      velocity: softer.includes(note.bar) ? 34 : Math.round(76 + 20 * (next() + next() - 1)),
    }));
  };
  const duo = (notes: readonly SheetNote[], setting: number): Sheet =>
    sheet(
      4,
      [
        part(0, 'Violin', 40, line(42, 67, 4, 1, 32)),
        { ...part(1, 'Trombone', 57, notes), controls: [{ bar: 0, onset: 0, controller: 7, setting }] },
      ],
      32,
    );

  it('is softer throughout, and not in the bars that happened to be struck softer', async () => {
    const [step] = await toldSteps([duo(struck(1), 100), duo(struck(2), 84)]);
    expect(step!.sentences[0]).toMatch(/^Trombone: softer by about [23]\.\d dB \(estimated\) in bars 1–32\.$/);
    expect(step!.sentences).toHaveLength(2);
    expect(step!.lead).toMatch(/^In stage 2 Trombone is softer by about [23]\.\d dB \(estimated\) in bars 1–32\.$/);
  });

  it('is softer still in bars that stand out of its scatter, and in those alone', async () => {
    const [step] = await toldSteps([duo(struck(1), 100), duo(struck(2, [20, 21]), 84)]);
    expect(step!.sentences[0]).toMatch(
      /^Trombone: softer by about [23]\.\d dB \(estimated\) in bars 1–20 and 23–32; softer by about 1\d\.\d dB \(estimated\) in bars 21–22\.$/,
    );
  });
});

describe('a passage that is struck softer in a new take of everything', () => {
  it('is told in its bars, and the touch of the rest is not', async () => {
    const low = line(44, 43, 4, 1, 32);
    const take = (seed: number, isSofter: (bar: number) => boolean): Sheet => {
      const next = seeded(seed);
      const struck = low.map((note) => ({
        ...note,
        late: 0.02 * (next() + next() - 1),
        velocity: Math.round(76 + 12 * (next() + next() - 1)) - (isSofter(note.bar) ? 22 : 0),
      }));
      return sheet(4, [part(0, 'Tenor Saxophone', 66, struck), part(1, 'Bass', 33, line(45, 36, 4, 1, 32))], 32);
    };
    const none = (): boolean => false;
    const [touch, softer] = await toldSteps([take(1, none), take(2, none), take(3, (bar) => bar >= 24 && bar < 28)]);
    expect(touch!.sentences).toEqual(['Nothing in the music differs.']);
    expect(softer!.sentences[0]).toMatch(/^Tenor Saxophone: softer by about \d\.\d dB \(estimated\) in bars 25–28\.$/);
  });
});
