/** What the signs of the harmony chart mean. */
import type { LegendEntry } from '../../../model/drawing.ts';
import { element } from '../../svg.ts';
import { familiesIn, familyClass, familyName, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { legendSign } from '../frame/frame.ts';
import { namesOf } from '../frame/front.ts';
import type { HarmonyPlan } from './harmony-plan.ts';

export function harmonyLegend(plan: HarmonyPlan, id: string): LegendEntry[] {
  const lanes = element('path', {
    class: 'sample',
    d: 'M2 13.5h10v2.4h-10zM12 10h6v2.4h-6zM2 6.5h10v2.4h-10zM18 3h8v2.4h-8z',
  });
  const entries: LegendEntry[] = [
    {
      sign: legendSign(lanes),
      text: 'In the row of a part, from below: it sounds the root, the third (or the fourth that stands for it), the fifth (or sixth), the seventh. A tone counts from an eighth note on.',
    },
  ];
  if (plan.boxes.some((box) => box.missing.length > 0))
    entries.push({
      sign: legendSign(element('path', { class: 'chord-tone-missing', d: 'M4 7h20v3.5h-20z' })),
      text: 'Missing: nobody sounds this tone',
    });
  if (plan.boxes.some((box) => box.onlyInFront.length > 0))
    entries.push({
      sign: legendSign(element('path', { class: 'chord-tone-front', d: 'M4 7h20v3.5h-20z' })),
      text: `Only ${plan.front.name} sounds this tone: without it the chord lacks it`,
    });
  if (plan.front.parts.length > 0)
    entries.push({
      sign: legendSign(element('path', { class: 'front-solid', d: 'M4 7h20v3.5h-20z' })),
      text: `Foreground: ${namesOf(plan.front.parts)}`,
    });
  const owners = new Set(plan.bass.flatMap(({ partIds }) => partIds.slice(0, 1)));
  const behind = plan.parts.filter((part) => owners.has(part.id) && plan.front.spansOf(part.id).length === 0);
  for (const family of familiesIn(behind)) {
    const prefix = `${id}-key`;
    const band = element('path', { class: 'band', fill: `url(#${hatchId(prefix, family)})`, d: 'M2 4h24v10h-24z' });
    entries.push({
      sign: legendSign(element('g', { class: familyClass(family) }, band), 28, hatchPatterns(prefix, [family])),
      text: `Bass: ${familyName(family).toLowerCase()}`,
    });
  }
  if (plan.bass.some(({ handover }) => handover))
    entries.push({
      sign: legendSign(element('path', { class: 'chord-handover', d: 'M14 1V17' })),
      text: 'The bass changes hands',
    });
  return entries;
}
