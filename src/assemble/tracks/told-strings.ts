/** How many strings the instrument of a part has, where a note says so: `bajo de cuatro cuerdas`, `a five-string bass`, `siebensaitige Gitarre`. */
import type { RawMemo } from '../../read/raw.ts';
import type { NameReader } from '../names/source-track.ts';
import { sentencesOf } from '../user-notes-and-settings/told-tracks.ts';
import type { PartDraft } from './group-parts.ts';

/** Words of a phrase that names an instrument with its strings, at most. */
const LONGEST = 5;

type ToldStrings = NonNullable<PartDraft['toldStrings']>;

/** What a sentence calls an instrument and a number of strings: the longest phrases that say nothing else. */
function stringsIn(
  sentence: string,
  read: NameReader,
): readonly { readonly instruments: readonly string[]; readonly strings: number }[] {
  return sentence.split(/[,;:()]/).flatMap((piece) => {
    const words = piece.match(/[\p{L}\p{N}][\p{L}\p{N}-]*/gu) ?? [];
    for (let count = Math.min(LONGEST, words.length); count > 0; count--) {
      for (let from = 0; from + count <= words.length; from++) {
        const { candidates, strings, rest } = read(words.slice(from, from + count).join(' '));
        if (strings !== undefined && rest === '' && candidates.length > 0)
          return [{ instruments: candidates, strings }];
      }
    }
    return [];
  });
}

/** The parts with what the notes say of their strings, each where it is the only one of its instrument; where two sentences differ, neither counts. */
export function withToldStrings(
  drafts: readonly PartDraft[],
  memos: readonly RawMemo[],
  read: NameReader,
): readonly PartDraft[] {
  const told = new Map<PartDraft, ToldStrings[]>();
  for (const memo of memos) {
    for (const quote of sentencesOf(memo)) {
      if (quote.endsWith('?')) continue;
      for (const { instruments, strings } of stringsIn(quote, read)) {
        const [only, ...others] = drafts.filter(({ instrument }) => instruments.includes(instrument));
        if (only === undefined || others.length > 0) continue;
        told.set(only, [...(told.get(only) ?? []), { strings, file: memo.file, quote }]);
      }
    }
  }
  return drafts.map((draft) => {
    const [first, ...others] = told.get(draft) ?? [];
    if (first === undefined || others.some(({ strings }) => strings !== first.strings)) return draft;
    return { ...draft, toldStrings: first };
  });
}
