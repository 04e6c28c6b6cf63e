/** What the harmony chart says in words. */
import { barsText, counted, listText, percentText } from '../../../model/words/plain-words.ts';
import { printedSymbol } from '../../../notate/chords/chords.ts';
import { nameOf } from '../frame/front.ts';
import type { HarmonyPlan } from './harmony-plan.ts';

/** `once`, `twice`, `3 times`. */
function timesText(count: number): string {
  return ['never', 'once', 'twice'][count] ?? `${String(count)} times`;
}

/** Shares of the time of all chords in which each part has the bass, most first. */
function bassShares(plan: HarmonyPlan): readonly { readonly partId: string; readonly share: number }[] {
  const quarters = new Map<string, number>();
  let whole = 0;
  for (const { partIds, startQuarters, endQuarters } of plan.bass) {
    whole += endQuarters - startQuarters;
    for (const partId of partIds) quarters.set(partId, (quarters.get(partId) ?? 0) + endQuarters - startQuarters);
  }
  return [...quarters]
    .map(([partId, length]) => ({ partId, share: whole > 0 ? length / whole : 0 }))
    .sort((a, b) => b.share - a.share);
}

/** `the root in bar 3 and the third in bars 4–5`; '' where neither is told of any chord. */
function tonesText<Box>(
  boxes: readonly Box[],
  tonesOf: (box: Box) => readonly number[],
  bars: (some: readonly Box[]) => string,
): string {
  const has = (box: Box, tone: number): boolean => tonesOf(box).includes(tone);
  const groups = [
    ['root and third', boxes.filter((box) => has(box, 0) && has(box, 1))],
    ['root', boxes.filter((box) => has(box, 0) && !has(box, 1))],
    ['third', boxes.filter((box) => has(box, 1) && !has(box, 0))],
  ] as const;
  return listText(groups.flatMap(([name, own]) => (own.length === 0 ? [] : [`the ${name} in ${bars(own)}`])));
}

/** One or two sentences on the chords, the bass and what is missing. */
export function describeHarmony(plan: HarmonyPlan): string {
  if (plan.boxes.length === 0) return 'No chords were found: too little sounds at once.';
  const names = new Map(plan.parts.map((part) => [part.id, nameOf(part)]));
  const owners = bassShares(plan)
    .slice(0, 3)
    .map(({ partId, share }) => `${names.get(partId) ?? partId} (${percentText(share)} of the time)`);
  const isShared = plan.bass.some(({ partIds }) => partIds.length > 1);
  const handovers = plan.boxes.filter(({ handover }) => handover);
  const bass =
    owners.length === 0
      ? ''
      : `, the bass with ${listText(owners)}${isShared ? ', each counted where they share it' : ''}${handovers.length === 0 ? '' : `; it changes hands ${timesText(handovers.length)}`}`;
  const bars = (boxes: readonly { readonly chord: { readonly bar: number } }[]): string =>
    barsText(
      boxes.map(({ chord }) => chord.bar),
      4,
    );
  const lacking = tonesText(plan.boxes, ({ missing }) => missing, bars);
  const hollow = tonesText(plan.boxes, ({ onlyInFront }) => onlyInFront, bars);
  return [
    `${counted(plan.boxes.length, 'chord')}${bass}.`,
    lacking === '' ? '' : `Nobody sounds ${lacking}.`,
    hollow === '' ? '' : `Only ${plan.front.name} has ${hollow}.`,
    'Chords are read from the notes: an estimate.',
  ]
    .filter((sentence) => sentence !== '')
    .join(' ');
}

/** The chords of a bar, for the pointer that rests on it. */
export function chordAtBar(plan: HarmonyPlan): (bar: number) => string {
  const byBar = new Map<number, string[]>();
  let sounding = '';
  let next = 0;
  for (const bar of plan.stage.timeline.bars) {
    const words: string[] = [];
    const end = bar.startQuarters + bar.lengthQuarters;
    for (let box = plan.boxes[next]; box !== undefined && box.startQuarters < end - 1e-6; box = plan.boxes[++next]) {
      sounding = `${printedSymbol(box.chord.symbol)}${box.chord.roman === '' ? '' : ` (${box.chord.roman})`}`;
      words.push(sounding);
    }
    byBar.set(bar.number, words.length === 0 && sounding !== '' ? [sounding] : words);
  }
  return (bar) => `Bar ${bar}: ${byBar.get(bar)?.join(', ') ?? ''}`;
}
