/** Clicks that were exported with the music: they keep time for the players and are no part of it. */
import { comparableName } from '../names/text.ts';
import type { SourceTrack } from '../names/source-track.ts';
import { asYamlKey } from '../../read/clean-text.ts';
import type { Problem } from '../../problems/problem.ts';

/** What such tracks are called (common practice, no source). */
const CLICK_NAMES: ReadonlySet<string> = new Set(
  'click,clicks,click track,clicktrack,metronome,metronom,klick,clic,click count in,count in,claqueta'.split(','),
);
/** A click has a sound for the first beat and one for the others, at most one more for what lies between. */
const MOST_KEYS = 3;

/** True for a track that is called a click and has no more than its few sounds; not where the settings say what it is. */
export function isClickTrack({ name, raw, settings }: SourceTrack): boolean {
  if (settings.instrument !== undefined || !CLICK_NAMES.has(comparableName(name))) return false;
  return new Set(raw.notes.map(({ midi }) => midi)).size <= MOST_KEYS;
}

/** What is said of each. */
export function clickRemarks(clicks: readonly SourceTrack[]): readonly Problem[] {
  return clicks.map(({ file, raw, name }) => ({
    kind: 'remark',
    code: 'click-track',
    file: file.path,
    track: raw.track,
    trackName: name,
    message: `A click, which is no part of the music, was left out. If somebody plays it, say which instrument with parts: ${asYamlKey(name)}: instrument.`,
  }));
}
