/** What is known of who leads before any note is looked at: names, words under the notes, the kind of ensemble. */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { PlayedNote } from '../../model/music/arrangement.ts';
import { median } from '../../model/music/dynamics.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import type { PartDraft } from '../tracks/group-parts.ts';
import { isDescant } from '../../model/words/descant.ts';
import { BEHIND_WORDS, LEAD_WORDS } from '../names/name-words.ts';
import type { KNOWN } from './lead-weights.ts';

export type Known = keyof typeof KNOWN;

/** As much of a draft as names and words need. */
export type NamedDraft = Pick<PartDraft, 'instrument' | 'numbers' | 'solo' | 'tracks'>;

/** A part by its draft, and its notes as played. */
export interface NamedPart {
  readonly draft: NamedDraft;
  readonly notes: readonly PlayedNote[];
}

/** In bands solo is the rank of the first desk (Solo Cornet, Solo Horn), no soloist. */
export const SOLO_IS_A_RANK: ReadonlySet<EnsembleKind> = new Set(['brass-band', 'wind-band']);
/** A track with at least so many syllables to a note is sung with words. */
const SYLLABLES = 0.25;
/** More singers than these are a choir, or a cast in which each leads by turns. */
const MOST_SINGERS = 2;
/** A choir in one track sings a tune with words where it goes on from note to note within so many quarters, in so many voices at most; chords and vowels stand behind. */
const MOVING_QUARTERS = 1.5;
const MOST_VOICES = 2;
/** Notes of one part closer than this are a chord. */
const CHORD_QUARTERS = 0.1;
/** Here choirs sing vowels for their colour as often as words. */
const COLOURED: ReadonlySet<EnsembleKind> = new Set(['orchestra', 'electronic']);

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

/** Whether notes go on as a tune does that is sung in one voice or two. */
function isSungTune(notes: readonly PlayedNote[]): boolean {
  const onsets: number[] = [];
  for (const { startQuarters } of notes)
    if (startQuarters - (onsets.at(-1) ?? -Infinity) > CHORD_QUARTERS) onsets.push(startQuarters);
  const step = median(onsets.slice(1).map((onset, index) => onset - (onsets[index] ?? 0)));
  return step !== undefined && step <= MOVING_QUARTERS && notes.length <= MOST_VOICES * onsets.length;
}

/** What is known of each part, in their order. */
export function knownLeads(parts: readonly NamedPart[], kind: EnsembleKind): readonly (readonly Known[])[] {
  const drafts = parts.map(({ draft }) => draft);
  const named = drafts.map(({ instrument, tracks }) => ({
    instrument,
    name: tracks.map(({ source }) => source.name).join(' '),
  }));
  const descants = named.map((own) => isDescant(own, named));
  const behind = drafts.map((draft) => wordsOf(draft).some((word) => BEHIND_WORDS.has(word)));
  const singers = drafts.filter((draft, index) => isSinger(draft) && behind[index] === false);
  const fewSing = singers.length <= MOST_SINGERS && singers.length < drafts.length;
  // Where nobody sings before it, a choir that has the tune sings it as a singer does; one of several tracks is known by its kind.
  const sung = drafts.map(hasWords);
  const led = drafts.map((draft) => wordsOf(draft).some((word) => LEAD_WORDS.has(word)));
  const isOpen = singers.length === 0 && ![...sung, ...led].includes(true) && !drafts.some(({ solo }) => solo);
  const choirs = parts.filter(
    ({ draft, notes }, index) => draft.instrument === 'choir' && behind[index] === false && isSungTune(notes),
  );
  const [choir] = choirs.length === 1 && isOpen && !COLOURED.has(kind) ? choirs : [];
  return drafts.map((draft, index) => {
    const voice = instrumentById(draft.instrument)?.family === 'voice';
    const first = (draft.numbers[0] ?? 1) === 1;
    const isVoiceOfTune = (fewSing && singers.includes(draft)) || draft === choir?.draft;
    const facts: readonly (readonly [Known, boolean])[] = [
      ['solo', draft.solo && !SOLO_IS_A_RANK.has(kind)],
      ['sung', sung[index] === true || isVoiceOfTune],
      ['chorus', kind === 'choir' && voice && !isVoiceOfTune],
      ['lead', led[index] === true],
      ['behind', behind[index] === true],
      ['descant', descants[index] === true],
      ['second', !first],
      ['firstViolins', kind === 'orchestra' && draft.instrument === 'violin' && first && !draft.solo && !behind[index]],
    ];
    return facts.flatMap(([fact, holds]) => (holds ? [fact] : []));
  });
}
