/** The short score of a large ensemble: when its choirs get staves of their own, and what stands on them. */
import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import type { Part, Stage } from '../../src/model/music/arrangement.ts';
import { midiOf } from '../../src/model/music/pitch.ts';
import type { ReducedScore } from '../../src/model/music/written.ts';
import { choirWords, choirsOf } from '../../src/notate/choirs/choirs.ts';
import { checkScore } from '../../src/notate/note-values/check-score.ts';
import { reducedLayout } from '../../src/publish/musicxml/layout/reduced-layout.ts';
import { scoreText } from '../../src/publish/musicxml/xml/score-xml.ts';
import { onceEach } from '../../src/model/once-each.ts';
import { reduce } from '../../src/notate/reduction/reduction.ts';
import { scoreTimeOf } from '../../src/notate/score-time/score-time.ts';
import type { KindFolder } from '../kinds/kind.ts';
import { bigBand } from '../kinds/folders/big-band.ts';
import { operaScene } from '../kinds/folders/opera-scene.ts';
import { orchestralExport } from '../kinds/folders/orchestral-export.ts';
import { pitBand } from '../kinds/folders/pit-band.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { notated } from '../support/notated.ts';
import { outerNotes } from '../support/outer-notes.ts';
import { unsaidLosses } from '../support/reduction-truth.ts';

const BARS = 8;
const timeline = timelineOf(BARS);

/** A figure of a bar in every bar of a span. */
function figure(bar: string): string {
  const notes: string[] = [];
  for (let at = 1; at <= BARS; at++) {
    for (const note of bar.split(' ')) {
      const [pitch = '', start = '0', length = '1'] = note.split(':');
      notes.push(`${pitch}:${String(Number(start) + (at - 1) * 4)}:${length}`);
    }
  }
  return notes.join(' ');
}

const once = onceEach((kind: KindFolder) => stageOfKind(kind));

const HELD = '0:4';
const BEATS = (pitch: string): string => [0, 1, 2, 3].map((at) => `${pitch}:${String(at)}:1`).join(' ');
const OFFBEATS = (pitch: string): string => [0.5, 1.5, 2.5, 3.5].map((at) => `${pitch}:${String(at)}:0.5`).join(' ');

function named(instrument: string, name: string, music: string, changes: Partial<Part> = {}): Part {
  return partOf(instrument, music, timeline, { name, abbreviation: name.slice(0, 6), ...changes });
}

/** Flute in front, then three woodwind, four brass, four strings, each choir in a rhythm of its own. */
function crowdedOrchestra(more: readonly Part[] = []): Part[] {
  return [
    named('flute', 'Flute', figure('A5:0:2 B5:2:2'), { role: 'foreground' }),
    named('oboe', 'Oboe', figure(OFFBEATS('D5'))),
    named('clarinet-bflat', 'Clarinet', figure(OFFBEATS('B4'))),
    named('bassoon', 'Bassoon', figure('G3:0:3 F3:3:1')),
    named('horn-f', 'Horn 1', figure(`G4:${HELD}`)),
    named('horn-f', 'Horn 2', figure(`D4:${HELD}`)),
    named('trumpet-bflat', 'Trumpet', figure(`B4:${HELD}`)),
    named('trombone-tenor', 'Trombone', figure(`G3:${HELD}`)),
    named('violin', 'Violin I', figure(BEATS('B4'))),
    named('violin', 'Violin II', figure(BEATS('G4'))),
    named('viola', 'Viola', figure('D4:0:1.5 E4:1.5:0.5 D4:2:1.5 E4:3.5:0.5')),
    named('cello', 'Cello', figure('G2:0:2 D3:2:2')),
    ...more,
  ];
}

function reducedOf(stage: Stage): ReducedScore {
  const { reduced } = notated(stage);
  expect(checkScore(reduced)).toEqual([]);
  return reduced;
}

const behind = ({ staves }: ReducedScore): readonly string[] =>
  staves.flatMap(({ role, label }) => (role === 'background' ? [label] : []));

function pitchesOn({ staves, bars }: ReducedScore, label: string): ReadonlySet<number> {
  return new Set(
    staves.flatMap((staff, index) =>
      staff.label === label
        ? bars.flatMap((bar) =>
            (bar.staves[index]?.voices ?? []).flat().flatMap(({ heads }) => heads.map(({ pitch }) => midiOf(pitch))),
          )
        : [],
    ),
  );
}

describe('when choirs get staves of their own', () => {
  // Two staves of two voices hold four lines; what goes beyond them needs staves of its own (common practice of condensed scores, no source).
  it('up to five parts never, however many rhythms they have', () => {
    const parts = crowdedOrchestra().filter(({ name }) => /^(Flute|Oboe|Bassoon|Horn 1|Viola)$/.test(name));
    expect(parts).toHaveLength(5);
    const score = reducedOf(stageOf(parts, timeline));
    expect(score.staves.map(({ id }) => id)).toEqual(['foreground-upper', 'background-upper', 'background-lower']);
    expect(score.choirs).toBeUndefined();
  });

  it('above five parts where the bars are crowded on two staves', () => {
    const score = reducedOf(stageOf(crowdedOrchestra(), timeline));
    expect(score.choirs).toEqual({ by: 'density', crowded: 1 });
    expect(score.staves.length).toBeGreaterThan(3);
    expect(score.staves.length).toBeLessThanOrEqual(6);
    expect(behind(score)).toContain('Strings');
    const seven = crowdedOrchestra().filter(({ name }) => !/^(Horn|Trumpet|Trombone|Violin II$)/.test(name));
    expect(seven).toHaveLength(7);
    const small = reducedOf(stageOf(seven, timeline));
    expect(small.choirs).toEqual({ by: 'density', crowded: 1 });
    expect(small.bars.flatMap(({ leftOut }) => leftOut)).toEqual([]);
  });

  it('not where as many parts move together', () => {
    const together = crowdedOrchestra().map((part) =>
      part.role === 'foreground'
        ? part
        : { ...part, notes: part.notes.slice(0, 1).map((note) => ({ ...note, startQuarters: 0, endQuarters: 4 })) },
    );
    const score = reducedOf(stageOf(together, timeline));
    expect(score.choirs).toBeUndefined();
    expect(behind(score)).toEqual(['Ensemble', '']);
  });

  it.each([4, 5, 6] as const)('as the settings ask: at most %i staves, the choirs in score order', (staves) => {
    const score = reducedOf(stageOf(crowdedOrchestra(), timeline, { staves }));
    expect(score.choirs?.by).toBe('settings');
    expect(score.staves.length).toBeLessThanOrEqual(staves);
    expect(score.staves.length).toBeGreaterThan(3);
    expect([...new Set(behind(score))].at(-1)).toMatch(/Strings$/);
    expect([...new Set(behind(score))][0]).toMatch(/^(Woodwind|Winds)/);
  });
});

describe('what stands on them', () => {
  it('each choir shows what it plays, also what another choir doubles', () => {
    // Horn and violins in unison: one staff alone would leave the other choir with a rest.
    const score = reducedOf(
      stageOf(
        crowdedOrchestra([
          named('horn-f', 'Horn 3', figure(BEATS('B4'))),
          named('violin', 'Violin III', figure(BEATS('B4'))),
        ]),
        timeline,
        { staves: 6 },
      ),
    );
    const winds = behind(score).find((label) => /Winds|Brass/.test(label)) ?? '';
    expect(pitchesOn(score, winds)).toContain(71);
    expect(pitchesOn(score, 'Strings')).toContain(71);
  });

  it('a choir that rests through a line is left out of it, after the first line, on wide and narrow screens', async () => {
    const score = reducedOf(await once(bigBand));
    const { systems } = engraveScore(score, { widthPx: 1200, narrowPx: 640, title: '' });
    const playing = (bars: readonly { readonly number: number }[]): number =>
      score.staves.filter(
        ({ whenPlayed }, index) =>
          whenPlayed !== true ||
          score.bars.some(
            (bar) =>
              bars.some(({ number }) => number === bar.number) &&
              bar.staves[index]?.voices.some((voice) => voice.some(({ kind }) => kind === 'notes')) === true,
          ),
      ).length;
    const [first, ...later] = systems;
    expect(first?.staves).toHaveLength(score.staves.length);
    for (const { staves, bars } of [...later, ...systems.flatMap(({ narrow }) => narrow)])
      expect(staves).toHaveLength(playing(bars));
    const counts = later.map(({ staves }) => staves.length);
    expect(Math.min(...counts)).toBeLessThanOrEqual(3);
    expect(Math.max(...counts)).toBeGreaterThanOrEqual(5);
  });

  it('stands under one bracket, in the picture and as MusicXML, each choir a part with its name', () => {
    const stage = stageOf(crowdedOrchestra(), timeline, { staves: 6 });
    const score = reducedOf(stage);
    expect(new Set(score.staves.filter(({ role }) => role === 'background').map(({ bracket }) => bracket)).size).toBe(
      1,
    );
    const text = scoreText({ title: 'Test' }, stage, reducedLayout(stage, notated(stage)));
    expect(text.match(/<part-group type="start"/g)).toHaveLength(1);
    for (const label of new Set(behind(score))) expect(text).toContain(`<part-name>${label}</part-name>`);
  });

  it('has entries at the staff of the choir that they are about', () => {
    const parts = crowdedOrchestra().map((part) =>
      part.family === 'brass'
        ? { ...part, notes: part.notes.filter(({ startQuarters }) => startQuarters >= 16) }
        : part,
    );
    const score = reducedOf(stageOf(parts, timeline, { staves: 6 }));
    const brass = score.staves.findIndex(({ label }) => /Brass|Winds/.test(label));
    const entries = score.bars.flatMap((bar) =>
      bar.cues.filter(({ text }) => /Horn|tutti/.test(text) && bar.number === 5),
    );
    expect(entries.map(({ staff }) => staff)).toEqual([brass]);
  });
});

it('each choir of a big band has its own dynamics', async () => {
  const { staves, bars } = reducedOf(await once(bigBand));
  const marked = new Set(bars.flatMap(({ dynamics }) => dynamics.map(({ staff }) => staves[staff]?.label)));
  for (const label of ['Saxophones', 'Brass', 'Rhythm section']) expect(marked).toContain(label);
});

// The folders are our own; that a short score has the outer notes, and two voices a staff at most: common practice, no source.
describe.each([
  ['a big band', bigBand],
  ['an opera scene', operaScene],
  ['an orchestra', orchestralExport],
  ['a pit band', pitBand],
])('the short score of %s', (_, kind) => {
  /** Notated once, reduced by each setting. */
  async function reducedWith(staves: 'auto' | 4 | 5 | 6) {
    const read = await once(kind);
    const written = notated(read);
    const stage = staves === 'auto' ? read : { ...read, staves };
    const score =
      staves === 'auto'
        ? written.reduced
        : reduce({ stage, written: written.parts, keys: [], chords: [], time: scoreTimeOf(stage.timeline.bars) });
    expect(checkScore(score)).toEqual([]);
    return { stage, score, written: { ...written, reduced: score } };
  }

  it.each(['auto', 4, 5, 6] as const)(
    'with staves: %s has the outer notes, says what it leaves out, and is valid',
    async (staves) => {
      const { stage, score, written } = await reducedWith(staves);
      const { moments, highest, lowest } = outerNotes(stage, written);
      expect(highest / moments).toBeGreaterThan(0.99);
      expect(lowest).toBe(moments);
      expect(unsaidLosses(stage, written.parts, score).length).toBeLessThanOrEqual(2);
      expect(score.bars.every((bar) => bar.staves.every(({ voices }) => voices.length <= 2))).toBe(true);
      const counted = score.staves.filter(({ id, whenPlayed }) => id !== 'foreground-lower' || whenPlayed !== true);
      expect(counted.length).toBeLessThanOrEqual(staves === 'auto' ? 6 : staves);
    },
  );

  it('loses no more lines than on four staves, of its own accord', async () => {
    const lostIn = (score: ReducedScore): number =>
      score.bars.filter(({ leftOut }) => leftOut.some((text) => !text.includes('unpitched'))).length;
    const { score } = await reducedWith('auto');
    expect(lostIn(score)).toBeLessThanOrEqual(lostIn((await reducedWith(4)).score));
    // The harp of the orchestra lies on both staves, and two are not crowded by it.
    expect(score.choirs?.by).toBe(kind === orchestralExport ? undefined : 'density');
  });
});

describe('names of choirs', () => {
  const parts = crowdedOrchestra([named('timpani', 'Timpani', figure(BEATS('G2')))]);
  const choirs = choirsOf(stageOf(parts, timeline));
  const choir = (id: string) => choirs.filter((one) => one.id === id);

  it('are those of the trade, and a part alone has its own', () => {
    expect(choirs.map(({ id }) => id)).toEqual(['woodwind', 'brass', 'strings', 'percussion']);
    expect(choirWords(choir('strings')).label).toBe('Strings');
    expect(choirWords(choir('percussion')).label).toBe('Timpani');
    expect(choirWords([...choir('woodwind'), ...choir('brass')]).label).toBe('Winds');
    expect(choirWords([...choir('strings'), ...choir('percussion')]).label).toBe('Strings, Timpani');
  });

  it('of a band: a rhythm section with its bass, saxophones alone', () => {
    const band = [
      named('sax-alto', 'Alto', figure('A4:0:4')),
      named('sax-tenor', 'Tenor', figure('F4:0:4')),
      named('trumpet-bflat', 'Trumpet', figure('C5:0:4')),
      named('trombone-tenor', 'Bone', figure('C4:0:4')),
      named('piano', 'Piano', figure('C4:0:4')),
      named('double-bass', 'Bass', figure('C2:0:4')),
    ];
    const stage = stageOf(band, timeline, { ensemble: { kind: 'big-band', sure: true } });
    expect(choirsOf(stage).map(({ id }) => id)).toEqual(['saxophones', 'trumpets', 'low-brass', 'rhythm']);
    const [, trumpets, trombones] = choirsOf(stage);
    expect(trumpets && trombones && choirWords([trumpets, trombones]).label).toBe('Brass');
  });
});
