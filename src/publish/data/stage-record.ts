/** One stage in the data export. */
import type { Part, Stage } from '../../model/music/arrangement.ts';
import { pitchClassOf, className, pitchName } from '../../model/music/pitch.ts';
import type { StageReadings } from '../../model/readings/readings.ts';
import {
  DIVISIONS_PER_QUARTER,
  type NoteOrnament,
  type WrittenPart,
  type WrittenSyllable,
  type WrittenStage,
} from '../../model/music/written.ts';
import type { TempoProposal } from '../../notate/free-time/tempo-proposal.ts';
import type { ExportedStage } from '../dossier-input.ts';
import { questionsOf } from '../questions.ts';
import { meterText } from '../numbers-and-names.ts';
import { measuredRecord } from './measured-record.ts';
import { pacingRecord } from './pacing-record.ts';
import { readingRecords } from './readings-record.ts';
import { rounded } from './rounding.ts';
import { spacingRecord } from './spacing-record.ts';

function quarters(divisions: number): number {
  return rounded(divisions / DIVISIONS_PER_QUARTER);
}

function barRecords(stage: Stage): readonly object[] {
  return stage.timeline.bars.map((bar) => ({
    number: bar.number,
    start: rounded(bar.startQuarters),
    length: rounded(bar.lengthQuarters),
    second: rounded(bar.startSecond),
    seconds: rounded(bar.lengthSeconds),
    meter: meterText(bar.meter),
    tempo: rounded(bar.tempo, 3),
  }));
}

/** Seconds of the bars and beats on the clock of the export. */
function proposalRecord(proposal: TempoProposal | undefined): object | null {
  if (proposal === undefined) return null;
  const { stage, originSecond, tempo, meter, struck } = proposal;
  return {
    tempo: rounded(tempo, 3),
    meter: meterText(meter),
    struck: rounded(struck, 3),
    bars: stage.timeline.bars.map((bar) => ({
      number: bar.number,
      second: rounded(bar.startSecond + originSecond),
      meter: meterText(bar.meter),
    })),
  };
}

/** Nothing but a dot. */
function isBare({ graces, sign, roll, covers }: NoteOrnament): boolean {
  return graces.length === 0 && sign === undefined && roll === undefined && covers.length === 0;
}

function ornamentRecord(part: Part, { graces, sign, roll, covers }: NoteOrnament): object {
  const secondsOf = (played: readonly number[]): number[] =>
    played.flatMap((index) => {
      const note = part.notes[index];
      return note === undefined ? [] : [rounded(note.startSecond)];
    });
  return {
    graces: graces.map((grace) => ({
      midi: grace.midi,
      pitch: pitchName(grace.pitch),
      second: secondsOf([grace.played])[0] ?? null,
    })),
    sign: sign ?? null,
    roll: roll ?? null,
    standsFor: secondsOf(covers),
  };
}

function syllableRecord({ text, place, until }: WrittenSyllable): object {
  return { text, place, until: until === undefined ? null : quarters(until) };
}

function noteRecords(part: Part, written: WrittenPart | undefined): readonly object[] {
  return (written?.notes ?? []).map((note) => {
    const played = part.notes[note.played];
    return {
      midi: note.midi,
      pitch: pitchName(note.pitch),
      start: quarters(note.start),
      length: quarters(note.length),
      performed:
        played === undefined
          ? null
          : { second: rounded(played.startSecond), seconds: rounded(played.endSecond - played.startSecond) },
      velocity: played?.velocity ?? null,
      staff: note.staff,
      voice: note.voice,
      ...(note.syllable === undefined ? {} : { syllable: syllableRecord(note.syllable) }),
      ...(note.ornament?.staccato === true ? { staccato: true } : {}),
      ...(note.ornament === undefined || isBare(note.ornament)
        ? {}
        : { ornament: ornamentRecord(part, note.ornament) }),
    };
  });
}

function partRecord(part: Part, written: WrittenPart | undefined): object {
  return {
    id: part.id,
    name: part.name,
    abbreviation: part.abbreviation,
    instrument: part.instrument,
    instrumentName: part.instrumentName,
    recognisedBy: part.recognisedBy,
    family: part.family,
    role: part.role,
    number: part.number ?? null,
    players: part.players,
    playersBy: part.playersBy,
    transposition: { semitones: part.transposition.semitones, diatonicSteps: part.transposition.diatonicSteps },
    unpitched: part.unpitched,
    tracks: part.tracks.map((track) => ({
      file: track.file,
      track: track.track,
      channel: track.channel + 1,
      name: track.name,
      program: track.program ?? null,
      articulation: track.articulation,
    })),
    dynamics: part.dynamics,
    trimDb: part.trimDb,
    range: part.range ?? null,
    latenessMs: { median: rounded(part.latenessMs.median, 2), spread: rounded(part.latenessMs.spread, 2) },
    doubtfulShare: rounded(written?.doubtfulShare ?? 0, 4),
    notes: noteRecords(part, written),
    controlNotes: part.controlNotes.map((note) => ({
      midi: note.midi,
      second: rounded(note.second),
      reason: note.reason,
    })),
  };
}

function keyRecords(written: WrittenStage): readonly object[] {
  return written.keys.map((key) => ({
    from: key.from,
    to: key.to,
    tonic: className(key.tonic),
    mode: key.mode,
    fifths: key.fifths,
    confidence: rounded(key.confidence, 4),
    by: key.by,
    rival: key.rival === undefined ? null : { tonic: className(key.rival.tonic), mode: key.rival.mode },
    restsOnDominant: key.restsOnDominant === true,
    modal: key.modal === undefined ? null : { tonic: className(key.modal.tonic), name: key.modal.name },
  }));
}

function chordRecords(written: WrittenStage, readings: StageReadings): readonly object[] {
  const coverage = new Map(readings.coverage.map((item) => [item.chord, item]));
  const grounds = new Map((readings.grounds ?? []).map((item) => [item.chord, item]));
  return written.chords.map((chord, index) => ({
    start: quarters(chord.start),
    length: quarters(chord.length),
    bar: chord.bar,
    symbol: chord.symbol,
    root: className(chord.root),
    rootClass: pitchClassOf(chord.root),
    quality: chord.quality,
    bass: className(chord.bass),
    roman: chord.roman,
    key: chord.key === undefined ? null : { tonic: className(chord.key.tonic), mode: chord.key.mode },
    inversion: chord.inversion ?? 0,
    tones: chord.tones,
    coverage: rounded(chord.coverage, 4),
    covered: coverage.get(index)?.covered ?? {},
    missing: coverage.get(index)?.missing ?? [],
    missingWithoutForeground: grounds.get(index)?.missingWithoutForeground ?? [],
    bassParts: grounds.get(index)?.bassPartIds ?? [],
    handover: grounds.get(index)?.handover ?? false,
  }));
}

function formRecord({ form }: StageReadings): object | null {
  if (form === undefined) return null;
  return {
    by: form.by,
    parts: form.parts.map(({ name, from, to, as }) => ({ name, from, to, as: as ?? null })),
  };
}

/** Which staves the choirs have; nothing where the ensemble has two. */
function choirsRecord({ reduced: { choirs, staves } }: WrittenStage): object {
  if (choirs === undefined) return {};
  const labels = [...new Set(staves.filter(({ role }) => role === 'background').map(({ label }) => label))];
  return { choirs: { by: choirs.by, crowdedShare: rounded(choirs.crowded, 2), staves: staves.length, labels } };
}

/** A stage as the data contract has it, some keys at a time, in their order: none of the long ones need be held beside another. */
export function stageRecords(published: ExportedStage): readonly (() => object)[] {
  const { stage, written, readings, findings, score } = published;
  const writtenById = new Map(written.parts.map((part) => [part.partId, part]));
  const head = (): object => ({
    id: stage.id,
    title: stage.title,
    remark: stage.remark ?? null,
    seconds: rounded(stage.seconds),
    bars: barRecords(stage),
    sections: stage.sections.map(({ name, from, to }) => ({ name, from, to })),
    form: formRecord(readings),
    foreground: stage.foreground.map((span) => ({
      part: span.partId,
      from: span.from,
      to: span.to,
      certainty: rounded(span.certainty, 2),
      weak: span.weak,
      rival: span.rivalId ?? null,
      shared: span.shared.map(({ partId, from, to, octaves }) => ({ part: partId, from, to, octaves })),
    })),
    foregroundGuessed: stage.foregroundGuessed,
    ensemble: { kind: stage.ensemble.kind, sure: stage.ensemble.sure },
    questions: questionsOf(published).map((question) => ({
      code: question.code,
      part: question.partId ?? null,
      text: question.text,
    })),
    style: { name: written.style.style, by: written.style.by, sure: written.style.sure },
    ...choirsRecord(written),
    onGrid: written.onGrid,
    steadyBeat: written.steadyBeat ?? null,
    tempoProposal: proposalRecord(published.proposal),
    swing: (written.swing ?? []).map(({ from, to, unit, ratio }) => ({ from, to, unit, ratio })),
    remarks: written.remarks,
  });
  const harmony = (): object => ({
    keys: keyRecords(written),
    chords: chordRecords(written, readings),
    nonChordTones: (readings.nonChordTones ?? []).map((tone) => ({
      chord: tone.chord,
      part: tone.partId,
      bar: tone.bar,
      start: rounded(tone.startQuarters),
      length: rounded(tone.lengthQuarters),
      midi: tone.midi,
      kind: tone.kind,
    })),
    resolutions: (readings.resolutions ?? []).map((tone) => ({
      chord: tone.chord,
      kind: tone.kind,
      part: tone.partId,
      bar: tone.bar,
      start: rounded(tone.startQuarters),
      midi: tone.midi,
      to: tone.to ?? null,
      outcome: tone.outcome,
      outer: tone.isOuter,
    })),
  });
  const systems = (): object => ({
    systems: score.systems.map((system) => ({
      from: system.fromBar,
      to: system.toBar,
      doublings: system.doublings,
      leftOut: system.leftOut,
    })),
  });
  const judged = (): object => ({
    measured: measuredRecord(stage, readings.measured),
    findings: findings.map((finding) => ({
      rule: finding.rule,
      level: finding.level,
      from: finding.from,
      to: finding.to,
      parts: finding.partIds,
      message: finding.message,
      advice: finding.advice,
      source: finding.source,
      accepted: finding.accepted ?? null,
    })),
    spacing: spacingRecord(readings.spacing),
    pacing: pacingRecord(readings.pacing),
  });
  return [
    head,
    () => ({ parts: stage.parts.map((part) => partRecord(part, writtenById.get(part.id))) }),
    harmony,
    systems,
    () => readingRecords(readings),
    judged,
  ];
}

/** All keys of a stage at once. */
export function stageRecord(published: ExportedStage): object {
  return Object.fromEntries(stageRecords(published).flatMap((some) => Object.entries(some())));
}
