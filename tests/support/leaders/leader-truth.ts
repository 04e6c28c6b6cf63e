/** Music whose leader is known, from several sources, in one form. */
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { nameReader } from '../../../src/assemble/names/source-track.ts';
import { partsMeant } from '../../../src/assemble/user-notes-and-settings/part-words.ts';
import type { FrontCandidate } from '../../../src/assemble/who-has-the-melody/guess-leads.ts';
import type { Part, Section } from '../../../src/model/music/arrangement.ts';
import type { Bar } from '../../../src/model/music/timeline.ts';
import { KINDS } from '../../kinds/folders.ts';
import { judgeKind } from '../../kinds/judge/judge-kind.ts';
import type { ReadScore } from '../musicxml-score.ts';
import { readMxl } from '../musicxml-score.ts';
import { isKeptAside } from '../notation-truth.ts';
import { openFile, openFiles } from '../open-data.ts';
import { stageOfScore } from '../score-stage.ts';
import { TEXTURES } from './textures.ts';

export interface KnownLeaders {
  readonly set: 'songs' | 'textures' | 'kinds' | 'orchestra';
  readonly half: 'tuning' | 'last-look';
  readonly name: string;
  readonly candidates: readonly FrontCandidate[];
  readonly bars: readonly Bar[];
  readonly sections: readonly Section[];
  /** Ids of who leads at a place; none where nobody does or nobody knows. */
  readonly leadersAt: (quarters: number) => readonly string[];
}

const SONGS = 'openscore-lieder';
const MOVEMENTS = 'openscore-orchestra';

/** Nothing but what numbers tell: no singer, no soloist, no word of a name. */
function asCandidates(parts: readonly Part[], isOrchestra = false): readonly FrontCandidate[] {
  return parts.map(({ id, name, notes, unpitched, instrument, number = 1 }) => ({
    id,
    notes,
    unpitched,
    instrument,
    known: [
      ...(number > 1 ? (['second'] as const) : []),
      ...(isOrchestra && instrument === 'violin' && number === 1 && !/princip|solo/i.test(name)
        ? (['firstViolins'] as const)
        : []),
    ],
  }));
}

function whole(bars: readonly Bar[]): readonly Section[] {
  return [{ name: 'Whole', from: bars[0]?.number ?? 1, to: bars.at(-1)?.number ?? 1 }];
}

/** The voice leads where it sings, the piano elsewhere; nothing says which is which. A bar in which both begin or end is left out. */
function song(score: ReadScore, name: string, half: KnownLeaders['half']): KnownLeaders {
  const { stage } = stageOfScore(score, { foreground: '', velocity: 70 });
  const voice = stage.parts.find((part) => !/piano/i.test(part.name));
  const piano = stage.parts.find((part) => /piano/i.test(part.name));
  const { bars } = stage.timeline;
  const sings = (from: number, to: number): boolean =>
    voice?.notes.some((note) => note.startQuarters < to && note.endQuarters > from) ?? false;
  return {
    set: 'songs',
    half,
    name,
    candidates: asCandidates(stage.parts).map((own) => ({ ...own, instrument: 'unknown' })),
    bars,
    sections: whole(bars),
    leadersAt: (quarters) => {
      if (sings(quarters, quarters + 0.01)) return [voice?.id ?? ''];
      return sings(quarters - 4, quarters + 4) ? [] : [piano?.id ?? ''];
    },
  };
}

export function knownSongs(): readonly KnownLeaders[] {
  return openFiles(SONGS).map((name) =>
    song(readMxl(openFile(SONGS, name)), name, isKeptAside(SONGS, name) ? 'last-look' : 'tuning'),
  );
}

export function knownTextures(): readonly KnownLeaders[] {
  return TEXTURES.map(({ name, half, parts, timeline, front }) => ({
    set: 'textures',
    half,
    name,
    candidates: asCandidates(parts),
    bars: timeline.bars,
    sections: whole(timeline.bars),
    leadersAt: (quarters) => {
      const bar = timeline.bars.find((own) => quarters < own.startQuarters + own.lengthQuarters - 1e-6)?.number ?? 0;
      return front.filter(({ from, to }) => Math.max(1, bar) >= from && bar <= to).flatMap(({ partIds }) => partIds);
    },
  }));
}

export async function knownKinds(): Promise<readonly KnownLeaders[]> {
  const known: KnownLeaders[] = [];
  for (const folder of KINDS) {
    const judged = await judgeKind(folder);
    const idOf = (track: string): string =>
      judged.parts.find((part) => part.tracks.some(({ name }) => name === track))?.id ?? '';
    const { sections } = judged.stage;
    const { bars } = judged.stage.timeline;
    known.push({
      set: 'kinds',
      half: folder.half === 'tuning' ? 'tuning' : 'last-look',
      name: folder.id,
      candidates: asCandidates(judged.parts, judged.stage.ensemble.kind === 'orchestra'),
      bars,
      sections,
      leadersAt: (quarters) => {
        const bar = bars.findLast(({ startQuarters }) => startQuarters <= quarters + 1e-6)?.number ?? 1;
        return folder.truth.front
          .filter((lead) => lead.bars[0] <= bar && bar <= lead.bars[1])
          .flatMap(({ tracks }) => tracks.map(idOf));
      },
    });
  }
  return known;
}

/**
 * Movements with the annotations of others, `quarter,part` a line under a heading, kept outside the repository (CC BY-SA): whoever is named leads
 * until the next line. One part at a time is named, so that who doubles it is no right answer. Throws where a name is of no part.
 */
export function knownMovements(folder: string): readonly KnownLeaders[] {
  const read = nameReader();
  return openFiles(MOVEMENTS).flatMap((file): KnownLeaders[] => {
    const path = join(folder, file.replace('.mxl', '.csv'));
    if (!existsSync(path)) return [];
    const { stage } = stageOfScore(readMxl(openFile(MOVEMENTS, file)), { foreground: '', velocity: 70 });
    const { bars } = stage.timeline;
    const origin = bars[0]?.startQuarters ?? 0;
    const leads = readFileSync(path, 'utf8')
      .trim()
      .split('\n')
      .slice(1)
      .map((row) => {
        const [at = '', name = ''] = row.trim().split(',');
        const [meant] = partsMeant(name, stage.parts, read);
        if (meant === undefined) throw new Error(`${path}: no part of the score is called ${name}`);
        return { at: Number(at) + origin, id: meant.id };
      });
    return [
      {
        set: 'orchestra',
        half: isKeptAside(MOVEMENTS, file) ? 'last-look' : 'tuning',
        name: file,
        candidates: asCandidates(stage.parts, true),
        bars,
        sections: whole(bars),
        leadersAt: (quarters) => {
          const own = leads.findLast(({ at }) => at <= quarters + 1e-6);
          return own === undefined ? [] : [own.id];
        },
      },
    ];
  });
}
