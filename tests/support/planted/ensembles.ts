/**
 * Clean arrangements of our own invention: a tune in front of four parts in smooth harmony and a deeper or higher one that
 * doubles, in several keys, meters and ensembles. The soloist begins alone, the answer brings the accompaniment, the doubling
 * part waits for the second half, groups rest in turn, the background stays under the tune and one or two grades softer, and
 * all end together: what an orchestration teacher would ask for (common practice, no source).
 */
import type { Meter } from '../../../src/model/music/timeline.ts';
import type { Line, LineNote, Piece } from './piece.ts';
import { barQuarters } from './piece.ts';
import type { Phrase } from './phrases.ts';
import { FOUR_A, FOUR_B, SIX_A, SIX_B, THREE_A, THREE_B } from './phrases.ts';
import type { Compass, PlannedChord, TuneStep, Voicing } from './voice-leading.ts';
import { plannedChord, smoothest } from './voice-leading.ts';

const MAJOR = [0, 2, 4, 5, 7, 9, 11];
const MINOR = [0, 2, 3, 5, 7, 8, 10];

export interface Ensemble {
  readonly name: string;
  readonly meter: Meter;
  readonly tempo: number;
  readonly fifths: number;
  readonly minor: boolean;
  /** Key of the tune's tonic. */
  readonly tuneTonic: number;
  readonly phrases: readonly [Phrase, Phrase];
  readonly solo: Omit<Line, 'notes'>;
  /** Left hand of the soloist: broken chords on the voices of the accompaniment. */
  readonly leftHand: boolean;
  readonly soloVelocity: number;
  /** Soprano, alto, tenor, bass of the accompaniment. */
  readonly voices: readonly (Omit<Line, 'notes'> & { readonly compass: Compass })[];
  readonly velocity: number;
  /** What doubles in the second half: the bass an octave lower, the tune an octave higher, or all voices. */
  readonly doubling: Omit<Line, 'notes'> & { readonly doubles: 'bass' | 'tune' | 'voices'; readonly velocity: number };
}

const line = (name: string, program: number, players = 1): Omit<Line, 'notes'> => ({ name, program, players });

export const ENSEMBLES: readonly Ensemble[] = [
  {
    name: 'Oboe and strings',
    meter: { numerator: 4, denominator: 4 },
    tempo: 72,
    fifths: 2,
    minor: false,
    tuneTonic: 74,
    phrases: [FOUR_A, FOUR_B],
    solo: line('Oboe', 68),
    leftHand: false,
    soloVelocity: 104,
    voices: [
      { ...line('Violin I', 40, 8), compass: [62, 79] },
      { ...line('Violin II', 40, 6), compass: [57, 74] },
      { ...line('Viola', 41, 4), compass: [50, 67] },
      { ...line('Violoncello', 42, 4), compass: [40, 57] },
    ],
    velocity: 46,
    doubling: { ...line('Double Bass', 43, 2), doubles: 'bass', velocity: 46 },
  },
  {
    name: 'Piano and winds',
    meter: { numerator: 3, denominator: 4 },
    tempo: 84,
    fifths: -2,
    minor: false,
    tuneTonic: 70,
    phrases: [THREE_A, THREE_B],
    solo: line('Piano', 0),
    leftHand: true,
    soloVelocity: 96,
    voices: [
      { ...line('Oboe', 68), compass: [60, 76] },
      { ...line('Clarinet in Bb', 71), compass: [55, 70] },
      { ...line('Horn in F', 60), compass: [48, 65] },
      { ...line('Bassoon', 70), compass: [41, 55] },
    ],
    velocity: 48,
    doubling: { ...line('Flute', 73), doubles: 'tune', velocity: 44 },
  },
  {
    name: 'Cornet and brass',
    meter: { numerator: 4, denominator: 4 },
    tempo: 66,
    fifths: -1,
    minor: false,
    tuneTonic: 65,
    phrases: [FOUR_A, FOUR_B],
    solo: line('Cornet 1', 56),
    leftHand: false,
    soloVelocity: 104,
    voices: [
      { ...line('Cornet 2', 56), compass: [55, 70] },
      { ...line('Flugelhorn', 56), compass: [54, 66] },
      { ...line('Horn in F', 60), compass: [48, 62] },
      { ...line('Euphonium', 58), compass: [41, 55] },
    ],
    velocity: 50,
    doubling: { ...line('Tuba', 58), doubles: 'bass', velocity: 44 },
  },
  {
    name: 'Choir and organ',
    meter: { numerator: 6, denominator: 8 },
    tempo: 75,
    fifths: -2,
    minor: true,
    tuneTonic: 67,
    phrases: [SIX_A, SIX_B],
    solo: line('Soprano', 52, 8),
    leftHand: false,
    soloVelocity: 100,
    voices: [
      { ...line('Alto', 52, 8), compass: [55, 69] },
      { ...line('Tenor', 52, 8), compass: [50, 64] },
      { ...line('Baritone', 52, 4), compass: [46, 60] },
      { ...line('Bass', 52, 4), compass: [41, 55] },
    ],
    velocity: 50,
    doubling: { ...line('Organ', 19), doubles: 'voices', velocity: 32 },
  },
];

/** Bars in which each voice of the accompaniment plays, within forty bars; the last row is the doubling part. */
const UPPER: readonly (readonly [number, number])[] = [
  [5, 14],
  [17, 30],
  [33, 40],
];
const PLAN: readonly (readonly (readonly [number, number])[])[] = [
  UPPER,
  UPPER,
  UPPER,
  // The bass begins under the soloist, so that not everybody comes in at once.
  [
    [3, 22],
    [25, 40],
  ],
  [
    [21, 24],
    [29, 40],
  ],
];
/** The same without the doubling part. */
export const VOICE_BARS = PLAN.slice(0, 4);
const FORM: readonly (0 | 1)[] = [0, 0, 1, 0, 0];
const PHRASE_BARS = 8;

/** Another way through the piece than the usual one. */
export interface Layout {
  readonly form?: readonly (0 | 1)[];
  readonly plan?: typeof PLAN;
}

/** The chord of a bar of the usual form. */
export function chordOfBar({ phrases, minor }: Ensemble, bar: number): PlannedChord {
  const phrase = FORM[Math.floor((bar - 1) / PHRASE_BARS)] ?? 0;
  return plannedChord(phrases[phrase][(bar - 1) % PHRASE_BARS]?.[0] ?? 'I', minor);
}

function tuneOf(ensemble: Ensemble, form: readonly (0 | 1)[]): readonly LineNote[] {
  const scale = ensemble.minor ? MINOR : MAJOR;
  const notes: LineNote[] = [];
  form.forEach((which, phrase) => {
    ensemble.phrases[which].forEach(([, bar], index) => {
      let start = (phrase * PHRASE_BARS + index) * barQuarters(ensemble);
      for (const word of bar.split(' ')) {
        const [pitch = 'r', size = '1'] = word.split(':');
        const length = Number(size);
        if (pitch !== 'r') {
          const degree = Number(pitch.replaceAll(/[^0-9]/g, '')) - 1;
          const semitones = (scale[degree % 7] ?? 0) + 12 * Math.floor(degree / 7);
          const midi =
            ensemble.tuneTonic + semitones + (pitch.startsWith('#') ? 1 : 0) - (pitch.endsWith(',') ? 12 : 0);
          // The first of a bar is leaned on, as a player does.
          const velocity = ensemble.soloVelocity + (index % 2 === 0 ? 2 : -2);
          notes.push({ start, length, midi, velocity });
        }
        start += length;
      }
    });
  });
  return notes;
}

function tuneSteps(tune: readonly LineNote[], barCount: number, length: number): readonly TuneStep[] {
  return Array.from({ length: barCount }, (_, bar) => ({
    before: tune.findLast(({ start }) => start < bar * length - 1e-6)?.midi,
    after: tune.find(({ start }) => start >= bar * length - 1e-6)?.midi,
  }));
}

function plays(plan: typeof PLAN, row: number, bar: number): boolean {
  return (plan[row] ?? []).some(([from, to]) => bar >= from && bar <= to);
}

/** Lengths of the chords of a bar: held in the odd phrases, in two strokes in the even ones. */
function strokes(ensemble: Ensemble, bar: number, isLast: boolean, closing: number): readonly number[] {
  const whole = barQuarters(ensemble);
  if (isLast) return [closing];
  const phrase = Math.floor((bar - 1) / PHRASE_BARS);
  if (phrase % 2 === 0) return [whole];
  return ensemble.meter.numerator === 3 ? [2, 1] : [whole / 2, whole / 2];
}

function leftHandOf(ensemble: Ensemble, settings: readonly Voicing[], closing: number): readonly LineNote[] {
  const whole = barQuarters(ensemble);
  const velocity = ensemble.soloVelocity - 24;
  return settings.flatMap(([, alto, tenor, bass], index): LineNote[] => {
    const start = index * whole;
    if (index === settings.length - 1) return [{ start, length: closing, midi: bass - 12, velocity }];
    const after = [tenor, alto].map((midi) => ({ start: start + 1, length: 1, midi, velocity: velocity - 6 }));
    return [{ start, length: 1, midi: bass - 12, velocity }, ...after];
  });
}

/** The arrangement as it should be. */
export function cleanPiece(ensemble: Ensemble, { form = FORM, plan = PLAN }: Layout = {}): Piece {
  const bars = form.length * PHRASE_BARS;
  const whole = barQuarters(ensemble);
  const tune = tuneOf(ensemble, form);
  const chords = form.flatMap((which) => ensemble.phrases[which].map(([chord]) => plannedChord(chord, ensemble.minor)));
  const ceilings = Array.from({ length: bars }, (_, bar) => {
    const inBar = tune.filter(({ start, length }) => start < (bar + 1) * whole && start + length > bar * whole);
    return Math.min(127, ...inBar.map(({ midi }) => midi - 1));
  });
  const compasses = ensemble.voices.map(({ compass }) => compass);
  const settings = smoothest(chords, ensemble.tuneTonic, compasses, ceilings, tuneSteps(tune, bars, whole));
  const closing = tune.at(-1)?.length ?? whole;
  const voiceNotes = (voice: number, row: number, velocity: number): LineNote[] =>
    settings.flatMap((setting, index): LineNote[] => {
      if (!plays(plan, row, index + 1)) return [];
      let start = index * whole;
      return strokes(ensemble, index + 1, index === bars - 1, closing).map((length) => {
        const note = { start, length, midi: setting[voice] ?? 60, velocity };
        start += length;
        return note;
      });
    });
  const { doubling } = ensemble;
  const doubled = (): LineNote[] => {
    if (doubling.doubles === 'bass') {
      return voiceNotes(3, 4, doubling.velocity).map((note) => ({ ...note, midi: note.midi - 12 }));
    }
    if (doubling.doubles === 'tune') {
      return tune
        .filter(({ start }) => plays(plan, 4, Math.floor(start / whole) + 1))
        .map((note) => ({ ...note, midi: note.midi + 12, velocity: doubling.velocity }));
    }
    return [0, 1, 2, 3]
      .flatMap((voice) => voiceNotes(voice, 4, doubling.velocity))
      .sort((a, b) => a.start - b.start || a.midi - b.midi);
  };
  const solo = ensemble.leftHand ? [...tune, ...leftHandOf(ensemble, settings, closing)] : tune;
  return {
    name: ensemble.name,
    meter: ensemble.meter,
    tempo: ensemble.tempo,
    fifths: ensemble.fifths,
    minor: ensemble.minor,
    bars,
    foreground: ensemble.solo.name,
    lines: [
      { ...ensemble.solo, notes: [...solo].sort((a, b) => a.start - b.start || a.midi - b.midi) },
      ...ensemble.voices.map(({ name, program, players }, voice) => ({
        name,
        program,
        players,
        notes: voiceNotes(voice, voice, ensemble.velocity),
      })),
      { name: doubling.name, program: doubling.program, players: doubling.players, notes: doubled() },
    ],
  };
}
