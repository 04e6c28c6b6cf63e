/**
 * Real doublings: lines that move together in unison or octaves for long enough that a musician would name them. A chord whose tones
 * happen to lie octaves apart is none.
 */
import { relationsByBar } from './doubling-relations.ts';
import type { DoublingSpan, OpenSpan } from './doubling-spans.ts';
import { groupsOf, spanOf } from './doubling-spans.ts';
import type { Line, LineNote } from './lines.ts';
import { outerLines } from './outer-lines.ts';

interface Doubler {
  readonly line: Line;
  /** Its octave is written in the line that it doubles. */
  readonly isWritten: boolean;
}

function isTwin(note: LineNote, twin: LineNote): boolean {
  return twin.from === note.from && (twin.midi - note.midi) % 12 === 0;
}

function twinOf(note: LineNote, { notes }: Line): LineNote | undefined {
  return notes.find((twin) => isTwin(note, twin));
}

/** The line with who doubles it, and with the octaves that are to be written. */
function joined(host: Line, doublers: readonly Doubler[]): Line {
  const notes = host.notes.flatMap((note): LineNote[] => {
    // Who plays octaves itself has several.
    const twins = doublers.flatMap(({ line, isWritten }) =>
      line.notes.filter((twin) => isTwin(note, twin)).map((twin) => ({ twin, isWritten, partId: line.partId })),
    );
    const playersAt = (midi: number): string[] =>
      twins.filter((one) => one.isWritten && one.twin.midi === midi).map(({ partId }) => partId);
    const octaves = new Map(twins.filter((one) => one.isWritten).map(({ twin }) => [twin.midi, twin]));
    const ids = twins.filter(({ isWritten }) => !isWritten).map(({ partId }) => partId);
    const own = ids.length === 0 ? note : { ...note, partIds: [...new Set([...note.partIds, ...ids])] };
    const added = [...octaves].map(([midi, twin]): LineNote => ({
      midi,
      pitch: twin.pitch,
      from: note.from,
      to: Math.max(note.to, twin.to),
      continues: note.continues,
      goesOn: twin.to > note.to ? twin.goesOn : note.goesOn && twin.goesOn,
      partIds: [...new Set(playersAt(midi))],
      isAdded: true,
    }));
    return [own, ...added];
  });
  notes.sort((a, b) => a.from - b.from || a.midi - b.midi);
  const unwritten = doublers.filter(({ isWritten }) => !isWritten);
  const depth = Math.min(0, ...unwritten.map(({ line }) => Math.round(line.centre - host.centre)));
  return { ...host, notes, depth };
}

export interface DoubledLines {
  /** Lines by bar index that are to be written; the parts that double them stand in the `partIds` of their notes. */
  readonly lines: readonly (readonly Line[])[];
  /** Sorted by first bar. */
  readonly spans: readonly DoublingSpan[];
}

interface ClosedSpan {
  readonly span: DoublingSpan;
  /** Of the line that stands, then of its members in their order. */
  readonly keys: readonly string[];
}

const OCTAVE = 12;
/** Share of the notes of a doubling that are not held longer than what they double, for its octave to stand with that. */
const IN_TIME = 0.75;

interface OuterSigns {
  /** It has an outer note somewhere in the span. */
  readonly isOuter: (key: string) => boolean;
  /** It lets go when the line does that it doubles, nearly always. */
  readonly keepsTime: (key: string) => boolean;
}

/**
 * What has the highest or lowest note somewhere in a doubling is written: an octave in the line that it doubles, what lies farther off or is
 * held longer as a line of its own, for which others at its pitch stand no longer.
 */
function withOuter({ span, keys }: ClosedSpan, { isOuter, keepsTime }: OuterSigns): ClosedSpan[] {
  const members = span.members.map((member, index) => ({ member, key: keys[index + 1] as string }));
  const outer = members.filter(({ key }) => isOuter(key));
  const distances = new Set(outer.map(({ member }) => member.semitones));
  if (distances.size === 0) return [{ span, keys }];
  const isFar = (semitones: number): boolean =>
    distances.has(semitones) &&
    (Math.abs(semitones) !== OCTAVE ||
      outer.some(({ member, key }) => member.semitones === semitones && !keepsTime(key)));
  const near = members.filter(({ member }) => !isFar(member.semitones));
  const own: ClosedSpan = {
    span: {
      ...span,
      members: near.map(({ member }) => (distances.has(member.semitones) ? { ...member, isWritten: true } : member)),
    },
    keys: [span.host, ...near.map(({ key }) => key)],
  };
  const far = [...distances].filter(isFar).map((semitones): ClosedSpan => {
    const [first, ...others] = members.filter(({ member }) => member.semitones === semitones) as [
      (typeof members)[number],
      ...(typeof members)[number][],
    ];
    return {
      span: {
        ...span,
        host: first.key,
        hostPartId: first.member.partId,
        hostLabel: first.member.label,
        members: others.map(({ member }) => ({ ...member, semitones: 0 })),
      },
      keys: [first.key, ...others.map(({ key }) => key)],
    };
  });
  return [own, ...far].filter((closed) => closed.span.members.length > 0);
}

/** Keys of the lines that doublings take away, by bar index, each with its span. */
function awayBy(spans: readonly ClosedSpan[], count: number): Map<string, DoublingSpan>[] {
  const away = Array.from({ length: count }, () => new Map<string, DoublingSpan>());
  for (const { span, keys } of spans) {
    for (let bar = span.from; bar <= span.to; bar++) for (const key of keys.slice(1)) away[bar]?.set(key, span);
  }
  return away;
}

/**
 * Writes lines that really double one another once, with the octave where it is the highest or lowest that sounds. `front` are the parts of the foreground by bar index: they are never
 * taken away, and who doubles them is. Others double only a part with which they share staves, by `blockOf`: all do where it is absent.
 */
export function collapseDoublings(
  lines: readonly (readonly Line[])[],
  front: readonly ReadonlySet<string>[],
  blockOf: (partId: string) => number = () => 0,
): DoubledLines {
  const relations = relationsByBar(lines);
  const closed: ClosedSpan[] = [];
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
    const { span, keys } = spanOf(ended, front[ended.from] ?? new Set(), isBass);
    closed.push({ span, keys: [span.host, ...keys.filter((key) => key !== span.host)] });
  };
  for (const [bar, inBar] of lines.entries()) {
    const next = new Map<string, OpenSpan>();
    for (const group of groupsOf(inBar, relations[bar] ?? [], front[bar] ?? new Set(), blockOf)) {
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
  const taken = awayBy(closed, lines.length);
  const outer = lines.map((inBar, bar) => outerLines(inBar, ({ key }) => taken[bar]?.has(key) === true));
  const spans = closed.flatMap((one) => {
    const { from, to, host } = one.span;
    const inBars = lines.slice(from, to + 1);
    return withOuter(one, {
      isOuter: (key) => outer.slice(from, to + 1).some((keys) => keys.has(key)),
      keepsTime: (key) => {
        const together = inBars.flatMap((inBar) => {
          const own = inBar.find((line) => line.key === host);
          const notes = inBar.find((line) => line.key === key)?.notes ?? [];
          return notes.map((note) => note.to <= ((own && twinOf(note, own)?.to) ?? 0));
        });
        return together.filter(Boolean).length >= IN_TIME * together.length;
      },
    });
  });
  const away = awayBy(spans, lines.length);
  const kept = lines.map((inBar, bar) => {
    const hosts = away[bar];
    if (hosts === undefined || hosts.size === 0) return inBar;
    return inBar
      .filter((line) => !hosts.has(line.key))
      .map((line) => {
        const doublers = inBar.flatMap((other): Doubler[] => {
          const span = hosts.get(other.key);
          if (span?.host !== line.key) return [];
          const isWritten = span.members.some((member) => member.isWritten === true && member.partId === other.partId);
          return [{ line: other, isWritten }];
        });
        return doublers.length === 0 ? line : joined(line, doublers);
      });
  });
  return { lines: kept, spans: spans.map(({ span }) => span).sort((a, b) => a.from - b.from) };
}

/** Spans by bar index, then by the key of their written line. */
export function spansByHost(spans: readonly DoublingSpan[], count: number): Map<string, DoublingSpan>[] {
  const active = Array.from({ length: count }, () => new Map<string, DoublingSpan>());
  for (const span of spans) for (let bar = span.from; bar <= span.to; bar++) active[bar]?.set(span.host, span);
  return active;
}
