/** Findings are written in the musician's words: bars, beats, pitches, lists. Plain text; names are untrusted. */
import type { Part } from '../model/music/arrangement.ts';
import type { SpelledPitch } from '../model/music/pitch.ts';
import { pitchLabel, plainSpelling, transpose } from '../model/music/pitch.ts';
import { agreeingWith, isPluralName } from '../model/words/part-grammar.ts';
import { agreeing, barsText, inSentence, listText, minutesText, numbersIn } from '../model/words/plain-words.ts';
import type { Timeline } from '../model/music/timeline.ts';
import { barAndBeat, barIndexAt, isCompound, secondAt } from '../model/music/timeline.ts';
import type { BarRun } from './bar-runs.ts';
import { barRuns } from './bar-runs.ts';

/** A number with at most so many decimals and no trailing zeros. */
export function rounded(number: number, decimals: number): string {
  return String(Number(number.toFixed(decimals)));
}

/** `plays` after the names of instruments, `sings` after those of voices, agreeing with them; of both together `plays`. */
export function playsOrSings(parts: readonly Part[]): string {
  const areVoices = parts.length > 0 && parts.every(({ family }) => family === 'voice');
  return areVoices ? verb(parts, 'sings', 'sing') : verb(parts, 'plays', 'play');
}

/** Who has a part in hand: the `singer` of a voice, else the `player`. */
export function performerOf({ family }: Part): 'player' | 'singer' {
  return family === 'voice' ? 'singer' : 'player';
}

/** The form of a verb that agrees with these parts: `lies` for Viola, `lie` for Flutes or for Viola and Horn. */
export function verb(parts: readonly Part[], singular: string, plural: string): string {
  return agreeingWith(
    parts.map(({ name }) => name),
    singular,
    plural,
  );
}

/**
 * `bar 5, beat 2.5`; a performed place is better said with fewer decimals. Beats are those of the pulse; between two beats
 * of a compound meter the place is told as players count it: `bar 5, eighth 5`. In free time the clock tells it: `bar 5 (0:43)`.
 */
export function placeText(timeline: Timeline, quarters: number, decimals = 2): string {
  const { bars } = timeline;
  const { bar, beat } = barAndBeat(bars, quarters);
  if (timeline.isFree === true) return `bar ${bar} (${minutesText(secondAt(timeline, quarters))})`;
  const meter = bars[barIndexAt(bars, quarters)]?.meter;
  const isOnBeat = Math.abs(beat - Math.round(beat)) < 0.5 * 10 ** -decimals;
  if (isOnBeat || meter === undefined || !isCompound(meter)) return `bar ${bar}, beat ${rounded(beat, decimals)}`;
  const unit = meter.denominator === 8 ? 'eighth' : 'sixteenth';
  return `bar ${bar}, ${unit} ${rounded(1 + 3 * (beat - 1), decimals)}`;
}

/** People and places in names of instruments. */
const PROPER = /^(?:Irish|Martenot|Uilleann|Wagner)$/;

/** Name of an instrument inside a sentence: `bassoon`, `horn in F`, `double bass`. */
export function instrumentText(part: Part): string {
  return part.instrumentName
    .split(' ')
    .map((word) => (/^[A-Z](?:-|$)/.test(word) || PROPER.test(word) ? word : inSentence(word)))
    .join(' ');
}

/** True of a part whose range follows from an instrument that nobody named: exporters write a program where it sounds near enough. */
export function isGuessed({ recognisedBy, range }: Part): boolean {
  return recognisedBy === 'program' && range === undefined;
}

/** `, if it is a tuba, which its program alone says`, behind what follows from the instrument of such a part, which is for information; '' of others. */
export function guessText(part: Part, before = ','): string {
  if (!isGuessed(part)) return '';
  const name = instrumentText(part);
  const article = isPluralName(name) ? '' : /^[aeiou]/i.test(name) ? 'an ' : 'a ';
  return `${before} if it is ${article}${name}, which its program alone says`;
}

/** Names of parts; more than four are counted: `Flute, Oboe, Horn and 3 others`. */
export function namesText(parts: readonly Part[]): string {
  const names = parts.map((part) => part.name);
  return names.length <= 4 ? listText(names) : listText([...names.slice(0, 3), `${names.length - 3} others`]);
}

/** `1 beat`, `2.5 beats`. */
export function beatsText(beats: number): string {
  const number = rounded(beats, 1);
  return `${number} ${agreeing(Number(number), 'beat', 'beats')}`;
}

/** `bar 5`, `bars 5 and 9`, or first, last and how many where there are more than five. */
export function barListText(bars: readonly number[]): string {
  const distinct = [...new Set(bars)];
  const first = distinct[0] ?? 0;
  if (distinct.length === 1) return `bar ${first}`;
  if (distinct.length <= 5) return `bars ${listText(distinct.map(String))}`;
  return `${distinct.length} bars between ${first} and ${distinct.at(-1) ?? first}`;
}

/** Bars of passages: `bars 9–12`, `bars 20–21, 28–29 and 49`, more than five passages as `14 bars between 9 and 49`. */
export function spansText(bars: readonly number[]): string {
  const passages = barRuns(bars, (bar) => bar).length;
  return passages <= 5 ? barsText(bars) : barListText(bars);
}

/** Where else the same is to be found: `; likewise in bars 9 and 21–22`, '' where nowhere. */
export function elsewhereText<T>({ elsewhere }: BarRun<T>): string {
  if (elsewhere === undefined) return '';
  const bars = elsewhere.flatMap(numbersIn);
  return `; likewise in ${spansText(bars)}`;
}

/** A whole number of decibels, never `0 dB`: under half a decibel is said as such. */
export function aboutDb(db: number): string {
  const whole = Math.round(Math.abs(db));
  return whole === 0 ? 'less than 1 dB' : `about ${whole} dB`;
}

/** `F♯4`, and for a transposing instrument `F♯4 (written C♯5)`. */
export function pitchText(pitch: SpelledPitch, part: Part): string {
  const { semitones, diatonicSteps } = part.transposition;
  const sounding = pitchLabel(pitch);
  if (semitones === 0 && diatonicSteps === 0) return sounding;
  return `${sounding} (written ${pitchLabel(transpose(pitch, -diatonicSteps, -semitones))})`;
}

/** The same for a key number without a spelling. */
export function keyText(midi: number, part: Part): string {
  return pitchText(plainSpelling(midi), part);
}

/** A chord symbol with signs for sharps and flats: `B♭m7`, `D/F♯`, `Am7♭5`. */
export function signedText(symbol: string): string {
  return symbol.replaceAll('#', '♯').replaceAll(/(?<=[A-G♭])b|b(?=5)/g, '♭');
}
