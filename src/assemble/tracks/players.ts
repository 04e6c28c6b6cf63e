/** How many players a part has where nobody says. */
import type { Part, Question } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Ensemble, EnsembleKind } from '../../model/music/ensemble.ts';
import { listText } from '../../model/words/plain-words.ts';
import { asYamlKey, quoted } from '../../read/clean-text.ts';
import type { EnsembleMember } from '../instruments/ensemble-kind.ts';
import { isKitName } from '../instruments/ensemble-kind.ts';
import type { PartDraft } from './group-parts.ts';

export interface PlayersChoice {
  readonly players: number;
  readonly by: Part['playersBy'];
  /** True where a section of an orchestra was assumed. */
  readonly isSection: boolean;
}

const BOWED: ReadonlySet<string> = new Set(['violin', 'viola', 'cello', 'double-bass']);

/** Kinds in which bowed strings that say nothing else are sections. */
const WITH_SECTIONS: ReadonlySet<EnsembleKind> = new Set(['orchestra', 'string-orchestra', 'electronic', 'unknown']);

/**
 * Players of a wind section whose name is a plural and no more: wood in pairs, four horns, three trumpets and trombones. Common practice of the
 * orchestra since the nineteenth century, no source.
 */
const WIND_SECTION: ReadonlyMap<string, number> = new Map([
  ['horn-f', 4],
  ['trumpet-bflat', 3],
  ['trumpet-c', 3],
  ['trombone-tenor', 3],
]);
const WOOD_SECTION = 2;
/** Low brass makes the later orchestra: without it horns and trumpets come in pairs, as in the eighteenth century. */
const LOW_BRASS: readonly string[] = ['trombone-alto', 'trombone-tenor', 'trombone-bass', 'tuba'];
/** Singers of one voice of a choir, and of all four where they are one part. Common practice for a chamber choir, no source. */
const VOICE_SECTION = 8;
const CHOIR = 4 * VOICE_SECTION;

/** Strings of a band: three to a part of violins, two where several parts are violins or of lower strings. Common practice, no source. */
const FIDDLES = 3;
const FIDDLES_DIVIDED = 2;

const one: PlayersChoice = { players: 1, by: 'default', isSection: false };

/** What the name states: a 2, 1+2, 3 Trumpets, Stehgeiger; undefined where it states nothing. */
function statedPlayers(draft: PartDraft): number | undefined {
  const stated = draft.tracks.flatMap((track) => track.recognition.players ?? []);
  // Violins 1+2 are both sections, not two players.
  const isBowed = BOWED.has(draft.instrument);
  const told = isBowed ? stated.filter((players) => players === 1 || players !== draft.numbers.length) : stated;
  return told.length === 0 ? undefined : Math.max(1, ...told);
}

/** One to a part: no more than two violins, one viola or two, one or two cellos, and no bass. */
function isChamberStrings(drafts: readonly PartDraft[]): boolean {
  const count = (id: string): number => drafts.filter((draft) => draft.instrument === id).length;
  return count('violin') <= 2 && count('viola') <= 2 && count('cello') <= 2 && count('double-bass') === 0;
}

function bowedPlayers(draft: PartDraft, drafts: readonly PartDraft[], kind: EnsembleKind): PlayersChoice {
  const section = instrumentById(draft.instrument)?.sectionPlayers;
  if (section === undefined) return one;
  const others = drafts.filter((other) => other !== draft && BOWED.has(other.instrument) && !other.solo);
  const allAreStrings = drafts.every((other) => BOWED.has(other.instrument));
  const massed =
    WITH_SECTIONS.has(kind) ||
    ((kind === 'choir' || kind === 'solo') && others.length > 0 && !isChamberStrings(drafts));
  const isSection =
    saysSection(draft) ||
    isDeskOfSection(draft, others) ||
    (massed && others.length > 0 && !(allAreStrings && isChamberStrings(drafts) && !others.some(saysSection)));
  if (!isSection) return one;
  if (BANDS.has(kind) && !drafts.some(({ instrument }) => instrument === 'viola' || instrument === 'cello')) {
    const violins = drafts.filter(({ instrument }) => instrument === 'violin').length;
    return { players: violins > 1 ? FIDDLES_DIVIDED : FIDDLES, by: 'default', isSection: true };
  }
  const isSecond = draft.numbers.includes(2) && !draft.numbers.includes(1);
  return { players: isSecond ? (section.second ?? section.first) : section.first, by: 'default', isSection: true };
}

/** First violins are no single player where the second are a section, and the other way round. Common practice, no source. */
function isDeskOfSection(draft: PartDraft, others: readonly PartDraft[]): boolean {
  const isNumbered = ({ instrument, numbers }: PartDraft): boolean => instrument === 'violin' && numbers.length > 0;
  return isNumbered(draft) && others.some((other) => isNumbered(other) && saysSection(other));
}

function saysSection(draft: PartDraft): boolean {
  return draft.tracks.some((track) => track.source.reading.plural || track.source.reading.tutti);
}

/** A band numbers the voices of its backing singers (Coro 1, Coro 2): two or three to a voice at most. Common practice, no source. */
const BACKING_SINGERS = 2;
const BANDS: ReadonlySet<EnsembleKind> = new Set(['band', 'combo', 'big-band', 'song']);

/** Kinds in which voices with a plural name (Altos) are a choir's, beside orchestras and choirs. */
const SECTIONS_SING: ReadonlySet<EnsembleKind> = new Set([...BANDS, 'orchestra', 'string-orchestra']);

function sungPlayers(draft: PartDraft, kind: EnsembleKind): PlayersChoice {
  if (draft.instrument === 'choir' && BANDS.has(kind) && draft.numbers.length > 0)
    return { players: BACKING_SINGERS, by: 'default', isSection: true };
  if (draft.instrument === 'choir') return { players: CHOIR, by: 'default', isSection: true };
  const ofChoir = draft.tracks.some(({ source }) => source.reading.ofChoir);
  const isSection =
    draft.instrument !== 'voice' && (kind === 'choir' || ofChoir || (SECTIONS_SING.has(kind) && saysSection(draft)));
  return isSection ? { players: VOICE_SECTION, by: 'default', isSection: true } : one;
}

/**
 * Players of each part: settings; else what the name says (a 2, 1+2, 3 Trumpets); else what a note says; else by the kind of ensemble. In an orchestra bowed strings are
 * sections, the smallest that Rimsky-Korsakov (Principles of Orchestration, ch. I) gives, 8 6 4 3 2, unless the part is a solo or in front
 * throughout; in a band without viola and cello a plural name is two or three violins; plural winds are sections; the voices of a choir are sections, and so are those with plural names beside a band. Everywhere else one to a part.
 */
export function playersOf(
  draft: PartDraft,
  drafts: readonly PartDraft[],
  isForeground: boolean,
  kind: EnsembleKind,
): PlayersChoice {
  if (draft.settings.players !== undefined)
    return { players: draft.settings.players, by: 'settings', isSection: false };
  const stated = statedPlayers(draft);
  if (stated !== undefined) return { players: stated, by: 'name', isSection: false };
  if (draft.toldPlayers !== undefined) return { players: draft.toldPlayers.players, by: 'note', isSection: false };
  if (draft.solo) return one;
  const family = instrumentById(draft.instrument)?.family;
  if (family === 'voice') return sungPlayers(draft, kind);
  if (BOWED.has(draft.instrument)) {
    return isForeground && !saysSection(draft) ? one : bowedPlayers(draft, drafts, kind);
  }
  if ((family === 'woodwind' || family === 'brass') && draft.numbers.length === 0 && saysSection(draft)) {
    const isLater = drafts.some(({ instrument }) => LOW_BRASS.includes(instrument));
    const players = (isLater ? WIND_SECTION.get(draft.instrument) : undefined) ?? WOOD_SECTION;
    return { players, by: 'default', isSection: true };
  }
  return one;
}

const DOUBTFUL: ReadonlySet<EnsembleKind> = new Set(['chamber', 'orchestra', 'string-orchestra']);

/** Asks whether the strings are sections where the instruments leave it open; empty where they do not, or somebody said. */
export function playersQuestion(ensemble: Ensemble, parts: readonly Part[]): readonly Question[] {
  const { kind, sure } = ensemble;
  const open = parts.filter((part) => BOWED.has(part.instrument) && part.playersBy === 'default');
  const first = open[0];
  const few = open.find(({ players }) => players > 1);
  if (BANDS.has(kind) && few !== undefined) {
    return [
      {
        code: 'other',
        text: `How many play ${listText(
          open.filter(({ players }) => players > 1).map(({ name }) => quoted(name)),
          7,
        )} is not said: by the kind of ensemble ${few.players} are assumed${open.filter(({ players }) => players > 1).length > 1 ? ' of each' : ''}, and levels rest on it. Say it with parts: ${asYamlKey(few.name)}: players.`,
      },
    ];
  }
  if (sure || !DOUBTFUL.has(kind) || first === undefined || open.length < 2) return [];
  const taken = open.some(({ players }) => players > 1) ? 'sections are assumed' : 'one player to a part is assumed';
  return [
    {
      code: 'other',
      text: `The instruments do not tell whether the strings are single players or sections: ${taken}, and levels rest on it. Say it with parts: ${asYamlKey(first.name)}: players.`,
    },
  ];
}

/** A part as a member of its ensemble. */
export function memberOf(draft: PartDraft): EnsembleMember {
  const readings = draft.tracks.map((track) => track.source.reading);
  const players = draft.settings.players ?? draft.toldPlayers?.players ?? 1;
  const stated = draft.tracks.flatMap((track) => track.recognition.players ?? []);
  return {
    instrument: draft.instrument,
    stated: Math.max(1, players, draft.numbers.length, ...stated),
    section: saysSection(draft) || players > 2,
    solo: draft.solo,
    kit:
      draft.instrument === 'percussion-unpitched' &&
      (draft.by === 'channel' || readings.some((reading) => isKitName(reading.matched))),
  };
}
