/** Plays sketches: renders them in stretches a little ahead, and knows at every moment what is being heard. */
import { renderSketch, type Choice } from '../../sound/voice.ts';
import { afterEnd, gainOf, secondsOf, startOf, type Place, type Player, type Programme } from './programme.ts';

interface Stretch extends Place {
  /** When it begins on the clock of the sound, and how long it is. */
  readonly at: number;
  readonly seconds: number;
}

interface Run {
  readonly programme: Programme;
  readonly gain: GainNode;
  readonly sources: AudioBufferSourceNode[];
  stretches: Stretch[];
  next: Place;
  at: number;
  /** True where the next stretch does not follow on the one before. */
  isSeam: boolean;
  isOver: boolean;
}

const STRETCH_SECONDS = 0.5;
/** The first is short, so that playing begins at once. */
const FIRST_SECONDS = 0.15;
const AHEAD_SECONDS = 1.2;
/** A page out of sight is woken once a second only. */
const AHEAD_HIDDEN_SECONDS = 3;
const WAKE_MS = 100;
const ANSWER_MS = 25;
const SOON_SECONDS = 0.06;
const FADE_SECONDS = 0.008;

/** Where there is no audio to hear, all parts are. */
function partsOf({ choice }: Programme): Choice {
  return choice.kind === 'audio' ? { kind: 'all' } : choice;
}

/** The next moment at which a sound can begin, at a whole sample. */
function soon({ currentTime, sampleRate }: AudioContext): number {
  return Math.ceil((currentTime + SOON_SECONDS) * sampleRate) / sampleRate;
}

function fade(samples: Float32Array, rate: number, isStart: boolean): void {
  const length = Math.min(samples.length, Math.round(FADE_SECONDS * rate));
  for (let index = 0; index < length; index++) {
    const at = isStart ? index : samples.length - 1 - index;
    samples[at] = ((samples[at] ?? 0) * index) / length;
  }
}

/** A player; `loudestDb` is the level that sounds as loud as it ever gets. `onEnd` is called when the music is over. */
export function createSketchPlayer(loudestDb: number, onEnd: () => void): Player {
  let context: AudioContext | undefined;
  let output: GainNode | undefined;
  let run: Run | undefined;
  let timer: number | undefined;
  let resting: number | undefined;
  let volume = 1;

  const latency = (sound: AudioContext): number => sound.outputLatency || sound.baseLatency || 0;

  const renderNext = (sound: AudioContext, playing: Run): void => {
    const { programme, next } = playing;
    const { to } = secondsOf(programme, next.sketch);
    const longest = playing.stretches.length === 0 ? FIRST_SECONDS : STRETCH_SECONDS;
    const rate = sound.sampleRate;
    const length = Math.max(1, Math.round(Math.min(longest, to - next.second) * rate));
    const samples = renderSketch(next.sketch, partsOf(programme), { from: next.second, length, rate }, loudestDb);
    const isEnd = next.second + length / rate >= to - 0.5 / rate;
    if (playing.isSeam) fade(samples, rate, true);
    if (isEnd) fade(samples, rate, false);
    const buffer = sound.createBuffer(1, length, rate);
    buffer.getChannelData(0).set(samples);
    // After a delay of the machine it goes on later, from where it was.
    if (playing.at < sound.currentTime + 0.01) playing.at = soon(sound);
    const source = sound.createBufferSource();
    source.buffer = buffer;
    source.connect(playing.gain);
    source.start(playing.at);
    playing.sources.push(source);
    source.onended = () => {
      playing.sources.splice(playing.sources.indexOf(source), 1);
    };
    const heard = sound.currentTime - 1;
    playing.stretches = playing.stretches.filter(({ at, seconds }) => at + seconds > heard);
    playing.stretches.push({ ...next, at: playing.at, seconds: length / rate });
    playing.at += length / rate;
    playing.isSeam = isEnd;
    const following = isEnd
      ? afterEnd(programme, next.sketch)
      : { sketch: next.sketch, second: next.second + length / rate };
    if (following === undefined) playing.isOver = true;
    else playing.next = following;
  };

  const silence = (): void => {
    clearTimeout(timer);
    const ending = run;
    run = undefined;
    if (ending === undefined || context === undefined) return;
    ending.gain.gain.setTargetAtTime(0, context.currentTime, 0.01);
    for (const source of ending.sources) source.stop(context.currentTime + 0.08);
  };

  const rest = (): void => {
    clearTimeout(resting);
    resting = window.setTimeout(() => void context?.suspend(), 400);
  };

  const wake = (): void => {
    const [sound, playing] = [context, run];
    if (sound === undefined || playing === undefined) return;
    const ahead = document.hidden ? AHEAD_HIDDEN_SECONDS : AHEAD_SECONDS;
    const isShort = (): boolean => !playing.isOver && playing.at < sound.currentTime + ahead;
    // One stretch at a time, so that the page answers in between; nobody sees a page that is hidden.
    do if (isShort()) renderNext(sound, playing);
    while (document.hidden && isShort());
    if (playing.isOver && sound.currentTime - latency(sound) > playing.at) {
      silence();
      rest();
      onEnd();
      return;
    }
    timer = window.setTimeout(wake, isShort() ? 0 : WAKE_MS);
  };

  return {
    play: (programme, second) => {
      silence();
      clearTimeout(resting);
      context ??= new AudioContext({ latencyHint: 'playback' });
      if (output === undefined) {
        output = context.createGain();
        output.connect(context.destination);
      }
      output.gain.value = volume;
      void context.resume();
      const gain = context.createGain();
      gain.connect(output);
      const at = soon(context);
      const next = startOf(programme, second);
      run = { programme, gain, sources: [], stretches: [], next, at, isSeam: true, isOver: false };
      // The page says first that it plays.
      timer = window.setTimeout(wake, ANSWER_MS);
    },
    stop: () => {
      silence();
      rest();
    },
    place: () => {
      if (run === undefined || context === undefined) return undefined;
      const now = context.currentTime - latency(context);
      const [first] = run.stretches;
      const heard = run.stretches.filter(({ at }) => at <= now).at(-1) ?? first;
      if (heard === undefined) return run.next;
      const gone = Math.min(heard.seconds, Math.max(0, now - heard.at));
      return { sketch: heard.sketch, second: heard.second + gone };
    },
    setVolume: (db) => {
      volume = gainOf(db);
      if (output !== undefined && context !== undefined) output.gain.setTargetAtTime(volume, context.currentTime, 0.03);
    },
  };
}
