/**
 * Chords of the whole texture: every frame (half a beat) is scored against templates, and a price on each change keeps passing notes from
 * changing the chord (Viterbi). Score as B. Pardo and W. Birmingham have it ("Algorithms for chordal analysis", Computer Music Journal
 * 26(2), 2002, 27-49: tones inside minus tones outside minus tones absent), with weights measured on open analyses.
 */
import type { SpelledClass } from '../model/pitch.ts';
import { className } from '../model/pitch.ts';
import type { ChordSpan, KeySpan } from '../model/written.ts';
import type { Frame } from './chord-frames.ts';
import { fill, framesOf, templatePath } from './chord-frames.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { SoundingNote } from './key-path.ts';
import { keyAtBar } from './key.ts';
import { chromaticPlace, classAt, fifthsOf } from './line-of-fifths.ts';
import { romanNumeral } from './roman.ts';
import type { ScoreTime } from './score-time.ts';
import { barIndexAtDivision } from './score-time.ts';

/** Below this share of explained sound no label is printed. */
export const PRINTED_COVERAGE = 0.6;

export interface SpelledSound extends SoundingNote {
  /** Place on the line of fifths. */
  readonly place: number;
}

interface RawSpan {
  readonly template: Template;
  readonly frames: readonly Frame[];
}

/** Runs of one template; a silence of less than a quarter does not end a chord. */
function runsOf(frames: readonly Frame[], path: readonly number[]): RawSpan[] {
  const runs: { template: Template; state: number; frames: Frame[]; silence: Frame[] }[] = [];
  for (const [index, frame] of frames.entries()) {
    const state = path[index] ?? -1;
    const last = runs.at(-1);
    const template = TEMPLATES[state];
    if (template === undefined) {
      last?.silence.push(frame);
      continue;
    }
    const pause = last?.silence.reduce((sum, item) => sum + item.length, 0) ?? 0;
    if (last?.state === state && pause < 480) {
      last.frames.push(...last.silence, frame);
      last.silence = [];
    } else runs.push({ template, state, frames: [frame], silence: [] });
  }
  return runs;
}

function coverageOf(
  template: Template,
  frames: readonly Frame[],
): { readonly coverage: number; readonly tones: number } {
  let inside = 0;
  let outside = 0;
  const heard = new Set<number>();
  for (const frame of frames) {
    for (let pitchClass = 0; pitchClass < 12; pitchClass++) {
      const weight = (frame.weights[pitchClass] ?? 0) * frame.length;
      if (weight === 0) continue;
      if (template.members[pitchClass] === 1) {
        inside += weight;
        heard.add(pitchClass);
      } else outside += weight;
    }
  }
  return { coverage: inside + outside === 0 ? 0 : inside / (inside + outside), tones: heard.size };
}

/**
 * Bass of a span: the first chord tone in the bass, unless it soon gives way to another that then stays (a chord is named by how it is
 * struck; a walk through its tones changes nothing). A foreign tone counts only where it lies under most of the chord (a pedal).
 */
function bassOf(template: Template, frames: readonly Frame[]): number {
  const lengths = Array.from({ length: 12 }, () => 0);
  let whole = 0;
  for (const frame of frames) {
    if (frame.bass < 0) continue;
    lengths[frame.bass] = (lengths[frame.bass] ?? 0) + frame.length;
    whole += frame.length;
  }
  const longest = lengths.indexOf(Math.max(...lengths));
  const share = (pitchClass: number): number => (whole === 0 ? 0 : (lengths[pitchClass] ?? 0) / whole);
  if (share(longest) >= 0.75) return longest;
  const first = frames.find((frame) => frame.bass >= 0 && template.members[frame.bass] === 1)?.bass ?? template.root;
  return share(first) >= 0.25 || template.members[longest] !== 1 ? first : longest;
}

/** How the pitch classes of a stretch are spelled there, by sounding length. */
function spellingsIn(notes: readonly SpelledSound[], start: number, end: number, from: number): Map<number, number> {
  const weights = new Map<number, Map<number, number>>();
  for (let index = from; index < notes.length; index++) {
    const note = notes[index];
    if (note === undefined || note.start >= end) break;
    const overlap = Math.min(note.end, end) - Math.max(note.start, start);
    if (overlap <= 0) continue;
    const places = weights.get(note.midi % 12) ?? new Map<number, number>();
    places.set(note.place, (places.get(note.place) ?? 0) + overlap);
    weights.set(note.midi % 12, places);
  }
  const chosen = new Map<number, number>();
  for (const [pitchClass, places] of weights) {
    const best = [...places.entries()].sort((a, b) => b[1] - a[1])[0];
    if (best !== undefined) chosen.set(pitchClass, best[0]);
  }
  return chosen;
}

/** Third of a chord on the line of fifths above its root, to spell a root that does not sound. */
function placeOfRoot(template: Template, spellings: ReadonlyMap<number, number>, tonic: number): number {
  const root = spellings.get(template.root);
  if (root !== undefined) return root;
  const fifth = spellings.get((template.root + 7) % 12);
  if (fifth !== undefined && template.quality.intervals.includes(7)) return fifth - 1;
  return chromaticPlace(template.root, tonic);
}

/** Chord spans of a stage. `notes` are all pitched notes, sorted by start. */
export function chordsOf(notes: readonly SpelledSound[], keys: readonly KeySpan[], time: ScoreTime): ChordSpan[] {
  if (notes.length === 0 || time.bars.length === 0) return [];
  const frames = framesOf(time);
  fill(frames, notes);
  const runs = runsOf(frames, templatePath(frames, keys, time));
  const spans: ChordSpan[] = [];
  let from = 0;
  let reach = 0;
  const longest = notes.reduce((most, note) => Math.max(most, note.end - note.start), 0);
  for (const [index, run] of runs.entries()) {
    const first = run.frames[0];
    const last = run.frames.at(-1);
    if (first === undefined || last === undefined) continue;
    const { coverage, tones } = coverageOf(run.template, run.frames);
    const end = last.start + last.length;
    reach = Math.min(longest, 4 * 1920);
    while (from < notes.length && (notes[from]?.start ?? 0) < first.start - reach) from++;
    // One pitch class alone names no chord.
    if (tones < 2) continue;
    const bar = time.bars[barIndexAtDivision(time, first.start)];
    const key = keyAtBar(keys, bar?.number ?? 1);
    const tonic = key === undefined ? 0 : fifthsOf(key.tonic);
    const spellings = spellingsIn(notes, first.start, end, from);
    const root = classAt(placeOfRoot(run.template, spellings, tonic));
    const bassClass = bassOf(run.template, run.frames);
    const bass: SpelledClass =
      bassClass === run.template.root ? root : classAt(spellings.get(bassClass) ?? chromaticPlace(bassClass, tonic));
    const { quality } = run.template;
    const slash = bassClass === run.template.root ? '' : `/${className(bass)}`;
    const next = runs[index + 1];
    spans.push({
      start: first.start,
      length: end - first.start,
      bar: bar?.number ?? 1,
      symbol: className(root) + quality.suffix + slash,
      root,
      quality: quality.name,
      bass,
      roman: romanNumeral(root, quality, key, next?.template.root),
      tones: quality.intervals.map((interval) => (run.template.root + interval) % 12),
      coverage,
    });
  }
  return spans;
}

/** A symbol as it is printed, with signs for sharps and flats: `B♭m7`, `D/F♯`, `Am7♭5`. */
export function printedSymbol(symbol: string): string {
  return symbol.replaceAll('#', '♯').replaceAll(/(?<=[A-G♭])b|b(?=5)/g, '♭');
}
