/** The line to listen from, and all that it does. */
import { barAt, barNumbered, shareOfBar } from '../../sound/bar-clock.ts';
import { choiceOf, createControls } from './controls.ts';
import { attendToPage } from './page-input.ts';
import { keepPlace, keptPlace } from './kept-place.ts';
import { readAudio } from './page-audio.ts';
import { readSketches } from './page-sketches.ts';
import { createPlayer } from './player.ts';
import { placeIn, type Place, type Programme } from './programme.ts';
import { createSoundingBar } from './sounding-bar.ts';
import { stageInSight } from './stage-on-page.ts';

/** Begins well under the most there is; a step is 3 dB. */
const FIRST_VOLUME_DB = -9;
const SOFTEST_DB = -24;
const STEP_DB = 3;
/** Bars repeated where two stages are heard in turn and none were named. */
const PHRASE_BARS = 4;

export interface Listening {
  /** Plays from a bar of a stage, or repeats some. */
  readonly playBars: (stageId: string | undefined, from: number, to?: number) => void;
  readonly toggle: () => void;
}

/** Opens the line at the foot of the page, as it stood on the page before. `onAway` is called when the reader puts it away. */
export function openListening(onAway: () => void): Listening {
  const { sketches, isCut, loudestDb } = readSketches();
  const [anySketch] = sketches;
  if (anySketch === undefined) throw new Error('no sketch on the page');
  const audio = readAudio();
  const controls = createControls(sketches, isCut, audio.size > 0);
  const cursor = createSoundingBar();
  const named = (stageId: string | undefined): (typeof sketches)[number] | undefined =>
    sketches.find((sketch) => sketch.stageId === stageId);
  const kept = keptPlace();
  const keptSketch = named(kept?.stageId);
  const ownSketch = named(stageInSight()) ?? anySketch;
  const keptOther = named(kept?.otherId);
  if (kept !== undefined) controls.parts.value = kept.heard;
  let volumeDb = kept?.volumeDb ?? FIRST_VOLUME_DB;
  let programme: Programme = {
    sketch: ownSketch,
    choice: choiceOf(controls.parts.value),
    ...(kept?.span === undefined ? {} : { span: kept.span }),
    ...(keptOther === undefined || keptOther === ownSketch ? {} : { other: keptOther }),
  };
  /** Where it stands while nothing plays. */
  let second =
    kept === undefined || keptSketch === undefined
      ? 0
      : placeIn(programme.sketch, { sketch: keptSketch, second: kept.second });
  let frame = 0;
  let heard = programme.sketch;

  /** What is heard, or where it stands. */
  const placeNow = (): Place => player.place() ?? { sketch: programme.sketch, second };
  const showPlace = (): void => {
    const place = placeNow();
    const bar = barAt(place.sketch.bars, place.second);
    if (bar === undefined) return;
    if (document.activeElement !== controls.bar) controls.bar.value = String(bar.number);
    cursor.show(bar.number, shareOfBar(bar, place.second));
    if (place.sketch !== heard) {
      heard = place.sketch;
      showState();
    }
  };
  const isPlaying = (): boolean => player.place() !== undefined;
  const showState = (): void => {
    const { bars } = programme.sketch;
    const { span, other } = programme;
    controls.go.textContent = isPlaying() ? 'Stop' : 'Listen';
    controls.bar.min = String(bars[0]?.number ?? 1);
    controls.bar.max = String(bars.at(-1)?.number ?? 1);
    controls.stages.value = programme.sketch.stageId;
    controls.others.value = other?.stageId ?? '';
    const range =
      span && (span.from === span.to ? `bar ${String(span.from)}` : `bars ${String(span.from)}–${String(span.to)}`);
    const again = other === undefined ? 'again and again' : `in turn, now ${String(heard.order)} ${heard.title}`;
    controls.tell(`of ${controls.bar.max}`, range === undefined ? '' : `${range} ${again}`, player.heardAs(programme));
    controls.softer.disabled = volumeDb <= SOFTEST_DB;
    controls.louder.disabled = volumeDb >= 0;
    showPlace();
  };
  const player = createPlayer(audio, loudestDb, {
    onEnd: () => {
      second = 0;
      showState();
    },
    onRefusal: () => {
      showState();
    },
  });
  player.setVolume(volumeDb);

  const draw = (): void => {
    if (!isPlaying()) return;
    showPlace();
    frame = requestAnimationFrame(draw);
  };
  const playFrom = (from: number): void => {
    second = from;
    player.play(programme, from);
    showState();
    cancelAnimationFrame(frame);
    frame = requestAnimationFrame(draw);
  };
  /** Takes the place along into another programme, playing or not. */
  const change = (next: Programme): void => {
    const place = placeNow();
    programme = next;
    second = placeIn(next.sketch, place);
    if (isPlaying()) playFrom(second);
    else showState();
  };
  const stop = (): void => {
    const place = player.place();
    if (place !== undefined) second = placeIn(programme.sketch, place);
    player.stop();
    showState();
  };
  const toggle = (): void => {
    if (isPlaying()) stop();
    else playFrom(second);
  };
  const barNow = (): number => {
    const place = placeNow();
    return barAt(place.sketch.bars, place.second)?.number ?? 1;
  };
  const withSpan = (from: number, to: number): void => {
    change({ ...programme, span: { from, to } });
  };
  const withoutSpan = (): void => {
    const { sketch, choice } = programme;
    change({ sketch, choice });
  };
  const playBars: Listening['playBars'] = (stageId, from, to) => {
    const { choice, span, other } = programme;
    const sketch = named(stageId) ?? programme.sketch;
    // A click inside the bars that are repeated goes on repeating them.
    const again = to !== undefined ? { from, to } : span && from >= span.from && from <= span.to ? span : undefined;
    programme =
      again === undefined
        ? { sketch, choice }
        : { sketch, choice, span: again, ...(other === undefined ? {} : { other }) };
    playFrom(barNumbered(sketch.bars, from)?.start ?? 0);
  };

  controls.go.addEventListener('click', toggle);
  const goTo = (bar: number): void => {
    const from = barNumbered(programme.sketch.bars, bar)?.start ?? 0;
    if (isPlaying()) playFrom(from);
    else {
      second = from;
      showState();
    }
  };
  const goToBar = (): void => {
    goTo(Number(controls.bar.value));
  };
  let barChanges = 0;
  controls.bar.addEventListener('change', () => {
    barChanges += 1;
    goToBar();
  });
  // The number that stands there already is no change, and still asks for the beginning of that bar.
  controls.bar.addEventListener('keydown', (event) => {
    const before = barChanges;
    if (event.key !== 'Enter') return;
    setTimeout(() => {
      if (barChanges === before) goToBar();
    });
  });
  controls.parts.addEventListener('change', () => {
    change({ ...programme, choice: choiceOf(controls.parts.value) });
  });
  controls.stages.addEventListener('change', () => {
    change({ ...programme, sketch: named(controls.stages.value) ?? programme.sketch });
  });
  controls.others.addEventListener('change', () => {
    const { sketch, choice } = programme;
    const other = named(controls.others.value);
    const from = barNow();
    const span = programme.span ?? { from, to: from + PHRASE_BARS - 1 };
    if (other !== undefined) change({ sketch, choice, other, span });
    else if (programme.other !== undefined) change({ sketch, choice, span });
  });
  controls.playOn.addEventListener('click', () => {
    withoutSpan();
    controls.go.focus();
  });
  const turn = (db: number): void => {
    volumeDb = Math.min(0, Math.max(SOFTEST_DB, volumeDb + db));
    player.setVolume(volumeDb);
    showState();
  };
  controls.softer.addEventListener('click', () => {
    turn(-STEP_DB);
  });
  controls.louder.addEventListener('click', () => {
    turn(STEP_DB);
  });

  const stopAttending = attendToPage({
    toggle,
    playFrom: playBars,
    follow: ({ stageId, from, to }) => {
      if (isPlaying()) playBars(stageId, from, to);
      else goTo(from);
    },
    step: (bars) => {
      goTo(barNow() + bars);
    },
    repeatFrom: () => {
      const last = programme.span?.to ?? programme.sketch.bars.at(-1)?.number ?? 1;
      withSpan(barNow(), Math.max(barNow(), last));
    },
    repeatTo: () => {
      const first = programme.span?.from ?? programme.sketch.bars[0]?.number ?? 1;
      withSpan(Math.min(first, barNow()), barNow());
    },
    leave: () => {
      const { sketch, span, other } = programme;
      const heard = controls.parts.value;
      const there = placeIn(sketch, placeNow());
      keepPlace({ stageId: sketch.stageId, second: there, heard, otherId: other?.stageId, span, volumeDb });
    },
  });
  controls.away.addEventListener('click', () => {
    player.stop();
    cancelAnimationFrame(frame);
    cursor.hide();
    stopAttending();
    keepPlace(undefined);
    controls.line.remove();
    document.documentElement.classList.remove('is-listening');
    onAway();
  });

  document.documentElement.classList.add('is-listening');
  document.body.append(controls.line);
  showState();
  return { playBars, toggle };
}
