/** Keys, chords and spelling of a stage, each read with the help of the others. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { Style, StyleReading } from '../../model/music/style.ts';
import type { ChordSpan, KeySpan, SwingSpan } from '../../model/music/written.ts';
import { CHORD_RULES } from '../chords/chord-rules.ts';
import type { ChordRun } from '../chords/chord-run.ts';
import { chordRuns } from '../chords/chord-runs.ts';
import { respelled } from '../spelling/chord-spelling.ts';
import type { VoicedNote } from '../chords/chord-texture.ts';
import { texturedNotes } from '../chords/chord-texture.ts';
import type { SpelledSound } from '../chords/chords.ts';
import { chordsOf } from '../chords/chords.ts';
import type { Explain } from '../explain.ts';
import { atHome, keysWithChords, withRelatives, withRestingPlaces, withRivals } from './key-by-chords.ts';
import { withModes } from './key-by-final.ts';
import type { SoundingNote } from '../keys/key-path.ts';
import { keysOf } from '../keys/key.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import { withoutLoneTunes, withoutTuneTones } from './tune-tones.ts';
import type { Spelling } from '../spelling/spelling.ts';
import { spell } from '../spelling/spelling.ts';
import { styleByCadences, styleByPlayers, styleRemarks } from '../chords/style.ts';

export interface HarmonyInput {
  /** All pitched notes to be spelled. */
  readonly sounds: readonly SoundingNote[];
  /** All pitched notes as long as they are heard, sorted by start. */
  readonly ringing: readonly VoicedNote[];
  readonly time: ScoreTime;
  readonly swing: readonly SwingSpan[];
  /** Voices of `ringing` that are a bass player's. */
  readonly basses: ReadonlySet<number>;
  /** Voices of `ringing` that are timpani. */
  readonly drums: ReadonlySet<number>;
  /** Voices of `ringing` that are a wind player's or a singer's: one note at a time. */
  readonly tunes: ReadonlySet<number>;
  readonly stage: Pick<Stage, 'sections' | 'statedKeys' | 'ensemble' | 'parts' | 'style'>;
  readonly explain?: Explain | undefined;
}

export interface HarmonyReading {
  readonly keys: readonly KeySpan[];
  readonly chords: readonly ChordSpan[];
  readonly style: StyleReading;
  readonly spelling: Spelling;
  readonly remarks: readonly string[];
}

function inSpelling(sounds: readonly VoicedNote[], spelling: Spelling): SpelledSound[] {
  return sounds.map(({ midi, start, soundingEnd }) => ({
    midi,
    start,
    end: soundingEnd,
    place: spelling.placeOf(start, midi),
  }));
}

/** Style, keys and chords; the spelling follows them, and chords are named as they are spelled. */
export function readHarmony({
  sounds,
  ringing,
  time,
  stage,
  swing,
  basses,
  drums,
  tunes,
  explain,
}: HarmonyInput): HarmonyReading {
  const textured = texturedNotes(ringing, time, basses, drums);
  const byPlayers = styleByPlayers({ stage, swing, notes: ringing, basses, time });
  const { keys: heard, remarks } = keysOf(
    sounds,
    time,
    stage.sections,
    stage.statedKeys,
    byPlayers?.style === 'song' || byPlayers?.style === 'jazz' || stage.ensemble.kind === 'song',
  );
  const runsIn = (style: Style): readonly ChordRun[] => {
    const runs = withoutLoneTunes(chordRuns(textured, heard, time, CHORD_RULES[style], explain), textured, tunes);
    // Over a bass player sevenths are at rest, whoever has them.
    return CHORD_RULES[style].walking ? runs : withoutTuneTones(runs, textured);
  };
  const tried = byPlayers?.style ?? 'classical';
  const firstRuns = runsIn(tried);
  const style = byPlayers ?? styleByCadences({ stage }, firstRuns, time);
  const runs = style.style === tried ? firstRuns : runsIn(style.style);
  // Only stated keys draw the chords, and only estimated ones change by them: no chord is read again.
  const keys = keysWithChords(heard, runs, time);
  const byTonics = spell(sounds, keys, time, explain?.votes);
  const spelling = respelled(byTonics, runs, ringing, keys, time);
  explain?.spelling?.({ byTonics, spelled: spelling });
  const resting = withModes(withRestingPlaces(withRivals(keys, runs, time), runs, time), runs, time);
  const told = withRelatives(resting, runs, time);
  return {
    keys: told,
    chords: chordsOf(atHome(told, runs, time), inSpelling(ringing, spelling), told, time, style.style),
    style,
    spelling,
    remarks: [...styleRemarks(style), ...remarks],
  };
}
