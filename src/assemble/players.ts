/** How many players a part has where nobody says. */
import { instrumentById } from '../model/catalogue.ts';
import type { EnsembleMember } from './ensemble-kind.ts';
import { isKitName } from './ensemble-kind.ts';
import type { PartDraft } from './group-parts.ts';

export interface PlayersChoice {
  readonly players: number;
  readonly by: 'settings' | 'name' | 'default';
  /** True where a section of an orchestra was assumed. */
  readonly isSection: boolean;
}

const SECTION_INSTRUMENTS: ReadonlySet<string> = new Set(['violin', 'viola', 'cello', 'double-bass']);

/** One to a part: strings alone with at most two violins, one viola, one or two cellos, at most one bass, and no section words. */
function isChamberStrings(drafts: readonly PartDraft[]): boolean {
  if (drafts.some((draft) => !SECTION_INSTRUMENTS.has(draft.instrument))) return false;
  const count = (id: string): number => drafts.filter((draft) => draft.instrument === id).length;
  const plural = drafts.some((draft) =>
    draft.tracks.some((track) => track.source.reading.plural || track.source.reading.tutti),
  );
  return !plural && count('violin') <= 2 && count('viola') <= 2 && count('cello') <= 2 && count('double-bass') === 0;
}

/**
 * Players of each part: settings; else what the name says (a 2, 1+2); else for bowed strings the smallest orchestra that
 * Rimsky-Korsakov (Principles of Orchestration, ch. I) gives, 8 6 4 3 2, unless the part is a solo, in front throughout, or one of a
 * quartet; else one.
 */
export function playersOf(draft: PartDraft, drafts: readonly PartDraft[], isForeground: boolean): PlayersChoice {
  if (draft.settings.players !== undefined)
    return { players: draft.settings.players, by: 'settings', isSection: false };
  const one: PlayersChoice = { players: 1, by: 'default', isSection: false };
  if (draft.solo) return one;
  const section = instrumentById(draft.instrument)?.sectionPlayers;
  const readings = draft.tracks.map((track) => track.source.reading);
  if (section === undefined) {
    const stated = draft.tracks.flatMap((track) => track.recognition.players ?? []);
    return { players: Math.max(1, ...stated), by: stated.length > 0 ? 'name' : 'default', isSection: false };
  }
  const saysSection = readings.some((reading) => reading.plural || reading.tutti);
  if (isForeground && !saysSection) return one;
  const otherStrings = drafts.some(
    (other) => other !== draft && SECTION_INSTRUMENTS.has(other.instrument) && !other.solo,
  );
  if (!saysSection && (!otherStrings || isChamberStrings(drafts))) return one;
  const players =
    draft.numbers.includes(2) && !draft.numbers.includes(1) ? (section.second ?? section.first) : section.first;
  return { players, by: 'default', isSection: true };
}

/** A part as a member of its ensemble. */
export function memberOf(draft: PartDraft): EnsembleMember {
  const readings = draft.tracks.map((track) => track.source.reading);
  const stated = draft.tracks.flatMap((track) => track.recognition.players ?? []);
  return {
    instrument: draft.instrument,
    stated: Math.max(1, draft.settings.players ?? 1, draft.numbers.length, ...stated),
    section: readings.some((reading) => reading.plural || reading.tutti) || (draft.settings.players ?? 1) > 2,
    solo: draft.solo,
    kit:
      draft.instrument === 'percussion-unpitched' &&
      (draft.by === 'channel' || readings.some((reading) => isKitName(reading.matched))),
  };
}
