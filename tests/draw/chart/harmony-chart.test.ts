import { describe, expect, it } from 'vitest';
import { analyseStage } from '../../../src/analyse/analyse-stage.ts';
import { drawHarmony } from '../../../src/draw/chart/harmony/harmony-chart.ts';
import { drawPresence } from '../../../src/draw/chart/entries-and-exits/entry-map-chart.ts';
import { notateStage } from '../../../src/notate/notate-stage.ts';
import type { Stage } from '../../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../../support/arrangement.ts';
import { ensembleOf, fullReadings, pageOf, readingsOf } from './small-stage.ts';

const timeline = timelineOf(4);

/** C, F, G, C: the flute in front has the third of the first chord, cello and then bassoon have the bass. */
function smallStage(names: { readonly flute?: string } = {}): Stage {
  const flute = partOf('flute', 'E5:0:4 A5:4:4 G5:8:4 C6:12:4', timeline, {
    role: 'foreground',
    ...(names.flute === undefined ? {} : { name: names.flute, id: 'flute' }),
  });
  const violin = partOf('violin', 'C4:0:4 G4:0:4 C4:4:4 F4:4:4 B3:8:4 D4:8:4 E4:12:4 G4:12:4', timeline);
  const cello = partOf('cello', 'C3:0:4 F3:4:4', timeline);
  const bassoon = partOf('bassoon', 'G2:8:4 C3:12:4', timeline);
  return stageOf([flute, bassoon, violin, cello], timeline);
}

function drawn(stage: Stage) {
  const written = notateStage(stage);
  return drawHarmony(stage, written, analyseStage(stage, written));
}

const chart = drawn(smallStage());
const page = pageOf(chart.svg);

function textsOf(selector: string): string[] {
  return [...page.querySelectorAll(selector)].map((node) => node.textContent);
}

describe('the harmony chart', () => {
  it('prints the chords in order over the ruler, with their degrees', () => {
    expect(textsOf('text.chord-symbol')).toEqual(['C', 'F', 'G', 'C']);
    expect(textsOf('text.tick.faint').slice(-4)).toEqual(['I', 'IV', 'V', 'I']);
  });

  it('stands on the ruler of the other charts', () => {
    const places = (markup: string): string[] =>
      [...pageOf(markup).querySelectorAll('[data-bar]')].map(
        (rect) => `${rect.getAttribute('data-bar')} ${rect.getAttribute('x')} ${rect.getAttribute('width')}`,
      );
    const stage = smallStage();
    expect(places(chart.svg)).toEqual(places(drawPresence(stage, fullReadings(stage)).svg));
  });

  it('has a row for every part, with marks where it sounds a tone of the chord', () => {
    const rows = [...page.querySelectorAll('g.row')];
    expect(rows.map((row) => row.getAttribute('data-part'))).toEqual(['flute', 'bassoon', 'violin', 'cello']);
    for (const row of rows) expect(row.querySelectorAll('path')).toHaveLength(1);
  });

  it('shows open what only the parts in front sound: the third of the first chord', () => {
    expect(page.querySelectorAll('.chord-tone-front')).toHaveLength(1);
    expect(chart.table.rows.map((row) => row[7])).toEqual(['E', 'A', '', '']);
    expect(chart.table.rows.map((row) => row[6])).toEqual(['', '', '', '']);
  });

  it('calls nothing missing behind a soloist who plays alone', () => {
    const solo = partOf('piano', 'C3:0:4 E4:0:4 G4:0:4 C5:0:4', timeline, { role: 'foreground' });
    const alone = drawn(stageOf([solo, partOf('cello', 'G2:8:4', timeline)], timeline));
    expect(alone.table.rows[0]?.slice(6, 8)).toEqual(['', '']);
  });

  it('names who has the bass and marks where it is handed over', () => {
    expect(textsOf('text.chord-owner')).toEqual(['Vc', 'Bn']);
    expect(page.querySelector('.chord-handover')!.getAttribute('d')!.match(/M/g)).toHaveLength(1);
    expect(chart.description).toContain('changes hands once');
  });

  it('says which of root and third is missing, and does not miss the other', () => {
    expect(chart.description).toContain('Only Flute has the third in bars 1');
    const open = partOf('cello', 'C3:0:4 F3:4:4 G2:8:4 C3:12:4', timeline);
    const fifth = partOf('violin', 'E4:0:4 G4:0:4 A4:4:4 C5:4:4 B4:8:4 D5:8:4 C5:12:4 G4:12:4', timeline);
    const said = drawn(stageOf([partOf('flute', 'G5:0:4 C6:4:4 D6:8:4 G5:12:4', timeline), fifth, open], timeline));
    expect(said.description).toContain('Nobody sounds the third in bar 4.');
    expect(said.description).not.toContain('root');
  });

  it('says in its table who sounds each tone', () => {
    expect(chart.table.rows[0]).toEqual(['1', '1', 'C', 'I', 'C major', 'C: Vn, Vc; E: Fl; G: Vn', '', 'E', 'Vc']);
  });

  it('draws nothing and says so where there is no chord', () => {
    const stage = stageOf([partOf('flute', '', timeline)], timeline);
    const empty = drawHarmony(stage, notateStage(stage), readingsOf());
    expect(empty.svg).toBe('');
    expect(empty.description).toContain('No chords');
  });

  it('is safe with hostile names', () => {
    const hostile = drawn(smallStage({ flute: '<script>alert(1)</script>"&' }));
    expect(pageOf(hostile.svg).querySelector('script')).toBeNull();
  });

  it('stays small with forty parts over three hundred bars: marks of one row are one path', () => {
    const stage = ensembleOf(40, 300);
    const chord = {
      symbol: 'C',
      root: { step: 'C', alter: 0 },
      bass: { step: 'C', alter: 0 },
      quality: 'major',
      roman: 'I',
      tones: [0, 4, 7],
      coverage: 1,
    } as const;
    const chords = stage.timeline.bars.map((bar) => ({
      ...chord,
      bar: bar.number,
      start: bar.startQuarters * 480,
      length: 1920,
    }));
    const coverage = chords.map((_, index) => ({
      chord: index,
      covered: Object.fromEntries([0, 4, 7].map((tone) => [String(tone), stage.parts.map((part) => part.id)])),
      missing: [],
    }));
    const { svg } = drawHarmony(stage, { ...notateStage(stage), chords }, { ...fullReadings(stage), coverage });
    expect(pageOf(svg).querySelectorAll('g.row')).toHaveLength(40 * 5);
    expect(svg.length).toBeLessThan(300_000);
  });
});
