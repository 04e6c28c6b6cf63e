/** One part, measure by measure. */
import { DIVISIONS_PER_QUARTER, type StaffBar, type WrittenEvent } from '../../../model/music/written.ts';
import {
  chooseAccidentals,
  type AccidentalChoice,
  type Remembered,
} from '../../../draw/engrave/accidentals-beams-rests/accidentals.ts';
import { beamRuns, groupEnds } from '../../../draw/engrave/accidentals-beams-rests/beaming.ts';
import { signatureAlter } from '../../../draw/engrave/accidentals-beams-rests/clef-signs.ts';
import { element, round } from '../../../draw/svg.ts';
import { metronomeBeat } from '../../../notate/score-time/tempo-text.ts';
import { swingIntegers, type SwingDirection } from '../../../notate/swing/swing-mark.ts';
import { attributesTag, clefTag } from './attributes-xml.ts';
import { lyricsByStart, withoutSung } from './lyric-xml.ts';
import { voiceNotes, wholeBarRest } from './note-xml.ts';
import type { BarFrame, PartBar, PartLayout, PartMark, ScoreLayout } from '../layout/score-layout.ts';
import { plainTag, textTag } from '../xml-text.ts';

interface PlacedMarkup {
  readonly start: number;
  /** The markup where the position is reached; `offset` is '' or an `offset` element. */
  readonly markup: (offset: string) => string;
}

function direction(type: string, placement: 'above' | 'below', offset: string, tail = ''): string {
  return `${element('direction', { placement }, `<direction-type>${type}</direction-type>${offset}${tail}`)}\n`;
}

/** Metronome mark in the felt beat of the meter, as it is printed over the reduced score. */
function metronome(frame: BarFrame): string {
  const { value, isDotted, quarters } = metronomeBeat(frame.meter);
  const perMinute = Math.round(frame.tempo / quarters);
  const dot = isDotted ? '<beat-unit-dot/>' : '';
  return `<metronome><beat-unit>${value}</beat-unit>${dot}${plainTag('per-minute', perMinute)}</metronome>`;
}

/** The word over the bar and what a playing program makes of it (schema type `swing`). */
function swingTag({ words, span }: SwingDirection, offset: string): string {
  let playing = '<straight/>';
  if (span !== undefined) {
    const [long, short] = swingIntegers(span.ratio);
    playing = plainTag('first', long) + plainTag('second', short) + plainTag('swing-type', span.unit);
  }
  return direction(textTag('words', words), 'above', offset, `<sound><swing>${playing}</swing></sound>`);
}

/** What stands over the score: tempo, swing, section, chord symbols. */
function aboveScore(frame: BarFrame, tempoBefore: number | undefined): PlacedMarkup[] {
  const { startDivisions: start } = frame;
  const items: PlacedMarkup[] = [];
  const { sectionName, swing } = frame;
  if (sectionName !== undefined) {
    items.push({ start, markup: (offset) => direction(textTag('rehearsal', sectionName), 'above', offset) });
  }
  if (frame.words !== undefined) {
    const words = textTag('words', frame.words);
    items.push({ start: start + (frame.wordsAt ?? 0), markup: (offset) => direction(words, 'above', offset) });
  }
  if (swing !== undefined) items.push({ start, markup: (offset) => swingTag(swing, offset) });
  const sound = element('sound', { tempo: round(frame.tempo, 2) });
  if (frame.showTempo) items.push({ start, markup: (offset) => direction(metronome(frame), 'above', offset, sound) });
  else if (tempoBefore === undefined || round(tempoBefore, 2) !== round(frame.tempo, 2)) {
    items.push({ start, markup: () => `${sound}\n` });
  }
  for (const { start: place, markup } of frame.harmonies) {
    items.push({ start: place, markup: (offset) => `${element('harmony', {}, markup + offset)}\n` });
  }
  return items.sort((a, b) => a.start - b.start);
}

function signTag({ sign, staff }: PartMark): string {
  if (sign.kind === 'words') return textTag('words', sign.text);
  if (sign.kind === 'level') return `<dynamics><${sign.level}/></dynamics>`;
  if (sign.kind === 'octave') return element('octave-shift', { type: sign.type, size: '8', number: String(staff + 1) });
  return element('wedge', { type: sign.type, number: String(staff + 1) });
}

/** Words, dynamics and hairpins of one staff: among its own notes, since some readers go by the order of the document. */
function besideNotes({ marks, staves }: PartBar, staffIndex: number): PlacedMarkup[] {
  const own = marks.filter(({ staff }) => Math.min(staff, staves.length - 1) === staffIndex);
  return own.map((mark) => ({
    start: mark.start,
    markup: (offset) =>
      direction(signTag(mark), mark.place, offset, staves.length > 1 ? plainTag('staff', mark.staff + 1) : ''),
  }));
}

/**
 * Notes of the first voice with everything else at its place among them; what is placed at the end stands after the last note, since readers that go
 * by the order of the document would end an octave sign before it.
 */
function interleaved(voice: readonly WrittenEvent[], notes: readonly string[], items: readonly PlacedMarkup[]): string {
  let text = '';
  let next = 0;
  let place = 0;
  for (const [index, event] of voice.entries()) {
    const end = event.start + event.length;
    for (let item = items[next]; item !== undefined && item.start < end; item = items[++next]) {
      const away = item.start - event.start;
      text += item.markup(away === 0 ? '' : plainTag('offset', away));
    }
    text += notes[index] ?? '';
    place = end;
  }
  return (
    text +
    items
      .slice(next)
      .map((item) => item.markup(item.start === place ? '' : plainTag('offset', item.start - place)))
      .join('')
  );
}

/** The rest that stands for an empty voice. */
function emptyVoice(frame: BarFrame): WrittenEvent {
  return {
    kind: 'rest',
    start: frame.startDivisions,
    length: frame.lengthDivisions,
    figure: { base: 1, dots: 0 },
    heads: [],
    wholeBar: true,
  };
}

interface StaffTask {
  readonly part: PartLayout;
  readonly frame: BarFrame;
  readonly bar: PartBar;
  /** Room of a staff among the voice numbers. */
  readonly voicesPerStaff: number;
}

const NO_ACCIDENTALS: AccidentalChoice = { shown: new Map(), remembered: new Map() };

/** As in the engraved score; a bar that keeps to its signature after one that did needs no thought. */
function accidentalsOf(staff: StaffBar, fifths: number, before: Remembered): AccidentalChoice {
  const isPlain =
    before.size === 0 &&
    staff.voices.every((voice) =>
      voice.every(({ heads, ornament }) =>
        [...heads, ...(ornament?.graces ?? [])].every(
          ({ pitch }) => pitch.alter === signatureAlter(fifths, pitch.step),
        ),
      ),
    );
  return isPlain ? NO_ACCIDENTALS : chooseAccidentals(staff.voices, fifths, staff.clef, before);
}

/** Clefs that change inside the bar stand right before the notes of their place, after what is said there in words. */
function withClefs(items: readonly PlacedMarkup[], { clefChanges = [] }: StaffBar, staff: number, hasStaves: boolean) {
  if (clefChanges.length === 0) return items;
  const clefs = clefChanges.map(({ start, clef }): PlacedMarkup => ({
    start,
    markup: () => `<attributes>${clefTag(clef, staff, hasStaves)}</attributes>\n`,
  }));
  return [...items, ...clefs].sort((a, b) => a.start - b.start);
}

function staffText(
  { part, frame, bar, voicesPerStaff }: StaffTask,
  staffIndex: number,
  before: Remembered,
  items: readonly PlacedMarkup[],
): { readonly text: string; readonly remembered: Remembered } {
  const staff = bar.staves[staffIndex];
  const { startDivisions: barStart, lengthDivisions: barLength, meter } = frame;
  const staffNumber = bar.staves.length > 1 ? staffIndex + 1 : 0;
  const firstVoice = staffIndex * voicesPerStaff + 1;
  if (staff === undefined || staff.voices.length === 0) {
    const rest = wholeBarRest({ voiceNumber: firstVoice, staffNumber, barLength });
    return { text: interleaved([emptyVoice(frame)], [rest], items), remembered: new Map() };
  }
  const placed = withClefs(items, staff, staffIndex, bar.staves.length > 1);
  const { shown, remembered } = accidentalsOf(staff, bar.fifths, before);
  const full = (meter.numerator * 4 * DIVISIONS_PER_QUARTER) / meter.denominator;
  const missing = frame.number === 0 && barLength < full ? full - barLength : 0;
  const ends = groupEnds(meter, staff.voices.flat(), barStart - missing);
  let lyrics = lyricsByStart(bar.words, staffIndex);
  const texts = staff.voices.map((voice, voiceIndex) => {
    const notes = voiceNotes(voice, {
      part,
      voiceNumber: firstVoice + voiceIndex,
      staffNumber,
      barLength,
      stem: staff.voices.length === 1 ? '' : voiceIndex % 2 === 0 ? 'up' : 'down',
      accidentals: shown,
      lyrics,
      beamRuns: beamRuns(
        voice,
        ends,
        meter,
        barStart,
        missing,
        staff.clefChanges?.map(({ start }) => start),
      ),
    });
    // Of two voices the first one that has a note there has the word.
    lyrics = withoutSung(lyrics, voice);
    return voiceIndex === 0 ? interleaved(voice, notes, placed) : notes.join('');
  });
  return { text: texts.join(backup(barLength)), remembered };
}

function backup(length: number): string {
  return `<backup>${plainTag('duration', length)}</backup>\n`;
}

/** The `part` element. The first part carries what stands over the score. */
export function partText(layout: ScoreLayout, partIndex: number): string {
  const part = layout.parts[partIndex];
  if (part === undefined) return '';
  const isFirst = partIndex === 0;
  const bars = part.bars();
  const mostVoices = bars.reduce(
    (most, bar) => bar.staves.reduce((inBar, staff) => Math.max(inBar, staff.voices.length), most),
    4,
  );
  const texts: string[] = [];
  let remembered: Remembered[] = [];
  for (const [index, frame] of layout.frames.entries()) {
    const bar = bars[index];
    if (bar === undefined) break;
    const above = isFirst ? aboveScore(frame, layout.frames[index - 1]?.tempo) : [];
    const after: Remembered[] = [];
    const staves = bar.staves.map((_, staffIndex) => {
      const before = remembered[staffIndex] ?? new Map<string, number>();
      const task = { part, frame, bar, voicesPerStaff: mostVoices };
      const items = [...(staffIndex === 0 ? above : []), ...besideNotes(bar, staffIndex)];
      items.sort((a, b) => a.start - b.start);
      const staff = staffText(task, staffIndex, before, items);
      after.push(staff.remembered);
      return staff.text;
    });
    remembered = after;
    const implicit = frame.number === 0 ? ' implicit="yes"' : '';
    // Joined measure by measure: text put together bit by bit is flattened at once instead of being kept in its pieces.
    texts.push(
      [
        `<measure number="${String(frame.number)}"${implicit}>\n`,
        attributesTag(part, frame, bar, bars[index - 1]),
        staves.join(backup(frame.lengthDivisions)),
        '</measure>\n',
      ].join(''),
    );
  }
  return `<part id="${part.id}">\n${texts.join('')}</part>\n`;
}
