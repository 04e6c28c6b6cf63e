/** What is known of who leads before any note is looked at: names, words under the notes, the kind of ensemble. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import type { PartDraft } from '../tracks/group-parts.ts';
import { BEHIND_WORDS, LEAD_WORDS } from '../names/name-words.ts';
import type { KNOWN } from './lead-weights.ts';

export type Known = keyof typeof KNOWN;

/** As much of a draft as names and words need. */
export type NamedDraft = Pick<PartDraft, 'instrument' | 'numbers' | 'solo' | 'tracks'>;

/** In bands solo is the rank of the first desk (Solo Cornet, Solo Horn), no soloist. */
const SOLO_IS_A_RANK: ReadonlySet<EnsembleKind> = new Set(['brass-band', 'wind-band']);
/** A track with at least so many syllables to a note is sung with words. */
const SYLLABLES = 0.25;
/** More singers than these are a choir, or a cast in which each leads by turns. */
const MOST_SINGERS = 2;

function wordsOf({ tracks }: NamedDraft): readonly string[] {
  return tracks.flatMap(({ source }) => source.name.toLowerCase().match(/\p{L}+/gu) ?? []);
}

function isSinger({ instrument }: NamedDraft): boolean {
  const record = instrumentById(instrument);
  return record?.family === 'voice' && record.polyphony.kind === 'monophonic';
}

function hasWords({ tracks }: NamedDraft): boolean {
  return tracks.some(({ source: { raw } }) => (raw.lyrics?.length ?? 0) >= SYLLABLES * Math.max(1, raw.notes.length));
}

/** What is known of each part, in their order. */
export function knownLeads(drafts: readonly NamedDraft[], kind: EnsembleKind): readonly (readonly Known[])[] {
  const behind = drafts.map((draft) => wordsOf(draft).some((word) => BEHIND_WORDS.has(word)));
  const singers = drafts.filter((draft, index) => isSinger(draft) && behind[index] === false);
  const fewSing = singers.length <= MOST_SINGERS && singers.length < drafts.length;
  return drafts.map((draft, index) => {
    const voice = instrumentById(draft.instrument)?.family === 'voice';
    const first = (draft.numbers[0] ?? 1) === 1;
    const facts: readonly (readonly [Known, boolean])[] = [
      ['solo', draft.solo && !SOLO_IS_A_RANK.has(kind)],
      ['sung', hasWords(draft) || (fewSing && singers.includes(draft))],
      ['chorus', kind === 'choir' && voice && !(fewSing && singers.includes(draft))],
      ['lead', wordsOf(draft).some((word) => LEAD_WORDS.has(word))],
      ['behind', behind[index] === true],
      ['second', !first],
      ['firstViolins', kind === 'orchestra' && draft.instrument === 'violin' && first && !draft.solo && !behind[index]],
    ];
    return facts.flatMap(([fact, holds]) => (holds ? [fact] : []));
  });
}
