/** Where the bars of a finding or note are to be seen: reduced score, full score and map, each of which leads back. */
import type { PlaceMark } from '../../draw/mark/place-mark.ts';
import { fullScorePlace } from './full-score-pages.ts';
import type { Link } from './sheet.ts';
import { chartNamed, type StageContext } from './stage-context.ts';

/** Whether the reduced score shows a bar of the place. */
function isInScore({ published }: StageContext, { from, to }: PlaceMark): boolean {
  return published.score.systems.some(({ fromBar, toBar }) => fromBar <= to && toBar >= from);
}

/** Links to the places of a mark; only to those that are there. */
export function placeLinks(context: StageContext, mark: PlaceMark | undefined): readonly Link[] {
  if (mark === undefined) return [];
  const isOnMap = (chartNamed(context.published, 'entries')?.svg ?? '').includes(`id="map-${mark.key}"`);
  const links = [
    { href: isInScore(context, mark) ? `#score-${mark.key}` : '', label: 'Reduced score' },
    { href: fullScorePlace(context, mark), label: 'Full score' },
    { href: isOnMap ? `#map-${mark.key}` : '', label: 'Map' },
  ];
  return links.filter(({ href }) => href !== '');
}
