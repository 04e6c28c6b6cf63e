/** Who leads in which bars by what the notes say, for one stage. */
import type { AnnouncedLevel, AnnouncedLine, Part, Section } from '../../model/music/arrangement.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import { runsOf } from '../../model/words/plain-words.ts';
import type { RawMemo } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import type { NamedStage } from '../stage-order/stage-names.ts';
import { stageCalled } from '../stage-order/stage-names.ts';
import type { SaidBars } from '../user-notes-and-settings/bars-in-words.ts';
import type { LeadSaid } from '../user-notes-and-settings/lead-sentences.ts';
import { leadsSaid, levelsSaid, linesAboveSaid } from '../user-notes-and-settings/lead-sentences.ts';
import type { BarLead } from './lead-spans.ts';
import { leadPartOf, withSharedLeads } from './shared-lead.ts';

/** A note beside the stage that it is asked about. */
export interface HeardMemo {
  readonly memo: RawMemo;
  /** It is about this stage: says so, or is about none and this is the last. Else it was written of an earlier one, or of any. */
  readonly isOwn: boolean;
}

/** Who leads in some bars by a note. */
export interface ToldLead {
  readonly partId: string;
  /** Numbers of bars, in order. */
  readonly bars: readonly number[];
  readonly file: string;
  /** Untrusted text. */
  readonly quote: string;
}

/** What was said of an earlier stage holds on where the notes give the part this chance at least, in the mean of the bars. */
const STILL_LIKELY = 0.25;
/** Who sounds in less of the bars is not the part that was meant. */
const LEAST_SOUNDING = 0.5;
/** Bars of rest behind which a part that leads from a bar on need not lead any more. */
const REST_BARS = 2;
/** A sound this much over a bar line is none of that bar, in quarters. */
const OVERHANG = 0.25;

/** The notes that may say something of a stage, those of an earlier one too; none of a later one. */
export function memosHeardIn(
  memos: readonly RawMemo[],
  named: readonly NamedStage[],
): (stage: NamedStage) => readonly HeardMemo[] {
  const last = named.at(-1)?.order;
  const placed = memos.map((memo) => {
    const word = memo.stage?.content;
    const order = word === undefined ? undefined : stageCalled(word, named)?.order;
    return { memo, order, isLost: word !== undefined && order === undefined };
  });
  return (stage) =>
    placed.flatMap(({ memo, order, isLost }) =>
      isLost || (order ?? 0) > stage.order ? [] : [{ memo, isOwn: (order ?? last) === stage.order }],
    );
}

/** Bars, by index, in which a part sounds. */
function soundingIn({ notes }: Part, bars: readonly Bar[]): readonly boolean[] {
  const sounding = bars.map(() => false);
  for (const { startQuarters, endQuarters } of notes) {
    const overhang = Math.min(OVERHANG, (endQuarters - startQuarters) / 2);
    const [start, end] = [startQuarters + overhang, endQuarters - overhang];
    // From the bar before the one that it begins in: places on a bar line are read as the next bar's.
    for (let index = Math.max(0, barIndexAt(bars, start) - 1); index < bars.length; index++) {
      const bar = bars[index];
      if (bar === undefined || end <= bar.startQuarters) break;
      if (start < bar.startQuarters + bar.lengthQuarters) sounding[index] = true;
    }
  }
  return sounding;
}

interface Claim {
  readonly said: LeadSaid;
  readonly isOwn: boolean;
  /** Indices of the bars that it is about, and of those in which who leads by it sounds. */
  readonly about: readonly number[];
  readonly sounding: readonly number[];
}

function pieceOf({ parts, sections, bars }: Pick<ToldInput, 'parts' | 'sections' | 'bars'>): Piece {
  return { bars, sections, sounds: new Map(parts.map((part) => [part.id, soundingIn(part, bars)])) };
}

/** One section is none: it is the whole piece. */
function namedSections(sections: readonly Section[]): readonly Section[] {
  return sections.length > 1 ? sections : [];
}

interface Piece {
  readonly bars: readonly Bar[];
  readonly sections: readonly Section[];
  /** By part id. */
  readonly sounds: ReadonlyMap<string, readonly boolean[]>;
}

/** Where what holds from a bar on ends: with its section, or before a longer rest of all who lead. Index of the last bar. */
function openEnd(from: number, partIds: readonly string[], { bars, sections, sounds }: Piece): number {
  const number = bars[from]?.number ?? 0;
  const section = sections.length > 1 ? sections.find((own) => own.from <= number && number <= own.to) : undefined;
  let rest = 0;
  for (let index = from; index < bars.length; index++) {
    if ((bars[index]?.number ?? 0) > (section?.to ?? Infinity)) return index - 1;
    rest = partIds.some((id) => sounds.get(id)?.[index] === true) ? 0 : rest + 1;
    if (rest === REST_BARS) return index - REST_BARS;
  }
  return bars.length - 1;
}

function indicesOf(spans: readonly SaidBars[], partIds: readonly string[], piece: Piece): readonly number[] {
  const { bars } = piece;
  if (spans.length === 0) return bars.map((_, index) => index);
  const found = spans.flatMap(({ from, to }) => {
    const first = from === undefined ? 0 : bars.findIndex(({ number }) => number === from);
    if (first < 0) return [];
    const last = to === undefined ? openEnd(first, partIds, piece) : bars.findLastIndex(({ number }) => number <= to);
    return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => first + index);
  });
  return [...new Set(found)].sort((a, b) => a - b);
}

function chanceIn(lead: BarLead | undefined, id: string): number {
  return lead?.partId === id ? lead.certainty : (lead?.others?.get(id) ?? 0);
}

/** The mean chance that a part leads in bars by the music; whoever plays its tune along with it plays it for both. */
function tuneChance(
  id: string,
  indices: readonly number[],
  { parts, bars }: Pick<ToldInput, 'parts' | 'bars'>,
  leads: readonly (BarLead | undefined)[],
): number {
  const [from = 0, to = 0] = [indices[0], indices.at(-1)].map((index) => bars[index ?? 0]?.number);
  const span = { partId: id, from, to, certainty: 1, weak: false, shared: [] };
  const sharing = withSharedLeads([span], parts.map(leadPartOf), bars).flatMap(({ shared }) => shared);
  const chanceAt = (index: number): number => {
    const number = bars[index]?.number ?? 0;
    const others = new Set(sharing.filter((own) => own.from <= number && number <= own.to).map((own) => own.partId));
    return [id, ...others].reduce((sum, one) => sum + chanceIn(leads[index], one), 0);
  };
  return indices.reduce((sum, index) => sum + chanceAt(index), 0) / indices.length;
}

/**
 * Bars behind the section in which a part leads from a bar on: it goes on through those that follow as long as the music gives it a chance there, and no
 * other word and no longer rest ends it.
 */
function onwardBars(
  { said, about }: Pick<Claim, 'said' | 'about'>,
  until: number | undefined,
  input: Pick<ToldInput, 'parts' | 'sections' | 'bars'>,
  { sounds }: Piece,
  guess: () => readonly (BarLead | undefined)[],
): readonly number[] {
  const { sections, bars } = input;
  const [id] = said.partIds;
  const onward: number[] = [];
  let end = about.at(-1) ?? 0;
  for (const { from, to } of sections) {
    if (id === undefined || bars[end + 1]?.number !== from) continue;
    const last = Math.min(
      (until ?? Infinity) - 1,
      bars.findLastIndex(({ number }) => number <= to),
    );
    const own = bars.flatMap((_, index) => (end < index && index <= last ? [index] : []));
    const rests = own.filter((index) => sounds.get(id)?.[index] !== true);
    if (own.length === 0 || rests.length >= REST_BARS || tuneChance(id, own, input, guess()) < STILL_LIKELY) break;
    onward.push(...own);
    end = last;
  }
  return onward;
}

export interface ToldInput {
  readonly heard: readonly HeardMemo[];
  readonly parts: readonly Part[];
  readonly sections: readonly Section[];
  readonly bars: readonly Bar[];
  /** The part that is called a solo, where there is one alone. */
  readonly soloId: string | undefined;
  readonly read: NameReader;
}

/**
 * Who leads by the notes; none where two say different things of a bar. What is said of fewer bars comes before what is said of more, this stage before
 * an earlier one. Among several parts that are meant, and for what was said of another stage, `guess` is asked: who leads in each bar by the music.
 */
export function toldLeads(
  { heard, parts, sections, bars, soloId, read }: ToldInput,
  guess: () => readonly (BarLead | undefined)[],
): readonly ToldLead[] {
  const all = heard.flatMap(({ memo, isOwn }) =>
    leadsSaid(memo, { parts, sections: namedSections(sections), soloId, read }).map((said) => ({
      said,
      isOwn,
    })),
  );
  if (all.length === 0) return [];
  const piece = pieceOf({ parts, sections, bars });
  const starts = new Set(all.filter(({ isOwn }) => isOwn).flatMap(({ said }) => said.bars.map(({ from }) => from)));
  const claims = all.flatMap(({ said, isOwn }): Claim[] => {
    const about = indicesOf(said.bars, said.partIds, piece);
    // What is said to begin in a bar ends what was said to hold from an earlier one on.
    const isOpen = said.bars.length === 1 && said.bars[0]?.to === undefined;
    const first = about[0] ?? 0;
    const after = isOpen ? bars.findIndex(({ number }, index) => index > first && starts.has(number)) : -1;
    const next = after < 0 ? undefined : after;
    const within = next === undefined ? about : about.filter((index) => index < next);
    const goesOn = isOpen && said.partIds.length === 1 && within.length === about.length;
    const meant = goesOn
      ? [...within, ...onwardBars({ said, about }, next, { parts, sections, bars }, piece, guess)]
      : within;
    const sounding = meant.filter((index) => said.partIds.some((id) => piece.sounds.get(id)?.[index] === true));
    if (sounding.length === 0 || sounding.length < LEAST_SOUNDING * meant.length) return [];
    return [{ said, isOwn, about: meant, sounding }];
  });
  const told = claims.flatMap(({ said, isOwn, about, sounding }) => {
    const leads = isOwn && said.partIds.length === 1 ? [] : guess();
    const chances = said.partIds.map((id) => ({
      id,
      chance: sounding.reduce((sum, index) => sum + chanceIn(leads[index], id), 0) / sounding.length,
    }));
    const best = chances.reduce((one, other) => (other.chance > one.chance ? other : one));
    return isOwn || best.chance >= STILL_LIKELY
      ? [{ said, isOwn, width: about.length, id: best.id, sounding: new Set(sounding) }]
      : [];
  });
  const barsOf = new Map<(typeof told)[number], number[]>();
  const voices = new Set(parts.filter(({ family }) => family === 'voice').map(({ id }) => id));
  bars.forEach(({ number }, index) => {
    const here = told.filter(({ sounding }) => sounding.has(index));
    const own = here.some(({ isOwn }) => isOwn) ? here.filter(({ isOwn }) => isOwn) : here;
    const least = Math.min(...own.map(({ width }) => width));
    const alike = own.filter(({ width }) => width === least);
    // Who sings comes before who plays where both are said of the same bars: the words are the tune (common practice, no source).
    const sung = alike.filter(({ id }) => voices.has(id));
    const nearest = sung.length > 0 ? sung : alike;
    const [first] = nearest;
    if (first === undefined || nearest.some(({ id }) => id !== first.id)) return;
    barsOf.set(first, [...(barsOf.get(first) ?? []), number]);
  });
  return [...barsOf].map(([{ said, id }, own]) => ({ partId: id, bars: own, file: said.file, quote: said.quote }));
}

/** Bars of what is said of parts, part by part. */
function toldLines(
  all: readonly LeadSaid[],
  { parts, sections, bars }: Pick<ToldInput, 'parts' | 'sections' | 'bars'>,
): readonly AnnouncedLine[] {
  if (all.length === 0) return [];
  const piece = pieceOf({ parts, sections, bars });
  return all.flatMap(({ partIds, bars: spans }) =>
    runsOf(indicesOf(spans, partIds, piece).flatMap((index) => bars[index]?.number ?? [])).flatMap(({ from, to }) =>
      partIds.map((partId) => ({ partId, from, to })),
    ),
  );
}

/** Where notes of this stage or an earlier one announce parts above the tune. */
export function toldAbove(input: Omit<ToldInput, 'soloId'>): readonly AnnouncedLine[] {
  const { heard, parts, sections, read } = input;
  const about = { parts, sections: namedSections(sections), read };
  return toldLines(
    heard.flatMap(({ memo }) => linesAboveSaid(memo, about)),
    input,
  );
}

/** Where notes of this stage or an earlier one say that a part is softer, or louder. */
export function toldLevels(input: Omit<ToldInput, 'soloId'>): readonly AnnouncedLevel[] {
  const { heard, parts, sections, read } = input;
  const about = { parts, sections: namedSections(sections), read };
  return (['softer', 'louder'] as const).flatMap((way) =>
    toldLines(
      heard.flatMap(({ memo }) => levelsSaid(memo, way, about)),
      input,
    ).map((line) => ({ ...line, way })),
  );
}
