/**
 * The whole program on a piece whose facts are known, in four languages and both kinds of export. The facts are written
 * down in the support file; none comes from the program's own output.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Language } from '../support/known-folder.ts';
import { KNOWN_FLAWS, KNOWN_PARTS, writeKnownFolder } from '../support/known-folder.ts';
import { runMany, temporaryFolder } from '../support/run-cli.ts';

interface ExportedPart {
  readonly id: string;
  readonly name: string;
  readonly instrument: string;
  readonly role: string;
  readonly latenessMs: { readonly median: number };
  readonly notes: readonly { readonly midi: number; readonly start: number; readonly length: number }[];
  readonly controlNotes: readonly { readonly midi: number; readonly reason: string }[];
}

interface ExportedStage {
  readonly bars: readonly { readonly number: number; readonly length: number; readonly tempo: number }[];
  readonly parts: readonly ExportedPart[];
  readonly presence: readonly { readonly part: string; readonly from: number; readonly to: number }[];
  readonly ranges: readonly {
    readonly part: string;
    readonly outside: readonly { readonly bar: number; readonly beat: number; readonly midi: number }[];
  }[];
  readonly findings: readonly {
    readonly rule: string;
    readonly from: number;
    readonly to: number;
    readonly parts: readonly string[];
    readonly level: string;
    readonly message: string;
  }[];
}

const CASES: readonly (readonly [Language, boolean])[] = [
  ['English', false],
  ['German', true],
  ['Italian', false],
  ['French', true],
];

const exports = new Map<Language, string>();

beforeAll(() => {
  const folders = CASES.map(([language, filePerPart]) => {
    const folder = temporaryFolder();
    writeKnownFolder(folder, language, filePerPart);
    return folder;
  });
  runMany(folders.map((cwd) => ({ args: ['build', cwd, '--quiet'], cwd }))).forEach(({ code, err }, index) => {
    expect(code, err).toBe(0);
    exports.set(CASES[index]![0], readFileSync(join(folders[index]!, 'dossier', 'dossier.json'), 'utf8'));
  });
});

describe.each(CASES)('the known piece with %s names (one file a part: %s)', (language) => {
  let stage: ExportedStage;
  let partOf: (index: number) => ExportedPart;

  beforeAll(() => {
    const exported = JSON.parse(exports.get(language) ?? '') as { stages: ExportedStage[] };
    stage = exported.stages.at(-1)!;
    partOf = (index) => {
      const wanted = KNOWN_PARTS[index]!.names[language];
      const found = stage.parts.find((part) => part.name === wanted);
      if (found === undefined)
        throw new Error(`${wanted} is not among ${stage.parts.map((part) => part.name).join(', ')}`);
      return found;
    };
  });

  it('has every instrument right', () => {
    expect(KNOWN_PARTS.map((_, index) => partOf(index).instrument)).toEqual(KNOWN_PARTS.map((part) => part.instrument));
    expect(stage.parts).toHaveLength(KNOWN_PARTS.length);
  });

  it('counts the bars, their length and the tempo', () => {
    expect(stage.bars.map((bar) => bar.number)).toEqual(Array.from({ length: 24 }, (_, index) => index + 1));
    expect(new Set(stage.bars.map((bar) => bar.length))).toEqual(new Set([3]));
    expect(stage.bars[0]!.tempo).toBeCloseTo(90, 1);
  });

  it('puts the soloist of the first stage in front', () => {
    expect(stage.parts.filter((part) => part.role === 'foreground').map((part) => part.name)).toEqual([
      KNOWN_PARTS[0]!.names[language],
    ]);
  });

  it('finds every note', () => {
    const perBar = [3, 1, 2, 1, 6, 1, 1, 3, 1, 1];
    KNOWN_PARTS.forEach((part, index) => {
      const bars = part.spans.reduce((sum, [from, to]) => sum + to - from + 1, 0);
      expect(partOf(index).notes, part.names[language]).toHaveLength(bars * perBar[index]!);
    });
  });

  it('writes every note at its place in spite of human timing', () => {
    const lengths = [[0, 1.5, 2], [0], [0, 2], [0], [0, 0.5, 1, 1.5, 2, 2.5], [0], [0], [0, 1, 2], [0], [0]];
    KNOWN_PARTS.forEach((part, index) => {
      const expected = part.spans.flatMap(([from, to]) =>
        Array.from({ length: to - from + 1 }, (_, bar) =>
          lengths[index]!.map((place) => (from - 1 + bar) * 3 + place),
        ).flat(),
      );
      expect(
        partOf(index).notes.map((note) => note.start),
        part.names[language],
      ).toEqual(expected);
    });
  });

  it('has the entry and exit bars of everyone', () => {
    KNOWN_PARTS.forEach((part, index) => {
      const spans = stage.presence.filter((span) => span.part === partOf(index).id).map((span) => [span.from, span.to]);
      expect(spans, part.names[language]).toEqual(part.spans);
    });
  });

  it('sets the key switches aside and says why', () => {
    const { part, midi, count } = KNOWN_FLAWS.keySwitches;
    expect(partOf(part).controlNotes.map((note) => note.midi)).toEqual(Array.from({ length: count }, () => midi));
    expect(partOf(part).controlNotes[0]!.reason.length).toBeGreaterThan(20);
    const others = stage.parts.filter((candidate) => candidate.id !== partOf(part).id);
    expect(others.flatMap((candidate) => candidate.controlNotes)).toEqual([]);
  });

  it('names the note below the viola with bar and beat', () => {
    const { part, bar, beat, midi } = KNOWN_FLAWS.outsideRange;
    const outside = stage.ranges.flatMap((range) => range.outside.map((note) => ({ part: range.part, ...note })));
    expect(outside).toEqual([{ part: partOf(part).id, bar, beat, midi }]);
    const findings = stage.findings.filter((finding) => finding.rule === 'outside-range');
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ from: bar, to: bar, parts: [partOf(part).id], level: 'fix' });
    expect(findings[0]!.message).toMatch(/B2/);
  });

  it('hears that the horn cannot be heard when it enters', () => {
    const { part, from } = KNOWN_FLAWS.inaudibleEntry;
    const findings = stage.findings.filter((finding) => finding.rule === 'inaudible-entry');
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ from, parts: [partOf(part).id] });
  });

  it('hears second violins over firsts in their bars', () => {
    const { part, over, from, to } = KNOWN_FLAWS.supportOverLead;
    const findings = stage.findings.filter((finding) => finding.rule === 'support-over-lead');
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ from, to });
    expect([...findings[0]!.parts].sort()).toEqual([partOf(part).id, partOf(over).id].sort());
  });

  it('notices that the soloist stops before the strings', () => {
    const { part, soloEnds, restEnds } = KNOWN_FLAWS.foregroundEndsFirst;
    const findings = stage.findings.filter((finding) => finding.rule === 'foreground-ends-first');
    expect(findings).toHaveLength(1);
    expect(findings[0]!.parts).toContain(partOf(part).id);
    expect(findings[0]!.from).toBeGreaterThanOrEqual(soloEnds);
    expect(findings[0]!.from).toBeLessThanOrEqual(soloEnds + 1);
    expect(findings[0]!.to).toBe(restEnds);
  });

  it('measures the late bassoon and nobody else', () => {
    const { part, ms } = KNOWN_FLAWS.late;
    expect(Math.abs(partOf(part).latenessMs.median - ms)).toBeLessThan(10);
    const findings = stage.findings.filter((finding) => finding.rule === 'late-part');
    expect(findings.map((finding) => finding.parts)).toEqual([[partOf(part).id]]);
  });
});
