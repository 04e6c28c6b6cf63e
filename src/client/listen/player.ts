/** Plays what there is: the audio of a stage where it is wanted and can be had, else the sketch. */
import { createAudioPlayer } from './audio-player.ts';
import type { StageAudio } from './page-audio.ts';
import { placeIn, type Player, type Programme } from './programme.ts';
import { createSketchPlayer } from './sketch-player.ts';

/** What a programme is heard as: audio; the sketch, as was asked; or that in place of audio that there is not, or that the browser refuses. */
export type HeardAs = 'audio' | 'sketch' | 'none' | 'refused';

export interface WholePlayer extends Player {
  readonly heardAs: (programme: Programme) => HeardAs;
}

export interface PlayerNews {
  readonly onEnd: () => void;
  /** The sketch goes on where audio was refused. */
  readonly onRefusal: () => void;
}

/** Both players as one; `loudestDb` is the level at which a sketch is as loud as it ever gets. */
export function createPlayer(
  audio: ReadonlyMap<string, StageAudio>,
  loudestDb: number,
  { onEnd, onRefusal }: PlayerNews,
): WholePlayer {
  const refused = new Set<string>();

  const heardAs: WholePlayer['heardAs'] = ({ sketch, other, choice }) => {
    if (choice.kind !== 'audio') return 'sketch';
    // Two stages in turn are heard alike, so that they compare.
    const stages = [sketch, ...(other === undefined ? [] : [other])].map(({ stageId }) => stageId);
    if (!stages.every((id) => audio.has(id))) return 'none';
    return stages.some((id) => refused.has(id)) ? 'refused' : 'audio';
  };
  const sketches = createSketchPlayer(loudestDb, onEnd);
  const files = createAudioPlayer(audio, onEnd, (programme, place) => {
    refused.add(place.sketch.stageId);
    sketches.play(programme, placeIn(programme.sketch, place));
    onRefusal();
  });
  return {
    heardAs,
    play: (programme, second) => {
      const isAudio = heardAs(programme) === 'audio';
      (isAudio ? sketches : files).stop();
      (isAudio ? files : sketches).play(programme, second);
    },
    stop: () => {
      files.stop();
      sketches.stop();
    },
    place: () => files.place() ?? sketches.place(),
    setVolume: (db) => {
      files.setVolume(db);
      sketches.setVolume(db);
    },
  };
}
