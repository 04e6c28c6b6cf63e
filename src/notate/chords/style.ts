/**
 * Which style a stage is in where nobody says so: by its players, by how its bass moves, by how it cadences. Who plays what is common practice
 * without a source; the counts are ours, set on the folders for tuning.
 */
import type { Stage } from '../../model/music/arrangement.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import { inSentence, listText } from '../../model/words/plain-words.ts';
import type { Style, StyleReading } from '../../model/music/style.ts';
import { STYLE_WORDS } from '../../model/music/style.ts';
import type { SwingSpan, WrittenNotes } from '../../model/music/written.ts';
import type { ChordRun } from './chord-run.ts';
import type { VoicedNote } from './chord-texture.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { barIndexAtDivision } from '../score-time/score-time.ts';

const BASSES: ReadonlySet<string> = new Set(['double-bass', 'bass-guitar', 'synth-bass']);
const RHYTHM: ReadonlySet<string> = new Set(['bass-guitar', 'synth-bass', 'synthesizer', 'guitar', 'ukulele', 'banjo']);
const PICTURES: ReadonlySet<string> = new Set(['synthesizer', 'synth-bass', 'sound-effect']);

/** At home in dance and folk music as much as anywhere. */
const OTHERS: ReadonlySet<string> = new Set(
  'accordion,harmonium,harmonica,melodica,bagpipes,tin-whistle,low-whistle,hurdy-gurdy,cimbalom,hammered-dulcimer,guitar,guitarron,mandolin,mandola,mandocello,banjo,ukulele,bouzouki,balalaika,cavaquinho,charango,oud,sitar,koto,kora,zither,sax-soprano,sax-alto,sax-tenor,sax-baritone'.split(
    ',',
  ),
);
const DRUMS: ReadonlySet<string> = new Set(['percussion-unpitched']);
const SQUEEZED: ReadonlySet<string> = new Set(['accordion', 'cimbalom', 'hammered-dulcimer']);
const PLAYERS: Readonly<Partial<Record<EnsembleKind, string>>> = {
  chamber: 'a chamber group',
  choir: 'a choir',
  'wind-band': 'a wind band',
  'brass-band': 'a brass band',
  orchestra: 'an orchestra',
  'string-orchestra': 'a string orchestra',
  percussion: 'a percussion ensemble',
};

function nameInText({ instrumentName }: { readonly instrumentName: string }): string {
  return `the ${inSentence(instrumentName)}`;
}

/** Whether a part is a bass player's. */
export function isBassPlayer({ instrument }: { readonly instrument: string }): boolean {
  return BASSES.has(instrument);
}

/** A bar in which a bass walks: a note on every quarter, three moves out of four to another pitch. */
const LEAST_WALKED = 0.4;

/** Share of the bars with notes of bass players in which they walk in quarters. */
function walkedShare(notes: readonly VoicedNote[], basses: ReadonlySet<number>, time: ScoreTime): number {
  const byBar = new Map<number, Map<number, number>>();
  for (const note of notes) {
    if (!basses.has(note.voice)) continue;
    const index = barIndexAtDivision(time, note.start);
    const bar = byBar.get(index) ?? new Map<number, number>();
    byBar.set(index, bar.set(note.start, note.midi));
  }
  let walked = 0;
  for (const [index, bar] of byBar) {
    const cells = time.bars[index]?.cells ?? [];
    const struck = cells.map(({ start }) => bar.get(start));
    const moves = struck.filter((midi, at) => at > 0 && midi !== struck[at - 1]).length;
    if (cells.length >= 3 && !struck.includes(undefined) && moves >= 0.75 * (cells.length - 1)) walked++;
  }
  return byBar.size === 0 ? 0 : walked / byBar.size;
}

/** Fewer cadences from dominant to tonic a bar than this are no textbook harmony; as many make a song with piano an art song. */
const FEW_CADENCES = 0.15;
const MANY_CADENCES = 0.2;

/** Steps from the dominant of a key to its tonic, by bar, in a first reading of the chords. */
function cadencesABar(runs: readonly ChordRun[], time: ScoreTime): number {
  const count = runs.filter((run, index) => {
    const next = runs[index + 1];
    const { root, quality } = run.template;
    if (next === undefined || !['major', 'dominant-seventh'].includes(quality.name)) return false;
    return (root + 5) % 12 === next.template.root && next.template.root === run.key % 12;
  }).length;
  return time.bars.length === 0 ? 0 : count / time.bars.length;
}

export interface StyleClues {
  readonly stage: Pick<Stage, 'ensemble' | 'parts' | 'style'>;
  readonly swing: readonly SwingSpan[];
  readonly notes: readonly VoicedNote[];
  readonly basses: ReadonlySet<number>;
  readonly time: ScoreTime;
}

const guess = (style: Style, sure: boolean, because: string): StyleReading => ({ style, by: 'guess', sure, because });

/** What is told without its chords; undefined where its cadences have to tell. */
export function styleByPlayers({ stage, swing, notes, basses, time }: StyleClues): StyleReading | undefined {
  if (stage.style !== undefined) return { style: stage.style, by: 'settings', sure: true, because: '' };
  const { kind, sure } = stage.ensemble;
  const has = (ids: ReadonlySet<string>): boolean => stage.parts.some(({ instrument }) => ids.has(instrument));
  const walks = walkedShare(notes, basses, time) >= LEAST_WALKED;
  const swings = swing.length > 0;
  if (kind === 'combo' || kind === 'big-band') {
    const how = walks ? ' and its bass player walks' : swings ? ' and it swings' : '';
    return guess(
      'jazz',
      sure && (walks || swings),
      `its players are a ${kind === 'combo' ? 'combo' : 'big band'}${how}`,
    );
  }
  if (walks && swings) return guess('jazz', true, 'it swings and its bass player walks');
  if (kind === 'electronic') return guess('score', sure, 'few or none of its parts are acoustic');
  if (kind === 'band') return guess('song', sure, 'its players are a band');
  if (kind === 'song' && has(RHYTHM)) return guess('song', true, 'a singer has a rhythm section');
  if (['orchestra', 'string-orchestra', 'choir'].includes(kind) && has(PICTURES))
    return guess('score', true, 'it has electronic sounds beside acoustic parts');
  if (kind === 'chamber' && has(DRUMS) && has(SQUEEZED))
    return guess('song', false, 'drums go with a squeezebox or a struck zither, as for dances');
  if (['orchestra', 'string-orchestra', 'percussion', 'song'].includes(kind)) return undefined;
  if (kind === 'unknown' || kind === 'solo') return guess('classical', false, 'nothing in it speaks for another style');
  const others = [...new Set(stage.parts.filter(({ instrument }) => OTHERS.has(instrument)).map(nameInText))];
  const known = `its players are ${PLAYERS[kind] ?? 'of no special kind'}`;
  return others.length === 0
    ? guess('classical', sure, known)
    : guess('classical', false, `${known}, though ${listText(others, 3)} may play other music as well`);
}

/** The style of those that only their cadences tell, from a first reading of their chords. */
export function styleByCadences(
  { stage }: Pick<StyleClues, 'stage'>,
  runs: readonly ChordRun[],
  time: ScoreTime,
): StyleReading {
  const often = cadencesABar(runs, time);
  if (stage.ensemble.kind === 'song') {
    return often >= MANY_CADENCES
      ? guess('classical', false, 'a song without a rhythm section that cadences often')
      : guess('song', false, 'a song with accompaniment');
  }
  return often < FEW_CADENCES
    ? guess('score', false, 'a dominant rarely goes to its tonic')
    : guess('classical', often >= MANY_CADENCES, 'dominants go to their tonics');
}

/** The sentence for "How this folder was read"; none where the settings decided. */
export function styleRemarks({ style, by, sure, because }: WrittenNotes['style']): string[] {
  if (by === 'settings') return [];
  return [
    `Harmony was read as that of ${STYLE_WORDS[style]}${sure ? '' : ' (not surely)'}, because ${because}. Set “style” in the settings to decide.`,
  ];
}
