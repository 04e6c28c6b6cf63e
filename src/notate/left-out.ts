/** What a reduction left out, said in few words. */

const JOINT = ' of ';

/** Texts such as `octave of Fl` and `octave of Hn` in one, `octave of Fl, Hn`; each name once, in order of appearance. */
export function gatherLeftOut(texts: readonly string[]): string[] {
  const byKind = new Map<string, string[]>();
  for (const text of texts) {
    const at = text.indexOf(JOINT);
    const kind = at < 0 ? text : text.slice(0, at);
    const names = byKind.get(kind) ?? [];
    if (at >= 0) names.push(...text.slice(at + JOINT.length).split(', '));
    byKind.set(kind, names);
  }
  return [...byKind].map(([kind, names]) =>
    names.length === 0 ? kind : kind + JOINT + [...new Set(names)].join(', '),
  );
}
