import type { BeatSound, Clearance } from '../../../analyse/level/uncovering/clearance.ts';
import { beatSoundsOf, clearanceOf } from '../../../analyse/level/uncovering/clearance.ts';
import { isLeftAsWritten } from '../../../analyse/level/shaping.ts';
import { pitchLabel, plainSpelling } from '../../../model/music/pitch.ts';
import type { BarBalance } from '../../../model/readings/readings.ts';
import type { BarRun } from '../../bar-runs.ts';
import { barRuns, splitWhere, toldTogether } from '../../bar-runs.ts';
import { leadKey } from '../../leads.ts';
import type { DraftFinding, RuleContext } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { barsWithForeground, frontIdsOf, isLevelAssumed } from '../../sounding-front.ts';
import { elsewhereText, namesText, spansText } from '../../words.ts';

/** A passage goes on where the share lies no more than this under the limit. */
const BRIDGING_SHARE = 0.1;
/** With so many parts at once it is a tutti, and belongs to the balance of the whole. */
const TUTTI_PARTS = 10;

/** A bar on its own, as a last chord, must lie so far from the limit to wholly covered. */
const LONE_BAR = 0.8;

function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}

function clearingText({ softerDb, players, octave, coverer }: Clearance, context: RuleContext): string {
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
  return `By this estimate ${[first, ...others].join(', or ')} would do; or let the background rest where the foreground moves.`;
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

function findingOf(run: BarRun<BarBalance>, sounds: readonly BeatSound[], context: RuleContext): DraftFinding[] {
  const { parts, partById, limit, stage } = context;
  const { from, to, items } = run;
  const first = stage.timeline.bars[0]?.number ?? 1;
  const bars = new Set(items.map(({ bar }) => bar - first));
  const inRun = sounds.filter(({ barIndex }) => bars.has(barIndex));
  const clearance = clearanceOf(inRun, parts, limit);
  const { coverer, share } = clearance;
  const frontIds = frontIdsOf(items, context);
  const part = coverer === undefined ? undefined : parts[coverer.partIndex]?.part;
  // Where nobody alone is to blame it is a tutti, and belongs to the balance of the whole.
  if (part === undefined || coverer === undefined || coverer.shareWithout >= limit) return [];
  // Who shares the tune in the bar before or after goes on with it here.
  const [before, after] = [context.front[from - first - 1], context.front[to - first + 1]];
  if (from === to && (before?.has(part.id) === true || after?.has(part.id) === true)) return [];
  // Voices of a choir that meet on one note are one sound.
  if (context.idiom.kind === 'choir' && part.family === 'voice' && isInUnison(inRun, coverer.partIndex)) return [];
  // An organ that goes with its choir carries it.
  if (context.idiom.kind === 'choir' && part.family === 'keyboard') return [];
  // Where nobody shaped a part its level is that of the program that wrote it.
  const fronts = frontIds.flatMap((id) => partById.get(id)?.part ?? []);
  if (isLeftAsWritten(part, fronts, stage.parts, context.unshaped)) return [];
  const assumed = isLevelAssumed(frontIds, context);
  const caution = assumed ? '; no published level of the foreground instrument is at hand, its own is assumed' : '';
  const front = namesText(fronts);
  return [
    {
      level: 'note',
      from,
      to,
      partIds: [...frontIds, part.id],
      message: `${percent(share)} of the sound of ${front} is masked by the background in ${spansText(items.map(({ bar }) => bar))}${bandText(clearance)} (estimated from MIDI${caution}); most of it under ${part.name}, without which it would be ${percent(coverer.shareWithout)}${elsewhereText(run)}.`,
      advice: clearingText(clearance, context),
      amount: share,
    },
  ];
}

export const backgroundCovers = defineRule(
  {
    name: 'background-covers',
    title: 'The background masks the foreground',
    looksAt:
      'The share of the foreground’s energy whose partials are no stronger than what the background leaves in the auditory filter at their place, bar by bar where the foreground sounds in at least half the beats, and surely leads, and where one background part alone makes the difference.',
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
    // What a desk does to the levels, no estimate knows.
    if (context.idiom.amplified) return [];
    const sounding = barsWithForeground(context);
    const shareOf = ({ maskedShare }: BarBalance): number => maskedShare ?? 0;
    const near = readings.balance.filter(
      (bar) =>
        sounding.has(bar.bar) &&
        Object.keys(bar.partsDb).length < TUTTI_PARTS &&
        bar.maskedShare !== undefined &&
        shareOf(bar) >= limit - BRIDGING_SHARE,
    );
    const barOf = ({ bar }: BarBalance): number => bar;
    const passages = splitWhere(barRuns(near, barOf), barOf, ({ bar }) => leadKey(context, bar));
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
    const sounds = beatSoundsOf(parts, beats, front, stage.timeline);
    const drafts = new Map<BarRun<BarBalance>, DraftFinding[]>(
      runs.map((run) => [run, findingOf(run, sounds, context)]),
    );
    const sides = (run: BarRun<BarBalance>): string => drafts.get(run)?.[0]?.partIds.join(',') ?? '';
    return toldTogether(runs, sides).flatMap((run) => drafts.get(run) ?? findingOf(run, sounds, context));
  },
);
