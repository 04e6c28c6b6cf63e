/** What a client reads who sees only the first screen or the client sheet: what is wrong where, and what there is to decide. */
import { describe, expect, it } from 'vitest';
import { microphoneQuestion } from '../../src/assemble/who-has-the-melody/lead-question.ts';
import { drawWholePiece } from '../../src/draw/chart/whole-piece/whole-piece.ts';
import type { Memo, Part, Question, Stage } from '../../src/model/music/arrangement.ts';
import type { MeasuredReading } from '../../src/model/readings/measured.ts';
import type { BarBalance, Doubling, Finding } from '../../src/model/readings/readings.ts';
import type { DossierInput } from '../../src/publish/dossier-input.ts';
import { askedShortly } from '../../src/publish/page-data/glance/asked.ts';
import { atAGlanceSection } from '../../src/publish/page-data/glance/at-a-glance.ts';
import { clientSections } from '../../src/publish/page-data/glance/client-sheet.ts';
import { piecePicture, type PiecePicture } from '../../src/publish/page-data/glance/piece-picture.ts';
import type { Run } from '../../src/publish/page-data/page-frame/sheet.ts';
import { stageContext, type StageContext } from '../../src/publish/page-data/page-frame/stage-context.ts';
import { verdictOf, type Verdict } from '../../src/publish/page-data/glance/verdict.ts';
import { arrangementOf, leadSpan, partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { findingOf, publishedOf, readingsOf, smallDossier } from '../support/published.ts';

const timeline = timelineOf(12);
const violin = partOf('violin', 'A4:0:48', timeline, { name: 'Violin' });
const cello = partOf('cello', 'A3:0:48', timeline, { name: 'Cello' });
const LEADS = [leadSpan('violin', 1, 6), leadSpan('cello', 7, 12)];

function margins(under: readonly number[], far: readonly number[]): BarBalance[] {
  return timeline.bars.map(({ number }) => ({
    bar: number,
    foregroundDb: 60,
    marginDb: far.includes(number) ? -9 : under.includes(number) ? -6 : 4,
    partsDb: {},
  }));
}

/** The same by recordings of both of everybody. */
function recordedMargins(under: readonly number[]): MeasuredReading {
  const bars = timeline.bars.map(({ number }) => {
    const marginDb = under.includes(number) ? -6 : 4;
    return { bar: number, foregroundDb: -24, backgroundDb: -24 - marginDb, marginDb, groupsDb: [] };
  });
  return { groups: [], bars, toEstimateDb: 84, groupDifferencesDb: [], differences: [] };
}

interface Given {
  readonly stage?: Partial<Stage>;
  readonly under?: readonly number[];
  /** By more than a dynamic grade. */
  readonly far?: readonly number[];
  readonly measured?: MeasuredReading;
  /** Ids of parts whose level no source gives. */
  readonly assumed?: readonly string[];
  readonly findings?: readonly Finding[];
  readonly memos?: readonly Memo[];
}

function dossierOf({
  stage: changes = {},
  under = [],
  far = [],
  measured,
  assumed = [],
  findings = [],
  memos = [],
}: Given): DossierInput {
  const stage = stageOf([violin, cello], timeline, { foreground: LEADS, ...changes });
  const readings = readingsOf(stage, {
    balance: margins(under, far),
    ...(measured === undefined ? {} : { measured }),
    levelAssumptions: assumed.map((partId) => ({ partId, text: '', assumed: true })),
  });
  const charts = [drawWholePiece(stage, readings, findings)];
  const published = publishedOf(stage, { readings, findings, charts });
  return smallDossier({ arrangement: arrangementOf([stage], { memos }), stages: [published], changes: [] });
}

const contextOf = (given: Given): StageContext => stageContext(dossierOf(given), 0, false);
const textOf = (runs: readonly Run[]): string => runs.map(({ text }) => text).join('');
const verdictText = (verdict: Verdict): string => verdict.sentences.map(textOf).join(' ');
const NAMES = ['Violin', 'Cello'];

const question: Memo = {
  file: 'ask.md',
  line: 1,
  heading: 'Mutes?',
  markdown: 'Is there time to put them on?',
  from: 9,
  to: 12,
  partIds: [],
  kind: 'question',
};

describe('the verdict', () => {
  it('says in which bars the foreground is lost, and who has it there', () => {
    expect(verdictText(verdictOf(contextOf({ under: [5, 6, 9] }), NAMES))).toContain(
      'louder than the background except in bars 5–6 (Violin) and 9 (Cello)',
    );
  });

  it('goes by the recordings where they hold everybody, as the findings do, and says so, as does the picture', () => {
    const context = contextOf({ under: [2], measured: recordedMargins([5, 6]) });
    expect(verdictText(verdictOf(context, NAMES))).toContain(
      'Measured on the recordings, the foreground (Violin and Cello) is louder than the background except in bars 5–6 (Violin)',
    );
    const { svg, caption } = piecePicture(context.published);
    expect(String(svg)).toContain(
      'the background is louder than the foreground in bars 5–6 (measured on the recordings)',
    );
    expect(caption).toContain('This is measured on the recordings; how loud a band is, estimated from MIDI.');
  });

  it('does not call a foreground softer by less than an assumed level may be wrong', () => {
    const verdict = verdictText(verdictOf(contextOf({ under: [5, 6, 9], assumed: ['violin'] }), NAMES));
    expect(verdict).toContain(
      'about as loud as the background or louder throughout (levels of the foreground are assumed)',
    );
  });

  it('calls a foreground softer that the estimate has under the background in most bars, as the chart of the balance does', () => {
    const all = timeline.bars.map(({ number }) => number);
    const said = (given: Given): string => verdictText(verdictOf(contextOf({ ...given, assumed: ['violin'] }), NAMES));
    expect(said({ under: all })).toContain(
      'softer than the whole background together throughout, by less than a dynamic grade (levels of the foreground are assumed)',
    );
    expect(said({ under: all, far: [2, 9] })).toContain(
      'softer than the whole background together throughout, by about a dynamic grade or more in bars 2 (Violin) and 9 (Cello) (levels',
    );
    expect(said({ under: all.slice(0, 8), far: [2] })).toContain(
      'softer than the whole background together in 8 of 12 bars, by about',
    );
    expect(said({ under: all.slice(0, 4), far: [9] })).toContain(
      'about as loud as the background or louder except in bar 9 (Cello)',
    );
  });

  it('says nothing of who is louder where a singer leads before a band, but where it was measured or the level is set', () => {
    // Singers before a band sing into a microphone (common practice, no source).
    const singer = partOf('voice-alto', 'A4:0:48', timeline, { name: 'Lead', role: 'foreground' });
    const bass = partOf('bass-guitar', 'A1:0:48', timeline, { name: 'Bass' });
    const stage = {
      parts: [singer, bass],
      foreground: [leadSpan(singer.id, 1, 12)],
      ensemble: { kind: 'band' as const, sure: true },
    };
    const said = (given: Given): string => verdictText(verdictOf(contextOf({ under: [5, 6], ...given }), ['Lead']));
    expect(said({ stage })).toMatch(/^How loud Lead is beside the others is not told: .*microphone\./);
    const context = contextOf({ under: [5, 6], stage });
    const { svg, caption } = piecePicture(context.published);
    expect(`${String(svg)} ${caption}`).not.toMatch(/louder than|background louder|foreground is louder/);
    const level = { ...singer, levelBy: 'settings' as const };
    expect(said({ stage: { ...stage, parts: [level, bass] } })).toContain(
      'louder than the background except in bars 5–6',
    );
    expect(said({ stage, measured: recordedMargins([5]) })).toContain('louder than the background except in bar 5');
    const piano = { ...bass, instrument: 'piano', family: 'keyboard' as const };
    const song = { ...stage, parts: [singer, piano], ensemble: { kind: 'song' as const, sure: true } };
    expect(said({ stage: song })).toContain('except in bars 5–6');
    expect(microphoneQuestion('band', stage.parts).map(({ text }) => text.split('?')[0])).toEqual([
      'Does “Lead” sing into a microphone',
    ]);
    // Where another leads besides, the sentence names only those of whom it speaks; a finding about the singer has its own line.
    const flute = partOf('flute', 'A5:0:48', timeline, { name: 'Flute' });
    const both = {
      ...stage,
      parts: [singer, flute, bass],
      foreground: [leadSpan(singer.id, 1, 8), leadSpan('flute', 9, 12)],
    };
    const findings = [findingOf({ rule: 'background-as-loud', level: 'look', from: 5, to: 6 })];
    const mixed = verdictOf(contextOf({ stage: both, findings }), ['Lead', 'Flute']);
    expect(verdictText(mixed)).toContain('the foreground (Flute) is louder than the background where no singer leads.');
    expect(mixed.places.map(({ bars }) => bars.text)).toEqual(['bars 5–6']);
    expect(microphoneQuestion('band', [level, bass])).toEqual([]);
    expect(microphoneQuestion('song', song.parts)).toEqual([]);
  });

  it('says nothing of who is louder where an electric guitar leads: its amplifier is not in the notes', () => {
    const electric = partOf('guitar', 'A4:0:48', timeline, { name: 'E-Git.', role: 'foreground' });
    const tracks = electric.tracks.map((track) => ({ ...track, program: 27 }));
    const stage = (guitar: Part): Given => ({
      under: [5, 6],
      stage: { parts: [guitar, cello], foreground: [leadSpan(guitar.id, 1, 12)] },
    });
    const said = (guitar: Part): string => verdictText(verdictOf(contextOf(stage(guitar)), [guitar.name]));
    expect(said({ ...electric, tracks })).toMatch(/^How loud E-Git\. is beside the others is not told: .*amplifier\./);
    expect(
      said({ ...electric, name: 'Gitarre', tracks: electric.tracks.map((track) => ({ ...track, name: 'Gitarre' })) }),
    ).toContain('bars 5–6');
    // Where another leads besides, only the guitar's bars are left out, and they are called that.
    const some: Given = {
      under: [9],
      stage: {
        parts: [{ ...electric, tracks }, cello],
        foreground: [leadSpan(electric.id, 1, 4), leadSpan(cello.id, 5, 12)],
      },
    };
    expect(verdictText(verdictOf(contextOf(some), ['E-Git.', cello.name]))).toContain(
      'louder than the background where no electric guitar leads, except in bar 9',
    );
  });

  it('names a leader once who loses the foreground in several places one after the other', () => {
    const verdict = verdictText(verdictOf(contextOf({ under: [2, 4, 9] }), NAMES));
    expect(verdict).toContain('except in bars 2, 4 (Violin) and 9 (Cello)');
  });

  it('links bars alone, and names a part by what stands before its brackets', () => {
    const sung = { ...cello, name: 'Voice (soprano)' };
    const given: Given = { under: [5, 9], stage: { parts: [violin, sung] } };
    const [runs = []] = verdictOf(contextOf(given), ['Violin', 'Voice (soprano)']).sentences;
    expect(textOf(runs)).toContain('bars 5 (Violin) and 9 (Voice)');
    expect(runs.filter(({ href }) => href !== '').map(({ text }) => text)).toEqual(['5', '9']);
    const other = { ...violin, id: 'other', name: 'Voice' };
    const both: Given = { ...given, stage: { parts: [violin, sung, other] } };
    expect(verdictText(verdictOf(contextOf(both), ['Violin', 'Voice (soprano)']))).toContain('9 (Voice (soprano))');
  });

  it('leaves who is taken for the foreground to the question, which is asked once and comes first', () => {
    const questions = [{ code: 'foreground-guessed' as const, text: 'Nobody said who has the foreground: say so.' }];
    const given: Given = { stage: { foregroundGuessed: true, questions }, memos: [question], under: [5] };
    expect(verdictText(verdictOf(contextOf(given), NAMES))).toContain('the foreground is louder than the background');
    const asked = askedShortly(contextOf(given), NAMES);
    expect(asked.map(textOf)).toEqual([
      'Who has the foreground? Violin and Cello are taken for\u00a0it.',
      'Mutes? (bars 9–12)',
    ]);
    const body = atAGlanceSection(contextOf(given)).body as { readonly asksFirst: boolean };
    expect(JSON.stringify(body).match(/Who has the foreground/g)).toHaveLength(1);
    expect(body.asksFirst).toBe(true);
    expect(
      clientSections(dossierOf(given), false)
        .map(({ id }) => id)
        .slice(0, 2),
    ).toEqual(['client-decide', 'client-piece']);
    expect(clientSections(dossierOf({}), false)[0]?.id).toBe('client-piece');
  });

  it('tells the first findings by their numbers, as the list has them; accepted ones and notes are left out', () => {
    const at = (from: number, changes: Partial<Finding>): Finding => findingOf({ from, to: from, ...changes });
    const findings = [
      at(8, { level: 'fix', rule: 'outside-range' }),
      at(3, { level: 'fix', rule: 'too-many-notes' }),
      at(4, { level: 'look' }),
      at(5, { level: 'look' }),
      at(6, { level: 'note', rule: 'breath' }),
      at(7, { level: 'look', rule: 'crossing', accepted: 'It is meant.' }),
    ];
    const verdict = verdictOf(contextOf({ findings }), NAMES);
    expect(verdict.places.map(({ number, level, bars }) => [number, level, bars.text])).toEqual([
      [1, 'fix', 'bar 8'],
      [2, 'fix', 'bar 3'],
      [3, 'look', 'bar 4'],
      [4, 'look', 'bar 5'],
    ]);
    expect(verdictText(verdict)).toContain('2 places must be fixed before parts are copied; 2 are to check.');
  });

  it('tells where the background is louder, with the number of the finding, which has its line in the list too', () => {
    const findings = [findingOf({ rule: 'background-as-loud', level: 'look', from: 5, to: 5 })];
    const verdict = verdictOf(contextOf({ findings, under: [5] }), NAMES);
    expect(verdict.places.map(({ number, bars }) => [number, bars.text])).toEqual([[1, 'bar 5']]);
    expect(verdictText(verdict)).toContain('except in bar 5 (Violin): finding 1. Nothing');
    expect(verdict.sentences[0]).toContainEqual({ text: 'finding 1', href: '#finding-1' });
    // A finding about one of the bars is not said to be about all.
    expect(verdictText(verdictOf(contextOf({ findings, under: [5, 7] }), NAMES))).toContain(
      '; finding 1 speaks of bar 5. Nothing',
    );
    expect(verdictOf(contextOf({ findings }), NAMES).places.length).toBe(1);
    const many = Array.from({ length: 6 }, () => findings).flat();
    expect(verdictText(verdictOf(contextOf({ findings: many, under: [5] }), NAMES))).toContain(
      ': finding 1, finding 2, finding 3 and 3 more.',
    );
  });

  it('has no figure of loudness', () => {
    expect(verdictText(verdictOf(contextOf({ under: [1, 2, 3, 4, 5, 6, 7] }), NAMES))).not.toMatch(/dB|decibel/);
  });
});

describe('what is to be decided', () => {
  it('is a line each: of a note its heading and place, of the folder the first clause with names left whole', () => {
    const questions = [
      {
        code: 'other' as const,
        text: 'Track "Alto; or not: 2" could be Alto or Viola; it is taken for Viola. Say which.',
      },
    ];
    expect(askedShortly(contextOf({ stage: { questions }, memos: [question] }), NAMES).map(textOf)).toEqual([
      'Mutes? (bars 9–12)',
      'Track "Alto; or not: 2" could be Alto or Viola',
    ]);
  });

  it('names a track whole whose name has a dot and a blank, as abbreviations do', () => {
    const questions: Question[] = [
      { code: 'instrument-unknown', text: 'Track "Pist. in B" does not say which instrument it is. Say which.' },
    ];
    expect(askedShortly(contextOf({ stage: { questions } }), NAMES).map(textOf)).toEqual([
      'Track "Pist. in B" does not say which instrument it is',
    ]);
  });

  it('is first of all who has the foreground, however much else the folder leaves open', () => {
    const open = (name: string): Question => ({ code: 'ambiguous-name', text: `Track "${name}" could be anything.` });
    const questions: Question[] = [
      ...['A', 'B', 'C', 'D', 'E'].map(open),
      { code: 'foreground-guessed', text: 'Nobody said who has the foreground.' },
    ];
    const asked = askedShortly(contextOf({ stage: { foregroundGuessed: true, questions } }), NAMES).map(textOf);
    expect(asked[0]).toBe('Who has the foreground? Violin and Cello are taken for\u00a0it.');
    expect(asked.at(-1)).toBe('and 2 more');
  });

  it('names those who are taken for the foreground in the bars that are asked about', () => {
    const questions: Question[] = [{ code: 'foreground-guessed', text: 'Nobody said who has the foreground.' }];
    const foreground = [leadSpan('violin', 1, 6), leadSpan('cello', 7, 12, { weak: true })];
    const asked = askedShortly(contextOf({ stage: { foregroundGuessed: true, questions, foreground } }), NAMES);
    expect(textOf(asked[0]!)).toBe('Who has the foreground in bars 7–12? Cello is taken for\u00a0it.');
  });

  it('is counted beyond what a first screen holds', () => {
    const memos = Array.from({ length: 9 }, () => question);
    const asked = askedShortly(contextOf({ memos }), NAMES).map(textOf);
    expect(asked).toHaveLength(5);
    expect(asked.at(-1)).toBe('and 5 more');
  });
});

describe('the facts about the piece', () => {
  interface Body {
    readonly facts: readonly { readonly label: string; readonly runs: readonly Run[] }[];
    readonly shorthand: string;
    readonly shorthandLegend: string;
  }

  it('tell a doubling of two parts once, in all its bars', () => {
    const stage = stageOf([violin, cello], timeline);
    const doubled = (from: number, to: number): Doubling => ({
      ...{ partIds: ['violin', 'cello'], interval: 'octave', semitones: 12, from, to },
    });
    const readings = readingsOf(stage, { doublings: [doubled(5, 12), doubled(1, 4)] });
    const published = publishedOf(stage, { readings });
    const input = smallDossier({ arrangement: arrangementOf([stage]), stages: [published], changes: [] });
    const { facts } = atAGlanceSection(stageContext(input, 0, false)).body as Body;
    const told = facts.filter(({ label }) => label === 'Doublings').map(({ runs }) => textOf(runs));
    expect(told).toEqual(['Violin and Cello in octaves in bars 1–12']);
  });

  it('explain the places of the shorthand that it has, none for a choir', () => {
    const legendOf = (parts: readonly Part[]): string =>
      (atAGlanceSection(contextOf({ stage: { parts, foreground: [] } })).body as Body).shorthandLegend;
    const soprano = partOf('voice-soprano', 'A4:0:48', timeline);
    const horn = partOf('horn-f', 'A3:0:48', timeline);
    expect(legendOf([soprano])).toBe('');
    expect(legendOf([soprano, violin, cello])).toBe('In players: str: violins I.II.violas.cellos.basses.');
    expect(legendOf([horn, soprano])).toMatch(/^In players: flutes\..*tubas\.$/);
    expect(legendOf([horn, violin])).toMatch(/tubas - others - str: violins/);
    // A plus in a name is not one between players.
    const named = partOf('unknown', 'A4:0:48', timeline, { name: 'A+B' });
    expect(legendOf([horn, named])).not.toContain('a plus');
    expect(legendOf([horn, partOf('piccolo', 'A5:0:48', timeline)])).toContain('a plus');
  });
});

describe('the client sheet', () => {
  const bodyOf = (input: DossierInput, id: string): string =>
    JSON.stringify(clientSections(input, false).find((section) => section.id === id)?.body);

  it('ends the list of players with one full stop, behind a name that has one too', () => {
    const organ = partOf('organ', 'C3:0:48', timeline, { name: 'Orgel Man.' });
    const body = bodyOf(dossierOf({ stage: { parts: [violin, organ] } }), 'client-piece');
    expect(body).toContain('For Violin and Orgel Man."');
    expect(bodyOf(dossierOf({}), 'client-piece')).toContain('For Violin and Cello."');
  });

  it('asks what the notes ask, and leaves questions about files to the arranger', () => {
    const questions = [{ code: 'other' as const, text: 'Track "Pad" does not say which instrument it is.' }];
    const input = dossierOf({
      stage: { questions },
      memos: [question, { ...question, kind: 'decision', heading: 'Agreed' }],
    });
    expect(bodyOf(input, 'client-decide')).toContain('Mutes?');
    expect(bodyOf(input, 'client-decide')).not.toContain('Agreed');
    expect(bodyOf(input, 'client-decided')).toContain('Agreed');
    expect(
      clientSections(input, false)
        .map(({ body }) => JSON.stringify(body))
        .join(''),
    ).not.toContain('Pad');
  });

  it('says beside nothing to decide that the first screen still asks the arranger something', () => {
    const questions = [{ code: 'other' as const, text: 'Track "Pad" does not say which instrument it is.' }];
    expect(bodyOf(dossierOf({ stage: { questions } }), 'client-decide')).toContain(
      'Nothing is asked of you at this stage; what the first page still asks is for the arranger to say.',
    );
    expect(bodyOf(dossierOf({}), 'client-decide')).toContain('Nothing is asked of you at this stage."');
  });

  it('leads to the front page with every link of its picture and its sentences', () => {
    const input = dossierOf({ findings: [findingOf({})], under: [5] });
    const body = clientSections(input, false)[0]?.body as { readonly picture: PiecePicture };
    const targets = [...body.picture.svg.toString().matchAll(/ href="([^"#]*)#/g)].map(([, page]) => page);
    expect(targets.length).toBeGreaterThan(2);
    expect(new Set(targets)).toEqual(new Set(['index.html']));
    expect(bodyOf(input, 'client-piece')).not.toMatch(/"href":"#/);
  });
});

describe('the picture of the whole piece', () => {
  it('begins at its bar numbers where no section has a name', () => {
    const topsOf = (sections: Stage['sections']): readonly number[] => {
      const stage = stageOf([violin], timeline, { sections });
      const { svg } = drawWholePiece(stage, readingsOf(stage));
      return [...svg.matchAll(/class="section-line" d="M[\d.]+ (\d+)V/g)].map(([, y]) => Number(y));
    };
    const ruler = 36;
    expect(topsOf([{ name: 'Whole piece', from: 1, to: 12 }])).toEqual([ruler, ruler]);
    expect(
      topsOf([
        { name: 'A', from: 1, to: 6 },
        { name: 'B', from: 7, to: 12 },
      ]).every((y) => y < ruler),
    ).toBe(true);
  });

  it('cuts no bar number off at its right edge', () => {
    const long = timelineOf(525);
    const stage = stageOf([partOf('violin', 'A4:0:4', long)], long);
    const { svg } = drawWholePiece(stage, readingsOf(stage));
    for (const picture of svg.split('<svg').slice(1)) {
      const width = Number(/viewBox="0 \d+ (\d+)/.exec(picture)?.[1]);
      const numbers = [...picture.matchAll(/<a href="#bar-(\d+)".*?<text[^>]* x="([\d.]+)"/g)];
      expect(numbers.length).toBeGreaterThan(3);
      // A digit of the face is about 0.56 em wide: 5.6 units at 10 units.
      for (const [, number = '', x] of numbers) expect(Number(x) + 5.6 * number.length).toBeLessThanOrEqual(width);
    }
  });
});
