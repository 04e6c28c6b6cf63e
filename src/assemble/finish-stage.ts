/** One stage from its drafts: parts with ids, players, notes, lateness; sections, keys, foreground. */
import type { ForegroundSpan, Part, PlayedNote, Question, Stage, TrackRecord } from '../model/music/arrangement.ts';
import { instrumentById } from '../model/music/catalogue.ts';
import { isPluckedOrchestra, type EnsembleKind } from '../model/music/ensemble.ts';
import { asYamlKey, quoted } from '../read/clean-text.ts';
import type { Settings } from '../read/settings/settings.ts';
import { countedOnce } from './tracks/doubled-tracks.ts';
import { ensembleNamed, ensembleOf } from './instruments/ensemble-kind.ts';
import type { Family } from '../model/music/instrument.ts';
import type { SungSyllable } from '../model/music/syllable.ts';
import type { PartDraft, PlacedTrack } from './tracks/group-parts.ts';
import { setSwitchesAside } from './tracks/key-switches.ts';
import { latenessOf } from './clock/lateness.ts';
import type { PartIdentity } from './tracks/part-identity.ts';
import { abbreviate } from './tracks/part-identity.ts';
import type { Front } from './who-has-the-melody/front-of-stage.ts';
import { frontOf } from './who-has-the-melody/front-of-stage.ts';
import { earlierTunes } from './who-has-the-melody/given-tune.ts';
import { leadQuestion, microphoneQuestion } from './who-has-the-melody/lead-question.ts';
import type { HeardMemo } from './who-has-the-melody/told-leads.ts';
import { toldAbove, toldLevels } from './who-has-the-melody/told-leads.ts';
import type { TickPlace } from './tracks/performance.ts';
import { curvesOf, dynamicsSourceOf, playedNotes } from './tracks/performance.ts';
import { memberOf, playersOf, playersQuestion } from './tracks/players.ts';
import { sectionsOf, statedKeysOf } from './user-notes-and-settings/sections.ts';
import { withToldKeys } from './user-notes-and-settings/told-keys.ts';
import type { NameReader } from './names/source-track.ts';
import { secondsReader, tickReader } from './clock/stage-clock.ts';
import { sungWords } from './tracks/sung-words.ts';
import type { StageMusic } from './stage-music.ts';

export interface FinishedStage {
  readonly stage: Stage;
  readonly sectionsBy: 'settings' | 'markers' | 'none';
  readonly foregroundBy: Front['by'];
  /** What notes said of who is in front. */
  readonly toldLeads: Front['told'];
  /** Parts whose number of players was taken from the section table. */
  readonly sectionParts: readonly Part[];
}

const LAST_IN_SCORE = 1000;

/**
 * Where parts stand in the score. Horns stand under the woodwind, but over the bassoons in chamber music for winds of which they are the only
 * brass (flute, oboe, clarinet, horn, bassoon; common practice, no source). In a plucked orchestra guitars stand under the mandolins, mandola and
 * mandoloncello (common practice, no source).
 */
function scoreOrderIn(kind: EnsembleKind, parts: readonly Part[]): (part: Part) => number {
  const placeOf = (id: string): number => instrumentById(id)?.scoreOrder ?? LAST_IN_SCORE;
  const isHarmonie =
    kind === 'chamber' &&
    parts.every(({ family, instrument }) => family !== 'strings' && (family !== 'brass' || instrument === 'horn-f'));
  const aboveBassoons = placeOf('bassoon') - 0.5;
  const underMandolins = isPluckedOrchestra(parts) ? placeOf('mandocello') + 0.01 : undefined;
  return ({ instrument }) => {
    if (isHarmonie && instrument === 'horn-f') return aboveBassoons;
    return (instrument === 'guitar' ? underMandolins : undefined) ?? placeOf(instrument);
  };
}

interface ShapedPart {
  readonly draft: PartDraft;
  readonly id: string;
  readonly abbreviation: string;
  readonly notes: readonly PlayedNote[];
  readonly controlNotes: Part['controlNotes'];
  readonly tracks: readonly TrackRecord[];
  readonly words: readonly SungSyllable[];
  /** Without the part id. */
  readonly questions: readonly Question[];
}

function copiesQuestion({ tracks }: PartDraft, copies: readonly { copy: number; original: number }[]): Question[] {
  const nameAt = (place: number): string => tracks[place]?.source.name ?? '';
  return copies.slice(0, 1).map(({ copy, original }) => {
    const others = copies.length > 1 ? `, and so do ${copies.length - 1} more` : '';
    const answer =
      nameAt(copy) === nameAt(original)
        ? 'else delete one of the two from the export'
        : `else leave it out with parts: ${asYamlKey(nameAt(copy))}: ignore`;
    return {
      code: 'other',
      text: `Track ${quoted(nameAt(copy))} holds the same notes at the same time as track ${quoted(nameAt(original))}${others}: they are taken for one player and counted once. If another player has them, give the track a number of its own; ${answer}.`,
    };
  });
}

/** Keys that are clearly switches in some part, by family: the players of one template are switched by the same keys. */
function switchKeysByFamily(drafts: readonly PartDraft[]): ReadonlyMap<Family, ReadonlySet<number>> {
  const keys = new Map<Family, Set<number>>();
  for (const { instrument: id, tracks, settings } of drafts) {
    const instrument = instrumentById(id);
    if (instrument === undefined) continue;
    const { switches } = setSwitchesAside(
      tracks.map((track) => track.notes),
      instrument,
      settings.range,
    );
    const own = keys.get(instrument.family) ?? new Set<number>();
    for (const { note } of switches) own.add(note.midi);
    keys.set(instrument.family, own);
  }
  return keys;
}

function shapeParts(music: StageMusic, identities: readonly PartIdentity[]): readonly ShapedPart[] {
  const { drafts, grid, clock } = music;
  const { tempo } = grid.timeline;
  const secondAt = secondsReader(tempo);
  const abbreviations = abbreviate(drafts);
  const placeOf = (track: PlacedTrack): TickPlace => {
    const quartersOf = tickReader(track.source.file, clock.tempo);
    return (tick) => quartersOf(tick) - grid.originQuarters;
  };
  const switchKeys = switchKeysByFamily(drafts);
  return drafts.map((draft, index) => {
    const instrument = instrumentById(draft.instrument);
    const sorted = setSwitchesAside(
      draft.tracks.map((track) => track.notes),
      instrument,
      draft.settings.range,
      switchKeys.get(instrument?.family ?? 'unknown'),
    );
    const single = countedOnce(sorted.music);
    const notes = playedNotes(draft.tracks, single.tracks, instrument, tempo, placeOf, grid.endQuarters);
    const copyOf = (place: number): Pick<TrackRecord, 'copy'> => {
      const original = single.doubled.find(({ copy }) => copy === place)?.original;
      const own = sorted.music[place] ?? [];
      if (original === undefined || own.length === 0) return {};
      const startQuarters = Math.min(...own.map((note) => note.startQuarters));
      const endQuarters = Math.max(...own.map((note) => note.endQuarters));
      return { copy: { of: original, notes: own.length, startQuarters, endQuarters } };
    };
    const tracks = draft.tracks.map(({ source }, trackIndex): TrackRecord => {
      const track = draft.tracks[trackIndex];
      return {
        file: source.file.path,
        track: source.raw.track,
        channel: source.raw.channel,
        name: source.name,
        ...(source.raw.program === undefined ? {} : { program: source.raw.program }),
        articulation: source.reading.articulation,
        ...copyOf(trackIndex),
        curves: track === undefined ? [] : curvesOf(source.raw.controllers, placeOf(track)),
      };
    });
    return {
      draft,
      id: identities[index]?.id ?? `part-${index + 1}`,
      abbreviation: abbreviations[index] ?? draft.name,
      notes,
      controlNotes: sorted.switches.map(({ note, reason }) => ({
        midi: note.midi,
        quarters: note.startQuarters,
        second: secondAt(note.startQuarters),
        reason,
      })),
      tracks,
      words: sungWords(draft.tracks, notes, placeOf),
      questions: [...draft.questions, ...copiesQuestion(draft, single.doubled)],
    };
  });
}

function partOf(
  shaped: ShapedPart,
  drafts: readonly PartDraft[],
  inFront: 'throughout' | 'somewhere' | 'never',
  latenessMs: Part['latenessMs'],
  kind: EnsembleKind,
): { part: Part; isSection: boolean } {
  const { draft } = shaped;
  const { settings } = draft;
  const instrument = instrumentById(draft.instrument);
  const { players, by, isSection } = playersOf(
    draft,
    drafts,
    inFront === 'throughout' && draft.numbers.length === 0,
    kind,
  );
  const transposition =
    draft.tracks.map((track) => track.recognition.transposition).find((own) => own !== undefined) ??
    instrument?.transposition;
  const number = draft.numbers[0];
  const strings =
    draft.tracks.map(({ source }) => source.reading.strings).find((own) => own !== undefined) ??
    draft.toldStrings?.strings;
  const part: Part = {
    id: shaped.id,
    name: draft.name,
    abbreviation: shaped.abbreviation,
    instrument: instrument?.id ?? 'unknown',
    instrumentName: instrument?.name ?? 'unknown instrument',
    recognisedBy: draft.by,
    family: instrument?.family ?? 'unknown',
    role: inFront === 'never' ? 'background' : 'foreground',
    ...(number === undefined ? {} : { number }),
    ...(draft.members === undefined ? {} : { members: draft.members }),
    ...(strings === undefined ? {} : { strings }),
    players,
    playersBy: by,
    transposition: { semitones: transposition?.semitones ?? 0, diatonicSteps: transposition?.diatonicSteps ?? 0 },
    unpitched: instrument?.polyphony.kind === 'unpitched',
    tracks: shaped.tracks,
    notes: shaped.notes,
    controlNotes: shaped.controlNotes,
    ...(shaped.words.length === 0 ? {} : { words: shaped.words }),
    latenessMs,
    trimDb: settings.trim ?? 0,
    ...(settings.trim === undefined ? {} : { levelBy: 'settings' as const }),
    dynamics: settings.dynamics ?? dynamicsSourceOf(instrument, shaped.tracks),
    ...(settings.range === undefined ? {} : { range: settings.range }),
  };
  return { part, isSection };
}

/** Second at which the first bar stands in the MIDI files. */
export function firstBarSecondOf({ grid, clock }: Pick<StageMusic, 'grid' | 'clock'>): number {
  return secondsReader(clock.tempo)(grid.originQuarters + (grid.timeline.bars[0]?.startQuarters ?? 0));
}

/**
 * A finished stage. `onlyPartOfFirstStage` is the id of the part that was alone in the first stage, where there is one; `before` the finished stage
 * before it, `heard` the notes that may say who leads.
 */
export function finishStage(
  music: StageMusic,
  identities: readonly PartIdentity[],
  settings: Settings,
  onlyPartOfFirstStage: string | undefined,
  before: Stage | undefined,
  heard: readonly HeardMemo[],
  read: NameReader,
): FinishedStage {
  const { grid, drafts, named, clock } = music;
  const { timeline, originQuarters } = grid;
  const placed = named.raw.files.flatMap((file) => {
    const quartersOf = tickReader(file, clock.tempo);
    return {
      markers: file.markers.map((marker) => ({
        quarters: quartersOf(marker.tick) - originQuarters,
        text: marker.text,
      })),
      keys: file.keySignatures.map((key) => ({
        quarters: quartersOf(key.tick) - originQuarters,
        fifths: key.fifths,
        mode: key.mode,
      })),
    };
  });
  const { sections, by: sectionsBy } = sectionsOf(
    settings,
    placed.flatMap((file) => file.markers),
    timeline.bars,
  );
  const ensemble = ensembleNamed(ensembleOf(drafts.map(memberOf)), [named.title, settings.title ?? ''], drafts.length);
  const shaped = shapeParts(music, identities);
  const lateness = latenessOf(
    shaped.map((part) => part.notes),
    timeline,
  );
  const build = (front: readonly ForegroundSpan[]): { part: Part; isSection: boolean }[] =>
    shaped.map((own, index) => {
      const spans = front.filter((span) => span.partId === own.id);
      const inFront = spans.length === 0 ? 'never' : front.length === spans.length ? 'throughout' : 'somewhere';
      return partOf(own, drafts, inFront, lateness[index] ?? { median: 0, spread: 0 }, ensemble.kind);
    });
  const provisional = build([]).map(({ part }) => part);
  const front = frontOf({
    ensemble: ensemble.kind,
    bars: timeline.bars,
    sections,
    candidates: shaped.map(({ draft, id, notes }) => ({ id, notes, draft })),
    parts: provisional,
    settings,
    onlyPartOfFirstStage,
    before,
    tunesBefore: before === undefined ? [] : earlierTunes(before, timeline),
    heard,
    read,
  });
  const foreground = front.spans;
  // Who was given a tune is no soloist by that.
  const soloists =
    front.by === 'first-stage' ? front.spans.filter(({ partId }) => partId === onlyPartOfFirstStage) : front.spans;
  const built = build(front.by === 'guess' ? [] : soloists);
  const inFrontIds = new Set(front.spans.map((span) => span.partId));
  const order = scoreOrderIn(
    ensemble.kind,
    built.map(({ part }) => part),
  );
  const sorted = built
    .map(({ part, isSection }, index) => ({
      part: inFrontIds.has(part.id) ? { ...part, role: 'foreground' as const } : part,
      isSection,
      index,
    }))
    .sort((a, b) => order(a.part) - order(b.part) || (a.part.number ?? 0) - (b.part.number ?? 0) || a.index - b.index);
  const parts = sorted.map(({ part }) => part);
  const questions: Question[] = shaped.flatMap(({ questions: own, id }) =>
    own.map((question) => ({ ...question, partId: id })),
  );
  const asked = leadQuestion(foreground, parts);
  // What judgement rests on is asked first.
  if (asked !== undefined && foreground.some(({ weak }) => weak)) questions.unshift(asked);
  else if (asked !== undefined) questions.push(asked);
  questions.push(...playersQuestion(ensemble, parts));
  questions.push(...microphoneQuestion(ensemble.kind, parts));
  questions.unshift(...music.questions);
  const last = timeline.bars.at(-1);
  const { remark } = named.settings;
  const toldInput = { heard, parts, sections, bars: timeline.bars, read };
  const announced = toldAbove(toldInput);
  const announcedLevels = toldLevels(toldInput);
  const stage: Stage = {
    id: named.id,
    order: named.order,
    title: named.title,
    ...(remark === undefined ? {} : { remark }),
    seconds: last === undefined ? 0 : last.startSecond + last.lengthSeconds,
    timeline,
    sections,
    parts,
    foreground,
    ...(announced.length === 0 ? {} : { announced }),
    ...(announcedLevels.length === 0 ? {} : { announcedLevels }),
    foregroundGuessed: front.by === 'guess',
    ensemble,
    ...(settings.style === undefined ? {} : { style: settings.style }),
    ...(settings.staves === undefined || settings.staves === 'auto' ? {} : { staves: settings.staves }),
    statedKeys: withToldKeys(
      statedKeysOf(
        settings,
        placed.flatMap((file) => file.keys),
        timeline.bars,
      ),
      heard.map(({ memo }) => memo),
      timeline.bars,
    ),
    questions,
  };
  return {
    stage,
    sectionsBy,
    foregroundBy: front.by,
    toldLeads: front.told,
    sectionParts: sorted.filter(({ isSection }) => isSection).map(({ part }) => part),
  };
}
