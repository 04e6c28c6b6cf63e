/** What is said of bars and tempos that would fit playing without a click. */
import { counted } from '../../model/words/plain-words.ts';
import { pulseQuarters } from '../../model/music/timeline.ts';
import type { TempoProposal } from './tempo-proposal.ts';

const WORDS: Readonly<Record<number, string>> = { 2: 'two', 3: 'three', 4: 'four' };

function rounded(tempo: number): string {
  return String(Math.round(tempo));
}

/** Two sentences: what was heard, and what the file holds. */
export function proposalText({ stage, meter, tempo }: TempoProposal): string {
  const { bars } = stage.timeline;
  const pulse = pulseQuarters(meter);
  const beats = (4 * meter.numerator) / meter.denominator / pulse;
  const whole = bars.filter(({ number }) => number > 0);
  const odd = whole.filter((bar) => bar.meter.numerator !== meter.numerator).length;
  const perMinute = whole.map((bar) => bar.tempo / pulse).sort((a, b) => a - b);
  const [slow, fast] = [0.1, 0.9].map((share) => perMinute[Math.floor(share * (perMinute.length - 1))] ?? tempo);
  const others = odd === 0 ? '' : `, ${String(odd)} of them a beat longer or shorter`;
  return `Beats are heard at about ${rounded(tempo)} to the minute (bars mostly between ${rounded(slow ?? tempo)} and ${rounded(fast ?? tempo)}), ${WORDS[beats] ?? String(beats)} to a bar: ${counted(whole.length, 'bar')} of ${String(meter.numerator)}/${String(meter.denominator)}${others}. The file has these bars, a tempo on every beat and the same notes, each at the moment at which it was played; put it in the place of the export, or take its tempo map over, and the dossier writes the music as below.`;
}

/** What to mind. */
export const PROPOSAL_CAUTIONS: readonly string[] = [
  'An estimate by ear of a machine, used for nothing else in this dossier: the beat may be half or double of what you feel, and bars may begin on another beat. Listen to it against a click before you take it over.',
  'The file holds names, programs, notes, key switches (as short notes), pedal and controllers 1, 2, 7 and 11; what else was in the export is not in it.',
];
