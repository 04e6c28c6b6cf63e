import Ajv2020 from 'ajv/dist/2020.js';
import { parse } from 'yaml';
import { describe, expect, it } from 'vitest';
import { RULES_WITHOUT_LIMIT, RULE_NAMES } from '../../src/model/readings/rule-names.ts';
import { placeOf } from '../../src/problems/problem.ts';
import { nearestName } from '../../src/problems/nearest-name.ts';
import { parseKey } from '../../src/read/settings/parse-key.ts';
import { readSettings } from '../../src/read/settings/read-settings.ts';
import { settingsJsonSchema, settingsTable } from '../../src/read/settings/settings-table.ts';

const encoder = new TextEncoder();

function read(text: string): ReturnType<typeof readSettings> {
  return readSettings(encoder.encode(text), 'dossier.yaml');
}

function sentences(text: string): readonly string[] {
  return read(text).problems.map((problem) => `${placeOf(problem)} ${problem.message}`);
}

const FULL = `
title: Harbour lights
subtitle: for guitar and strings
arranger: A. N. Other
for: first reading
date: 2026-11-25
foreground:
  - {part: Guitar, bars: 1-8}
  - part: Flute
    bars: [9, 16]
sections:
  - {name: Verse, bars: 1-8}
  - {name: Coda, bars: {from: 9, to: 16}}
key: F# minor
bars: 1-64
pickup: 1/2
parts:
  Vln1: {instrument: violin, name: Violin I, players: 8, trim: -3, range: G3-E7, dynamics: cc1}
  Click: {ignore: true}
  Vln1 pizz: {join: Vln1}
stages:
  01 sketch: {title: Sketch, order: 1, remark: alone}
paper: letter
limits: {late-part: 60}
accepted:
  - {rule: crossing, bars: 9, parts: [Viola, Horn], stage: 01 sketch, reason: meant}
`;

describe('settings that are right', () => {
  it('are read with every key of the table', () => {
    const { settings, problems } = read(FULL);
    expect(problems).toEqual([]);
    expect(settings.content).toEqual({
      title: 'Harbour lights',
      subtitle: 'for guitar and strings',
      arranger: 'A. N. Other',
      for: 'first reading',
      date: '2026-11-25',
      foreground: [
        { part: 'Guitar', bars: { from: 1, to: 8 } },
        { part: 'Flute', bars: { from: 9, to: 16 } },
      ],
      sections: [
        { name: 'Verse', bars: { from: 1, to: 8 } },
        { name: 'Coda', bars: { from: 9, to: 16 } },
      ],
      key: { step: 'F', alter: 1, mode: 'minor' },
      bars: { from: 1, to: 64 },
      pickup: 0.5,
      parts: {
        Vln1: {
          instrument: 'violin',
          name: 'Violin I',
          players: 8,
          trim: -3,
          range: { low: 55, high: 100 },
          dynamics: 'cc1',
        },
        Click: { ignore: true },
        'Vln1 pizz': { join: 'Vln1' },
      },
      stages: { '01 sketch': { title: 'Sketch', order: 1, remark: 'alone' } },
      paper: 'letter',
      limits: { 'late-part': 60 },
      accepted: [
        { rule: 'crossing', bars: { from: 9, to: 9 }, parts: ['Viola', 'Horn'], stage: '01 sketch', reason: 'meant' },
      ],
    });
  });

  it('know the place of every key and list item, also of those written in short', () => {
    const { positions } = read('key: C\nforeground: Guitar\nparts:\n  Vn 1:\n    instrument: violin\n').settings;
    expect(positions['["parts","Vn 1","instrument"]']).toEqual({ line: 5, column: 5 });
    expect(positions['["parts","Vn 1"]']).toEqual({ line: 4, column: 3 });
    expect(positions['["foreground",0,"part"]']).toEqual({ line: 2, column: 1 });
  });

  it('leave text as it is written where it looks like a number', () => {
    const { content } = read('title: 007\nfor: true\nstages: {02: {title: 1.0}}').settings;
    expect(content).toEqual({ title: '007', for: 'true', stages: { '02': { title: '1.0' } } });
  });

  it('may be empty, or have keys that are not filled in', () => {
    expect(read('').problems).toEqual([]);
    expect(read('# nothing yet\n').settings.content).toEqual({});
    expect(read('title:\nparts:\n  Viola:\n').settings.content).toEqual({ parts: {} });
  });
});

describe('keys as musicians write them', () => {
  it.each([
    ['C', 'C', 0, 'major'],
    ['Gm', 'G', 0, 'minor'],
    ['g minor', 'G', 0, 'minor'],
    ['F# minor', 'F', 1, 'minor'],
    ['F sharp minor', 'F', 1, 'minor'],
    ['E-flat major', 'E', -1, 'major'],
    ['B♭', 'B', -1, 'major'],
    ['Bbm', 'B', -1, 'minor'],
    ['fis-Moll', 'F', 1, 'minor'],
    ['Es-Dur', 'E', -1, 'major'],
    ['As-Dur', 'A', -1, 'major'],
    // German usage: B is B flat and H is B natural (common practice, no source).
    ['B-Dur', 'B', -1, 'major'],
    ['h-Moll', 'B', 0, 'minor'],
  ])('%s', (text, step, alter, mode) => {
    expect(parseKey(text)).toEqual({ step, alter, mode });
  });

  it.each(['G# major', 'Fb', 'D flat minor', 'H', 'g', 'Cmaj7', 'dorian', ''])(
    '%s is none with a signature',
    (text) => {
      expect(parseKey(text)).toBeUndefined();
    },
  );
});

describe('settings that are wrong', () => {
  it.each([
    ['titel: x', '1:1', ['“titel”', 'perhaps “title”']],
    ['parts:\n  Vn 1:\n    instruent: violin', '3:5', ['“instruent”', 'perhaps “instrument”', '“Vn 1”']],
    ['limits:\n  late-prt: 3', '2:3', ['“late-prt”', 'perhaps “late-part”']],
    ['accepted:\n - {rule: crosing, reason: x}', '2:11', ['“crosing”', 'perhaps “crossing”']],
    ['accepted:\n - rule: crossing', '2:4', ['“reason” is missing']],
    ['parts: {A: {players: many}}', '1:22', ['“many”', 'whole number']],
    ['parts: {A: {players: 2.5}}', '1:22', ['2.5', 'whole number']],
    ['parts: {A: {trim: 99}}', '1:19', ['99', '-60 to 60']],
    ['parts: {A: {range: E7-G3}}', '1:20', ['“E7-G3”', 'lowest note is above']],
    ['parts: {A: {range: {low: G3}}}', '1:20', ['“high” is missing']],
    ['parts: {A: {dynamics: cc3}}', '1:23', ['“cc3”', 'cc11']],
    ['sections:\n - {name: x, bars: 12-9}', '2:20', ['“12-9”', 'first bar comes after the last']],
    ['sections:\n - {name: x, bars: {from: 1, too: 2}}', '2:30', ['“too”', 'perhaps “to”']],
    ['foreground:\n - {part: X, bars: 9-}', '2:20', ['“9-”', '9-12']],
    ['foreground:\n - [a]', '2:4', ['a list', '{part, bars}']],
    ['key: G# major', '1:6', ['“G# major”', 'at most seven']],
    ['pickup: -1', '1:9', ['-1', 'quarter notes']],
    ['paper: a3', '1:8', ['“a3”', 'a4 or letter']],
    ['title: [x]', '1:8', ['a list', 'a line of text']],
    ['title: x\ntitle: y', '2:1', ['twice']],
    ['title: x\n\tkey: C', '2:1', ['tab']],
    ['title: a: b', '1:8', ['quotation marks']],
    ['title: "open', '1:13', ['missing']],
    ['- a\n- b', '1:1', ['key: value']],
    ['a: &x [1]\nb: *x', '2:4', ['Aliases', '“*x”']],
    ['title: !!js/function x', '1:8', ['plain text']],
    ['title: x\n---\ntitle: y', '2:1', ['second document']],
    ['__proto__: {title: x}', '1:1', ['“__proto__”']],
    ['constructor: 3', '1:1', ['“constructor”']],
  ])('%j: one sentence at %s', (text, place, parts) => {
    const found = sentences(text);
    expect(found[0]).toContain(`dossier.yaml:${place} `);
    for (const part of parts) expect(found.join('\n')).toContain(part);
    for (const sentence of found) expect(sentence).toMatch(/^[^\n]+\.$/);
  });

  it('have all their faults told at once, in order of place', () => {
    const lines = read('titel: x\nkey: Q\nparts: {A: {trim: loud}}').problems.map(({ line }) => line);
    expect(lines).toEqual([1, 2, 3]);
  });

  it('that are not UTF-8 are refused', () => {
    const { problems } = readSettings(Uint8Array.of(0x74, 0x3a, 0x20, 0xe9), 'dossier.yaml');
    expect(problems.map(({ code }) => code)).toEqual(['not-utf-8']);
  });

  it('that would grow without end are refused before they do', () => {
    const bomb = Array.from({ length: 30 }, (_, index) => `a${index}: &a${index} [*a${index - 1}, *a${index - 1}]`);
    expect(sentences(['a: &a-1 [x]', ...bomb].join('\n'))).toHaveLength(1);
    for (const deep of ['['.repeat(100_000), '{a: '.repeat(50_000), '- '.repeat(100_000), '? '.repeat(100_000)]) {
      const { problems } = read(deep);
      expect(problems.map(({ code }) => code)).toEqual(['too-deep']);
    }
  });
});

describe('the one table of settings', () => {
  it('says for every key what it is and what holds without it', () => {
    for (const row of settingsTable) {
      for (const text of [row.key, row.type, row.default, row.description, row.example]) expect(text).not.toBe('');
    }
    expect(settingsTable.map(({ key }) => key)).toContain('parts.NAME.instrument');
    expect(settingsTable.map(({ key }) => key)).toContain('accepted[].reason');
  });

  it('gives examples that the check takes', () => {
    const examples = settingsTable
      .filter(({ key }) => !/[.[]/.test(key))
      .map(({ key, example }) => `${key}: ${example}`);
    expect(examples.length).toBeGreaterThan(10);
    expect(sentences(examples.join('\n'))).toEqual([]);
    const inner = settingsTable.filter(({ key }) => key.startsWith('parts.NAME.'));
    const part = inner.map(({ key, example }) => `    ${key.slice('parts.NAME.'.length)}: ${example}`);
    expect(sentences(['parts:', '  X:', ...part].join('\n'))).toEqual([]);
  });

  it('takes four to six staves or leaves it to the density, and says so of any other number', () => {
    for (const staves of ['auto', '4', '5', '6']) expect(sentences(`staves: ${staves}`)).toEqual([]);
    for (const staves of ['3', '7', 'many']) {
      const [sentence = '', ...others] = sentences(`staves: ${staves}`);
      expect(sentence).toContain('auto, 4, 5 or 6');
      expect(others).toEqual([]);
    }
  });

  it('makes the JSON Schema that is kept for editors', async () => {
    const text = `${JSON.stringify(settingsJsonSchema(), null, 2)}\n`;
    await expect(text).toMatchFileSnapshot('../../shared/dossier-settings.schema.json');
  });

  it('has a threshold for every rule that has one', () => {
    const measured = RULE_NAMES.filter((rule) => !RULES_WITHOUT_LIMIT.includes(rule));
    for (const rule of measured) expect(sentences(`limits: {${rule}: 1}`)).toEqual([]);
  });

  it('refuses a threshold that no rule would look at, and says why', () => {
    expect(RULES_WITHOUT_LIMIT.length).toBeGreaterThan(0);
    for (const rule of RULES_WITHOUT_LIMIT) {
      expect(sentences(`limits: {${rule}: 1}`)[0]).toMatch(
        /^2?.*no threshold, as this check measures against the instrument/,
      );
    }
  });

  // An independent validator, ajv, must judge by the JSON Schema as our own check does, wherever the schema can say it.
  describe('and ajv agrees with our own check on', () => {
    const validate = new Ajv2020({ strict: false }).compile(settingsJsonSchema());
    it.each([
      FULL,
      'title: 5',
      'foreground: Guitar',
      'foreground: [Guitar, {part: Flute}]',
      'sections: [{name: x, bars: 9}]',
      'titel: x',
      'parts: {A: {players: many}}',
      'parts: {A: {range: G3}}',
      'parts: {A: {range: {low: G3, high: E7}}}',
      'limits: {late-prt: 3}',
      'limits: {late-part: 3}',
      'accepted: [{rule: crossing}]',
      'accepted: [{rule: crossing, reason: meant}]',
      'pickup: 1/2',
      'pickup: half',
      'paper: a3',
      'parts: [a]',
      'key: [x]',
    ])('%s', (text) => {
      expect(validate(parse(text))).toBe(read(text).problems.length === 0);
    });
  });
});

describe('a number, a truth value or a date of YAML (1.2, core schema)', () => {
  it.each(['.nan', '.inf', '-.inf', '1e999', '0x1F', '007', '1.50', 'true', 'False', '2026-11-25', '9007199254740993'])(
    '%s is text as it is written where a text belongs',
    (written) => {
      const { settings, problems } = read(
        `title: ${written}\nforeground: [${written}]\nparts: {${written}: {name: ${written}}}\nsections: [{name: ${written}, bars: 1}]\n`,
      );
      expect(problems).toEqual([]);
      expect(settings.content).toEqual({
        title: written,
        foreground: [{ part: written }],
        parts: { [written]: { name: written } },
        sections: [{ name: written, bars: { from: 1, to: 1 } }],
      });
    },
  ); // prettier-ignore

  it.each([
    ['.nan', '.nan'],
    ['.inf', '.inf'],
    ['-.Inf', '-.inf'],
  ])('%s is no number of a setting, and is named as YAML writes it', (written, said) => {
    const { problems } = read(
      `pickup: ${written}\nkey: ${written}\nlimits: {crossing: ${written}}\nparts: {A: {trim: ${written}, players: ${written}}}\n`,
    );
    expect(problems).toHaveLength(5);
    for (const { kind, message } of problems) {
      expect(kind).toBe('settings');
      expect(message).toContain(` is ${said}, but expected is `);
      expect(message).not.toMatch(/NaN|Infinity/);
    }
  });
});

describe('the nearest name', () => {
  it.each([
    ['instruent', 'instrument'],
    ['NAME', 'name'],
    ['nmae', 'name'],
    ['player', 'players'],
    ['colour', undefined],
    ['', undefined],
  ])('of %j is %j', (word, nearest) => {
    expect(nearestName(word, ['instrument', 'name', 'players', 'ignore'])).toBe(nearest);
  });
});
