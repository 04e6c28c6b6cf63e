/** What each step decided for one note, in the order of the flow: rows of step and decision. */
import type { Part, Stage } from '../../../src/model/music/arrangement.ts';
import type { StageReadings } from '../../../src/model/readings/readings.ts';
import { classAt, className, pitchName } from '../../../src/model/music/pitch.ts';
import { counted } from '../../../src/model/words/plain-words.ts';
import { barAndBeat, secondAt } from '../../../src/model/music/timeline.ts';
import type { WrittenNote, WrittenStage } from '../../../src/model/music/written.ts';
import { DIVISIONS_PER_QUARTER } from '../../../src/model/music/written.ts';
import { chordAt } from '../../../src/analyse/harmony/chord-at.ts';
import { keyAtBar } from '../../../src/notate/keys/key.ts';
import type { Heard } from './listening.ts';
import type { ChordOptions } from './other-chords.ts';
import { placeOptions } from './other-places.ts';
import { shownWhere } from './shown-where.ts';

export type Row = readonly [step: string, decision: string];

export interface ReadStage {
  readonly stage: Stage;
  readonly written: WrittenStage;
  readonly readings: StageReadings;
  readonly heard: Heard;
  /** What the search for chords says of a place. */
  readonly chordsAt: (start: number) => ChordOptions | undefined;
  /** The bar that is asked about, in divisions from the start of bar 1. */
  readonly from: number;
  readonly to: number;
}

/** Candidates beside the chosen one that are told. */
const MOST_TOLD = 4;
const NO_SEARCH = 'no search was asked';

function quartersText(divisions: number): string {
  return `${String(Math.round((1000 * divisions) / DIVISIONS_PER_QUARTER) / 1000)} q`;
}

function nats(cost: number): string {
  return cost.toFixed(1);
}

function share(part: number): string {
  return `${(100 * part).toFixed(part > 0.99 || part < 0.01 ? 2 : 0)} %`;
}

function placeText({ stage }: ReadStage, divisions: number): string {
  const { bar, beat } = barAndBeat(stage.timeline.bars, divisions / DIVISIONS_PER_QUARTER);
  return `bar ${String(bar)} beat ${String(beat)}`;
}

function keyText({ tonic, mode }: { readonly tonic: Parameters<typeof className>[0]; readonly mode: string }): string {
  return `${className(tonic)} ${mode}`;
}

function playedRows({ stage }: ReadStage, part: Part, note: WrittenNote): Row[] {
  const played = part.notes[note.played];
  if (played === undefined) return [];
  const { bar, beat } = barAndBeat(stage.timeline.bars, played.startQuarters);
  const ms = Math.round(1000 * (played.endSecond - played.startSecond));
  const rings = Math.round(1000 * (played.soundingEndSecond - played.endSecond));
  const track = part.tracks[played.trackIndex];
  const articulation = track?.articulation ? `, “${track.articulation}”` : '';
  return [
    [
      'played',
      `key ${String(played.midi)} at bar ${String(bar)} beat ${beat.toFixed(3)} (${played.startSecond.toFixed(3)} s), held ${String(ms)} ms (${(played.endQuarters - played.startQuarters).toFixed(3)} q)${rings > 0 ? `, rings on ${String(rings)} ms` : ''}, velocity ${String(played.velocity)}; track “${track?.name ?? ''}”${articulation}, late by ${String(Math.round(part.latenessMs.median))} ms in the median`,
    ],
  ];
}

function placeRow(read: ReadStage, part: Part, note: WrittenNote): Row {
  const { written, heard } = read;
  if (!written.onGrid) return ['place', `${placeText(read, note.start)}: free time, kept where it was played`];
  const question = heard.onsets.get(part.id);
  const options = question === undefined ? undefined : placeOptions(question, note.played);
  if (options === undefined) return ['place', `${placeText(read, note.start)}; ${NO_SEARCH}`];
  const [chosen, ...others] = options;
  const told = others
    .slice(0, MOST_TOLD)
    .map(
      ({ position, subdivision, offMs, lostBy }) =>
        `${placeText(read, position)} (${subdivision}, ${offMs.toFixed(0)} ms off) +${nats(lostBy)}`,
    );
  const best = `${placeText(read, note.start)}, among ${chosen?.subdivision ?? ''}, ${(chosen?.offMs ?? 0).toFixed(0)} ms off`;
  return ['place', `${best}; next: ${told.length === 0 ? 'no other place is near' : told.join('; ')}`];
}

function valueRow({ stage, heard }: ReadStage, part: Part, note: WrittenNote): Row {
  const question = heard.valueOf(part.id, note.played);
  const own = quartersText(note.length);
  if (question === undefined) return ['value', `${own}; ${NO_SEARCH}: rung to the next note, or in free time`];
  const { sounded, chances } = question;
  const ranked = sounded.ways
    .map((way, index) => ({ way, chance: chances[index] ?? 0 }))
    .sort((a, b) => b.chance - a.chance);
  const told = ranked.slice(0, MOST_TOLD + 1).map(({ way, chance }) => {
    const kind = way.follows ? 'to the next note' : 'then a rest';
    return `${quartersText(way.end - sounded.onset)} ${kind}: chance ${share(chance)}, cost to read ${nats(way.cost)}`;
  });
  const end = secondAt(stage.timeline, (note.start + note.length) / DIVISIONS_PER_QUARTER);
  const start = secondAt(stage.timeline, note.start / DIVISIONS_PER_QUARTER);
  const played = part.notes[note.played];
  const held = played === undefined ? 0 : (played.endSecond - played.startSecond) / Math.max(1e-6, end - start);
  const changed =
    ranked[0] !== undefined && ranked[0].way.end - sounded.onset !== note.length ? ' (changed after the search)' : '';
  return ['value', `${own}${changed}, held ${share(held)} of it; ${told.join('; ')}`];
}

function ornamentRow(note: WrittenNote): Row {
  if (note.ornament === undefined) return ['ornament', 'none'];
  const { graces, covers, ...signs } = note.ornament;
  const texts = [
    ...(graces.length > 0 ? [`small notes ${graces.map(({ pitch }) => pitchName(pitch)).join(' ')}`] : []),
    ...Object.entries(signs).map(([name, sign]) => `${name} ${sign}`),
    ...(covers.length > 0 ? [`stands for ${counted(covers.length, 'more note')} of the playing`] : []),
  ];
  return ['ornament', texts.join('; ')];
}

function spellingRow({ heard }: ReadStage, part: Part, note: WrittenNote): Row {
  const own = pitchName(note.pitch);
  const question = heard.spelling();
  if (part.unpitched || question === undefined) return ['spelling', `${own}; without pitch`];
  const votes = (heard.votesFor(note.start, note.midi) ?? [])
    .map((count, letter) => ({ letter: 'ABCDEFG'.charAt(letter), count }))
    .filter(({ count }) => count > 0)
    .sort((a, b) => b.count - a.count)
    .map(({ letter, count }) => `${letter} ${String(count)}`);
  const byTonics = className(classAt(question.byTonics.placeOf(note.start, note.midi)));
  const spelled = className(classAt(question.spelled.placeOf(note.start, note.midi)));
  const then =
    byTonics === spelled ? 'chord and scale agree' : `${byTonics} became ${spelled} by chord, scale or where it goes`;
  return ['spelling', `${own}; votes of the tonics around: ${votes.join(', ')}; ${then}`];
}

function harmonyRows(read: ReadStage, note: WrittenNote): Row[] {
  const { stage, written, chordsAt } = read;
  const at = Math.max(note.start, read.from);
  const { bar } = barAndBeat(stage.timeline.bars, at / DIVISIONS_PER_QUARTER);
  const key = keyAtBar(written.keys, bar);
  const rival = key?.rival === undefined ? '' : `; its rival: ${keyText(key.rival)}`;
  const keyRow: Row = [
    'key',
    key === undefined ? 'none' : `${keyText(key)}, ${key.by}, confidence ${key.confidence.toFixed(2)}${rival}`,
  ];
  const chord = chordAt(written.chords, at / DIVISIONS_PER_QUARTER);
  const options = chordsAt(at);
  const printed =
    chord === undefined
      ? 'no symbol'
      : `${chord.symbol}${chord.roman === '' ? '' : ` (${chord.roman}${chord.key === undefined ? '' : ` in ${keyText(chord.key)}`})`}, explains ${share(chord.coverage)}`;
  if (options === undefined) return [keyRow, ['chord', `${printed}; ${NO_SEARCH}`]];
  const [found, ...others] = options.options;
  const told = others.slice(0, MOST_TOLD).map(({ symbol, lostBy }) => `${symbol} +${nats(lostBy)}`);
  const span = `${placeText(read, options.start)} to ${placeText(read, options.end)}`;
  return [
    keyRow,
    ['chord', `${printed}; the search has ${found?.symbol ?? ''} from ${span}; next: ${told.join('; ')}`],
  ];
}

function frontRows({ stage, readings, from }: ReadStage, part: Part, note: WrittenNote): Row[] {
  const quarters = Math.max(note.start, from) / DIVISIONS_PER_QUARTER;
  const { bar } = barAndBeat(stage.timeline.bars, quarters);
  const nameOf = (id: string | undefined): string => stage.parts.find((own) => own.id === id)?.name ?? 'nobody';
  const front = stage.foreground.find(({ from, to }) => from <= bar && bar <= to);
  const shares = front?.shared.some(({ partId, from, to }) => partId === part.id && from <= bar && bar <= to) === true;
  const leader =
    front === undefined
      ? 'nobody'
      : `${nameOf(front.partId)} from bar ${String(front.from)} to ${String(front.to)}, certainty ${front.certainty.toFixed(2)}${front.rivalId === undefined ? '' : `, else ${nameOf(front.rivalId)}`}${front.weak ? ', weak' : ''}${shares ? '; this part shares the tune' : ''}`;
  const beat = readings.beats.findLast(({ startQuarters }) => startQuarters <= quarters + 1e-6);
  const own = beat?.partsDb[part.id];
  const db = (value: number | undefined): string => (value === undefined ? '-' : `${value.toFixed(1)} dB`);
  return [
    ['leader', leader],
    [
      'level',
      `${db(own)} in this beat (estimate), by ${part.dynamics}; foreground ${db(beat?.foregroundDb)}, background ${db(beat?.backgroundDb)}, margin ${db(beat?.marginDb)}`,
    ],
  ];
}

/** The table of one note. */
export function noteRows(read: ReadStage, part: Part, note: WrittenNote): readonly Row[] {
  return [
    ...playedRows(read, part, note),
    placeRow(read, part, note),
    ['hand and voice', `staff ${String(note.staff)}, voice ${String(note.voice)}`],
    valueRow(read, part, note),
    ornamentRow(note),
    spellingRow(read, part, note),
    ...harmonyRows(read, note),
    ['reduced score', shownWhere(read.written.reduced, part, note)],
    ...frontRows(read, part, note),
  ];
}

/** True where a note begins in the bar, or sounds on from an earlier one. */
export function isInBar({ from, to }: Pick<ReadStage, 'from' | 'to'>, { start, length }: WrittenNote): boolean {
  return start < to && start + length > from;
}
