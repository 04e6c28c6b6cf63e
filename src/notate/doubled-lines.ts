/**
 * Real doublings: lines that move together in unison or octaves for long enough that a musician would name them. A chord whose tones
 * happen to lie octaves apart is none.
 */
import { relationsByBar } from './doubling-relations.ts';
import type { DoublingSpan, OpenSpan } from './doubling-spans.ts';
import { groupsOf, spanOf } from './doubling-spans.ts';
import type { Line } from './lines.ts';

function joined(host: Line, others: readonly Line[]): Line {
  const notes = host.notes.map((note) => {
    const ids = others.flatMap((other) =>
      other.notes.some((twin) => twin.from === note.from && (twin.midi - note.midi) % 12 === 0) ? [other.partId] : [],
    );
    return ids.length === 0 ? note : { ...note, partIds: [...new Set([...note.partIds, ...ids])] };
  });
  const depth = Math.min(0, ...others.map((other) => Math.round(other.centre - host.centre)));
  return { ...host, notes, depth };
}

export interface DoubledLines {
  /** Lines by bar index that are to be written; the parts that double them stand in the `partIds` of their notes. */
  readonly lines: readonly (readonly Line[])[];
  /** Sorted by first bar. */
  readonly spans: readonly DoublingSpan[];
}

/**
 * Writes lines that really double one another once. `front` are the parts of the foreground by bar index: they are never
 * taken away, and who doubles them is.
 */
export function collapseDoublings(
  lines: readonly (readonly Line[])[],
  front: readonly ReadonlySet<string>[],
): DoubledLines {
  const relations = relationsByBar(lines);
  const spans: { span: DoublingSpan; keys: readonly string[] }[] = [];
  let open = new Map<string, OpenSpan>();
  const close = (ended: OpenSpan): void => {
    const bass = lines
      .slice(ended.from, ended.from + ended.groups.length)
      .map(
        (inBar) =>
          inBar.reduce<Line | undefined>(
            (low, line) => (low !== undefined && low.centre <= line.centre ? low : line),
            undefined,
          )?.key,
      );
    const isBass = (key: string): boolean => bass.filter((other) => other === key).length * 2 > bass.length;
    spans.push(spanOf(ended, front[ended.from] ?? new Set(), isBass));
  };
  for (const [bar, inBar] of lines.entries()) {
    const next = new Map<string, OpenSpan>();
    for (const group of groupsOf(inBar, relations[bar] ?? [], front[bar] ?? new Set())) {
      const id = [
        group.host.key,
        ...group.members.map(({ line, semitones }) => `${line.key}${String(semitones)}`),
      ].join();
      const span = open.get(id) ?? { groups: [], from: bar };
      span.groups.push(group);
      next.set(id, span);
    }
    for (const [id, span] of open) if (next.get(id) !== span) close(span);
    open = next;
  }
  for (const span of open.values()) close(span);
  const away = lines.map(() => new Map<string, string>());
  for (const { span, keys } of spans) {
    for (let bar = span.from; bar <= span.to; bar++) {
      for (const key of keys) if (key !== span.host) away[bar]?.set(key, span.host);
    }
  }
  const kept = lines.map((inBar, bar) => {
    const hosts = away[bar];
    if (hosts === undefined || hosts.size === 0) return inBar;
    return inBar
      .filter((line) => !hosts.has(line.key))
      .map((line) =>
        joined(
          line,
          inBar.filter((other) => hosts.get(other.key) === line.key),
        ),
      );
  });
  return { lines: kept, spans: spans.map(({ span }) => span).sort((a, b) => a.from - b.from) };
}

/** Spans by bar index, then by the key of their written line. */
export function spansByHost(spans: readonly DoublingSpan[], count: number): Map<string, DoublingSpan>[] {
  const active = Array.from({ length: count }, () => new Map<string, DoublingSpan>());
  for (const span of spans) for (let bar = span.from; bar <= span.to; bar++) active[bar]?.set(span.host, span);
  return active;
}
