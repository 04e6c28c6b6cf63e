/** From the segments of a voice (who sounds from when to when in a bar) to events with figures, ties and complete tuplets. */
import type { NoteHead, OrnamentSigns, WrittenEvent } from '../../model/music/written.ts';
import { splitRun, splitStraight, splitTriplet } from './note-values.ts';
import type { GridBar } from '../score-time/score-time.ts';
import { groupsOfVoice } from '../score-time/score-time.ts';
import type { HeadDraft, Region, Segment } from './tuplets.ts';
import { ratioOf, regionsOf } from './tuplets.ts';

function headsOf(drafts: readonly HeadDraft[], first: boolean, last: boolean): NoteHead[] {
  return drafts.map((draft) => ({
    pitch: draft.pitch,
    tieFromPrevious: first ? draft.from : true,
    tieToNext: last ? draft.to : true,
    partIds: draft.partIds,
    ...(draft.sounds === undefined ? {} : { sounds: draft.sounds }),
  }));
}

/** The signs of a chord are those of its heads together; what a sign stands for was printed where the note began. */
function signsOf(heads: readonly HeadDraft[], isOne: boolean): OrnamentSigns | undefined {
  const found = heads.flatMap((head) => (head.ornament === undefined || head.from ? [] : [head.ornament]));
  // A dot is true of the whole chord in one figure, or not there.
  const isDotted = isOne && heads.every(({ ornament, from, to }) => ornament?.staccato === true && !from && !to);
  const isBare = found.every(
    ({ graces, sign, roll }) => graces.length === 0 && sign === undefined && roll === undefined,
  );
  if (found.length === 0 || (isBare && !isDotted)) return undefined;
  const sign = found.find((item) => item.sign !== undefined)?.sign;
  const roll = found.find((item) => item.roll !== undefined)?.roll;
  return {
    graces: found.flatMap((item) => item.graces),
    ...(sign === undefined ? {} : { sign }),
    ...(roll === undefined || heads.length < 2 ? {} : { roll }),
    ...(isDotted ? { staccato: true } : {}),
  };
}

/** Events of a voice in a bar. The segments fill the bar, and their borders can be written (see `snapSegments`). */
export function eventsOf(bar: GridBar, segments: readonly Segment[], nextTupletId: () => number): WrittenEvent[] {
  const regions = regionsOf(
    bar,
    segments.map((segment) => segment.from),
  );
  const groups = groupsOfVoice(
    bar,
    segments.map((segment) => segment.from),
  );
  const ids = new Map<Region, number>();
  const events: WrittenEvent[] = [];
  for (const segment of segments) {
    const isRest = segment.heads.length === 0;
    const pieces: { from: number; to: number; figure: WrittenEvent['figure'] }[] = [];
    for (const region of regions) {
      const from = Math.max(segment.from, region.from);
      const to = Math.min(segment.to, region.to);
      if (from >= to) continue;
      if (region.parts === 1) {
        pieces.push(...splitStraight(bar, from, to, isRest, groups));
        continue;
      }
      let id = ids.get(region);
      if (id === undefined) {
        id = nextTupletId();
        ids.set(region, id);
      }
      const split =
        region.parts === 3
          ? splitTriplet(region.from, (region.to - region.from) / 3, from, to, isRest)
          : splitRun(region.from, region.parts, from, to, isRest);
      const ratio = ratioOf(region, segments);
      for (const piece of split) pieces.push({ ...piece, figure: { ...piece.figure, tuplet: { id, ...ratio } } });
    }
    const signs = signsOf(segment.heads, pieces.length === 1);
    for (const [index, piece] of pieces.entries()) {
      events.push({
        kind: isRest ? 'rest' : 'notes',
        start: bar.start + piece.from,
        length: piece.to - piece.from,
        figure: piece.figure,
        heads: headsOf(segment.heads, index === 0, index === pieces.length - 1),
        ...(signs === undefined || index > 0 ? {} : { ornament: signs }),
      });
    }
  }
  return events;
}
