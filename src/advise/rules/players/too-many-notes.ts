import type { PlacedNote } from '../../../analyse/placed-notes/placed-notes.ts';
import type { Part } from '../../../model/music/arrangement.ts';
import { instrumentById, openStringsOf, sourcesOf } from '../../../model/music/catalogue.ts';
import type { Instrument } from '../../../model/music/instrument.ts';
import { isPluralName } from '../../../model/words/part-grammar.ts';
import { barSpanText, counted, listText } from '../../../model/words/plain-words.ts';
import type { Timeline } from '../../../model/music/timeline.ts';
import { barIndexAt, quartersAt } from '../../../model/music/timeline.ts';
import { barRuns } from '../../bar-runs.ts';
import { foundNotes } from '../../found-notes.ts';
import type { DraftFinding, JudgedPart } from '../../rule.ts';
import { defineRule } from '../../rule.ts';
import { instrumentText, pitchText, placeText, verb } from '../../words.ts';

/** Legato overlap: the end of a note does not count for this long, nor for this share of its length. */
const LEGATO_SECONDS = 0.12;
const LEGATO_SHARE = 0.2;

interface Capacity {
  readonly most: number;
  /** Completes "which is more than ...". */
  readonly text: string;
}

/** A name in the plural, a section or several voices are not one player, however many they are. */
function isSeveral({ name, playersBy, number, family, instrument }: Part): boolean {
  if (playersBy !== 'default') return false;
  return (
    instrument === 'choir' ||
    instrument === 'string-ensemble' ||
    (family !== 'percussion' && number === undefined && isPluralName(name))
  );
}

/** Wood comes in pairs: Fagotti are two where they hold more than two notes in a few places only, three where they do it often. Common practice. */
const SELDOM_SHARE = 0.15;

/** Whether a plural of woodwind is a pair by what it plays: one note or two nearly always, two at least once. */
function isPair({ part, notes }: JudgedPart, timeline: Timeline): boolean {
  if (part.family !== 'woodwind' || part.players !== 2 || part.playersBy !== 'default') return false;
  const sounding = new Set(notes.map(({ startQuarters }) => barIndexAt(timeline.bars, startQuarters))).size;
  const over = excessBars({ notes }, 2, timeline).length;
  return over <= Math.max(1, SELDOM_SHARE * sounding) && excessBars({ notes }, 1, timeline).length > 0;
}

/** Whether the number of players is stated: by the settings, the name, or the number of a desk. */
function areStated({ playersBy, number, name }: Part): boolean {
  return playersBy !== 'default' || (number !== undefined && !isPluralName(name));
}

/** Notes that one player sounds at once: the catalogue's, and one more for every string beyond the usual. */
function mostOf({ instrument: id, strings }: Part, { polyphony }: Instrument): number {
  return polyphony.most + (openStringsOf(id, strings)?.length ?? 0) - (openStringsOf(id, undefined)?.length ?? 0);
}

/** How many notes a part can hold at once; undefined where the catalogue does not say. */
function capacityOf(part: Part, instrument: Instrument | undefined, isTwo: boolean): Capacity | undefined {
  if (
    instrument === undefined ||
    part.unpitched ||
    (isSeveral(part) && !isTwo) ||
    instrument.polyphony.kind === 'unpitched'
  )
    return undefined;
  const { kind, most, mostSustained } = instrument.polyphony;
  const players = Math.max(1, part.players);
  if (kind === 'monophonic') {
    return {
      most: players,
      text: players === 1 ? `one ${instrumentText(part)} can sound` : `${players} players can sound one note each`,
    };
  }
  if (part.family === 'strings' && kind === 'limited') {
    const held = mostSustained ?? most;
    if (players === 1) return { most: held, text: `one ${instrumentText(part)} can hold` };
    // Divided by desks; double stops or players of one desk apart do not ask for more.
    const divided = Math.max(held, Math.floor(players / 2));
    return { most: divided, text: `${players} players can divide into by desks` };
  }
  return {
    most: mostOf(part, instrument) * players,
    text: players === 1 ? 'one player can sound' : `${players} players can sound`,
  };
}

interface Held {
  readonly note: PlacedNote;
  readonly from: number;
  readonly to: number;
}

/** The stretch in which a note counts as held: written and performed both, less the tail of a legato. */
function heldOf(note: PlacedNote, timeline: Timeline): Held {
  const { played } = note;
  const tail = Math.max(LEGATO_SECONDS, LEGATO_SHARE * (played.endSecond - played.startSecond));
  const performedEnd = quartersAt(timeline, played.endSecond - tail) - note.shiftQuarters;
  return { note, from: note.startQuarters, to: Math.min(note.endQuarters, performedEnd) };
}

interface Excess {
  readonly bar: number;
  readonly quarters: number;
  readonly held: readonly PlacedNote[];
}

/** Bars in which more different pitches are held than the part can, with the fullest moment of each. */
function excessBars({ notes }: Pick<JudgedPart, 'notes'>, most: number, timeline: Timeline): readonly Excess[] {
  const { bars } = timeline;
  const byBar = new Map<number, Excess>();
  // One a pitch, the one that ends last: however often a key is struck, it is one key.
  const holding = new Map<number, Held>();
  for (const note of notes) {
    const held = heldOf(note, timeline);
    for (const [midi, { to }] of holding) if (to <= held.from + 1e-6) holding.delete(midi);
    const same = holding.get(note.midi);
    if (same === undefined || same.to <= held.to) holding.set(note.midi, held);
    if (holding.size <= most) continue;
    const together = [...holding.values()].map((item) => item.note).sort((a, b) => a.midi - b.midi);
    // As long as more than `most` go on: to the end of the note that brings the number down.
    const ends = [...holding.values()].map(({ to }) => to).sort((a, b) => b - a);
    const until = ends[most] ?? held.from;
    const first = barIndexAt(bars, held.from);
    for (let index = first; index === first || (bars[index]?.startQuarters ?? Infinity) < until - 1e-6; index++) {
      const bar = bars[index];
      if (bar === undefined) break;
      const known = byBar.get(bar.number);
      if (known !== undefined && known.held.length >= together.length) continue;
      byBar.set(bar.number, { bar: bar.number, quarters: Math.max(held.from, bar.startQuarters), held: together });
    }
  }
  return [...byBar.values()];
}

/**
 * Players of the same instrument who could take a share of the chord: those whose part holds the same notes (one staff of a
 * pair copied to both tracks) and those who are silent at that moment. The players of the part itself are among them.
 */
function sharingPlayers({ part }: JudgedPart, excess: Excess, parts: readonly JudgedPart[]): number {
  return parts
    .filter((other) => other.part.instrument === part.instrument)
    .filter(({ notes }) => {
      const sounding = notes.filter(
        (note) => note.startQuarters <= excess.quarters + 1e-6 && note.endQuarters > excess.quarters + 1e-6,
      );
      return sounding.length === 0 || excess.held.every(({ midi }) => sounding.some((note) => note.midi === midi));
    })
    .reduce((sum, other) => sum + Math.max(1, other.part.players), 0);
}

/** Whether another part of the instrument holds the same notes. */
function isCopied(judged: JudgedPart, { held, quarters }: Excess, parts: readonly JudgedPart[]): boolean {
  return parts.some(
    (other) =>
      other !== judged &&
      other.part.instrument === judged.part.instrument &&
      held.every(({ midi }) =>
        other.notes.some(
          (note) => note.midi === midi && note.startQuarters <= quarters + 1e-6 && note.endQuarters > quarters + 1e-6,
        ),
      ),
  );
}

function findingsOf(judged: JudgedPart, parts: readonly JudgedPart[], timeline: Timeline): readonly DraftFinding[] {
  const { part } = judged;
  const instrument = instrumentById(part.instrument);
  const capacity = capacityOf(part, instrument, isPair(judged, timeline));
  if (capacity === undefined || instrument === undefined) return [];
  const sources = sourcesOf(instrument.polyphony.src).map((source) => source.title);
  return barRuns(excessBars(judged, capacity.most, timeline), ({ bar }) => bar).flatMap(({ from, to, items }) => {
    const fullest = items.reduce<Excess | undefined>(
      (most, excess) => (most === undefined || excess.held.length > most.held.length ? excess : most),
      undefined,
    );
    if (fullest === undefined) return [];
    const players = Math.max(1, part.players, sharingPlayers(judged, fullest, parts));
    // One staff of a pair, copied to both tracks: each has a note of it.
    if (isCopied(judged, fullest, parts) && fullest.held.length <= players) return [];
    const pitches = listText(fullest.held.map((note) => pitchText(note.written.pitch, part)));
    return {
      // Two players may share a page, a short chord may be spread: only what no player can do is certain.
      level:
        areStated(part) && part.family !== 'keyboard' && fullest.held.length > mostOf(part, instrument) * players
          ? 'fix'
          : 'look',
      from,
      to,
      partIds: [part.id],
      message: `${part.name} ${verb([part], 'holds', 'hold')} ${counted(fullest.held.length, 'note')} at once in ${barSpanText(from, to)}, which is more than ${capacity.text} (${capacity.most}): ${pitches} at ${placeText(timeline, fullest.quarters)}.`,
      advice: 'Divide it among more players, leave notes out, or say in the settings how many players there are.',
      ...(sources.length === 0 ? {} : { source: sources.join('; ') }),
      notes: foundNotes(part, fullest.held),
      amount: fullest.held.length - capacity.most,
    };
  });
}

export const tooManyNotes = defineRule(
  {
    name: 'too-many-notes',
    title: 'More notes than players',
    looksAt:
      'Different pitches that one part holds together, against what its players can sound; legato overlaps up to 120 ms or a fifth of the note do not count, nor a part whose name is a plural. It must be mended only where the number of players is stated.',
    why: 'A chord on a melody instrument hides a decision: who plays which note.',
    source: 'polyphony rules of the instrument catalogue',
    level: 'fix',
  },
  ({ parts, stage: { timeline } }) => parts.flatMap((judged) => findingsOf(judged, parts, timeline)),
);
