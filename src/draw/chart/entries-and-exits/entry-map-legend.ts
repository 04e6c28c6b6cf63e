/** What the signs of the map of entries and exits mean. */
import type { Part } from '../../../model/music/arrangement.ts';
import type { LegendEntry } from '../../../model/drawing.ts';
import { sentenceStart } from '../../../model/words/plain-words.ts';
import type { PacingReading } from '../../../model/readings/pacing.ts';
import type { PresenceSpan } from '../../../model/readings/readings.ts';
import { element, round } from '../../svg.ts';
import { familiesIn, familyClass, familyName, hatchId, hatchPatterns } from '../family-colours/families.ts';
import { legendSign } from '../frame/frame.ts';
import { namesOf, type Front } from '../frame/front.ts';
import { thicknessOf, type ThicknessScale } from './entry-map-scale.ts';
import { piecesOf } from './entry-map-band.ts';
import { ENTRY_AND_EXIT_WORDS } from '../../../model/readings/terms.ts';
import { drawSigns, joinSigns, signPaths } from './entry-map-signs.ts';
import { dbText } from '../../ruler/wording.ts';

/** Thickness, foreground, families behind it, and the kinds of entry and exit that occur. */
export function presenceLegend(
  parts: readonly Part[],
  spans: readonly PresenceSpan[],
  front: Front,
  scale: ThicknessScale,
  id: string,
): LegendEntry[] {
  const entries: LegendEntry[] = [];
  if (scale.loudestDb !== undefined) {
    const steps = [1, 0.5, 0].map((share, index) => {
      const db = scale.softestDb + ((scale.loudestDb ?? 0) - scale.softestDb) * share;
      const thick = thicknessOf(scale, db);
      return element('rect', {
        class: 'sample',
        x: 2 + index * 18,
        y: round(9 - thick / 2),
        width: 14,
        height: round(thick),
      });
    });
    const span = dbText(scale.softestDb - scale.loudestDb, 0);
    const half = dbText((scale.softestDb - scale.loudestDb) / 2, 0);
    entries.push({
      sign: legendSign(steps.join(''), 56),
      text: `Thickness: estimated level of the part in the bar, here 0, ${half} and ${span} dB from the loudest bar of any part; ${span} and less is drawn the same. An estimate from the MIDI data.`,
    });
  }
  if (front.parts.length > 0) {
    const sign =
      element('path', { class: 'front-row', d: 'M0 1h28v16h-28z' }) +
      element('path', { class: 'front-rule', d: 'M0 1h28M0 17h28' }) +
      element('path', { class: 'front-solid', d: 'M2 4.5h24v9h-24z' });
    entries.push({
      sign: legendSign(sign),
      text: `Foreground: ${namesOf(front.parts)} (solid, between two rules, name in bold)`,
    });
  }
  const behind = spans.filter((span) =>
    piecesOf(span, (bar) => front.isFront(span.partId, bar)).some((piece) => !piece.isFront),
  );
  const behindIds = new Set(behind.map((span) => span.partId));
  for (const family of familiesIn(parts.filter((part) => behindIds.has(part.id)))) {
    const prefix = `${id}-key`;
    const band = element('path', { class: 'band', fill: `url(#${hatchId(prefix, family)})`, d: 'M2 4h24v10h-24z' });
    entries.push({
      sign: legendSign(element('g', { class: familyClass(family) }, band), 28, hatchPatterns(prefix, [family])),
      text: familyName(family),
    });
  }
  const kinds = ['from-nothing', 'at-once', 'under-sounding-note'] as const;
  for (const kind of kinds) {
    const exit = kind === 'from-nothing' ? 'to-nothing' : kind;
    if (!spans.some((span) => span.entry === kind || span.exit === exit)) continue;
    const shape = kind === 'from-nothing' ? 'M4 9L16 5H28L40 9L28 13H16z' : 'M4 5H40V13H4z';
    const signs = joinSigns([signPaths(kind, 'entry', 4, 9, 8), signPaths(exit, 'exit', 40, 9, 8)]);
    const words =
      kind === 'from-nothing'
        ? `${ENTRY_AND_EXIT_WORDS[kind]}; leaves ${ENTRY_AND_EXIT_WORDS[exit]}`
        : `or leaves ${ENTRY_AND_EXIT_WORDS[kind]}`;
    entries.push({
      sign: legendSign(element('path', { class: 'sample', d: shape }) + drawSigns(signs), 44),
      text: sentenceStart(`enters ${words}`),
    });
  }
  return entries;
}

/** What stands under the map: lines that are not doubled, the level of all, the peak, silences. */
export function pacingLegend(pacing: PacingReading | undefined): LegendEntry[] {
  if (pacing?.peak === undefined) return [];
  const count =
    element('path', { class: 'count', d: 'M2 16V4H26V16z' }) +
    element('path', { class: 'pacing-lines', d: 'M2 10H26' });
  const level =
    element('path', { class: 'pacing-level', d: 'M2 13H10V8H18V11H26' }) +
    element('path', { class: 'pacing-peak', d: 'M10 1h8l-4 5z' });
  return [
    {
      sign: legendSign(count),
      text: 'Parts that sound; the line: parts that do not double another at the unison or octave',
    },
    {
      sign: legendSign(level),
      text: 'Estimated level of all together, from the loudest bar down; the triangle: the peak',
    },
    ...(pacing.silences.length === 0
      ? []
      : [
          {
            sign: legendSign(element('path', { class: 'silence-event', d: 'M9 1h10v16H9z' })),
            text: 'Nobody sounds, for so many seconds',
          },
        ]),
  ];
}
