/** One stage up to its parts: bars, placed tracks, parts still without ids. */
import type { Question } from '../model/music/arrangement.ts';
import type { Problem } from '../problems/problem.ts';
import { agreeing, barSpanText, barsText, counted, listText } from '../model/words/plain-words.ts';
import { quoted } from '../read/clean-text.ts';
import type { Settings } from '../read/settings/settings.ts';
import type { BarGrid } from './clock/bars.ts';
import { barGridOf } from './clock/bars.ts';
import type { FarNotes } from './tracks/far-notes.ts';
import { FAR_BARS, hasNotesIn, setFarNotesAside, withoutLongSilenceBefore } from './tracks/far-notes.ts';
import type { PartDraft, PlacedNote, PlacedTrack } from './tracks/group-parts.ts';
import { groupParts } from './tracks/group-parts.ts';
import { clickRemarks, isClickTrack } from './tracks/click-tracks.ts';
import { recogniseTracks } from './instruments/recognise.ts';
import type { NameReader, SourceTrack, TellTrack } from './names/source-track.ts';
import { sourceTracks } from './names/source-track.ts';
import type { StageClock } from './clock/stage-clock.ts';
import { clockOf, tickReader } from './clock/stage-clock.ts';
import type { NamedStage } from './stage-order/stage-names.ts';

export interface StageMusic {
  readonly named: NamedStage;
  readonly clock: StageClock;
  readonly grid: BarGrid;
  readonly drafts: readonly PartDraft[];
  /** Every track that has notes, ignored ones too, for checking names in the settings. */
  readonly allTracks: readonly SourceTrack[];
  readonly problems: readonly Problem[];
  readonly questions: readonly Question[];
  /** True where the setting `bars` names bars in which no note of this stage begins; it is then read without it. */
  readonly isSilentInBars: boolean;
}

/** A key-up this far beyond a bar line, in quarter notes, does not open another bar. */
const OVERHANG_QUARTERS = 0.25;

/** End of the music for counting bars: a long note's tail just over a bar line is let off. */
function lastNeeded(notes: readonly PlacedNote[]): number {
  let last = 0;
  for (const note of notes) {
    const overhang = Math.min(OVERHANG_QUARTERS, (note.endQuarters - note.startQuarters) / 2);
    last = Math.max(last, note.endQuarters - overhang, note.startQuarters + 1e-3);
  }
  return last;
}

function placeNotes(track: SourceTrack, clock: StageClock): PlacedNote[] {
  const startOf = tickReader(track.file, clock.tempo);
  const endOf = tickReader(track.file, clock.tempo);
  return track.raw.notes.map((note) => ({
    midi: note.midi,
    velocity: note.velocity,
    startQuarters: startOf(note.startTick),
    endQuarters: endOf(note.endTick),
  }));
}

/** Notes counted from bar 1, inside the bars; the same objects where nothing moves. */
function movedTo(
  notes: readonly PlacedNote[],
  origin: number,
  firstBarStart: number,
  clip: number,
): readonly PlacedNote[] {
  if (origin === 0 && clip === Number.POSITIVE_INFINITY) return notes;
  return notes.map((note) => {
    const startQuarters = Math.max(firstBarStart, note.startQuarters - origin);
    const endQuarters = Math.max(startQuarters + 1e-6, Math.min(clip, note.endQuarters) - origin);
    return { midi: note.midi, velocity: note.velocity, startQuarters, endQuarters };
  });
}

interface Bounded {
  readonly grid: BarGrid;
  readonly far: FarNotes;
  readonly isSilentInBars: boolean;
  /** Number of the last bar that can be made. */
  readonly lastBar: number;
  /** Number of the last bar that could be made if all notes stayed. */
  readonly mostBars: number;
  /** File position from which on notes are left out. */
  readonly limit: number;
  /** File position to which ends are clipped. */
  readonly clip: number;
}

/** Bars for these notes, as many as are made. */
function gridFor(
  clock: StageClock,
  pickup: number | undefined,
  first: number,
  tracks: readonly (readonly PlacedNote[])[],
): BarGrid {
  return barGridOf(clock, pickup, first, Math.max(0, ...tracks.map(lastNeeded)));
}

/** Bars for all notes but those that stand far from the music; where that would be absurdly many, for those before the limit only. */
function boundedGrid(
  clock: StageClock,
  { pickup, bars }: Pick<Settings, 'pickup' | 'bars'>,
  all: readonly (readonly PlacedNote[])[],
): Bounded {
  const first = Math.min(...all.map((notes) => notes[0]?.startQuarters ?? Number.POSITIVE_INFINITY));
  const everything = gridFor(clock, pickup, first, all);
  const isSilentInBars = bars !== undefined && !hasNotesIn(all, everything, bars);
  const asked = isSilentInBars ? undefined : bars;
  const far = setFarNotesAside(all, everything, asked);
  const tracks = far.near;
  const whole = gridFor(clock, pickup, first, tracks);
  const unlimited = { limit: Number.POSITIVE_INFINITY, clip: Number.POSITIVE_INFINITY };
  const lastBar = whole.timeline.bars.at(-1)?.number ?? 0;
  const mostBars = everything.tooManyBars ? (everything.timeline.bars.at(-1)?.number ?? 0) : Number.POSITIVE_INFINITY;
  const firstBar = asked?.from ?? far.music.from;
  if (!whole.tooManyBars)
    return { grid: withoutLongSilenceBefore(firstBar, whole), far, lastBar, mostBars, isSilentInBars, ...unlimited };
  const limit = whole.endQuarters + whole.originQuarters;
  let lastStart = 0;
  let lastEnd = 0;
  for (const notes of tracks) {
    for (const note of notes) {
      if (note.startQuarters >= limit) continue;
      lastStart = Math.max(lastStart, note.startQuarters);
      if (note.endQuarters < limit) lastEnd = Math.max(lastEnd, note.endQuarters);
    }
  }
  const clip = Math.max(lastEnd, lastStart + 1);
  const grid = withoutLongSilenceBefore(firstBar, barGridOf(clock, pickup, first, Math.min(limit, clip)));
  return { grid, far, lastBar, mostBars, isSilentInBars, limit, clip };
}

function farNoteProblems(heard: readonly SourceTrack[], far: FarNotes): readonly Problem[] {
  const music = barSpanText(far.music.from, far.music.to);
  return heard.flatMap((source, index): Problem[] => {
    const place = { file: source.file.path, track: source.raw.track, trackName: source.name };
    const bars = far.farBars[index] ?? [];
    const cut = far.cut[index] ?? 0;
    const problems: Problem[] = [];
    if (bars.length > 0) {
      const stand = `${counted(bars.length, 'note')} ${agreeing(bars.length, 'stands', 'stand')} in ${barsText(bars, 4)}, far from the music (${music})`;
      const done = `${agreeing(bars.length, 'it was', 'they were')} taken for a slip and left out`;
      const message = `${stand}; ${done}. Delete ${agreeing(bars.length, 'it', 'them')}, or move ${agreeing(bars.length, 'it', 'them')} to the music.`;
      problems.push({ kind: 'remark', code: 'far-note', ...place, message });
    }
    if (cut > 0) {
      const message = `${counted(cut, 'note')} ${agreeing(cut, 'is', 'are')} held more than ${String(FAR_BARS)} bars after the last note begins, and ${agreeing(cut, 'was', 'were')} taken to end there: a key-up is probably missing. Shorten ${agreeing(cut, 'it', 'them')} in the export.`;
      problems.push({ kind: 'remark', code: 'stuck-note', ...place, message });
    }
    return problems;
  });
}

/** What stands apart as words: `the music of bars 3336–3365 (240 notes)`. */
function apartText({ apart }: FarNotes): string {
  const places = apart.map(({ bars, notes }) => `${barSpanText(bars.from, bars.to)} (${counted(notes, 'note')})`);
  return `The music of ${listText(places, 4)}`;
}

/** `1-3365`, the span that holds all of it; undefined where it is longer than one arrangement may be. */
function spanOfAll({ music, apart }: FarNotes, mostBars: number): string | undefined {
  const spans = [music, ...apart.map(({ bars }) => bars)];
  const to = Math.max(...spans.map((span) => span.to));
  return to > mostBars ? undefined : `${String(Math.min(...spans.map(({ from }) => from)))}-${String(to)}`;
}

function apartProblems(file: string, far: FarNotes, mostBars: number): readonly Problem[] {
  if (far.apart.length === 0) return [];
  const music = barSpanText(far.music.from, far.music.to);
  const all = spanOfAll(far, mostBars);
  const advice =
    all === undefined
      ? 'move it nearer in the sequencer if it belongs to the piece.'
      : `say in dossier.yaml which bars are the piece, all of it with “bars: ${all}”.`;
  const message = `${apartText(far)} is more than ${String(FAR_BARS)} silent bars from most of it (${music}) and was left out: ${advice}`;
  return [{ kind: 'remark', code: 'music-apart', file, message }];
}

function apartQuestions(far: FarNotes, mostBars: number): readonly Question[] {
  if (far.apart.length === 0) return [];
  const { from, to } = far.music;
  const all = spanOfAll(far, mostBars);
  const otherwise =
    all === undefined
      ? 'else move it nearer in the sequencer'
      : `all of it is shown with bars: ${all}, silence included`;
  const text = `${apartText(far)} was left out, as more than ${String(FAR_BARS)} silent bars lie between it and most of the music: is the piece ${barSpanText(from, to)}? Then say bars: ${String(from)}-${String(to)} in dossier.yaml; ${otherwise}.`;
  return [{ code: 'other', text }];
}

/** Reads one stage, with what the notes `tell` of its tracks; undefined where it has no notes. */
export function readStage(
  named: NamedStage,
  settings: Settings,
  read: NameReader,
  tell: TellTrack,
): StageMusic | undefined {
  const { raw } = named;
  const allTracks = sourceTracks(raw, settings, read, tell);
  if (allTracks.length === 0) return undefined;
  const clock = clockOf(raw);
  const problems: Problem[] = [...clock.problems];
  const wanted = allTracks.filter((track) => track.settings.ignore !== true);
  const clicks = wanted.filter(isClickTrack);
  // A click alone is all there is.
  const heard = clicks.length < wanted.length ? wanted.filter((track) => !clicks.includes(track)) : wanted;
  if (heard !== wanted) problems.push(...clickRemarks(clicks));
  const placed = heard.map((track) => placeNotes(track, clock));
  // Bars come from everything in the files, so that ignoring a track moves no bar.
  const bounded = boundedGrid(
    clock,
    settings,
    heard.length > 0 ? placed : allTracks.map((track) => placeNotes(track, clock)),
  );
  const { grid, far, lastBar, mostBars, limit, clip, isSilentInBars } = bounded;
  problems.push(...farNoteProblems(heard, far), ...apartProblems(raw.files[0]?.path ?? '', far, mostBars));
  const firstBarStart = grid.timeline.bars[0]?.startQuarters ?? 0;
  const recognised = recogniseTracks(heard, read);
  const tracks: PlacedTrack[] = [];
  heard.forEach((source, index) => {
    const recognition = recognised[index];
    const own = far.near[index];
    if (recognition === undefined || own === undefined) return;
    const kept = limit === Number.POSITIVE_INFINITY ? own : own.filter((note) => note.startQuarters < limit);
    if (kept.length < own.length) {
      problems.push({
        kind: 'refused',
        code: 'note-too-far',
        file: source.file.path,
        track: source.raw.track,
        trackName: source.name,
        message: `${own.length - kept.length} note(s) start after bar ${String(lastBar)}, further than one arrangement reaches; they were left out. Move or delete them.`,
      });
    }
    const notes = movedTo(kept, grid.originQuarters, firstBarStart, clip);
    if (notes.length > 0) tracks.push({ source, recognition, notes });
  });
  if (grid.shortenedBars.length > 0) {
    problems.push({
      kind: 'remark',
      code: 'meter-inside-bar',
      file: raw.files[0]?.path ?? '',
      message: `The meter changes inside ${barsText(grid.shortenedBars, 7)}; the bar is cut short there. Move the meter change to a bar line if that is not meant.`,
    });
  }
  const drafts = groupParts(tracks);
  const names = new Map<string, number>();
  for (const draft of drafts) if (!draft.numberedHere) names.set(draft.name, (names.get(draft.name) ?? 0) + 1);
  const twice = [...names].filter(([, count]) => count > 1).map(([name]) => quoted(name));
  if (twice.length > 0) {
    problems.push({
      kind: 'remark',
      code: 'same-part-name',
      file: raw.files[0]?.path ?? '',
      message: `Different parts have the same name (${twice.slice(0, 5).join(', ')}); they are kept apart. Give them different names.`,
    });
  }
  return { named, clock, grid, drafts, allTracks, problems, questions: apartQuestions(far, mostBars), isSilentInBars };
}
