/** Where a part is louder or softer than before, or was silenced, by settings and keys struck otherwise and not by consequence of another edit. */
import { median } from '../../model/dynamics.ts';
import type { ControllerCurve } from '../../model/arrangement.ts';
import type { PartEdit } from '../../model/readings.ts';
import { firstReaching } from '../../model/sorted-search.ts';
import type { BarNote } from './bar-notes.ts';
import { barsUnder, LEAST_HELD_DIVISIONS, numbersOf, overlapWith, type PartSides } from './part-sides.ts';

/** A little above the smallest difference of level that is heard, about 1 dB (Zwicker and Fastl, from memory). */
const LEVEL_APART_DB = 1.5;
const VOLUME = 7;

function settingAt(curve: ControllerCurve, quarters: number): number {
  const next = firstReaching(curve.points, (point) => point.quarters > quarters + 1e-6);
  return curve.points[next - 1]?.setting ?? curve.settingBefore;
}

/** Controllers that only one of the two stages moves in this part: their curve was drawn, or taken out, and not played. */
function drawnControllers({ match }: PartSides): readonly number[] {
  const [kept] = match.kept;
  const movedIn = (note: BarNote | undefined): ReadonlySet<number> =>
    new Set(
      (note?.part.tracks ?? []).flatMap(({ curves }) =>
        curves.flatMap(({ controller, points }) => (points.length > 1 ? [controller] : [])),
      ),
    );
  const [before, after] = [movedIn(kept?.before), movedIn(kept?.after)];
  return [...new Set([...before, ...after])].filter((controller) => before.has(controller) !== after.has(controller));
}

/** How a part is set in the mix, whoever plays and however: volume, what was `drawn`, and its players where somebody said so. */
function mixOf({ part, played }: BarNote, drawn: readonly number[]): string {
  const note = part.notes[played];
  if (note === undefined) return '';
  const curves = part.tracks[note.trackIndex]?.curves ?? [];
  const settings = [VOLUME, ...drawn].map((controller) => {
    const curve = curves.find((each) => each.controller === controller);
    return curve === undefined ? '' : settingAt(curve, note.startQuarters);
  });
  const players = part.playersBy === 'default' ? '' : part.players;
  return [...settings, players, part.trimDb].join(' ');
}

function velocityOf({ part, played }: BarNote): number | undefined {
  return part.notes[played]?.velocity;
}

/** Everything in the file that shapes how loud a note is; curves are asked at its start, middle and near its end. */
function shapeOf({ part, played }: BarNote): string {
  const note = part.notes[played];
  if (note === undefined) return '';
  const curves = part.tracks[note.trackIndex]?.curves ?? [];
  const places = [0, 0.5, 0.95].map((share) => note.startQuarters + share * (note.endQuarters - note.startQuarters));
  const settings = curves.map((curve) => `${curve.controller}:${places.map((at) => settingAt(curve, at)).join('/')}`);
  const players = part.playersBy === 'default' ? '' : part.players;
  return [note.velocity, players, part.trimDb, part.instrument, ...settings].join(' ');
}

/** What only another assumption about the number of players does to the estimated level: nobody edited that. */
function assumedPlayersDb({ match }: PartSides): number {
  const { before, after } = match.kept[0] ?? {};
  if (before?.part.playersBy !== 'default' || after?.part.playersBy !== 'default') return 0;
  return 10 * Math.log10(after.part.players / before.part.players);
}

/** So many times the scatter of a part that was played in anew is more than touch: the largest of a hundred bars lies at three. */
const SCATTERS = 4;

/** Least change that counts: what is heard at all, and more than the small differences of a part that was played in anew. */
function leastChangeDb(changes: readonly number[]): number {
  const small = changes.filter((change) => Math.abs(change) < LEVEL_APART_DB);
  const square = small.reduce((sum, change) => sum + change * change, 0) / Math.max(1, small.length);
  return Math.max(LEVEL_APART_DB, SCATTERS * Math.sqrt(square));
}

/** Bars that are written as before and were silenced, or are heard again, by controllers. */
export function silenceEdits(sides: PartSides): readonly PartEdit[] {
  const { partId, bars, match, levelBefore, levelAfter, isMeasured } = sides;
  const muted = new Set<number>();
  const unmuted = new Set<number>();
  for (const { before, after } of match.kept) {
    for (const bar of barsUnder(bars, after.start, after.start + after.length)) {
      const isHeard = [before, after].every(
        (note) => overlapWith(note, bars[bar]) >= Math.min(LEAST_HELD_DIVISIONS, note.length),
      );
      if (!isHeard || !isMeasured(bar)) continue;
      const [one, other] = [levelBefore(bar), levelAfter(bar)];
      if (one !== undefined && other === undefined) muted.add(bar);
      if (one === undefined && other !== undefined) unmuted.add(bar);
    }
  }
  return [
    ...(muted.size === 0 ? [] : [{ partId, kind: 'muted' as const, bars: numbersOf(bars, muted) }]),
    ...(unmuted.size === 0 ? [] : [{ partId, kind: 'unmuted' as const, bars: numbersOf(bars, unmuted) }]),
  ];
}

/** So many bars in which nobody changed a setting tell what the estimate itself makes of a part otherwise. */
const FEWEST_UNEDITED = 3;

/** Where bars that nobody touched are estimated otherwise, the part is read otherwise: that is no edit either. */
function changeOfUnedited(changes: ReadonlyMap<number, number>, reshaped: ReadonlySet<number>): number {
  const unedited = [...changes].flatMap(([bar, change]) => (reshaped.has(bar) ? [] : [change]));
  return unedited.length < FEWEST_UNEDITED ? 0 : (median(unedited) ?? 0);
}

/** Bars that are softer and bars that are louder, each told by their own amount. */
export function balanceEdits(sides: PartSides, touched: ReadonlySet<number>): readonly PartEdit[] {
  const { bars, match, isAnew, transposed } = sides;
  // What another instrument, another register or another take does to the level is no edit of the balance.
  if (match.kept.some(({ before, after }) => before.part.instrument !== after.part.instrument)) return [];
  const drawn = isAnew || transposed !== undefined ? drawnControllers(sides) : [];
  const settingOf =
    isAnew || transposed === 'alone'
      ? (note: BarNote): string => mixOf(note, drawn)
      : transposed === 'with all'
        ? (note: BarNote): string => `${String(velocityOf(note))} ${mixOf(note, drawn)}`
        : shapeOf;
  const changes = new Map<number, number>();
  const assumedDb = assumedPlayersDb(sides);
  for (let bar = 0; bar < bars.length; bar++) {
    const before = sides.levelBefore(bar);
    const after = sides.levelAfter(bar);
    if (before === undefined || after === undefined || touched.has(bar)) continue;
    changes.set(bar, after - before - assumedDb);
  }
  const reshaped = new Set<number>();
  for (const { before, after } of match.kept) {
    const under = barsUnder(bars, after.start, after.start + after.length).filter((bar) => changes.has(bar));
    if (under.some((bar) => !reshaped.has(bar)) && settingOf(before) !== settingOf(after)) {
      for (const bar of under) reshaped.add(bar);
    }
  }
  const unaskedDb = changeOfUnedited(changes, reshaped);
  const differences = new Map([...changes].map(([bar, change]) => [bar, change - unaskedDb]));
  const leastDb = leastChangeDb([...differences.values()]);
  return [-1, 1].flatMap((sign): PartEdit[] => {
    const own = [...reshaped].filter((bar) => sign * (differences.get(bar) ?? 0) >= leastDb);
    const db = median(own.map((bar) => differences.get(bar) ?? 0));
    return db === undefined ? [] : [{ partId: sides.partId, kind: 'balance', bars: numbersOf(bars, own), db }];
  });
}
