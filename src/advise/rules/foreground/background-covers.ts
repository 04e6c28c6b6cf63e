import type { JudgedBar } from '../../../analyse/level/measured/judged-balance.ts';
import type { BeatExcitation, BeatSound, Clearance } from '../../../analyse/level/uncovering/clearance.ts';
import { withUnisons } from '../../../analyse/lines/colla-parte.ts';
import { beatSoundsOf, clearanceOf, excitationsOf } from '../../../analyse/level/uncovering/clearance.ts';
import { recordedExcitations } from '../../../analyse/level/uncovering/recorded-excitations.ts';
import { isLeftAsWritten } from '../../../analyse/level/shaping.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { pitchLabel, plainSpelling } from '../../../model/music/pitch.ts';
import { percentText } from '../../../model/words/plain-words.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns, splitWhere, toldTogether } from '../../bar-runs.ts';
import type { DraftFinding, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import {
  areMeasured,
  barsWithForeground,
  byBasis,
  frontIdsOf,
  isSingerOver,
  passageKey,
  sidesBasisText,
} from '../../sounding-front.ts';
import { elsewhereText, namesText, spansText } from '../../words.ts';

/** A passage goes on where the share lies no more than this under the limit. */
const BRIDGING_SHARE = 0.1;
/** With so many parts at once it is a tutti, and belongs to the balance of the whole. */
const TUTTI_PARTS = 10;

/** A bar on its own, as a last chord, must lie so far from the limit to wholly covered. */
const LONE_BAR = 0.8;

function clearingText(
  { softerDb, players, octave, coverer }: Clearance,
  isMeasured: boolean,
  context: RuleContext,
): string {
  const part = coverer === undefined ? undefined : context.parts[coverer.partIndex]?.part;
  const ways = [
    ...(softerDb === undefined ? [] : [`the background ${softerDb} dB softer`]),
    ...(part === undefined || players === undefined ? [] : [`${part.name} with ${players} of ${part.players} players`]),
    ...(part === undefined || octave === undefined
      ? []
      : [`${part.name} an octave ${octave < 0 ? 'lower' : 'higher'}`]),
  ];
  if (ways.length === 0) return 'No one change clears it: thin the texture out, or let the background rest here.';
  const [first = '', ...others] = ways;
  return `${byBasis(isMeasured)} ${[first, ...others].join(', or ')} would do; or let the background rest where the foreground moves.`;
}

/** `between 250 and 700 Hz, where the notes from B3 to F5 lie`; one note where both ends are near it. */
function bandText({ bandHz }: Clearance): string {
  if (bandHz === undefined) return '';
  const [low, high] = [bandHz.lowHz, bandHz.highHz].map((hertz) => ({
    hertz: Math.round(hertz / 10) * 10,
    note: pitchLabel(plainSpelling(Math.round(69 + 12 * Math.log2(hertz / 440)))),
  }));
  if (low === undefined || high === undefined) return '';
  const where =
    low.note === high.note
      ? `around ${low.note} (${low.hertz} Hz)`
      : `from ${low.note} to ${high.note} (${low.hertz} to ${high.hertz} Hz)`;
  return `, mostly ${where}`;
}

/** Whether the coverer has the very tones of the foreground, or their octaves, through most of the beats that both sound. */
function isInUnison(sounds: readonly BeatSound[], coverer: number): boolean {
  const both = sounds.flatMap(({ foreground, background }) => {
    const own = new Set(background.flatMap((tone) => (tone.partIndex === coverer ? [tone.midi % 12] : [])));
    return own.size === 0 || foreground.length === 0 ? [] : [foreground.every(({ midi }) => own.has(midi % 12))];
  });
  return both.filter(Boolean).length > both.length / 2;
}

/** What sounds, by the notes beat by beat, and on recordings. */
interface Sounds {
  readonly played: readonly BeatSound[];
  readonly recorded: readonly BeatExcitation[];
}

/** All parts on the recordings of this one. */
function recordedWith(part: Part, { readings, partById }: RuleContext): readonly Part[] {
  const group = readings.measured?.groups.find(({ partIds }) => partIds.includes(part.id));
  return group?.partIds.flatMap((id) => partById.get(id)?.part ?? []) ?? [part];
}

function findingOf(run: BarRun<JudgedBar>, { played, recorded }: Sounds, context: RuleContext): DraftFinding[] {
  const { parts, partById, limit, stage } = context;
  const { from, to, items } = run;
  const first = stage.timeline.bars[0]?.number ?? 1;
  const bars = new Set(items.map(({ bar }) => bar - first));
  const isMeasured = areMeasured(items);
  const inRun = played.filter(({ barIndex }) => bars.has(barIndex));
  const coverersAt = (index: number): readonly Part[] => {
    const own = parts[index]?.part;
    return own === undefined ? [] : isMeasured ? recordedWith(own, context) : [own];
  };
  const clearance = clearanceOf(
    isMeasured ? recorded.filter(({ barIndex }) => bars.has(barIndex)) : excitationsOf(inRun),
    (index) => {
      const [own, ...others] = coverersAt(index);
      return own === undefined || others.length > 0 ? 1 : own.players;
    },
    limit,
  );
  const { coverer, share } = clearance;
  const frontIds = frontIdsOf(items, context);
  const part = coverer === undefined ? undefined : parts[coverer.partIndex]?.part;
  // Where nobody alone is to blame it is a tutti, and belongs to the balance of the whole.
  if (part === undefined || coverer === undefined || coverer.shareWithout >= limit) return [];
  // Who shares the tune in the bar before or after goes on with it here.
  const [before, after] = [context.front[from - first - 1], context.front[to - first + 1]];
  if (from === to && (before?.has(part.id) === true || after?.has(part.id) === true)) return [];
  if (isSingerOver(part, frontIds, context)) return [];
  // Voices of a choir that meet on one note are one sound.
  if (context.idiom.kind === 'choir' && part.family === 'voice' && isInUnison(inRun, coverer.partIndex)) return [];
  // An organ that goes with its choir carries it.
  if (context.idiom.kind === 'choir' && part.family === 'keyboard') return [];
  // Where nobody shaped a part its level is that of the program that wrote it.
  const fronts = frontIds.flatMap((id) => partById.get(id)?.part ?? []);
  if (!isMeasured && isLeftAsWritten(part, fronts, stage.parts, context.unshaped)) return [];
  const coverers = coverersAt(coverer.partIndex);
  const backIds = coverers.map(({ id }) => id);
  const front = namesText(fronts);
  return [
    {
      level: 'note',
      from,
      to,
      partIds: [...frontIds, ...backIds],
      message: `${percentText(share)} of the sound of ${front} is masked by the background in ${spansText(items.map(({ bar }) => bar))}${bandText(clearance)} (${sidesBasisText(isMeasured, frontIds, backIds, context)}); most of it under ${namesText(coverers)}, without which it would be ${percentText(coverer.shareWithout)}${elsewhereText(run)}.`,
      advice: clearingText(clearance, isMeasured, context),
      amount: share,
    },
  ];
}

export const backgroundCovers = defineRule(
  {
    name: 'background-covers',
    title: 'The background masks the foreground',
    looksAt:
      'The share of the foreground’s energy whose partials are no stronger than what the background leaves in the auditory filter at their place, bar by bar (from the spectra of recordings where they hold everybody who plays, else estimated) where the foreground sounds in at least half the beats, and surely leads, and where one background part alone makes the difference. Who goes in unison with the foreground doubles it and masks nothing.',
    why: 'A softer background can still hide the foreground where both lie in the same register; a louder one beside it may not.',
    limit: {
      standard: 0.5,
      unit: 'of the energy',
      meaning: 'largest masked share of a bar; a bar on its own counts where nearly all is masked',
    },
    source:
      'auditory filters: B. Glasberg & B. Moore, Hearing Research 47 (1990); partials as R. Parncutt & H. Strasburger take them (1994), both from memory; the limit is ours',
    level: 'note',
    yieldsTo: ['background-as-loud'],
  },
  (context) => {
    const { readings, limit, parts, beats, front, stage } = context;
    const sounding = barsWithForeground(context);
    const shareOf = ({ maskedShare }: JudgedBar): number => maskedShare ?? 0;
    const near = readings.balance.filter(
      (bar) =>
        sounding.has(bar.bar) &&
        // What a desk does to the levels, no estimate knows.
        (bar.isMeasured || !context.idiom.amplified) &&
        Object.keys(bar.partsDb).length < TUTTI_PARTS &&
        bar.maskedShare !== undefined &&
        shareOf(bar) >= limit - BRIDGING_SHARE,
    );
    const barOf = ({ bar }: JudgedBar): number => bar;
    const passages = splitWhere(barRuns(near, barOf), barOf, (bar) => passageKey(bar, context));
    const runs = passages.flatMap(({ items }) => {
      const first = items.findIndex((bar) => shareOf(bar) >= limit);
      const last = items.findLastIndex((bar) => shareOf(bar) >= limit);
      const covered = items.slice(first, last + 1);
      const from = covered[0]?.bar;
      const to = covered.at(-1)?.bar;
      if (first < 0 || from === undefined || to === undefined) return [];
      const lone = covered.length === 1 && Math.max(...covered.map(shareOf)) < limit + (1 - limit) * LONE_BAR;
      return lone ? [] : [{ from, to, items: covered }];
    });
    if (runs.length === 0) return [];
    const sounds: Sounds = {
      played: beatSoundsOf(parts, beats, withUnisons(front, readings.doublings, parts, stage.timeline), stage.timeline),
      recorded: near.some(({ isMeasured }) => isMeasured) ? recordedExcitations(stage, beats, readings.beats) : [],
    };
    const drafts = new Map<BarRun<JudgedBar>, DraftFinding[]>(
      runs.map((run) => [run, findingOf(run, sounds, context)]),
    );
    const sides = (run: BarRun<JudgedBar>): string =>
      `${drafts.get(run)?.[0]?.partIds.join(',') ?? ''} ${String(areMeasured(run.items))}`;
    return toldTogether(runs, sides).flatMap((run) => drafts.get(run) ?? findingOf(run, sounds, context));
  },
);
