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
  const lacking = plan.boxes.filter(({ missing }) => missing.includes(0) || missing.includes(1));
  const hollow = plan.boxes.filter(({ onlyInFront }) => onlyInFront.includes(0) || onlyInFront.includes(1));
  const bars = (boxes: readonly { readonly chord: { readonly bar: number } }[]): string =>
    barsText(
      boxes.map(({ chord }) => chord.bar),
      4,
    );
  return [
    `${counted(plan.boxes.length, 'chord')}${bass}.`,
    lacking.length === 0 ? '' : `Nobody sounds the root or third in ${bars(lacking)}.`,
    hollow.length === 0 ? '' : `Only ${plan.front.name} has the root or third in ${bars(hollow)}.`,
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
