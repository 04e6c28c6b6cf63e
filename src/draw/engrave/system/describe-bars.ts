/** What a system shows, in words, for those who do not see it. */
import type { ScoreBar } from '../../../model/music/written.ts';
import { oneLine } from '../ink/words.ts';

/** `Ferry Lights, bars 5 to 8. Sections: ... Chords: ...`, plain text. */
export function describeBars(bars: readonly ScoreBar[], title: string): string {
  const from = bars[0]?.number ?? 0;
  const to = bars.at(-1)?.number ?? from;
  const parts = [oneLine(title), from === to ? `bar ${String(from)}` : `bars ${String(from)} to ${String(to)}`].filter(
    (part) => part !== '',
  );
  const sections = bars.flatMap((bar) =>
    bar.sectionName === undefined ? [] : [`${oneLine(bar.sectionName)} from bar ${String(bar.number)}`],
  );
  const chords = bars.flatMap((bar) =>
    bar.chords.length === 0
      ? []
      : [`bar ${String(bar.number)} ${bar.chords.map((chord) => oneLine(chord.text)).join(', ')}`],
  );
  return (
    `${parts.join(', ')}.` +
    (sections.length === 0 ? '' : ` Sections: ${sections.join('; ')}.`) +
    (chords.length === 0 ? '' : ` Chords: ${chords.join('; ')}.`)
  );
}
