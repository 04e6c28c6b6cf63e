/** Section against section: forces, density, height and level, and what is new in each. */
import type { Stage } from '../../model/music/arrangement.ts';
import { mean, median } from '../../model/music/dynamics.ts';
import type { SectionPacing, TextureBar } from '../../model/readings/pacing.ts';
import type { RegisterReading } from '../../model/readings/readings.ts';

/** A part belongs to a section where it sounds in this share of its bars. */
const BELONGS_SHARE = 0.25;

type Measured = Omit<SectionPacing, 'contrast'>;

function measured(
  stage: Stage,
  section: Stage['sections'][number],
  textures: readonly TextureBar[],
  registerOf: ReadonlyMap<number, readonly RegisterReading[]>,
): Measured {
  // Bars follow one another by number from the first on.
  const first = textures[0]?.bar ?? 1;
  const [from, to] = [Math.max(0, section.from - first), Math.max(0, section.to - first + 1)];
  const own = textures.slice(from, to);
  const seconds = stage.timeline.bars.slice(from, to).reduce((sum, bar) => sum + bar.lengthSeconds, 0);
  const counts = new Map<string, number>();
  for (const { partIds } of own) for (const id of partIds) counts.set(id, (counts.get(id) ?? 0) + 1);
  const members = stage.parts.filter((part) => (counts.get(part.id) ?? 0) >= Math.max(1, BELONGS_SHARE * own.length));
  const heights = own.flatMap(({ bar }) => registerOf.get(bar) ?? []);
  const levelDb = median(own.flatMap((bar) => bar.levelDb ?? []));
  return {
    name: section.name,
    from: section.from,
    to: section.to,
    seconds,
    partIds: members.map((part) => part.id),
    families: [...new Set(members.map((part) => part.family))],
    parts: mean(own.map((bar) => bar.partIds.length)),
    lines: mean(own.map((bar) => bar.lines)),
    onsetsPerSecond: seconds > 0 ? own.reduce((sum, bar) => sum + bar.onsets, 0) / seconds : 0,
    ...(levelDb === undefined ? {} : { levelDb }),
    ...(heights.length === 0
      ? {}
      : {
          low: heights.reduce((least, { low }) => Math.min(least, low), 127),
          high: heights.reduce((most, { high }) => Math.max(most, high), 0),
        }),
  };
}

function contrastOf(before: Measured, after: Measured): NonNullable<SectionPacing['contrast']> {
  const either = new Set([...before.partIds, ...after.partIds]);
  const shared = after.partIds.filter((id) => before.partIds.includes(id)).length;
  return {
    sharedParts: either.size === 0 ? 1 : shared / either.size,
    partsChange: after.parts - before.parts,
    ...(before.levelDb === undefined || after.levelDb === undefined
      ? {}
      : { levelChangeDb: after.levelDb - before.levelDb }),
    ...(before.onsetsPerSecond > 0 ? { paceRatio: after.onsetsPerSecond / before.onsetsPerSecond } : {}),
  };
}

/** Every section with its contrast to the one before. */
export function sectionPacing(
  stage: Stage,
  textures: readonly TextureBar[],
  register: readonly RegisterReading[],
): readonly SectionPacing[] {
  const registerOf = new Map<number, RegisterReading[]>();
  for (const reading of register) {
    const known = registerOf.get(reading.bar);
    if (known === undefined) registerOf.set(reading.bar, [reading]);
    else known.push(reading);
  }
  const sections = [...stage.sections]
    .sort((a, b) => a.from - b.from)
    .map((section) => measured(stage, section, textures, registerOf));
  return sections.map((section, index) => {
    const before = sections[index - 1];
    return before === undefined ? section : { ...section, contrast: contrastOf(before, section) };
  });
}
