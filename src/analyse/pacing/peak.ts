/** The loudest bar by estimate, and how the music comes to it. */
import type { Stage } from '../../model/music/arrangement.ts';
import type { EntryEvent, Peak, TextureBar } from '../../model/readings/pacing.ts';

/** Going back from the peak, the rise is over where the music was this much louder than its lowest bar since. */
const FALL_DB = 3;
/** A peak that comes at once: this much louder than the bar before, and most of the whole rise. */
const SUDDEN_DB = 6;
const SUDDEN_SHARE = 0.5;
/** Levels nearer than this are one level: the peak is then the bar with more parts, and of those the first. */
const EQUAL_DB = 0.5;

function peakIndex(textures: readonly TextureBar[]): number {
  const most = textures.reduce((highest, { levelDb }) => Math.max(highest, levelDb ?? -Infinity), -Infinity);
  let best = -1;
  textures.forEach(({ levelDb, partIds }, index) => {
    if (levelDb === undefined || levelDb < most - EQUAL_DB) return;
    if (best < 0 || partIds.length > (textures[best]?.partIds.length ?? 0)) best = index;
  });
  return best;
}

/** Undefined where nothing sounds. */
export function peakOf(
  stage: Stage,
  textures: readonly TextureBar[],
  entries: readonly EntryEvent[],
): Peak | undefined {
  const place = peakIndex(textures);
  const peak = textures[place];
  if (peak?.levelDb === undefined) return undefined;
  let low = place;
  for (let index = place - 1; index >= 0; index--) {
    const level = textures[index]?.levelDb ?? -Infinity;
    const lowest = textures[low]?.levelDb ?? -Infinity;
    if (level > lowest + FALL_DB) break;
    if (level <= lowest) low = index;
    if (level === -Infinity) break;
  }
  const { bars } = stage.timeline;
  const from = textures[low] ?? peak;
  const second = (index: number): number => bars[index]?.startSecond ?? 0;
  const heard = from.levelDb ?? textures[low + 1]?.levelDb ?? peak.levelDb;
  const riseDb = peak.levelDb - heard;
  const before = textures[place - 1]?.levelDb;
  const stepDb = peak.levelDb - (before ?? heard);
  const entering = entries.filter(({ bar }) => bar > from.bar && bar <= peak.bar).map(({ partId }) => partId);
  return {
    bar: peak.bar,
    levelDb: peak.levelDb,
    parts: peak.partIds.length,
    share: stage.seconds > 0 ? second(place) / stage.seconds : 0,
    risesFrom: from.bar,
    riseDb,
    riseSeconds: second(place) - second(low),
    entering: [...new Set(entering)],
    isSudden: low < place && (before === undefined || (stepDb >= SUDDEN_DB && stepDb >= SUDDEN_SHARE * riseDb)),
  };
}
