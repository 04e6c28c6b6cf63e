/** Where the bars of a finding or note are to be seen: reduced score, full score and map, each of which leads back. */
import type { PlaceMark } from '../../../draw/finding-marks/place-mark.ts';
import { fullScorePlace } from './full-score-places.ts';
import type { Link } from './sheet.ts';
import { chartNamed } from '../../data/chart-names.ts';
import { type StageContext } from './stage-context.ts';

interface PlaceLinks {
  /** Links to all places that are there. */
  readonly ways: readonly Link[];
  /** Address of the place in the reduced score; '' where no score shows it. */
  readonly inScore: string;
}

/** Whether the reduced score shows a bar of the place. */
function isInScore({ published }: StageContext, { from, to }: PlaceMark): boolean {
  return published.score.systems.some(({ fromBar, toBar }) => fromBar <= to && toBar >= from);
}

/** Links to the places of the mark with this key; none where it has no place. */
export function placeLinks(context: StageContext, key: string): PlaceLinks {
  const mark = context.marks.find((one) => one.key === key);
  if (mark === undefined) return { ways: [], inScore: '' };
  const isOnMap = (chartNamed(context.published, 'entries')?.svg ?? '').includes(`id="map-${key}"`);
  const inScore = isInScore(context, mark) ? `#score-${key}` : '';
  const ways = [
    { href: inScore, label: 'Reduced score' },
    { href: fullScorePlace(context, mark), label: 'Full score' },
    { href: isOnMap ? `#map-${key}` : '', label: 'Map' },
  ];
  return { ways: ways.filter(({ href }) => href !== ''), inScore };
}
