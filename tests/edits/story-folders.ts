/** Six pieces of different kinds told from stage to stage: the files, the notes beside them, and what was really done each time. */
import { bytesOf, type Sheet, type SheetBar, type SheetPart } from './sheet.ts';
import {
  higher,
  inNotes,
  line,
  notesIn,
  notesOutside,
  part,
  playedBy,
  sheet,
  whereBars,
  withBars,
  withPart,
  withoutBars,
} from './story-music.ts';

export interface Story {
  readonly name: string;
  readonly title: string;
  readonly stages: readonly (readonly [string, Sheet])[];
  /** Text of a file of notes. */
  readonly notes: string;
  /** For every stage after the first what was done, in the words of the one who did it. */
  readonly truth: readonly (readonly string[])[];
  /** The same in the sentences of the page, for every stage after the first. */
  readonly told: readonly (readonly string[])[];
  /** The sentence that sums each of those steps up, and the one over its picture. */
  readonly summed: readonly (readonly [lead: string, picture: string])[];
}

/** The files of a story's folder. */
export function filesOfStory({ title, stages, notes }: Story): ReadonlyMap<string, Uint8Array | string> {
  return new Map<string, Uint8Array | string>([
    ['dossier.yaml', `title: ${title}\n`],
    ...(notes === '' ? [] : [['notes.md', notes] as const]),
    ...stages.map(([name, one]) => [`${name}.mid`, bytesOf(one, 960)] as const),
  ]);
}

const note = (stage: string, heading: string, text: string): string =>
  `---\nstage: ${stage}\nkind: decision\n---\n# ${heading}\n\n${text}\n`;

function volume(from: Sheet, name: string, setting: number): Sheet {
  return withPart(from, name, (one) => [{ ...one, controls: [{ bar: 0, onset: 0, controller: 7, setting }] }]);
}

const bars = (ids: readonly number[], like: SheetBar): readonly SheetBar[] => ids.map((id) => ({ ...like, id }));

/** Waltz for string quartet. */
function harbourWaltz(): Story {
  const waltz = (one: Sheet): Sheet => ({
    ...one,
    bars: one.bars.map((bar) => ({ ...bar, quarters: 3, meter: { numerator: 3, denominator: 4 }, tempo: 132 })),
  });
  const first = waltz(
    sheet(
      3,
      [
        part(0, 'Violin I', 40, line(101, 69, 3, 1, 24)),
        part(1, 'Violin II', 40, line(102, 62, 3, 1.5, 24)),
        part(2, 'Viola', 41, line(103, 55, 3, 1, 24)),
        part(3, 'Cello', 42, line(104, 43, 3, 3, 24)),
      ],
      24,
    ),
  );
  const tune = first.parts[0]!.notes;
  const doubled = inNotes(first, 'Violin II', (notes) => [
    ...notesOutside(notes, 8, 15),
    ...notesIn(tune, 8, 15).map(higher(-12)),
  ]);
  const fresh = [
    part(0, '', 40, line(111, 72, 3, 0.5, 4)),
    part(1, '', 40, line(112, 64, 3, 3, 4)),
    part(2, '', 41, line(113, 57, 3, 3, 4)),
    part(3, '', 42, line(114, 45, 3, 1, 4)),
  ].map((one) => ({ ...one, notes: one.notes.map((each) => ({ ...each, bar: each.bar + 100 })) }));
  const longer = withBars(doubled, 16, bars([100, 101, 102, 103], first.bars[0]!), fresh);
  const last = inNotes(
    inNotes(longer, 'Viola', (notes) => [...notesOutside(notes, 4, 7), ...notesIn(line(121, 60, 3, 0.5, 24), 4, 7)]),
    'Cello',
    whereBars(0, 3, higher(-12)),
  );
  return {
    name: 'harbour-waltz',
    title: 'Harbour Waltz',
    stages: [
      ['01 Draft', first],
      ['02 Octaves', doubled],
      ['03 Longer', longer],
      ['04 Second look', last],
    ],
    notes: note(
      'Second look',
      'Bars 5-8, Viola',
      'The viola only sat on the chord here; it gets a moving line of its own so that the second phrase does not stand still.',
    ),
    truth: [
      ['Violin II plays the tune of Violin I an octave below in bars 9–16, instead of its own line.'],
      ['Four new bars were put in before bar 17 (they are 17–20 now).'],
      [
        'Viola: a new line in bars 5–8 (reason in a note: its first line stood still).',
        'Cello: an octave lower in bars 1–4.',
      ],
    ],
    told: [
      ['Violin II doubles Violin I an octave below in bars 9–16.'],
      ['Bars 17–20 are new.', 'What was bars 17–24 is bars 21–28 now.'],
      ['Viola: rewritten in bars 5–8.', 'Cello: an octave lower in bars 1–4.'],
    ],
    summed: [
      [
        'Stage 2 lets Violin II double Violin I an octave below in bars 9–16.',
        'Something was done to 1 of 4 parts, in bars 9–16.',
      ],
      ['Stage 3 inserts bars 17–20, so that what followed stands 4 bars later.', 'Bars 17–20 are new.'],
      [
        'Stage 4 rewrites Viola in bars 5–8; and moves Cello an octave lower in bars 1–4.',
        'Something was done to 2 of 4 parts, in bars 1–8.',
      ],
    ],
  };
}

const KICK = 36;
const SNARE = 38;
const HAT = 42;

function beat(barCount: number): SheetPart {
  const hits = Array.from({ length: barCount }, (_, bar) => [
    ...[0, 2].map((onset) => ({ bar, onset, midi: KICK, velocity: 90, late: 0, held: 0.2 })),
    ...[1, 3].map((onset) => ({ bar, onset, midi: SNARE, velocity: 84, late: 0, held: 0.2 })),
    ...[0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5].map((onset) => ({ bar, onset, midi: HAT, velocity: 60, late: 0, held: 0.2 })),
  ]).flat();
  return { ...part(9, 'Drums', 0, hits), isDrums: true };
}

/** Song for voice and band. */
function nightBus(): Story {
  const first = sheet(
    4,
    [
      part(0, 'Voice', 53, line(201, 62, 4, 1, 20)),
      part(1, 'Electric Guitar', 27, line(202, 55, 4, 0.5, 20)),
      part(2, 'Piano', 0, line(203, 60, 4, 2, 20)),
      part(3, 'Bass', 33, line(204, 40, 4, 1, 20)),
      beat(20),
    ],
    20,
  );
  const softer = volume(volume(first, 'Electric Guitar', 100), 'Piano', 100);
  const turned = volume(softer, 'Electric Guitar', 74);
  const ending = bars([200, 201, 202, 203], first.bars[0]!);
  const music = first.parts.map((one) => ({
    ...one,
    notes: notesIn(one.notes, 0, 3).map((each) => ({ ...each, bar: each.bar + 200, midi: each.midi })),
  }));
  const tail = music.map((one, index) =>
    one.isDrums
      ? one
      : {
          ...one,
          notes: line(211 + index, [62, 55, 60, 40][index] ?? 60, 4, 2, 4).map((each) => ({
            ...each,
            bar: each.bar + 200,
          })),
        },
  );
  const ended = inNotes(withBars(turned, 999, ending, tail), 'Bass', whereBars(8, 11, higher(-12)));
  const lowered: Sheet = {
    ...ended,
    bars: ended.bars.map((bar) => ({ ...bar, tempo: 88 })),
    parts: ended.parts.map((one) => (one.isDrums ? one : { ...one, notes: one.notes.map(higher(-2)) })),
  };
  return {
    name: 'night-bus',
    title: 'Night Bus',
    stages: [
      ['1 Demo', softer],
      ['2 Room for the words', turned],
      ['3 With ending', ended],
      ['4 Singer’s key', lowered],
    ],
    notes: [
      note('Room for the words', 'Electric Guitar', 'The guitar stood in front of the words and goes back.'),
    ].join('\n'),
    truth: [
      [
        'Electric Guitar softer throughout, by its volume (about 5 dB; reason in a note: it stood in front of the words).',
      ],
      ['Four bars were added at the end (21–24).', 'Bass: an octave lower in bars 9–12.'],
      ['The whole piece a tone (two semitones) lower.', 'The tempo is 88 instead of 96.'],
    ],
    told: [
      ['Electric Guitar: softer by about 5.2 dB (estimated) in bars 1–20.'],
      ['Bars 21–24 were added at the end.', 'Bass: an octave lower in bars 9–12.'],
      ['The whole piece sounds a major second lower.', 'The tempo is slower throughout: quarter = 88 instead of 96.'],
    ],
    summed: [
      [
        'In stage 2 Electric Guitar is softer by about 5.2 dB (estimated) in bars 1–20.',
        'Something was done to 1 of 5 parts, throughout.',
      ],
      [
        'Stage 3 adds bars 21–24 at the end; and moves Bass an octave lower in bars 9–12.',
        'Something was done to 1 of 5 parts, in bars 9–12. For all parts, bars 21–24 are new.',
      ],
      [
        'Stage 4 sets the whole piece a major second lower; and is slower throughout: quarter = 88 instead of 96.',
        'All that has pitch stands a major second lower and the tempo is another throughout.',
      ],
    ],
  };
}

/** Wind quintet in 6/8. */
function millRace(): Story {
  const horn = line(304, 50, 3, 1.5);
  const first = sheet(3, [
    part(0, 'Flute', 73, line(301, 74, 3, 0.5)),
    part(1, 'Oboe', 68, line(302, 67, 3, 0.5)),
    part(2, 'Clarinet in B flat', 71, notesOutside(line(303, 60, 3, 1.5), 8, 11)),
    part(3, 'Horn in F', 60, notesIn(horn, 4, 15)),
    part(4, 'Bassoon', 70, line(305, 43, 3, 1.5)),
  ]);
  const oboe = first.parts[1]!.notes;
  const given = inNotes(
    inNotes(first, 'Oboe', (notes) => notesOutside(notes, 8, 11)),
    'Clarinet in B flat',
    (notes) => [...notes, ...notesIn(oboe, 8, 11)],
  );
  const later = inNotes(
    inNotes(given, 'Horn in F', (notes) => notesIn(notes, 8, 15)),
    'Bassoon',
    (notes) => notesOutside(notes, 12, 13),
  );
  const shorter = withoutBars(later, 6, 7);
  return {
    name: 'mill-race',
    title: 'Mill Race',
    stages: [
      ['2026-03-02 Sketch', first],
      ['2026-03-09 Clarinet', given],
      ['2026-03-20 Rests', later],
      ['2026-04-01 Shorter', shorter],
    ],
    notes: note(
      '2026-03-20 Rests',
      'Horn in F',
      'The horn waits for the clarinet’s solo, so that its entry is heard as one.',
    ),
    truth: [
      ['The oboe’s line in bars 9–12 is the clarinet’s now; the oboe rests there.'],
      ['Horn: its first entry is bar 9 instead of bar 5 (reason in a note).', 'Bassoon: rests in bars 13–14.'],
      ['Bars 7–8 were cut.'],
    ],
    told: [
      ['Clarinet in B flat has the line of Oboe in bars 9–12 now.'],
      ['Horn in F enters in bar 9 instead of bar 5.', 'Bassoon: rests in bars 13–14.'],
      ['Bars 7–8 of the earlier stage were cut.', 'What was bars 9–16 is bars 7–14 now.'],
    ],
    summed: [
      [
        'Stage 2 gives the line of Oboe in bars 9–12 to Clarinet in B flat.',
        'Something was done to 2 of 5 parts, in bars 9–12.',
      ],
      [
        'Stage 3 lets Horn in F enter in bar 9 instead of bar 5; and lets Bassoon rest in bars 13–14.',
        'Something was done to 2 of 5 parts, in bars 5–8 and 13–14.',
      ],
      ['Stage 4 cuts what was bars 7–8, so that what followed stands 2 bars earlier.', 'What was bars 7–8 is cut.'],
    ],
  };
}

/** Choir and organ. */
function eveningHymn(): Story {
  const high = line(402, 62, 4, 2);
  const low = line(403, 57, 4, 4);
  const voices = (altos: readonly SheetPart[]): Sheet =>
    sheet(4, [
      part(0, 'Soprano', 52, line(401, 67, 4, 1)),
      ...altos,
      part(4, 'Tenor', 52, line(404, 52, 4, 2)),
      part(5, 'Bass', 52, line(405, 43, 4, 4)),
      part(6, 'Organ', 19, line(406, 60, 4, 4)),
    ]);
  const first = voices([part(1, 'Alto', 52, [...high, ...low])]);
  const parted = voices([part(1, 'Alto 1', 52, high), part(2, 'Alto 2', 52, low)]);
  const raised: Sheet = {
    ...parted,
    parts: parted.parts.map((one) => ({ ...one, notes: whereBars(12, 15, higher(3))(one.notes) })),
  };
  const renamed = inNotes(
    withPart(raised, 'Organ', (one) => [{ ...one, name: 'Harmonium', program: 20 }]),
    'Tenor',
    (notes) => notesOutside(notes, 0, 3),
  );
  return {
    name: 'evening-hymn',
    title: 'Evening Hymn',
    stages: [
      ['a Four parts', first],
      ['b Divided', parted],
      ['c Last verse higher', raised],
      ['d Harmonium', renamed],
    ],
    notes: note('d Harmonium', 'Organ', 'There is no organ in the hall; the harmonium takes its part.'),
    truth: [
      ['Alto was parted into Alto 1 and Alto 2, the same notes.'],
      ['Bars 13–16 a minor third (three semitones) higher in all parts.'],
      [
        'The organ’s part is given to a harmonium (reason in a note: no organ in the hall).',
        'Tenor: rests in bars 1–4.',
      ],
    ],
    told: [
      ['Alto was divided: its notes are with Alto 1 and Alto 2 now.'],
      ['All that has pitch in bars 13–16 sounds a minor third higher.'],
      ['The part of Organ is Harmonium’s now.', 'Tenor enters in bar 5 instead of bar 1.'],
    ],
    summed: [
      ['Stage 2 divides Alto into Alto 1 and Alto 2.', 'Something was done to 2 of 6 parts, throughout.'],
      ['Stage 3 sets bars 13–16 a minor third higher.', 'Bars 13–16 stand a minor third higher.'],
      [
        'Stage 4 lets Tenor enter in bar 5 instead of bar 1; and gives the part of Organ to Harmonium.',
        'Something was done to 1 of 6 parts, in bars 1–4; 1 part has another instrument.',
      ],
    ],
  };
}

/** Small brass band. */
function parade(): Story {
  const trombone = part(4, 'Trombone', 57, notesIn(line(505, 48, 4, 2, 24), 8, 23));
  const first = sheet(
    4,
    [
      part(0, 'Trumpet', 56, line(501, 64, 4, 0.5, 24)),
      part(1, 'Flugelhorn', 56, line(502, 58, 4, 1, 24)),
      part(2, 'Horn in F', 60, line(503, 52, 4, 2, 24)),
      part(3, 'Tuba', 58, line(504, 36, 4, 1, 24)),
    ],
    24,
  );
  const added: Sheet = { ...first, parts: [...first.parts, trombone] };
  const moved: Sheet = {
    ...added,
    bars: [...added.bars.slice(0, 8), ...added.bars.slice(16), ...added.bars.slice(8, 16)],
  };
  const second = part(5, 'Trumpet 2', 56, notesIn(line(506, 60, 4, 1, 24), 0, 7));
  const named = withPart(moved, 'Trumpet', (one) => [{ ...one, name: 'Trumpet 1' }]);
  const last: Sheet = {
    ...named,
    parts: named.parts.flatMap((one) =>
      one.name === 'Flugelhorn' ? [] : one.name === 'Trumpet 1' ? [one, second] : [one],
    ),
  };
  return {
    name: 'parade',
    title: 'Parade at Low Tide',
    stages: [
      ['01 Quartet', first],
      ['02 Trombone', added],
      ['03 Other order', moved],
      ['04 Two trumpets', last],
    ],
    notes: note(
      'Two trumpets',
      'Flugelhorn',
      'The player is away; a second trumpet helps in the first strain instead.',
    ),
    truth: [
      ['Trombone is new; it plays from bar 9 on.'],
      ['The last eight bars (17–24) stand before bars 9–16 now (as bars 9–16; what was 9–16 is 17–24).'],
      [
        'Trumpet is called Trumpet 1.',
        'Trumpet 2 is new; it plays in bars 1–8.',
        'Flugelhorn is gone (reason in a note: the player is away).',
      ],
    ],
    told: [
      ['Trombone is new: it plays in bars 9–24.'],
      ['Moved: bars 17–24 of the earlier stage stand at bars 9–16 now.', 'What was bars 9–16 is bars 17–24 now.'],
      [
        'Trumpet 2 is new: it plays in bars 1–8.',
        'Flugelhorn is gone; it played in bars 1–24.',
        '“Trumpet” is called “Trumpet 1” now.',
      ],
    ],
    summed: [
      ['Stage 2 adds Trombone from bar 9.', 'Something was done to 1 of 5 parts, in bars 9–24.'],
      [
        'Stage 3 moves bars 17–24 to bar 9, so that what was bars 9–16 stands 8 bars later.',
        'What was bars 17–24 stands at bars 9–16.',
      ],
      [
        'Stage 4 adds Trumpet 2 in bars 1–8; takes out Flugelhorn; and renames Trumpet to Trumpet 1.',
        'Something was done to 1 of 5 parts, in bars 1–8; 1 part has another name; 1 part of before is gone.',
      ],
    ],
  };
}

/** Percussion and keyboards, played by hand. */
function clockShop(): Story {
  const first = sheet(4, [
    part(0, 'Vibraphone', 11, playedBy(line(601, 65, 4, 0.5), 1, 0.03)),
    part(1, 'Marimba', 12, playedBy(line(602, 53, 4, 0.5), 2, 0.03)),
    part(2, 'Celesta', 8, playedBy(line(603, 72, 4, 2), 3, 0.03)),
    part(3, 'Double Bass', 43, playedBy(line(604, 31, 4, 2), 4, 0.03)),
  ]);
  const again: Sheet = {
    ...first,
    parts: first.parts.map((one, index) => ({ ...one, notes: playedBy(one.notes, 11 + index, 0.03) })),
  };
  const tight = inNotes(again, 'Marimba', (notes) => notes.map((each) => ({ ...each, late: 0 })));
  const rebarred: Sheet = {
    ...tight,
    bars: tight.bars.flatMap((bar) =>
      bar.id < 8 || bar.id > 11
        ? [bar]
        : [0, 1].map((half) => ({
            ...bar,
            id: bar.id + 100 * half,
            quarters: 2,
            meter: { numerator: 2, denominator: 4 },
          })),
    ),
    parts: tight.parts.map((one) => ({
      ...one,
      notes: one.notes.map((each) =>
        each.bar >= 8 && each.bar <= 11 && each.onset >= 2
          ? { ...each, bar: each.bar + 100, onset: each.onset - 2 }
          : each,
      ),
    })),
  };
  const last = inNotes(rebarred, 'Celesta', (notes) => [
    ...notesOutside(notes, 0, 3),
    ...playedBy(notesIn(line(613, 72, 4, 1), 0, 3), 5, 0.03),
  ]);
  return {
    name: 'clock-shop',
    title: 'The Clock Shop',
    stages: [
      ['1 First take', first],
      ['2 Second take', again],
      ['3 Tight', tight],
      ['4 Two-four', rebarred],
      ['5 Celesta', last],
    ],
    notes: note('Tight', 'Marimba', 'It has to tick like a clock.'),
    truth: [
      ['Nothing: all was played in anew, the same music.'],
      ['Marimba: quantised (reason in a note).'],
      ['Bars 9–12 are written as eight bars of 2/4 (9–16), the same music.'],
      ['Celesta: another line in bars 1–4.'],
    ],
    told: [
      ['Nothing in the music differs.'],
      ['Marimba: quantised: on the grid, from which it strayed by about 8 ms, the written music unchanged.'],
      ['Bars 9–16 are in 2/4: they were bars 9–12 in 4/4, the same music.', 'What was bars 13–16 is bars 17–20 now.'],
      ['Celesta: rewritten in bars 1–4.'],
    ],
    summed: [
      ['In stage 2 nothing in the music differs.', ''],
      [
        'In stage 3 Marimba is quantised: on the grid, from which it strayed by about 8 ms, the written music unchanged.',
        '1 part is re-timed.',
      ],
      [
        'Stage 4 writes what was bars 9–12 in 4/4 as 8 bars of 2/4, 9–16 now, so that what followed stands 4 bars later.',
        'What was bars 9–12 is barred otherwise, as bars 9–16.',
      ],
      ['Stage 5 rewrites Celesta in bars 1–4.', 'Something was done to 1 of 4 parts, in bars 1–4.'],
    ],
  };
}

export const STORIES: readonly Story[] = [harbourWaltz(), nightBus(), millRace(), eveningHymn(), parade(), clockShop()];
