import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createAudioPlayer } from '../../src/client/listen/audio-player.ts';
import type { Sketch } from '../../src/sound/sketch.ts';

/** An audio element of the browser as far as it is asked, three seconds long, whose clock is set by hand. */
class ShortAudio extends EventTarget {
  volume = 1;
  second = 0;
  get currentTime(): number {
    return this.second;
  }
  set currentTime(second: number) {
    this.second = Math.min(3, second);
  }
  get ended(): boolean {
    return this.second >= 3;
  }
  play = (): Promise<void> => Promise.resolve();
  pause = (): void => undefined;
}

/** Bars of a second each. */
const bars = Array.from({ length: 8 }, (_, index) => ({ number: index + 1, start: index, end: index + 1 }));
const sketch: Sketch = { stageId: 'stage-1', title: '', order: 1, loudestDb: 0, bars, parts: [], lines: [] };
const audio = new Map([['stage-1', { address: 'a.mp3', firstBarSecond: 0 }]]);

describe('audio that is shorter than the music', () => {
  let element: ShortAudio;
  beforeEach(() => {
    vi.useFakeTimers();
    vi.stubGlobal('window', globalThis);
    vi.stubGlobal('Audio', function () {
      return (element = new ShortAudio());
    });
  });
  afterEach(() => {
    vi.useRealTimers();
    vi.unstubAllGlobals();
  });

  it('is over where the bars to repeat begin after its end', () => {
    const onEnd = vi.fn();
    const player = createAudioPlayer(audio, onEnd, vi.fn());
    player.play({ sketch, choice: { kind: 'audio' }, span: { from: 6, to: 7 } }, 5);
    expect(player.place()).toBeUndefined();
    expect(onEnd).toHaveBeenCalledOnce();
  });

  it('repeats what it has of bars that reach over its end', () => {
    const player = createAudioPlayer(audio, vi.fn(), vi.fn());
    player.play({ sketch, choice: { kind: 'audio' }, span: { from: 3, to: 5 } }, 2);
    element.second = 3;
    vi.advanceTimersByTime(200);
    expect(player.place()?.second).toBeCloseTo(2, 3);
    player.stop();
  });
});
