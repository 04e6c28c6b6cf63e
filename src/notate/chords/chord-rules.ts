/**
 * What is usual in each style, as the search for chords weighs it. Textbook harmony was set on human analyses (see DEVELOPERS); the rest is common
 * practice without a source (lead sheets: M. Levine, The Jazz Theory Book, from memory), its figures ours, those of jazz set on the swing combo and the big band among the folders of many kinds.
 */
import type { Style } from '../../model/music/style.ts';
import type { ChordCosts } from './chord-priors.ts';
import { TONAL_MAJOR, TONAL_MINOR, costsOf } from './chord-priors.ts';
import { COMMON_TEMPLATES, TEMPLATES } from './chord-templates.ts';
import type { Mode } from '../keys/key-profiles.ts';

export interface ChordRules {
  /** How many of the templates are looked for, from the first. */
  readonly count: number;
  /** Cost of each in a key on C. */
  readonly inKey: Readonly<Record<Mode, Float64Array>>;
  /** Cost of a quality wherever it stands, where it differs from that of the template. */
  readonly byQuality: Readonly<Record<string, number>>;
  /** What an absent tone costs: root, third or what is in its place, fifth, seventh. */
  readonly absent: readonly [root: number, third: number, fifth: number, seventh: number];
  /** What a root in the bass speaks for a chord. */
  readonly rootInBass: number;
  /** A change of chord at the bar line, in mid-bar, on a beat, on half a beat, on less. */
  readonly change: readonly number[];
  /** How much of a foreign tone counts, by semitones above the root of a chord with a seventh or sixth: ninths and thirteenths colour it. */
  readonly colour: readonly number[];
  /** The bass player gives the ground of each half bar with its first note, and walks from there. */
  readonly walking: boolean;
}

const PLAIN = Array.from({ length: 12 }, () => 1);

const TEXTBOOK: ChordRules = {
  count: COMMON_TEMPLATES,
  inKey: { major: costsOf(TONAL_MAJOR, COMMON_TEMPLATES), minor: costsOf(TONAL_MINOR, COMMON_TEMPLATES) },
  byQuality: {},
  absent: [0.55, 0.55, 0.38, 0.38],
  rootInBass: 0.45,
  change: [1.6, 1.5, 1.85, 1.9, 3.4],
  colour: PLAIN,
  walking: false,
};

/** Modes beside the two: lowered sevenths, sixths and thirds of the scale bear plain chords, the fifth a minor one. */
const MODAL_MAJOR: ChordCosts = {
  ...TONAL_MAJOR,
  major: { ...TONAL_MAJOR['major'], 10: 0.3, 8: 0.5, 3: 0.5, 2: 0.45 },
  minor: { ...TONAL_MAJOR['minor'], 7: 0.45, 5: 0.5 },
  'suspended-fourth': { 0: 0.35, 7: 0.35, 2: 0.5, 5: 0.5, 9: 0.5 },
};
const MODAL_MINOR: ChordCosts = {
  ...TONAL_MINOR,
  major: { ...TONAL_MINOR['major'], 10: 0.2, 3: 0.25, 8: 0.2, 5: 0.45, 1: 0.4 },
  minor: { ...TONAL_MINOR['minor'], 7: 0.3, 2: 0.6 },
  'suspended-fourth': { 0: 0.35, 7: 0.35, 10: 0.5, 5: 0.5 },
};

const MODAL: ChordRules = {
  ...TEXTBOOK,
  inKey: { major: costsOf(MODAL_MAJOR, COMMON_TEMPLATES), minor: costsOf(MODAL_MINOR, COMMON_TEMPLATES) },
};

const ALL = TEMPLATES.length;

/** Songs: modal as well, sevenths at rest, sixths and suspended sevenths as lead sheets have them. */
const SONG_MAJOR: ChordCosts = {
  ...MODAL_MAJOR,
  'major-seventh': { 0: 0.3, 5: 0.25, 10: 0.5 },
  'minor-seventh': { 2: 0.15, 9: 0.2, 4: 0.4, 7: 0.5 },
  'major-sixth': { 0: 0.6, 5: 0.6 },
  'suspended-seventh': { 7: 0.35 },
};
const SONG_MINOR: ChordCosts = {
  ...MODAL_MINOR,
  'minor-seventh': { 0: 0.3, 5: 0.3, 7: 0.4 },
  'major-seventh': { 8: 0.35, 3: 0.35 },
  'minor-sixth': { 0: 0.7, 5: 0.7 },
  'suspended-seventh': { 7: 0.45, 10: 0.45 },
};

const SONG: ChordRules = {
  ...TEXTBOOK,
  count: ALL,
  inKey: { major: costsOf(SONG_MAJOR, ALL), minor: costsOf(SONG_MINOR, ALL) },
  byQuality: { 'minor-seventh': 0.35, 'major-seventh': 0.35 },
};

const JAZZ_FOREIGN = 0.9;

const JAZZ_MAJOR: ChordCosts = {
  major: { 0: 0.25, 5: 0.3, 7: 0.35 },
  minor: { 2: 0.4, 9: 0.4, 4: 0.5 },
  'major-sixth': { 0: 0, 5: 0.15, 7: 0.5 },
  'major-seventh': { 0: 0.05, 5: 0.1, 3: 0.5, 8: 0.5, 10: 0.5, 1: 0.5 },
  'dominant-seventh': {
    7: 0,
    2: 0.15,
    9: 0.15,
    4: 0.25,
    0: 0.25,
    5: 0.3,
    11: 0.35,
    10: 0.35,
    8: 0.4,
    1: 0.35,
    3: 0.45,
    6: 0.5,
  },
  'minor-seventh': { 2: 0, 9: 0.1, 4: 0.15, 7: 0.25, 5: 0.35, 0: 0.4, 11: 0.45, 6: 0.5 },
  'half-diminished': { 11: 0.3, 4: 0.3, 6: 0.35, 9: 0.4, 2: 0.4 },
  'diminished-seventh': { 1: 0.3, 3: 0.3, 6: 0.3, 8: 0.35, 11: 0.4, 0: 0.45 },
  'minor-sixth': { 5: 0.35, 0: 0.45, 2: 0.5 },
  'suspended-seventh': { 7: 0.25, 2: 0.35, 9: 0.35 },
};

const JAZZ_MINOR: ChordCosts = {
  major: { 3: 0.4, 8: 0.4, 7: 0.4 },
  minor: { 0: 0.2, 5: 0.3 },
  'minor-seventh': { 0: 0.05, 5: 0.1, 7: 0.3, 2: 0.4, 9: 0.45 },
  'minor-sixth': { 0: 0.1, 5: 0.25 },
  'minor-major-seventh': { 0: 0.3 },
  'half-diminished': { 2: 0, 9: 0.3, 0: 0.4, 7: 0.4 },
  'dominant-seventh': { 7: 0, 10: 0.2, 2: 0.25, 0: 0.25, 5: 0.3, 3: 0.3, 8: 0.25, 1: 0.4, 9: 0.4 },
  'major-seventh': { 8: 0.15, 3: 0.15, 1: 0.4 },
  'major-sixth': { 3: 0.3, 8: 0.3 },
  'diminished-seventh': { 11: 0.3, 6: 0.35, 4: 0.4 },
  'suspended-seventh': { 7: 0.35, 10: 0.35 },
};

const JAZZ: ChordRules = {
  count: ALL,
  inKey: { major: costsOf(JAZZ_MAJOR, ALL, JAZZ_FOREIGN), minor: costsOf(JAZZ_MINOR, ALL, JAZZ_FOREIGN) },
  byQuality: {
    major: 0.12,
    minor: 0.18,
    'dominant-seventh': 0,
    'minor-seventh': 0.03,
    'major-seventh': 0.06,
    'major-sixth': 0.08,
    'minor-sixth': 0.2,
    'half-diminished': 0.15,
    'diminished-seventh': 0.25,
    'suspended-fourth': 0.6,
    'suspended-seventh': 0.35,
    'minor-major-seventh': 0.4,
    diminished: 0.6,
    augmented: 0.6,
  },
  absent: [0.5, 0.5, 0.1, 0.3],
  rootInBass: 0.8,
  change: [1, 2.5, 3.2, 4.5, 6],
  colour: [1, 0.8, 0.35, 0.8, 1, 0.7, 0.7, 1, 0.8, 0.4, 1, 0.8],
  walking: true,
};

/** The weights for a style. */
export const CHORD_RULES: Readonly<Record<Style, ChordRules>> = {
  classical: TEXTBOOK,
  song: SONG,
  score: MODAL,
  jazz: JAZZ,
};
