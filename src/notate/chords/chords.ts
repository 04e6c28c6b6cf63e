/** Chord runs as they are named: root, quality and bass as they are spelled, the symbol, the Roman numeral in the local key. */
import type { SpelledClass } from '../../model/music/pitch.ts';
import { classAt, className, fifthsOf } from '../../model/music/pitch.ts';
import type { Style } from '../../model/music/style.ts';
import type { ChordSpan, KeySpan } from '../../model/music/written.ts';
import type { Frame } from './chord-frames.ts';
import { MOST_CLASS_WEIGHT } from './chord-frames.ts';
import type { ChordRun } from './chord-run.ts';
import { bassOf } from './chord-runs.ts';
import type { Template } from './chord-templates.ts';
import { TEMPLATES } from './chord-templates.ts';
import type { SoundingNote } from '../keys/key-path.ts';
import { finalOf, keyAtBar } from '../keys/key.ts';
import { chromaticPlace } from '../keys/line-of-fifths.ts';
import type { LocalKey } from './roman.ts';
import { degreeNumeral, romanNumeral } from './roman.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

/** Below this share of explained sound no label is printed. */
export const PRINTED_COVERAGE = 0.6;

export interface SpelledSound extends SoundingNote {
  /** Place on the line of fifths. */
  readonly place: number;
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
      const weight = Math.min(MOST_CLASS_WEIGHT, frame.raw[pitchClass] ?? 0) * frame.length;
      if (weight === 0) continue;
      if (template.members[pitchClass] === 1) {
        inside += weight;
        heard.add(pitchClass);
      } else outside += weight;
    }
  }
  return { coverage: inside + outside === 0 ? 0 : inside / (inside + outside), tones: heard.size };
}

/** How long each pitch class of a stretch sounds at each place on the line of fifths. */
function placesIn(
  notes: readonly SpelledSound[],
  start: number,
  end: number,
  from: number,
): Map<number, Map<number, number>> {
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
  return weights;
}

/**
 * The root's place: the one from which most of the sounding chord tones are spelled as they stand on the page. Where none sounds, the chromatic
 * scale of the key decides.
 */
function placeOfRoot(
  { root, quality }: Template,
  sounding: ReadonlyMap<number, ReadonlyMap<number, number>>,
  tonic: number,
): number {
  const usual = chromaticPlace(root, tonic);
  // A root that sounds is named as it is written; that of a diminished seventh is whichever leads on.
  const written =
    quality.name === 'diminished-seventh'
      ? undefined
      : [...(sounding.get(root) ?? [])].sort((a, b) => b[1] - a[1])[0]?.[0];
  if (written !== undefined && Math.abs(written - usual) <= 12) return written;
  let best = usual;
  let most = 0;
  for (const place of [usual, usual + 12, usual - 12]) {
    const agreeing = quality.intervals.reduce(
      (sum, interval, index) =>
        sum + (sounding.get((root + interval) % 12)?.get(place + (quality.fifths[index] ?? 0)) ?? 0),
      0,
    );
    if (agreeing > most) {
      best = place;
      most = agreeing;
    }
  }
  return best;
}

/** A key of the search as it is spelled beside the key of the section: with the nearest signature that exists. */
export function localKeyOf(key: number, section: KeySpan | undefined): LocalKey {
  const mode = key < 12 ? 'major' : 'minor';
  const shift = mode === 'minor' ? 3 : 0;
  const signature = section === undefined ? 0 : fifthsOf(section.tonic) - (section.mode === 'minor' ? 3 : 0);
  const place = chromaticPlace(key % 12, signature + shift);
  const own = place - shift;
  return { tonic: classAt(own > 7 ? place - 12 : own < -7 ? place + 12 : place), mode };
}

/**
 * A local key that is heard where the section is told as being in a mode: its signature's major and minor key, and the plain key of its final, are
 * then the mode itself, from whose final the numerals count.
 */
function keyOnFinal(key: LocalKey, section: KeySpan | undefined): LocalKey {
  const final = section === undefined ? undefined : finalOf(section);
  if (section === undefined || final === undefined) return key;
  const signature = ({ tonic, mode }: Pick<LocalKey, 'tonic' | 'mode'>): number =>
    fifthsOf(tonic) - (mode === 'minor' ? 3 : 0);
  const isFinal = fifthsOf(key.tonic) === fifthsOf(final.tonic) && key.mode === final.mode;
  return isFinal || signature(key) === signature(section) ? final : key;
}

/** Place of the bass: as the chord spells it where it is one of its tones, else as it stands on the page. */
function placeOfBass(
  { root, quality }: Template,
  rootPlace: number,
  bass: number,
  sounding: ReadonlyMap<number, ReadonlyMap<number, number>>,
  tonic: number,
): number {
  const tone = quality.intervals.indexOf((((bass - root) % 12) + 12) % 12);
  if (tone >= 0) return rootPlace + (quality.fifths[tone] ?? 0);
  const heard = [...(sounding.get(bass) ?? [])].sort((a, b) => b[1] - a[1])[0];
  return heard?.[0] ?? chromaticPlace(bass, tonic);
}

/** The four tones of a seventh chord over its third, as a lead sheet writes them: Em7 over G is G6, Am7♭5 over C is Cm6. */
const SIXTH_OVER_THIRD: Readonly<Record<string, { readonly name: string; readonly third: number }>> = {
  'minor-seventh': { name: 'major-sixth', third: 3 },
  'half-diminished': { name: 'minor-sixth', third: 3 },
};
const FOURTH = 5;
/** The same the other way round: F6 over its sixth is Dm7, whatever the style. */
const SEVENTH_ON_SIXTH: Readonly<Record<string, string>> = {
  'major-sixth': 'minor-seventh',
  'minor-sixth': 'half-diminished',
};
const SIXTH = 9;

/** The run as the seventh chord on its bass, where a sixth chord is named over its own sixth: common practice, no source. */
function onItsSixth(run: ChordRun): ChordRun {
  const { root, quality } = run.template;
  const [name, on] = [SEVENTH_ON_SIXTH[quality.name], (root + SIXTH) % 12];
  if (name === undefined || bassOf(run.template, run.frames) !== on) return run;
  const named = TEMPLATES.find((template) => template.root === on && template.quality.name === name);
  return named === undefined ? run : { ...run, template: named };
}

/**
 * The run as a sixth chord on its bass, where the bass stays on the third of a seventh chord; the chord over its third where the root is under it before
 * or after, or falls by a fifth to the next one. How players name it is common practice, no source.
 */
function asSixth(run: ChordRun, before: ChordRun | undefined, next: ChordRun | undefined): ChordRun {
  const { root, quality } = run.template;
  const sixth = SIXTH_OVER_THIRD[quality.name];
  if (sixth === undefined || bassOf(run.template, run.frames) !== (root + sixth.third) % 12) return run;
  const isOnRoot = (other: ChordRun | undefined): boolean =>
    other?.template.root === root &&
    [1, 2].every((tone) => other.template.quality.intervals[tone] === quality.intervals[tone]);
  if (isOnRoot(before) || isOnRoot(next)) return run;
  if (next?.template.root === (root + FOURTH) % 12) return run;
  const named = TEMPLATES.find(
    (template) => template.root === (root + sixth.third) % 12 && template.quality.name === sixth.name,
  );
  return named === undefined ? run : { ...run, template: named };
}

/** Chord spans of a stage from their runs. `notes` are all pitched notes, sorted by start. */
export function chordsOf(
  heard: readonly ChordRun[],
  notes: readonly SpelledSound[],
  keys: readonly KeySpan[],
  time: ScoreTime,
  style: Style,
): ChordSpan[] {
  const read = heard.map(onItsSixth);
  const hasSixths = style === 'song' || style === 'jazz';
  const runs = hasSixths ? read.map((run, index) => asSixth(run, read[index - 1], read[index + 1])) : read;
  const spans: ChordSpan[] = [];
  let from = 0;
  const longest = notes.reduce((most, note) => Math.max(most, note.end - note.start), 0);
  const reach = Math.min(longest, 4 * 1920);
  for (const [index, run] of runs.entries()) {
    const first = run.frames[0];
    const last = run.frames.at(-1);
    if (first === undefined || last === undefined) continue;
    const { coverage, tones } = coverageOf(run.template, run.frames);
    const end = last.start + last.length;
    while (from < notes.length && (notes[from]?.start ?? 0) < first.start - reach) from++;
    // One pitch class alone names no chord.
    if (tones < 2) continue;
    const bar = time.bars[barIndexAtDivision(time, first.start)];
    const sounding = placesIn(notes, first.start, end, from);
    const number = bar?.number ?? 1;
    const section = keyAtBar(keys, number);
    const key = keyOnFinal(localKeyOf(keyOfNumeral(run, runs[index + 1]), section), section);
    spans.push({
      start: first.start,
      length: end - first.start,
      bar: number,
      coverage,
      ...named(run, runs[index + 1], key, sounding, style !== 'classical'),
    });
  }
  return spans;
}

/**
 * The key in which a chord is named: an augmented sixth in the key to whose dominant it goes (root and bass fall by a semitone), also where the
 * search hears that key only from there.
 */
function keyOfNumeral(run: ChordRun, next: ChordRun | undefined): number {
  const { root, quality } = run.template;
  if (quality.name !== 'dominant-seventh' || next === undefined) return run.key;
  const tonic = (root + 4) % 12;
  const dominant = (root + 11) % 12;
  const fallsTo = bassOf(next.template, next.frames) === dominant && [tonic, dominant].includes(next.template.root);
  return fallsTo && next.key % 12 === tonic ? next.key : run.key;
}

/** The pitch class to which a dominant goes in a chord: its root, or the bass of a six-four chord. */
function aimOf({ template, frames, isCadential }: ChordRun): number {
  const fifth = (template.root + 7) % 12;
  const isSixFour = template.quality.intervals.length === 3 && bassOf(template, frames) === fifth;
  return isCadential === true || isSixFour ? fifth : template.root;
}

/**
 * Root and bass as a symbol names them. Nobody writes a chord on a double flat or double sharp where a plain name sounds the same; off the textbook's
 * ground nobody writes such a bass either, whatever the notes have (lead sheets: common practice, no source).
 */
function plainly(
  root: number,
  bass: number,
  isLeadSheet: boolean,
): { readonly root: SpelledClass; readonly bass: SpelledClass } {
  const isDouble = (place: number): boolean => Math.abs(classAt(place).alter) > 1;
  const isMeant = isDouble(root) || (isLeadSheet && isDouble(bass));
  const shift = !isMeant ? 0 : root > 0 || (!isDouble(root) && bass > 0) ? -12 : 12;
  const isPlain = !isDouble(root + shift) && !isDouble(bass + shift);
  return { root: classAt(isPlain ? root + shift : root), bass: classAt(isPlain ? bass + shift : bass) };
}

type Named = Omit<ChordSpan, 'start' | 'length' | 'bar' | 'coverage'>;

function named(
  run: ChordRun,
  next: ChordRun | undefined,
  key: LocalKey,
  sounding: ReadonlyMap<number, ReadonlyMap<number, number>>,
  isLeadSheet: boolean,
): Named {
  const { template, frames } = run;
  const { quality } = template;
  const tonic = fifthsOf(key.tonic);
  const rootPlace = placeOfRoot(template, sounding, tonic);
  const bassClass = bassOf(template, frames);
  const bassPlace = placeOfBass(template, rootPlace, bassClass, sounding, tonic);
  const { root, bass } = plainly(rootPlace, bassPlace, isLeadSheet);
  const symbol = className(root) + quality.suffix + (bassClass === template.root ? '' : `/${className(bass)}`);
  const tones = quality.intervals.map((interval) => (template.root + interval) % 12);
  if (run.isCadential === true) {
    const [fourth = 0, sixth = 0, ground = 0] = tones;
    const dominant = classAt(fifthsOf(root) + 1);
    const aim = degreeNumeral(template.root, key);
    return {
      symbol,
      root: dominant,
      quality: CADENTIAL,
      bass: dominant,
      roman: aim === undefined ? 'V(64)' : `V(64)/${aim}`,
      key,
      inversion: 0,
      tones: [ground, fourth, sixth],
    };
  }
  const inversion = Math.max(0, tones.indexOf(bassClass));
  const nextRoot = next === undefined ? undefined : aimOf(next);
  const roman = romanNumeral({ root: classAt(rootPlace), quality, inversion }, key, nextRoot);
  // All four tones of a diminished seventh may be its root: a lead sheet names it by the one that is the bass (common practice, no source).
  if (isLeadSheet && quality.name === 'diminished-seventh' && inversion > 0) {
    const fromBass = [...tones.slice(inversion), ...tones.slice(0, inversion)];
    const onBass = { symbol: className(bass) + quality.suffix, root: bass, bass, inversion: 0, tones: fromBass };
    return { ...onBass, quality: quality.name, roman, key };
  }
  return { symbol, root, quality: quality.name, bass, roman, key, inversion, tones };
}

/** Quality of the six-four chord over the dominant; its root is the dominant, its symbol that of the tonic over its fifth. */
export const CADENTIAL = 'cadential-six-four';

/** A symbol as it is printed, with signs for sharps and flats: `B♭m7`, `D/F♯`, `Am7♭5`. */
export function printedSymbol(symbol: string): string {
  return symbol.replaceAll('#', '♯').replaceAll(/(?<=[A-G♭])b|b(?=5)/g, '♭');
}
