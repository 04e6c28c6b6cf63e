import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { Ajv } from 'ajv';
import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { csvFiles } from '../../src/publish/data/csv-tables.ts';
import { dossierRecord } from '../../src/publish/data/dossier-json.ts';
import { figure } from '../advise/stage-findings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { publishedOf, smallDossier, writtenOf } from '../support/published.ts';

const schema = JSON.parse(readFileSync(resolve('shared/dossier.schema.json'), 'utf8')) as object;
const validate = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(schema);

/** Two sections with a general pause between them; the cello comes in after it and leaves again. */
function pausedStage() {
  const timeline = timelineOf(12);
  const flute = partOf('flute', `${figure('G5', 1, 1, 3)} ${figure('A5', 1, 5, 12)}`, timeline, {
    role: 'foreground',
    name: '=Flute "one"',
  });
  const cello = partOf('cello', `${figure('G2', 1, 5, 6)} ${figure('D3', 1, 9, 10)}`, timeline);
  const sections = [
    { name: 'A', from: 1, to: 4 },
    { name: 'B', from: 5, to: 12 },
  ];
  const stage = stageOf([flute, cello], timeline, { sections });
  const written = writtenOf(stage);
  return publishedOf(stage, { written, readings: analyseStage(stage, written) });
}

describe('pacing in the data export', () => {
  const published = pausedStage();

  it('keeps to the schema, with and without a measured stage', () => {
    const dossier = dossierRecord(smallDossier({ stages: [published], changes: [] }));
    expect([validate(JSON.parse(JSON.stringify(dossier))), validate.errors]).toEqual([true, null]);
    const [stage] = (dossier as { stages: { pacing: Record<string, unknown> }[] }).stages;
    expect(stage!.pacing).toMatchObject({
      silences: [{ from: 4, to: 4, start: 12, end: 16, second: 12, seconds: 4 }],
      sections: [
        { name: 'A', contrast: null },
        { name: 'B', contrast: { sharedParts: 0.5 } },
      ],
    });
    const unmeasured = dossierRecord(smallDossier()) as { stages: { pacing: unknown }[] };
    expect(unmeasured.stages[0]!.pacing).toBeNull();
  });

  it('lists entries, exits and silences in one table in the order of time, names guarded', () => {
    const file = csvFiles(published).find(({ path }) => path.endsWith('-events.csv'))!;
    const rows = file.content().trim().split('\r\n');
    expect(rows[0]).toContain('bar,startQuarters,second,event,part,name,kind,comesWith,restBars');
    expect(rows.slice(1).map((row) => row.split(',').slice(0, 4).join(' '))).toEqual([
      '1 0 0 entry',
      '3 12 12 exit',
      '4 12 12 silence',
      '5 16 16 entry',
      '5 16 16 entry',
      '6 24 24 exit',
      '9 32 32 entry',
      '10 40 40 exit',
      '12 48 48 exit',
    ]);
    expect(rows[1]).toContain('"\'=Flute ""one"""');
    expect(csvFiles(published).map(({ path }) => path)).toEqual(
      expect.arrayContaining(['tables/stage-01-test-texture.csv', 'tables/stage-01-test-sections.csv']),
    );
  });
});
