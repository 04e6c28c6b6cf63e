/** A song with words from its file to the scores: what was written to be sung to a note stands under that note everywhere. */
import { describe, expect, it } from 'vitest';
import { engraveScore } from '../../src/draw/engrave/score/engrave-score.ts';
import { glyphOf } from '../../src/draw/engrave/ink/glyph-table.ts';
import type { ReducedScore } from '../../src/model/music/written.ts';
import { fullScore } from '../../src/notate/full-score/full-score.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';
import { fullScoreXml, reducedScoreXml } from '../../src/publish/musicxml/write-musicxml.ts';
import { overlaps, glyphBoxes, noteHeads, readSystem } from '../draw/engrave/drawn.ts';
import { BALLAD_WORDS, ballad } from '../kinds/folders/ballad.ts';
import { arrangementOf } from '../support/arrangement.ts';
import { stageOfKind } from '../support/kind-stage.ts';
import { schemaErrors } from '../support/musicxml-export.ts';
import { scoreOf, staffInfo } from '../support/score.ts';

const SYLLABLES = BALLAD_WORDS.trim()
  .split(/\s+/)
  .flatMap((word) => word.split(/(?<=-)/));

function read(): Promise<Awaited<ReturnType<typeof stageOfKind>>> {
  return stageOfKind(ballad, 3);
}

describe('a song with words', async () => {
  const stage = await read();
  const written = notateStage(stage);
  const truth = ballad.truth.notes.filter(({ track }) => track === 'Lead Vox').sort((a, b) => a.start - b.start);
  const singer = written.parts[stage.parts.findIndex(({ name }) => name === 'Lead Vox')]!;
  const sungTo = truth.flatMap(({ start }, index) =>
    SYLLABLES[index] === '_' ? [] : [[start, SYLLABLES[index]!.replace('-', '')]],
  );

  it('every syllable is at the note for which it was written', () => {
    const found = singer.notes.flatMap(({ start, syllable }) =>
      syllable === undefined ? [] : [[start / 480, syllable.text]],
    );
    expect(found).toEqual(sungTo);
  });

  it('a word is one from its first syllable to its last, and a syllable sung to several notes says to which', () => {
    const all = singer.notes.flatMap(({ syllable }) => (syllable === undefined ? [] : [syllable]));
    const before = all.findIndex(({ text }) => text === 'eve');
    expect(all.slice(before, before + 2).map(({ place }) => place)).toEqual(['begin', 'end']);
    const home = all.findLast(({ text }) => text === 'home')!;
    // Bar 19: an eighth, an eighth, a dotted half.
    expect(home.until).toBe((18 * 4 + 1) * 480);
    expect(all.filter(({ until }) => until !== undefined).map(({ text }) => text)).toEqual(['home', 'far']);
  });

  it('the reduced score has them while the singer leads, the full score throughout, under the singer alone', () => {
    const words = (score: ReducedScore): string[] =>
      score.bars.flatMap((bar) =>
        (bar.words ?? []).map(({ staff, text }) => `${score.staves[staff]?.id ?? ''} ${text}`),
      );
    const id = singer.partId;
    expect(words(fullScore(stage, written, 'concert'))).toEqual(sungTo.map(([, text]) => `${id}-1 ${String(text)}`));
    expect(words(written.reduced)).toEqual(sungTo.map(([, text]) => `foreground-upper ${String(text)}`));
  });

  it('MusicXML has each of them as a lyric, and keeps to its schema', async () => {
    const made = { arrangement: arrangementOf([stage]), stage, written };
    const scores = [fullScoreXml(made), reducedScoreXml(made)];
    for (const xml of scores) {
      const texts = [...xml.matchAll(/<lyric[^>]*><syllabic>\w+<\/syllabic><text>([^<]*)<\/text>/g)];
      expect(texts.map(([, text]) => text)).toEqual(sungTo.map(([, text]) => text));
      expect(xml.match(/<extend\/>/g)).toHaveLength(2);
      const voice = xml.split('<part ').find((part) => part.includes('<lyric'))!;
      expect(voice).toContain('<direction placement="above"><direction-type><dynamics>');
      expect(voice).not.toContain('<direction placement="below"><direction-type><dynamics>');
    }
    expect(await schemaErrors(scores)).toEqual([]);
  });
});

/** A staff with low notes, so that heads and stems are where words want to be, and one below it with high ones. */
function sungScore(texts: readonly string[]): ReducedScore {
  const staves = ['voice', 'piano'].map((id) => staffInfo(id, 'treble', { label: '', abbreviation: '' }));
  const score = scoreOf(staves, [
    { staves: [['C4:4 D4:4 G3:4 A4:4'], ['C6:8 D6:8 E6:8 F6:8 G6:4 A6:4']] },
    { staves: [['E4:8 F4:8 C4:8 A3:8 F4:2'], ['C6:1']] },
  ]);
  const starts = [0, 480, 960, 1440, 1920, 2160, 2400, 2640, 2880];
  const all = texts.map((text, index) => ({
    text: text.replace(/-$/, ''),
    place: text.endsWith('-')
      ? ('begin' as const)
      : texts[index - 1]?.endsWith('-')
        ? ('end' as const)
        : ('single' as const),
    staff: 0,
    start: starts[index] ?? 0,
  }));
  return {
    ...score,
    bars: score.bars.map((bar) => ({
      ...bar,
      words: all.filter(({ start }) => start >= bar.startDivisions && start < bar.startDivisions + bar.lengthDivisions),
    })),
  };
}

describe('words under a staff', () => {
  const drawnOf = (texts: readonly string[], widthPx = 700) =>
    engraveScore(sungScore(texts), { widthPx, title: 'Song' }).systems.map(({ svg }) => readSystem(svg));

  it('stand on one level, in order, clear of each other and of all notes, however long they are', () => {
    const texts = [
      'through',
      'straight',
      'strengths,',
      'scratched',
      'breadths',
      'thoughts',
      'a',
      'brought',
      'screeched',
    ];
    for (const system of drawnOf(texts)) {
      const words = system.texts.filter(({ kind }) => kind === 'lyric');
      expect(new Set(words.map(({ box }) => box.bottom)).size).toBe(1);
      for (const [index, { box }] of words.entries()) {
        const next = words[index + 1];
        if (next !== undefined) expect(next.box.left - box.right).toBeGreaterThan(3);
        expect(overlaps([box], glyphBoxes(system))).toEqual([]);
      }
    }
    const shown = drawnOf(texts).flatMap((system) => system.texts.filter(({ kind }) => kind === 'lyric'));
    expect(shown.map(({ text }) => text)).toEqual(texts);
  });

  it('are centred under their heads, a hyphen between the syllables of a word', () => {
    const [system] = drawnOf(['qui-', 'et', 'sea']);
    const words = system!.texts.filter(({ kind }) => kind === 'lyric');
    const heads = noteHeads(system!.staves[0]!);
    for (const [index, { box }] of words.entries()) {
      const head = glyphOf(String.fromCodePoint(0xe0a4))!.record;
      const middle = heads[index]!.x + (head.left + head.right) / 2;
      expect(Math.abs((box.left + box.right) / 2 - middle)).toBeLessThan(2);
    }
    const plain = drawnOf(['qui', 'et', 'sea'])[0]!;
    const dashes = (one: typeof plain): number => (one.staves[0]?.strokes.get('1.2') ?? '').split('M').length;
    expect(dashes(system!) - dashes(plain)).toBe(1);
  });

  // E. Gould, Behind Bars, from memory: a hyphen stands again at the start of a system, a line is drawn on.
  it('go on in the next system: its hyphen stands again, its line is drawn to the last note', () => {
    const joinsOf = (fourth: string, until?: number): number[] => {
      const score = sungScore(['a', 'b', 'c', fourth, 'et']);
      const bars = score.bars.map(({ words = [], ...bar }) => ({
        ...bar,
        words: words.flatMap((one) =>
          until === undefined || one.start < 1440 ? [one] : one.start === 1440 ? [{ ...one, until }] : [],
        ),
      }));
      const { systems } = engraveScore({ ...score, bars }, { widthPx: 320, title: 'Song' });
      expect(systems).toHaveLength(2);
      return systems.map(
        ({ svg }) =>
          Object.values(Object.fromEntries(readSystem(svg).staves[0]!.strokes))
            .join('')
            .split('M').length,
      );
    };
    const [plain, hyphened, drawnOn] = [joinsOf('qui'), joinsOf('qui-'), joinsOf('qui', 2400)];
    expect(hyphened.map((count, index) => count - plain[index]!)).toEqual([1, 1]);
    expect(drawnOn.map((count, index) => count - plain[index]!)).toEqual([1, 1]);
  });

  it('have the dynamics of the singer over the staff', () => {
    const score = sungScore(['qui-', 'et', 'sea']);
    const mark = { kind: 'level', staff: 0, start: 0, level: 'mf' } as const;
    const yOf = (words: boolean): number => {
      const bars = score.bars.map(({ words: under = [], ...bar }, index) => ({
        ...bar,
        dynamics: index === 0 ? [mark] : [],
        ...(words ? { words: under } : {}),
      }));
      const { systems } = engraveScore({ ...score, bars }, { widthPx: 700, title: 'Song' });
      return readSystem(systems[0]!.svg).staves[0]!.glyphs.find(({ code }) => code === 'E52D')!.y;
    };
    expect(yOf(true)).toBeLessThan(0);
    expect(yOf(false)).toBeGreaterThan(40);
  });

  it('markup in a word stays a text', () => {
    const [system] = drawnOf(['<b>&"</b>', 'la']);
    expect(system!.texts.filter(({ kind }) => kind === 'lyric')[0]?.text).toBe('<b>&"</b>');
    expect(system!.svg.querySelector('b')).toBeNull();
  });
});
