/** What a reduction left out, said in few words. */
import { joinLabels } from './cues.ts';

const JOINT = ' of ';

/** `Hn 2, 1` as `Hn 2` and `Hn 1`. */
function namesIn(list: string): string[] {
  let stem = '';
  return list.split(', ').map((name) => {
    if (/^\d+$/.test(name) && stem !== '') return `${stem} ${name}`;
    stem = /^(.*\S)\s+\d+$/.exec(name)?.[1] ?? '';
    return name;
  });
}

/** Players of one instrument together, in the order of their numbers; instruments in order of appearance. */
function inOrder(names: readonly string[]): string[] {
  const byStem = new Map<string, string[]>();
  for (const name of new Set(names)) {
    const stem = name.replace(/\s+\d+$/, '');
    byStem.set(stem, [...(byStem.get(stem) ?? []), name]);
  }
  const numberOf = (name: string): number => Number(/\d+$/.exec(name)?.[0] ?? 0);
  return [...byStem.values()].flatMap((own) => own.sort((a, b) => numberOf(a) - numberOf(b)));
}

/** Texts such as `octave of Fl 2` and `octave of Hn, Fl 1` in one, `octave of Fl 1, 2, Hn`; each name once, in order of appearance. */
export function gatherLeftOut(texts: readonly string[]): string[] {
  const byKind = new Map<string, string[]>();
  for (const text of texts) {
    const at = text.indexOf(JOINT);
    const kind = at < 0 ? text : text.slice(0, at);
    const names = byKind.get(kind) ?? [];
    if (at >= 0) names.push(...namesIn(text.slice(at + JOINT.length)));
    byKind.set(kind, names);
  }
  return [...byKind].map(([kind, names]) => (names.length === 0 ? kind : kind + JOINT + joinLabels(inOrder(names))));
}
