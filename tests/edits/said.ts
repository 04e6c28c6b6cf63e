/** What a comparison says, claim by claim, each part by the name of its track. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import type { PartEdit, StageChange } from '../../src/model/readings/readings.ts';

export interface Said {
  /** Kind of sentence. */
  readonly kind: string;
  /** Track names: of the earlier stage for what went, else of the later one. */
  readonly parts: readonly string[];
  readonly bars: readonly number[];
  readonly semitones?: number;
  readonly octaves?: number;
  readonly edit?: PartEdit;
}

function names(stage: Stage): (id: string) => string {
  const byId = new Map(stage.parts.map((part) => [part.id, part.tracks[0]?.name ?? part.name]));
  return (id) => byId.get(id) ?? id;
}

const span = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, index) => from + index);

/** Every statement of a change but the one about the order of bars. */
export function saidOf(change: StageChange, before: Stage, after: Stage): readonly Said[] {
  const old = names(before);
  const fresh = names(after);
  const { parts } = change;
  return [
    ...parts.added.map((id): Said => ({ kind: 'added', parts: [fresh(id)], bars: [] })),
    ...parts.removed.map((id): Said => ({ kind: 'removed', parts: [old(id)], bars: [] })),
    ...parts.renamed.map((item): Said => ({ kind: 'renamed', parts: [old(item.before), fresh(item.after)], bars: [] })),
    ...parts.split.map((item): Said => ({
      kind: 'split',
      parts: [old(item.before), ...item.after.map(fresh)],
      bars: [],
    })),
    ...parts.joined.map((item): Said => ({
      kind: 'joined',
      parts: [fresh(item.after), ...item.before.map(old)],
      bars: [],
    })),
    ...(change.semitones === 0 ? [] : [{ kind: 'shifted', parts: [], bars: [], semitones: change.semitones }]),
    ...change.shifted.map((item): Said => ({
      kind: 'shifted',
      parts: [],
      bars: span(item.from, item.to),
      semitones: item.semitones,
    })),
    ...change.tempo.map((item): Said => ({ kind: 'tempo', parts: [], bars: span(item.from, item.to) })),
    ...change.meter.map((item): Said => ({ kind: 'meter', parts: [], bars: span(item.from, item.to) })),
    ...change.rebarred.map((item): Said => ({ kind: 'rebarred', parts: [], bars: span(item.from, item.to) })),
    ...change.given.map((item): Said => ({ kind: 'given', parts: [old(item.from), fresh(item.to)], bars: item.bars })),
    ...change.doublings.map((item): Said => ({
      kind: 'doubles',
      parts: [fresh(item.partId), fresh(item.doubles)],
      bars: item.bars,
      octaves: item.octaves,
    })),
    ...change.entries.map((item): Said => ({
      kind: 'enters-later',
      parts: [fresh(item.partId)],
      bars: span(item.before, item.after - 1),
    })),
    ...change.edits
      // The sentence about other chords names its parts and bars.
      .filter(({ toldWith }) => toldWith === undefined || toldWith === 'chords')
      .map((edit): Said => ({
        kind: edit.kind === 'timing' ? `timing: ${edit.timing?.how ?? ''}` : edit.kind,
        parts: [fresh(edit.partId)],
        bars: edit.bars,
        ...(edit.semitones === undefined ? {} : { semitones: edit.semitones }),
        edit,
      })),
  ];
}
