/** Numbers and names as people write them. Plain text; the templates escape it. */
import { anInterval } from '../model/music/interval-names.ts';
import { groupedBy } from '../model/grouped.ts';
import type { Part, Stage } from '../model/music/arrangement.ts';
import { pulseQuarters, type Bar, type Meter } from '../model/music/timeline.ts';
import { classAt, className, fifthsOf } from '../model/music/pitch.ts';
import { barsText, counted, listText, spanText } from '../model/words/plain-words.ts';
import type { KeySpan } from '../model/music/written.ts';

/** A real minus sign, so that numbers stand well in a column. */
const MINUS = '\u2212';
const NO_BREAK_SPACE = '\u00a0';

/** A number with a fixed count of decimals and a real minus sign; `-0.0` is `0.0`. */
export function decimalText(amount: number, decimals = 1): string {
  const text = amount.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text.replace('-', MINUS);
}

/** Decibels with sign, `+3.2 dB`. */
export function signedDbText(db: number): string {
  const text = decimalText(db);
  return `${Number(db.toFixed(1)) > 0 ? '+' : ''}${text}${NO_BREAK_SPACE}dB`;
}

/** Accidentals as signs: `F#` is `F♯`, `Gbm7` is `G♭m7`. For names of pitches, keys and chords only. */
export function withAccidentalSigns(name: string): string {
  return name
    .replace(/([A-G])bb/g, '$1\u266d\u266d')
    .replace(/([A-G])b/g, '$1\u266d')
    .replace(/([A-G])##/g, '$1\u266f\u266f')
    .replace(/#/g, '\u266f')
    .replace(/b(?=\d)/g, '\u266d');
}

/** `G minor`. */
export function keyText(key: Pick<KeySpan, 'tonic' | 'mode' | 'restsOnDominant' | 'modal'>): string {
  const name = (tonic: KeySpan['tonic']): string => withAccidentalSigns(className(tonic));
  if (key.restsOnDominant === true) {
    return `${name(classAt(fifthsOf(key.tonic) + 1))} phrygian dominant (the notes of ${name(key.tonic)} minor)`;
  }
  return key.modal === undefined ? `${name(key.tonic)} ${key.mode}` : `${name(key.modal.tonic)} ${key.modal.name}`;
}

/** `6/8`. */
export function meterText({ numerator, denominator }: Meter): string {
  return `${String(numerator)}/${String(denominator)}`;
}

/** Meters in order with the bar from which each holds: `6/8, 9/8 from bar 17`. At most `most` changes are spelled out. */
export function metersText(bars: readonly Bar[], most = 4): string {
  const changes = changesOf(bars, ({ meter }) => meterText(meter));
  return changesText(changes, most);
}

const PULSE_NAMES: Readonly<Record<string, string>> = {
  '0.25': 'sixteenth',
  '0.5': 'eighth',
  '0.75': 'dotted eighth',
  '1': 'quarter',
  '1.5': 'dotted quarter',
  '2': 'half',
};

/** Words and not note signs: few text faces have the signs. */
function tempoOf(bar: Bar): { readonly pulse: string; readonly beats: number } {
  const quarters = pulseQuarters(bar.meter);
  const pulse = PULSE_NAMES[String(quarters)];
  return pulse === undefined
    ? { pulse: 'quarter', beats: Math.round(bar.tempo) }
    : { pulse, beats: Math.round(bar.tempo / quarters) };
}

/** A beat that is felt in fewer bars is none of its own. */
const FEWEST_BARS = 2;
const MOST_TEMPO_SPANS = 3;

/** `quarter = 88 (84–88)`: the middle one of some tempos of one beat, and their span. */
function tempoSpan(tempos: readonly { readonly pulse: string; readonly beats: number }[]): string {
  const beats = tempos.map((tempo) => tempo.beats).sort((a, b) => a - b);
  const [least = 0, most = 0] = [beats[0], beats.at(-1)];
  const span = least === most ? '' : ` (${spanText(least, most)})`;
  return `${tempos[0]?.pulse ?? 'quarter'} = ${String(beats[beats.length >> 1] ?? 0)}${span}`;
}

/** Tempo of the felt pulse, with the bar from which each holds; where it changes more often than `most` times the span of the commonest pulse, and of each other with its bars. */
export function tempoText(bars: readonly Bar[], most = 3): string {
  const changes = changesOf(bars, (bar) => `${tempoOf(bar).pulse} = ${String(tempoOf(bar).beats)}`);
  if (changes.length <= most) return changesText(changes, most);
  const tempos = bars.map((bar) => ({ ...tempoOf(bar), bar: bar.number }));
  const byPulse = groupedBy(tempos, ({ pulse }) => pulse);
  const [commonest = [], ...others] = [...byPulse.values()].sort((a, b) => b.length - a.length);
  const besides = others
    .filter((own) => own.length >= FEWEST_BARS)
    .map(
      (own) =>
        `; ${tempoSpan(own)} in ${barsText(
          own.map(({ bar }) => bar),
          MOST_TEMPO_SPANS,
        )}`,
    );
  return `flexible, mostly about ${tempoSpan(commonest)}${besides.join('')}`;
}

function changesOf(bars: readonly Bar[], describe: (bar: Bar) => string): { bar: number; text: string }[] {
  const changes: { bar: number; text: string }[] = [];
  for (const bar of bars) {
    const text = describe(bar);
    if (changes.at(-1)?.text !== text) changes.push({ bar: bar.number, text });
  }
  return changes;
}

function changesText(changes: readonly { readonly bar: number; readonly text: string }[], most: number): string {
  if (changes.length === 0) return '';
  const shown = changes
    .slice(0, most)
    .map((change, index) => (index === 0 ? change.text : `${change.text} from bar ${String(change.bar)}`));
  const more = changes.length - shown.length;
  return listText(more > 0 ? [...shown, counted(more, 'further change')] : shown);
}

/** How many bars there are, a pickup told apart. */
export function barCountText(bars: readonly Bar[]): string {
  const pickup = bars[0]?.number === 0;
  return counted(bars.length - (pickup ? 1 : 0), 'bar') + (pickup ? ' and a pickup' : '');
}

/** Name of a part by its id; the id where the stage has no such part. */
export function partNamer(...stages: readonly Stage[]): (partId: string) => string {
  const names = new Map<string, string>();
  for (const stage of stages) for (const part of stage.parts) names.set(part.id, part.name);
  return (partId) => names.get(partId) ?? partId;
}

/** `Clarinet in B♭: written a major second above it sounds` in short: how many semitones and which way. */
export function transpositionText(part: Part): string {
  const { semitones } = part.transposition;
  if (semitones === 0) return 'as written';
  return `${anInterval(semitones)} ${semitones < 0 ? 'below' : 'above'} what is written`;
}
