import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { dataFiles } from '../../src/publish/publish-dossier.ts';
import { dossierJson, dossierRecord, stageText } from '../../src/publish/data/dossier-json.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { publishedOf, readingsOf, smallDossier, writtenOf } from '../support/published.ts';

const schema = JSON.parse(readFileSync(resolve('shared/dossier.schema.json'), 'utf8')) as object;
const validate = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(schema);

interface Export {
  stages: {
    parts: { notes: { pitch: string; start: number; length: number; performed: { second: number } }[] }[];
    bars: { number: number; start: number; meter: string }[];
    balance: Record<string, unknown>[];
    chords: { covered: Record<string, string[]>; missing: number[]; root: string }[];
  }[];
}

function exported(text: string): Export {
  return JSON.parse(text) as Export;
}

/** A stage that has one of everything. */
function fullStage() {
  const timeline = timelineOf(2, { numerator: 3, denominator: 4 }, 90, 1);
  const horn = partOf('horn-f', 'F#4:-1:1 Bb3:0:1.3333333', timeline, {
    role: 'foreground',
    range: { low: 40, high: 80 },
    controlNotes: [{ midi: 12, second: 0, quarters: -1, reason: 'far below the instrument' }],
  });
  const stage = stageOf([horn], timeline, {
    questions: [{ code: 'instrument-guessed', text: 'Is this a horn?', partId: horn.id }],
  });
  const chord = { step: 'B', alter: -1 } as const;
  return publishedOf(stage, {
    written: writtenOf(stage, {
      keys: [{ from: 0, to: 2, tonic: chord, mode: 'major', fifths: -2, confidence: 0.5, by: 'estimate' }],
      chords: [
        {
          start: 0,
          length: 480,
          bar: 1,
          symbol: 'Bb',
          root: chord,
          quality: 'major',
          bass: chord,
          roman: 'I',
          tones: [10, 2, 5],
          coverage: 1,
        },
      ],
    }),
    readings: readingsOf(stage, {
      coverage: [{ chord: 0, covered: { '10': [horn.id] }, missing: [2, 5] }],
      presence: [
        {
          partId: horn.id,
          from: 0,
          to: 1,
          entry: 'at-once',
          exit: 'to-nothing',
          firstQuarters: -1,
          lastQuarters: 1.3333333,
        },
      ],
      balance: [
        { bar: 0, foregroundDb: 80.123, partsDb: { [horn.id]: 80.123 } },
        {
          bar: 1,
          foregroundDb: 80,
          backgroundDb: 70,
          marginDb: 10,
          maskedShare: 0.2,
          audibleShare: 0.55555,
          partsDb: {},
        },
        { bar: 2, foregroundDb: Number.NEGATIVE_INFINITY, partsDb: { [horn.id]: Number.NEGATIVE_INFINITY } },
      ],
      levelAssumptions: [{ partId: horn.id, text: 'assumed', assumed: true }],
      melody: [{ startQuarters: -1, lengthQuarters: 1, midi: 66, partId: horn.id }],
      doublings: [],
    }),
  });
}

describe('dossier.json', () => {
  it('keeps to its schema', () => {
    for (const input of [smallDossier(), smallDossier({ stages: [fullStage()], changes: [] })]) {
      const valid = validate(JSON.parse(dossierJson(input)));
      expect(validate.errors ?? []).toEqual([]);
      expect(valid).toBe(true);
    }
  });

  it('is refused by the schema where a contract key is missing or a pitch is no pitch', () => {
    const record = JSON.parse(dossierJson(smallDossier())) as Record<string, unknown>;
    expect(validate(record)).toBe(true);
    delete record['changes'];
    expect(validate(record)).toBe(false);
    const wrong = exported(dossierJson(smallDossier()));
    wrong.stages[0]!.parts[0]!.notes[0]!.pitch = 'H4';
    expect(validate(wrong)).toBe(false);
  });

  it('has every key that the data contract names', () => {
    // The keys of the contract arrangement-dossier/2, stage by stage; more may stand beside them.
    const record = dossierRecord(smallDossier()) as Record<string, unknown>;
    expect(Object.keys(record)).toEqual(
      expect.arrayContaining(['format', 'title', 'files', 'stages', 'changes', 'notes']),
    );
    const [stage] = record['stages'] as object[];
    expect(Object.keys(stage!)).toEqual(
      expect.arrayContaining(
        'id title seconds bars sections parts keys chords melody register presence balance ranges playability doublings findings'.split(
          ' ',
        ),
      ),
    );
  });

  it('counts quarters from bar 1: a pickup is bar 0 and negative, thirds are rounded to six decimals', () => {
    const data = exported(dossierJson(smallDossier({ stages: [fullStage()], changes: [] })));
    const [stage] = data.stages;
    expect(stage!.bars.map((bar) => [bar.number, bar.start, bar.meter])).toEqual([
      [0, -1, '3/4'],
      [1, 0, '3/4'],
      [2, 3, '3/4'],
    ]);
    const [upbeat, first] = stage!.parts[0]!.notes;
    expect(upbeat).toMatchObject({ pitch: 'F#4', start: -1, length: 1, performed: { second: 0 } });
    expect(first!.length).toBe(1.333333);
  });

  it('gives null, never a number that JSON cannot hold, where a side is silent', () => {
    const data = exported(dossierJson(smallDossier({ stages: [fullStage()], changes: [] })));
    expect(data.stages[0]!.balance).toEqual([
      {
        bar: 0,
        foregroundDb: 80.12,
        backgroundDb: null,
        marginDb: null,
        maskedShare: null,
        audibleShare: null,
        parts: { 'horn-in-f': 80.12 },
      },
      {
        bar: 1,
        foregroundDb: 80,
        backgroundDb: 70,
        marginDb: 10,
        maskedShare: 0.2,
        audibleShare: 0.5556,
        parts: {},
      },
      {
        bar: 2,
        foregroundDb: null,
        backgroundDb: null,
        marginDb: null,
        maskedShare: null,
        audibleShare: null,
        parts: {},
      },
    ]);
  });

  it('reads the same however it is laid out', () => {
    const input = smallDossier();
    expect(JSON.parse(dossierJson(input))).toEqual(JSON.parse(JSON.stringify(dossierRecord(input))));
  });

  it('is written piece by piece, the pieces of each stage among the others, as the same text', () => {
    const input = smallDossier();
    const [file] = dataFiles(input);
    const pieces = [...(file?.pieces?.() ?? [])];
    expect(pieces.join('')).toBe(dossierJson(input));
    const longest = Math.max(...pieces.map(({ length }) => length));
    expect(longest).toBeLessThan(stageText(input.stages[0]!).length);
  });
});
