/** Who is taken for the tune where nobody says: what an attentive listener would answer (common practice, no source). */
import { describe, expect, it } from 'vitest';
import { guessLeads } from '../../src/assemble/who-has-the-melody/guess-leads.ts';
import { lineOf } from '../../src/assemble/who-has-the-melody/line.ts';
import { textureSigns } from '../../src/assemble/who-has-the-melody/texture-signs.ts';
import { spansOf } from '../../src/assemble/who-has-the-melody/lead-spans.ts';
import { withSharedLeads } from '../../src/assemble/who-has-the-melody/shared-lead.ts';
import type { Part, Section } from '../../src/model/music/arrangement.ts';
import { partOf, timelineOf } from '../support/arrangement.ts';
import { readMxl } from '../support/musicxml-score.ts';
import { openFile, openFiles } from '../support/open-data.ts';
import { stageOfScore } from '../support/score-stage.ts';

const timeline = timelineOf(16);
const WHOLE: readonly Section[] = [{ name: 'Whole', from: 1, to: 16 }];

/** Pitches in turn, each so long, through bars of four quarters. */
function line(pitches: string, length: number, from: number, to: number): string {
  const names = pitches.split(' ');
  const count = Math.round(((to - from + 1) * 4) / length);
  return Array.from(
    { length: count },
    (_, index) => `${names[index % names.length] ?? ''}:${(from - 1) * 4 + index * length}:${length}:70`,
  ).join(' ');
}

function guess(parts: readonly Part[], sections = WHOLE) {
  const candidates = parts.map(({ name, notes, unpitched }) => ({
    id: name,
    instrument: 'unknown',
    known: [],
    unpitched,
    notes,
  }));
  const sharing = candidates.map((own) => ({ ...own, lateSeconds: 0 }));
  const leads = guessLeads(candidates, timeline.bars, sections);
  return spansOf(timeline.bars, leads, (plain) => withSharedLeads(plain, sharing, timeline.bars)).map(
    ({ partId, from, to }) => ({ partId, from, to }),
  );
}

const tune = 'C4 D4 E4 G4 F4 E4 D4 E4';

describe('the part in front, where nobody says', () => {
  it('a tune in the cello is heard through a held flute above and repeated chords between', () => {
    const parts = [
      partOf('flute', line('C6', 4, 1, 16), timeline),
      partOf('violin', line('E4', 0.5, 1, 16), timeline),
      partOf('cello', line(tune, 1, 1, 16), timeline),
    ];
    expect(guess(parts)).toEqual([{ partId: 'Cello', from: 1, to: 16 }]);
  });

  it('two grades over the others lead no more surely than one', () => {
    const strengthAt = (velocity: number): number | undefined => {
      const parts = [
        partOf('trumpet-bflat', line('C5', 4, 1, 2).replaceAll(':70', `:${String(velocity)}`), timeline),
        partOf('baritone-horn', line(tune, 1, 1, 2), timeline),
      ];
      const lines = parts.map(({ notes }) => lineOf(notes, timeline.bars));
      return textureSigns(lines, timeline.bars)[0]?.strength[0];
    };
    expect(strengthAt(80)).toBeGreaterThan(strengthAt(70) ?? 1);
    expect(strengthAt(127)).toBe(strengthAt(122));
  });

  it('a montuno in octaves, the same figure bar after bar, leaves the tune to the trombone below it', () => {
    const figure = 'C6:0:.5 G5:.5:.5 C6:1:.5 G5:1.5:.5 C6:2.5:.5 G5:3:.5 C6:3.5:.5';
    const montuno = Array.from({ length: 16 }, (_, bar) =>
      figure
        .split(' ')
        .map((note) => {
          const [pitch = '', start = '', length = ''] = note.split(':');
          return [pitch, pitch.replace(/\d/, '4')]
            .map((name) => `${name}:${String(4 * bar + Number(start))}:${String(Number(length))}:80`)
            .join(' ');
        })
        .join(' '),
    ).join(' ');
    const parts = [
      partOf('piano', montuno, timeline),
      partOf('trombone', line('C4 D4 E4 G4 F4 D4 E4 C4', 1, 1, 16), timeline),
    ];
    expect(guess(parts)).toEqual([{ partId: 'trombone', from: 1, to: 16 }]);
  });

  it('a soloist who holds the last note over plucked chords keeps the lead', () => {
    const solo = partOf('violin', `${line('E5 F5 G5 A5 G5 F5 E5 D5', 1, 1, 15)} C5:60:4:80`, timeline);
    const plucked = partOf('guitar', line('E5 C5 G5 C5', 0.5, 1, 16), timeline);
    const candidates = [solo, plucked].map(({ name, notes }, index) => ({
      id: name,
      instrument: 'violin',
      known: index === 0 ? (['solo'] as const) : [],
      unpitched: false,
      notes,
    }));
    expect(guessLeads(candidates, timeline.bars, WHOLE).map((lead) => lead?.partId)).toEqual(
      timeline.bars.map(() => solo.name),
    );
  });

  /** Chords after the first beat of each bar, as a guitar accompanies. */
  const afterBeats = Array.from({ length: 16 }, (_, bar) =>
    [1, 2, 3].map((beat) => ['E4', 'G4', 'C5'].map((name) => `${name}:${4 * bar + beat}:0.5:75`).join(' ')).join(' '),
  ).join(' ');

  it('keeps it where its last note has died away and chords go on in their rhythm', () => {
    const mandolin = partOf('mandolin', `${line('C5 D5 E5 G5', 1, 1, 15)} C5:60:1:60`, timeline);
    const parts = [mandolin, partOf('guitar', afterBeats, timeline)];
    expect(guess(parts)).toEqual([{ partId: mandolin.name, from: 1, to: 16 }]);
  });

  it('keeps it through bars of rest in which nothing is played but the vamp', () => {
    const clarinet = partOf('clarinet-bflat', `${line(tune, 1, 1, 6)} ${line(tune, 1, 11, 16)}`, timeline);
    const parts = [clarinet, partOf('accordion', afterBeats, timeline)];
    expect(guess(parts)).toEqual([{ partId: clarinet.name, from: 1, to: 16 }]);
    // A line of its own there is a tune.
    const lead = [clarinet, partOf('accordion', `${afterBeats} ${line('G5 E5 F5 A5', 1, 7, 10)}`, timeline)];
    expect(guess(lead)).toContainEqual({ partId: 'Accordion', from: 7, to: 10 });
  });

  it('is handed over where the other part takes the tune', () => {
    const parts = [
      partOf('flute', `${line('C5 D5 E5 G5 F5 E5 D5 E5', 1, 1, 8)} ${line('G5', 4, 9, 16)}`, timeline),
      partOf('oboe', `${line('C5', 4, 1, 8)} ${line('C5 D5 E5 G5 F5 E5 D5 E5', 1, 9, 16)}`, timeline),
    ];
    expect(guess(parts)).toEqual([
      { partId: 'Flute', from: 1, to: 8 },
      { partId: 'Oboe', from: 9, to: 16 },
    ]);
  });

  it('a turn of one bar in another part is a comment, not the tune', () => {
    const parts = [
      partOf('violin', line('C5 D5 E5 G5 F5 E5 D5 E5', 1, 1, 16), timeline),
      partOf('flute', line('G5 A5 B5 C6', 1, 8, 8), timeline),
    ];
    expect(guess(parts)).toEqual([{ partId: 'Violin', from: 1, to: 16 }]);
  });

  // "Air" above a tune (common practice, no source): the annotators of orchestral movements leave it with the violins too.
  it('a flute that joins an octave above colours the tune and does not take it', () => {
    const parts = [
      partOf('flute', line('C6 D6 E6 G6 F6 E6 D6 E6', 1, 9, 16), timeline),
      partOf('violin', line('C5 D5 E5 G5 F5 E5 D5 E5', 1, 1, 16), timeline),
      partOf('viola', line('E4', 2, 1, 16), timeline),
    ];
    expect(guess(parts)).toEqual([{ partId: 'Violin', from: 1, to: 16 }]);
  });

  it('a flute that takes the tune an octave higher, over a violin that accompanies, has it', () => {
    const parts = [
      partOf('flute', line('C6 D6 E6 G6 F6 E6 D6 E6', 1, 9, 16), timeline),
      partOf('violin', `${line('C5 D5 E5 G5 F5 E5 D5 E5', 1, 1, 8)} ${line('G4', 0.5, 9, 16)}`, timeline),
      partOf('viola', line('E4', 2, 1, 16), timeline),
    ];
    expect(guess(parts)).toEqual([
      { partId: 'Violin', from: 1, to: 8 },
      { partId: 'Flute', from: 9, to: 16 },
    ]);
  });

  it('nobody plays: nobody is in front', () => {
    expect(guess([])).toEqual([]);
  });
});

describe('songs (OpenScore Lieder, CC0)', () => {
  it.each(openFiles('openscore-lieder'))('%s: the singer is in front wherever the voice sings', (file) => {
    const { stage } = stageOfScore(readMxl(openFile('openscore-lieder', file)), { foreground: '', velocity: 70 });
    const candidates = stage.parts.map(({ name, notes }) => ({
      id: name,
      instrument: 'unknown',
      known: /piano/i.test(name) ? [] : (['sung'] as const),
      unpitched: false,
      notes,
    }));
    const voice = stage.parts.find(({ name }) => !/piano/i.test(name));
    const spans = spansOf(stage.timeline.bars, guessLeads(candidates, stage.timeline.bars, stage.sections));
    const { bars } = stage.timeline;
    const sung = bars.filter(({ startQuarters, lengthQuarters }) =>
      voice?.notes.some(
        (note) => note.startQuarters >= startQuarters && note.startQuarters < startQuarters + lengthQuarters,
      ),
    );
    const inFront = sung.filter(({ number }) =>
      spans.some((span) => span.partId === voice?.name && span.from <= number && span.to >= number),
    );
    expect(sung.length).toBeGreaterThan(10);
    expect(inFront.length / sung.length).toBeGreaterThan(0.9);
  });
});
