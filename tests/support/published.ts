/** A dossier's input on plain objects, made from small stages without the steps in between. */
import { compareStages } from '../../src/analyse/compare-stages.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import type { ChartDrawing, EngravedScore } from '../../src/model/drawing.ts';
import { plainSpelling } from '../../src/model/music/pitch.ts';
import type { Finding, StageReadings } from '../../src/model/readings/readings.ts';
import { DIVISIONS_PER_QUARTER, type WrittenStage } from '../../src/model/music/written.ts';
import type { DossierInput, PublishedRule, PublishedStage } from '../../src/publish/dossier-input.ts';
import { arrangementOf, partOf, stageOf, timelineOf } from './arrangement.ts';
import { TEXTBOOK_STYLE } from './textbook-style.ts';

/** Written notes exactly where they were played, and a reduced score without staves. */
export function writtenOf(stage: Stage, changes: Partial<WrittenStage> = {}): WrittenStage {
  return {
    stageId: stage.id,
    parts: stage.parts.map((part) => ({
      partId: part.id,
      doubtfulShare: 0,
      notes: part.notes.map((note, played) => ({
        midi: note.midi,
        pitch: plainSpelling(note.midi),
        start: Math.round(note.startQuarters * DIVISIONS_PER_QUARTER),
        length: Math.round((note.endQuarters - note.startQuarters) * DIVISIONS_PER_QUARTER),
        staff: 1,
        voice: 1,
        played,
      })),
    })),
    keys: [],
    chords: [],
    style: TEXTBOOK_STYLE,
    reduced: { staves: [], bars: [] },
    onGrid: true,
    remarks: [],
    ...changes,
  };
}

/** Readings with a register and a range for each part that plays, and nothing else unless it is given. */
export function readingsOf(stage: Stage, changes: Partial<StageReadings> = {}): StageReadings {
  const playing = stage.parts.filter((part) => part.notes.length > 0 && !part.unpitched);
  return {
    stageId: stage.id,
    register: playing.flatMap((part) =>
      stage.timeline.bars.flatMap((bar) => {
        const midis = part.notes
          .filter(
            (note) =>
              note.startQuarters < bar.startQuarters + bar.lengthQuarters && note.endQuarters > bar.startQuarters,
          )
          .map((note) => note.midi);
        if (midis.length === 0) return [];
        const low = Math.min(...midis);
        const high = Math.max(...midis);
        return [{ partId: part.id, bar: bar.number, low, high, centre: (low + high) / 2 }];
      }),
    ),
    presence: [],
    beats: [],
    balance: [],
    levelAssumptions: [],
    ranges: playing.map((part) => {
      const midis = part.notes.map((note) => note.midi);
      const low = Math.min(...midis);
      const high = Math.max(...midis);
      return {
        partId: part.id,
        low,
        high,
        writtenLow: low - part.transposition.semitones,
        writtenHigh: high - part.transposition.semitones,
        absolute: { low: 0, high: 127 },
        outside: [],
        edge: [],
        sources: ['a handbook'],
      };
    }),
    doublings: [],
    coverage: [],
    melody: [],
    ...changes,
  };
}

/** A chart with one hit area a bar, framed as the chart folder frames it. */
function chartOf(stage: Stage, name: string, title: string): ChartDrawing {
  const id = `${name}-${stage.id}`;
  const hits = stage.timeline.bars
    .map(
      (bar, index) => `<rect data-bar="${String(bar.number)}" x="${String(index * 10)}" y="0" width="10" height="50"/>`,
    )
    .join('');
  return {
    id,
    title,
    description: `${title} of every part.`,
    svg: `<div class="chart-scroll" role="group" tabindex="0" aria-label="${title}"><div class="chart-line"><svg class="chart-plot" viewBox="0 0 1000 50" role="img" aria-labelledby="${id}-title"><title id="${id}-title">${title}</title><defs><clipPath id="${id}-clip"><rect width="9" height="9"/></clipPath></defs><g class="hit" clip-path="url(#${id}-clip)">${hits}</g></svg></div></div>`,
    legend: [{ sign: '', text: 'A bar' }],
    table: {
      caption: title,
      columns: [
        { label: 'Bar', numeric: true },
        { label: 'Part', numeric: false },
      ],
      rows: stage.timeline.bars.map((bar) => [String(bar.number), stage.parts[0]?.name ?? '']),
    },
    csv: { columns: ['bar', 'part'], rows: stage.timeline.bars.map((bar) => [bar.number, stage.parts[0]?.name ?? '']) },
  };
}

/** One engraved system over all bars. */
function scoreOf(stage: Stage): EngravedScore {
  const { bars } = stage.timeline;
  if (bars.length === 0 || stage.parts.length === 0) return { systems: [], glyphs: [] };
  return {
    glyphs: [],
    systems: [
      {
        svg: '<svg class="sn" viewBox="0 0 1000 120" role="img" aria-label="score"><path d="M0 60H1000"/></svg>',
        fromBar: bars[0]!.number,
        toBar: bars.at(-1)!.number,
        label: 'All bars',
        doublings: [stage.parts.map((part) => part.name).join(' + ')],
        leftOut: [],
        narrow: [],
        bars: bars.map((bar, index) => ({ number: bar.number, xPx: index * 50, widthPx: 50 })),
        staves: [{ topPx: 40, bottomPx: 80, partIdsByBar: bars.map(() => stage.parts.map(({ id }) => id)) }],
        widthPx: 1000,
        heightPx: 120,
      },
    ],
  };
}

/** A stage ready to publish. */
export function publishedOf(stage: Stage, changes: Partial<PublishedStage> = {}): PublishedStage {
  return {
    stage,
    written: writtenOf(stage),
    readings: readingsOf(stage),
    findings: [],
    fullScores: [],
    score: scoreOf(stage),
    charts:
      stage.parts.length === 0
        ? []
        : [
            chartOf(stage, 'register', 'Register'),
            chartOf(stage, 'entries', 'Entries and exits'),
            chartOf(stage, 'balance', 'Balance'),
          ],
    ...changes,
  };
}

export function findingOf(changes: Partial<Finding> = {}): Finding {
  return {
    rule: 'late-part',
    level: 'look',
    from: 2,
    to: 3,
    partIds: ['flute'],
    message: 'Flute plays 60 ms late.',
    advice: 'Listen whether the delay is meant.',
    source: 'common practice, no source',
    ...changes,
  };
}

const testRules: readonly PublishedRule[] = [
  {
    name: 'late-part',
    title: 'A part that comes late',
    looksAt: 'The median delay of each part.',
    why: 'A sample library that speaks late sounds like a player who does.',
    limits: ['40 ms: largest median delay that is let pass'],
    source: 'common practice, no source',
    level: 'look',
  },
];

/** Two stages of four bars: a flute alone, then a flute over a cello. */
export function smallDossier(changes: Partial<DossierInput> = {}): DossierInput {
  const timeline = timelineOf(4);
  const flute = partOf('flute', 'G5:0:4 A5:4:4 B5:8:4 G5:12:4', timeline, { role: 'foreground' });
  const cello = partOf('cello', 'G2:4:4 D3:8:4 G2:12:4', timeline);
  const first = publishedOf(stageOf([flute], timeline, { id: 'stage-01-tune', order: 1, title: 'Tune' }));
  const second = publishedOf(stageOf([flute, cello], timeline, { id: 'stage-02-bass', order: 2, title: 'Bass' }), {
    findings: [findingOf(), findingOf({ level: 'note', from: 4, to: 4, accepted: 'It is meant so.' })],
  });
  const stages = [first, second];
  return {
    arrangement: arrangementOf(
      stages.map((published) => published.stage),
      { title: 'Small piece', arranger: 'A. Nobody' },
    ),
    stages,
    changes: [compareStages(first, second)],
    rules: testRules,
    ...changes,
  };
}
