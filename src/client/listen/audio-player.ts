/** Plays the audio of stages, bar by bar where it is asked to. */
import type { Sketch } from '../../sound/sketch.ts';
import type { StageAudio } from './page-audio.ts';
import { afterEnd, gainOf, secondsOf, startOf, type Place, type Player, type Programme } from './programme.ts';

interface Run {
  readonly programme: Programme;
  readonly sketch: Sketch;
  readonly firstBarSecond: number;
  readonly element: HTMLAudioElement;
}

/** How often it is looked for the end of the bars at least. */
const WAKE_MS = 100;
/** The clock of a media element is rounded down: the moment of a bar line that was set comes back as one of the bar before. */
const ROUNDING_SECONDS = 1e-4;

/** A player; `onEnd` is called when the music is over, `onFault` where the browser does not play the audio: with what it has stopped at. */
export function createAudioPlayer(
  audio: ReadonlyMap<string, StageAudio>,
  onEnd: () => void,
  onFault: (programme: Programme, place: Place) => void,
): Player {
  const elements = new Map<string, HTMLAudioElement>();
  let run: Run | undefined;
  let timer: number | undefined;
  let volume = 1;

  const secondNow = ({ element, firstBarSecond }: Run): number =>
    Math.max(0, element.currentTime - firstBarSecond + ROUNDING_SECONDS);

  const stop = (): void => {
    clearTimeout(timer);
    run?.element.pause();
    run = undefined;
  };

  const fail = (element: HTMLAudioElement): void => {
    if (run?.element !== element) return;
    const { programme, sketch } = run;
    const second = secondNow(run);
    stop();
    onFault(programme, { sketch, second });
  };

  const elementOf = ({ stageId }: Sketch, address: string): HTMLAudioElement => {
    const known = elements.get(stageId);
    if (known !== undefined) return known;
    const element = new Audio(address);
    element.addEventListener('error', () => {
      fail(element);
    });
    elements.set(stageId, element);
    return element;
  };

  const begin = (programme: Programme, { sketch, second }: Place): void => {
    const own = audio.get(sketch.stageId);
    if (own === undefined) return;
    const element = elementOf(sketch, own.address);
    if (run?.element !== element) stop();
    run = { programme, sketch, firstBarSecond: own.firstBarSecond, element };
    element.volume = volume;
    element.currentTime = Math.max(0, second + own.firstBarSecond);
    element.play().catch((error: unknown) => {
      // It was stopped before it had begun, which is no fault.
      if ((error as Error).name !== 'AbortError') fail(element);
    });
    clearTimeout(timer);
    timer = window.setTimeout(watch, WAKE_MS);
  };

  /** Waits for the end of the music, or of the bars that are repeated. */
  const watch = (): void => {
    clearTimeout(timer);
    if (run === undefined) return;
    const { programme, sketch, element } = run;
    const { from, to } = secondsOf(programme, sketch);
    const left = to - secondNow(run);
    if (left > 0 && !element.ended) {
      timer = window.setTimeout(watch, Math.min(WAKE_MS, 1000 * left));
      return;
    }
    // Audio that is over before these bars begin has nothing of them to repeat.
    const next = secondNow(run) < from ? undefined : afterEnd(programme, sketch);
    if (next !== undefined) {
      begin(programme, next);
      return;
    }
    stop();
    onEnd();
  };

  return {
    play: (programme, second) => {
      begin(programme, startOf(programme, second));
    },
    stop,
    place: () => {
      // Whoever looks comes sooner than the timer of a busy page.
      watch();
      return run && { sketch: run.sketch, second: secondNow(run) };
    },
    setVolume: (db) => {
      volume = gainOf(db);
      if (run !== undefined) run.element.volume = volume;
    },
  };
}
