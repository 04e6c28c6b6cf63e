/** Lines of a bar: what one voice of one part plays in it. Unison and octave doublings are collapsed into one line and named. */
import type { Part } from '../model/arrangement.ts';
import type { SpelledPitch } from '../model/pitch.ts';
import type { OrnamentSigns, WrittenPart } from '../model/written.ts';
import type { GridBar, ScoreTime } from './score-time.ts';
import { barIndexAtDivision } from './score-time.ts';

export interface LineNote {
  /** Offsets in the bar, in divisions. */
  readonly from: number;
  readonly to: number;
  readonly midi: number;
  readonly pitch: SpelledPitch;
  /** Began in an earlier bar; goes on in the next. */
  readonly continues: boolean;
  readonly goesOn: boolean;
  readonly partIds: readonly string[];
  readonly ornament?: OrnamentSigns;
}

export interface Line {
  /** The same from bar to bar. */
  readonly key: string;
  readonly partId: string;
  readonly label: string;
  readonly staff: number;
  readonly voice: number;
  /** Sorted by from, then midi. */
  readonly notes: readonly LineNote[];
  /** Mean pitch weighted by duration. */
  readonly centre: number;
}

function centreOf(notes: readonly LineNote[]): number {
  let sum = 0;
  let weight = 0;
  for (const note of notes) {
    sum += note.midi * (note.to - note.from);
    weight += note.to - note.from;
  }
  return weight === 0 ? 60 : sum / weight;
}

function lineOf(part: Part, staff: number, voice: number, notes: LineNote[]): Line {
  notes.sort((a, b) => a.from - b.from || a.midi - b.midi);
  const distinct = notes.filter((note, index) => {
    const before = notes[index - 1];
    return before?.from !== note.from || before.midi !== note.midi;
  });
  return {
    key: `${part.id}:${String(staff)}:${String(voice)}`,
    partId: part.id,
    label: part.abbreviation,
    staff,
    voice,
    notes: distinct,
    centre: centreOf(distinct),
  };
}

/** Lines by bar index, in order of parts, then staff and voice. Unpitched parts have none. */
export function linesByBar(parts: readonly Part[], written: readonly WrittenPart[], time: ScoreTime): Line[][] {
  const bars: Line[][] = time.bars.map(() => []);
  for (const [index, part] of parts.entries()) {
    if (part.unpitched) continue;
    const collected = new Map<number, Map<number, LineNote[]>>();
    for (const note of written[index]?.notes ?? []) {
      for (let at = barIndexAtDivision(time, note.start); at < time.bars.length; at++) {
        const bar = time.bars[at] as GridBar;
        const end = note.start + note.length;
        if (bar.start >= end) break;
        const voices = collected.get(at) ?? new Map<number, LineNote[]>();
        const voice = note.staff * 16 + note.voice;
        const notes = voices.get(voice) ?? [];
        notes.push({
          from: Math.max(0, note.start - bar.start),
          to: Math.min(bar.length, end - bar.start),
          midi: note.midi,
          pitch: note.pitch,
          continues: note.start < bar.start,
          goesOn: end > bar.start + bar.length,
          partIds: [part.id],
          ...(note.ornament === undefined ? {} : { ornament: note.ornament }),
        });
        voices.set(voice, notes);
        collected.set(at, voices);
      }
    }
    for (const [at, voices] of collected) {
      for (const [voice, notes] of [...voices.entries()].sort((a, b) => a[0] - b[0])) {
        bars[at]?.push(lineOf(part, voice >> 4, voice & 15, notes));
      }
    }
  }
  return bars;
}

/** How a doubling at this distance is marked: `8va`, `8vb`, `15ma`, `15mb`; '' at the unison. */
export function octaveMark(semitones: number): string {
  const octaves = Math.round(semitones / 12);
  if (octaves === 0) return '';
  const figure = octaves * 7;
  const count = Math.abs(figure) + 1;
  return `${String(count)}${octaves > 0 ? (count === 8 ? 'va' : 'ma') : count === 8 ? 'vb' : 'mb'}`;
}

/** Ledger lines that a pitch needs on the nearer of treble and bass staff, roughly: diatonic steps beyond the staff, halved. */
function ledgerCost(centre: number): number {
  const treble = Math.max(0, 64 - centre, centre - 77);
  const bass = Math.max(0, 43 - centre, centre - 57);
  return Math.min(treble, bass);
}

function rhythmAndClasses(line: Line): string {
  return line.notes.map((note) => `${String(note.from)},${String(note.to)},${String(note.midi % 12)}`).join(';');
}

interface Doubled {
  readonly line: Line;
  /** Others at their distance in semitones from the kept line. */
  readonly others: { readonly label: string; readonly semitones: number }[];
}

function joined(kept: Line, other: Line): Line {
  const ids = new Set([other.partId]);
  const notes = kept.notes.map((note) => {
    const shares = other.notes.some((twin) => twin.from === note.from && twin.midi % 12 === note.midi % 12);
    const partIds = shares ? [...new Set([...note.partIds, ...ids])] : note.partIds;
    return { ...note, partIds };
  });
  return { ...kept, notes };
}

/** Keeps of several doubled lines the one that stands best on a staff, then the octave most parts play, then score order. */
function keepOne(lines: readonly Line[]): Doubled {
  const first = lines[0] as Line;
  const votes = (line: Line): number => lines.filter((other) => Math.abs(other.centre - line.centre) < 1).length;
  let best = first;
  for (const line of lines) {
    const better = ledgerCost(line.centre) - ledgerCost(best.centre);
    if (better < -1 || (Math.abs(better) <= 1 && votes(line) > votes(best))) best = line;
  }
  let merged = best;
  const others: { label: string; semitones: number }[] = [];
  for (const line of lines) {
    if (line === best) continue;
    merged = joined(merged, line);
    others.push({ label: line.label, semitones: (line.notes[0]?.midi ?? 0) - (best.notes[0]?.midi ?? 0) });
  }
  return { line: merged, others };
}

/** True where every note of `small` is in `large` at one constant octave. */
function isContained(small: Line, large: Line): boolean {
  if (small.notes.length >= large.notes.length) return false;
  let shift: number | undefined;
  for (const note of small.notes) {
    const twin = large.notes.find(
      (other) => other.from === note.from && other.to >= note.to && (other.midi - note.midi) % 12 === 0,
    );
    if (twin === undefined || twin.continues !== note.continues) return false;
    if (shift !== undefined && twin.midi - note.midi !== shift) return false;
    shift = twin.midi - note.midi;
  }
  return true;
}

function doublingText({ line, others }: Doubled): string {
  const unison = others.filter((other) => octaveMark(other.semitones) === '').map((other) => other.label);
  const octaves = others
    .filter((other) => octaveMark(other.semitones) !== '')
    .map((other) => `${other.label} ${octaveMark(other.semitones)}`);
  return [line.label, ...unison, ...octaves].join(' + ');
}

export interface Collapsed {
  readonly lines: readonly Line[];
  /** e.g. `Vn 1 + Fl 8va`, from the highest line down. */
  readonly doublings: readonly string[];
}

/** Collapses lines of a bar that double one another in unison or octaves. */
export function collapseDoublings(lines: readonly Line[]): Collapsed {
  const groups = new Map<string, Line[]>();
  for (const line of lines) {
    const key = rhythmAndClasses(line);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [line]);
    else group.push(line);
  }
  let doubled: Doubled[] = [...groups.values()].map(keepOne);
  for (const small of [...doubled].sort((a, b) => a.line.notes.length - b.line.notes.length)) {
    const host = doubled.find(
      (item) => item !== small && item.line.partId !== small.line.partId && isContained(small.line, item.line),
    );
    if (host === undefined) continue;
    const first = small.line.notes[0];
    const twin = host.line.notes.find((note) => note.from === first?.from && (note.midi - first.midi) % 12 === 0);
    const shift = (first?.midi ?? 0) - (twin?.midi ?? 0);
    const others = [
      ...host.others,
      { label: small.line.label, semitones: shift },
      ...small.others.map((other) => ({ label: other.label, semitones: other.semitones + shift })),
    ];
    const grown: Doubled = { line: joined(host.line, small.line), others };
    doubled = doubled.filter((item) => item !== small).map((item) => (item === host ? grown : item));
  }
  doubled.sort((a, b) => b.line.centre - a.line.centre);
  return {
    lines: doubled.map((item) => item.line),
    doublings: doubled.filter((item) => item.others.length > 0).map(doublingText),
  };
}
