/** Two pieces from stage to stage, with a list of what was done each time: the sentences that a reader gets say that, and nothing else. */
import { describe, expect, it } from 'vitest';
import { compareStages, type ComparedStage } from '../../src/analyse/compare-stages.ts';
import { describe as describeStrip } from '../../src/draw/chart/changes/changes-sentence.ts';
import type { PublishedStage } from '../../src/publish/dossier-input.ts';
import { leadSentence } from '../../src/publish/page-data/changes/change-lead.ts';
import { changeSentences } from '../../src/publish/page-data/changes/change-words.ts';
import { diskOfFolder } from '../support/memory-disk.ts';
import { publishedOf } from '../support/published.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { bytesOf, type Sheet, type SheetNote, type SheetPart } from './sheet.ts';
import { filesOfStory, STORIES } from './story-folders.ts';
import { line, part, sheet, withPart } from './story-music.ts';
import { comparedStages, told } from './told-stages.ts';

describe('what was done is told, and nothing else', () => {
  it('of a folk group: the fiddle turned down, the whistle given to a low one', async () => {
    const first = sheet(3, [
      part(0, 'Fiddle', 40, line(1, 62, 3, 0.5)),
      part(1, 'Whistle', 72, line(2, 74, 3, 1)),
      part(2, 'Guitar', 25, line(3, 50, 3, 1.5)),
    ]);
    const softer = withPart(first, 'Fiddle', (one) => [
      { ...one, controls: [{ bar: 0, onset: 0, controller: 7, setting: 70 }] },
    ]);
    const lower = withPart(softer, 'Whistle', (one) => [
      { ...one, name: 'Low Whistle', notes: one.notes.map((note) => ({ ...note, midi: note.midi - 12 })) },
    ]);
    const [down, given] = await told([first, softer, lower]);
    expect(down).toHaveLength(2);
    expect(down![0]).toMatch(/^Fiddle: softer by about \d+\.\d dB \(estimated\) in bars 1–16\.$/);
    expect(given).toEqual([
      'The part of Whistle is Low Whistle’s now.',
      'Low Whistle: an octave lower in bars 1–16.',
      'In all, 16 of 16 bars differ: bars 1–16.',
    ]);
  });

  it('of a guitar: a passage rewritten and recorded with the bar behind it, whose touch is no other level', async () => {
    const chords = Array.from({ length: 16 }, (_, bar) =>
      [0, 4, 7].map((step): SheetNote => ({ bar, onset: 0, midi: 55 + step, velocity: 80, late: 0.005, held: 3 })),
    ).flat();
    const strummed = chords.flatMap((note, index): readonly SheetNote[] => {
      if (note.bar < 8 || note.bar > 12) return [note];
      if (note.bar < 12) return [0, 1, 2].map((onset) => ({ ...note, onset, held: 0.5 }));
      return [{ ...note, velocity: note.velocity - 22 + 3 * (index % 3), late: 0.004 + 0.006 * (index % 3) }];
    });
    const first = sheet(4, [part(0, 'Fiddle', 40, line(1, 62, 4, 0.5)), part(1, 'Guitar', 25, chords)]);
    const [done] = await told([first, withPart(first, 'Guitar', (one) => [{ ...one, notes: strummed }])]);
    expect(done![0]).toBe('Guitar: the same notes, each of them repeated in bars 9–12.');
    // Struck softer in the file, every note where it was: that is an edit.
    const struck = strummed.map((note) => (note.bar === 12 ? { ...note, velocity: 60, late: 0.005 } : note));
    const [softer] = await told([first, withPart(first, 'Guitar', (one) => [{ ...one, notes: struck }])]);
    expect(softer![0]).toMatch(
      /^Guitar: the same notes, each of them repeated in bars 9–12; softer by about \d+\.\d dB \(estimated\) in bar 13\.$/,
    );
  });

  it('of a trio: a line taken over is no octave of what was played before, though a bar of it stands as one', async () => {
    const flute = line(21, 72, 4, 1);
    const chords = line(22, 60, 4, 0.5);
    const isIn = ({ bar }: SheetNote): boolean => bar >= 8 && bar < 12;
    // By chance the clarinet had the flute's last bar of the passage an octave below.
    const below = flute.filter(({ bar }) => bar === 11).map((note) => ({ ...note, midi: note.midi - 12 }));
    const clarinet = [...chords.filter(({ bar }) => bar !== 11), ...below].sort((a, b) => a.bar - b.bar);
    const first = sheet(4, [
      part(0, 'Flute', 73, flute),
      part(1, 'Clarinet', 71, clarinet),
      part(2, 'Bassoon', 70, line(23, 43, 4, 1)),
    ]);
    const rests = withPart(first, 'Flute', (one) => [{ ...one, notes: one.notes.filter((note) => !isIn(note)) }]);
    const taken = [...clarinet.filter((note) => !isIn(note)), ...flute.filter(isIn)].sort((a, b) => a.bar - b.bar);
    const given = withPart(rests, 'Clarinet', (one) => [{ ...one, notes: taken }]);
    const files = new Map([first, given].map((one, index) => [`0${String(index + 1)} Stage.mid`, bytesOf(one, 960)]));
    const [before, after] = comparedStages(await arrangementIn('/story', diskOfFolder('/story', files)));
    const { edits } = compareStages(before!, after!);
    const ofClarinet = edits.filter(({ partId }) => partId.startsWith('clarinet'));
    expect(ofClarinet.map(({ kind, bars, toldWith }) => [kind, bars, toldWith])).toEqual([
      ['rewritten', [9, 10, 11, 12], 'given'],
    ]);
  });

  it('of a brass band: two cornets under new names, two parts that exchange a passage, the close once more', async () => {
    const tune = line(31, 70, 4, 1);
    const second = line(32, 62, 4, 2);
    const inner = line(33, 58, 4, 4);
    const bass = line(34, 41, 4, 2);
    const first = sheet(4, [
      part(0, 'Solo Cornet', 56, tune),
      part(1, 'Rep Cornet', 56, second),
      part(2, 'Tenor Horn', 60, inner),
      part(3, 'Tuba', 58, bass),
    ]);
    const isIn = ({ bar }: SheetNote): boolean => bar >= 4 && bar < 8;
    const swapped = (own: readonly SheetNote[], other: readonly SheetNote[], by: number): readonly SheetNote[] =>
      [
        ...own.filter((note) => !isIn(note)),
        ...other.filter(isIn).map((note) => ({ ...note, midi: note.midi + by })),
      ].sort((a, b) => a.bar - b.bar || a.onset - b.onset);
    const exchanged = withPart(
      withPart(first, 'Solo Cornet', (one) => [{ ...one, notes: swapped(tune, inner, 0) }]),
      'Tenor Horn',
      (one) => [{ ...one, notes: swapped(inner, tune, -12) }],
    );
    const again = (one: SheetPart): SheetPart => ({
      ...one,
      name: one.name === 'Solo Cornet' ? 'Cornet 1' : one.name === 'Rep Cornet' ? 'Cornet 2' : one.name,
      notes: [
        ...one.notes,
        ...one.notes
          .filter(({ bar }) => bar >= 12)
          .map((note, index) => ({ ...note, bar: note.bar + 4, velocity: 90, late: 0.004 * (1 + (index % 3)) })),
      ],
    });
    const longer = sheet(4, exchanged.parts.map(again), 20);
    const [swap, last] = await told([first, exchanged, longer]);
    expect(swap).toEqual([
      'Tenor Horn and Solo Cornet exchange their lines in bars 5–8, Tenor Horn an octave lower.',
      'In all, 4 of 16 bars differ: bars 5–8.',
    ]);
    expect(last).toEqual([
      'Bars 13–16 are repeated as bars 17–20.',
      '“Solo Cornet” is called “Cornet 1” now.',
      '“Rep Cornet” is called “Cornet 2” now.',
      'In all, 4 of 20 bars differ: bars 17–20.',
    ]);
  });

  it('of a song: slower throughout, the bars put in before it too', async () => {
    const tune = line(51, 67, 4, 1);
    const first = sheet(4, [part(0, 'Voice', 53, tune), part(1, 'Piano', 0, line(52, 48, 4, 2))]);
    const later = (notes: readonly SheetNote[]): readonly SheetNote[] =>
      notes.map((note) => ({ ...note, bar: note.bar + 2 }));
    const intro = line(53, 60, 4, 2, 2);
    const longer = sheet(
      4,
      first.parts.map((one) => ({ ...one, notes: [...(one.name === 'Piano' ? intro : []), ...later(one.notes)] })),
      18,
    );
    const tempoIn = (first: number, other: number): Sheet => ({
      ...longer,
      bars: longer.bars.map((bar, index) => ({ ...bar, tempo: index < 2 ? first : other })),
    });
    const [slower] = await told([first, tempoIn(80, 80)]);
    expect(slower).toContain('The tempo is slower throughout: quarter = 80 instead of 96.');
    const [apart] = await told([first, tempoIn(60, 80)]);
    expect(apart).toContain('The tempo is slower in bars 3–18: quarter = 80 instead of 96.');
  });

  it('of a song: a ritardando at the end is told as one, from its first tempo to its last', async () => {
    const first = sheet(4, [part(0, 'Voice', 53, line(51, 67, 4, 1)), part(1, 'Piano', 0, line(52, 48, 4, 2))]);
    const endings = (tempos: readonly number[]): Sheet => ({
      ...first,
      bars: first.bars.map((bar, index) => ({ ...bar, tempo: tempos[index - 13] ?? bar.tempo })),
    });
    const [slowing] = await told([first, endings([84, 72, 60])]);
    expect(slowing).toContain('The tempo slows down in bars 14–16: quarter = 84 to 60 instead of 96.');
    // Up and down again is no ritardando.
    const [uneven] = await told([first, endings([60, 84, 72])]);
    expect(uneven).toContain('The tempo is slower in bars 14–16: quarter = 72 instead of 96, in the median bar.');
  });

  it('of a quartet: eight bars of the cello in a new take are no other level', async () => {
    const cello = line(41, 48, 4, 1);
    const take = cello.map((note, index) =>
      note.bar < 8 ? { ...note, velocity: 80 + 12 * ((index % 4) - 1.5), late: 0.004 + 0.004 * (index % 5) } : note,
    );
    const first = sheet(4, [part(0, 'Violin', 40, line(42, 67, 4, 0.5)), part(1, 'Cello', 42, cello)]);
    const [done] = await told([first, withPart(first, 'Cello', (one) => [{ ...one, notes: take }])]);
    expect(done).toEqual(['Nothing in the music differs.']);
  });

  it('of a choir: the altos parted, the tenors given other notes, the piano silent at the end', async () => {
    const low = line(13, 57, 4, 1);
    const high = line(14, 62, 4, 4);
    const voices = (altos: readonly SheetPart[]): Sheet =>
      sheet(4, [
        part(0, 'Soprano', 52, line(11, 67, 4, 1)),
        ...altos,
        part(3, 'Tenor', 52, line(12, 52, 4, 2)),
        part(4, 'Piano', 0, line(15, 60, 4, 0.5)),
      ]);
    const parted = voices([part(1, 'Alto 1', 52, high), part(2, 'Alto 2', 52, low)]);
    const isIn = ({ bar }: SheetNote, from: number, to: number): boolean => bar >= from - 1 && bar <= to - 1;
    const last = withPart(
      withPart(parted, 'Tenor', (one) => [
        {
          ...one,
          notes: [
            ...one.notes.filter((note) => !isIn(note, 9, 12)),
            ...line(19, 48, 4, 1).filter((note) => isIn(note, 9, 12)),
          ],
        },
      ]),
      'Piano',
      (one) => [{ ...one, notes: one.notes.filter((note) => !isIn(note, 15, 16)) }],
    );
    expect(await told([voices([part(1, 'Alto', 52, [...high, ...low])]), parted, last])).toEqual([
      ['Alto was divided: its notes are with Alto 1 and Alto 2 now.'],
      [
        'Piano: rests in bars 15–16.',
        'Tenor: rewritten in bars 9–12.',
        'In all, 6 of 16 bars differ: bars 9–12 and 15–16.',
      ],
    ]);
  });
});

describe('six stories', () => {
  it.each(STORIES.map((story) => [story.title, story] as const))(
    '%s: every step is told as it was made',
    async (_, story) => {
      const disk = diskOfFolder('/story', filesOfStory(story));
      const arrangement = await arrangementIn('/story', disk);
      const compared = comparedStages(arrangement);
      const told = compared.slice(1).map((after, index) => {
        const before = compared[index]!;
        const change = compareStages(before, after);
        const published = (one: ComparedStage): PublishedStage =>
          publishedOf(one.stage, one.readings === undefined ? {} : { readings: one.readings });
        const step = { before: published(before), after: published(after), change };
        return {
          sentences: changeSentences(step)
            .map(({ text }) => text)
            .filter((text) => !/^(?:In all|Besides the new pitch), /.test(text)),
          summed: [leadSentence(step, index + 2), describeStrip(change, step.before, step.after)],
        };
      });
      expect(told.map(({ sentences }) => sentences)).toEqual(story.told);
      expect(told.map(({ summed }) => summed)).toEqual(story.summed);
      // A heading that is the name of a part, one that is gone too, says what a note is about.
      expect(arrangement.memos.filter(({ partIds }) => partIds.length === 0)).toEqual([]);
    },
  );
});
