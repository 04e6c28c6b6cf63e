/** Events of a voice as `note` elements, in the order of the schema (complex type `note`). */
import type { GraceNote, NoteHead, WrittenEvent } from '../../../model/music/written.ts';
import { midiOf } from '../../../model/music/pitch.ts';
import { element } from '../../../draw/svg.ts';
import type { LyricsByStart } from './lyric-xml.ts';
import { lyricTag } from './lyric-xml.ts';
import { graceFigure, ornamentNotations } from './ornament-xml.ts';
import type { PartLayout } from '../layout/score-layout.ts';
import { percussionKey } from '../../../model/music/percussion-keys.ts';
import type { PlainValue } from '../layout/plain-values.ts';
import { TYPES, filledHead, plainValues, releaseOf } from '../layout/plain-values.ts';
import { plainTag } from '../xml-text.ts';

const ACCIDENTALS: Readonly<Record<number, string>> = {
  [-2]: 'flat-flat',
  [-1]: 'flat',
  0: 'natural',
  1: 'sharp',
  2: 'double-sharp',
};

/** What a voice needs besides its events. */
export interface VoiceContext {
  readonly part: PartLayout;
  readonly voiceNumber: number;
  /** 1-based; 0 where the part has one staff. */
  readonly staffNumber: number;
  readonly barLength: number;
  /** '' where the voice is alone on its staff. */
  readonly stem: 'up' | 'down' | '';
  readonly accidentals: Pick<ReadonlyMap<NoteHead | GraceNote, number>, 'get'>;
  /** Indices of events under one beam. */
  readonly beamRuns: readonly (readonly number[])[];
  readonly lyrics: LyricsByStart;
}

/** Beams of a figure: one for eighths, two for 16ths ... */
function beamsOf(event: WrittenEvent): number {
  return Math.max(0, Math.log2(event.figure.base) - 2);
}

/** Beam elements by index of event. A note alone at its level gets a hook towards the notes it belongs to. */
function beamTags(voice: readonly WrittenEvent[], runs: readonly (readonly number[])[]): ReadonlyMap<number, string> {
  const tags = new Map<number, string>();
  for (const run of runs) {
    const counts = run.map((index) => {
      const event = voice[index];
      return event === undefined ? 0 : beamsOf(event);
    });
    for (const [place, index] of run.entries()) {
      let text = '';
      for (let level = 1; level <= (counts[place] ?? 0); level++) {
        const left = (counts[place - 1] ?? 0) >= level;
        const right = (counts[place + 1] ?? 0) >= level;
        const hook = place === 0 ? 'forward hook' : 'backward hook';
        const state = left && right ? 'continue' : left ? 'end' : right ? 'begin' : hook;
        text += `<beam number="${String(level)}">${state}</beam>`;
      }
      tags.set(index, text);
    }
  }
  return tags;
}

/** Tuplet marks by index of event: the first and last of each group. A group under one beam needs no bracket. */
function tupletTags(voice: readonly WrittenEvent[]): ReadonlyMap<number, string> {
  const groups = new Map<number, number[]>();
  for (const [index, { figure }] of voice.entries()) {
    if (figure.tuplet === undefined) continue;
    const known = groups.get(figure.tuplet.id);
    if (known === undefined) groups.set(figure.tuplet.id, [index]);
    else known.push(index);
  }
  const tags = new Map<number, string>();
  for (const indices of groups.values()) {
    const isBeamed = indices.every((index) => voice[index]?.kind === 'notes' && voice[index].figure.base >= 8);
    const first = indices[0] ?? 0;
    const last = indices.at(-1) ?? first;
    tags.set(first, element('tuplet', { type: 'start', bracket: isBeamed ? 'no' : 'yes' }));
    tags.set(last, (tags.get(last) ?? '') + element('tuplet', { type: 'stop' }));
  }
  return tags;
}

function pitchTags(
  head: Pick<NoteHead, 'pitch'>,
  part: PartLayout,
): { readonly what: string; readonly instrument: string; readonly notehead: string } {
  const { step, alter, octave } = head.pitch;
  if (!part.unpitched) {
    const alterTag = alter === 0 ? '' : plainTag('alter', alter);
    const what = `<pitch>${plainTag('step', step)}${alterTag}${plainTag('octave', octave)}</pitch>`;
    return { what, instrument: '', notehead: '' };
  }
  const midi = midiOf(head.pitch);
  const { display, head: shape } = percussionKey(midi);
  return {
    what: `<unpitched>${plainTag('display-step', display.step)}${plainTag('display-octave', display.octave)}</unpitched>`,
    instrument: element('instrument', { id: `${part.id}-I${String(midi)}` }),
    notehead: shape === 'normal' ? '' : plainTag('notehead', shape),
  };
}

/** Where the note is tied from and to; for the sound (`tie`) and for the eye (`tied`). */
function tieTags(name: 'tie' | 'tied', head: NoteHead): string {
  const from = head.tieFromPrevious ? `<${name} type="stop"/>` : '';
  return head.tieToNext ? `${from}<${name} type="start"/>` : from;
}

/** A rest of the whole bar; it has no figure. */
export function wholeBarRest(context: Pick<VoiceContext, 'voiceNumber' | 'staffNumber' | 'barLength'>): string {
  const staff = context.staffNumber === 0 ? '' : plainTag('staff', context.staffNumber);
  const duration = plainTag('duration', context.barLength);
  return `<note><rest measure="yes"/>${duration}${plainTag('voice', context.voiceNumber)}${staff}</note>\n`;
}

/** The small notes before an event; they take no time. */
function graceNotes({ ornament }: WrittenEvent, context: VoiceContext): string {
  const graces = ornament?.graces ?? [];
  const staff = context.staffNumber === 0 ? '' : plainTag('staff', context.staffNumber);
  return graces
    .map((small, index) => {
      const { grace, type, beams } = graceFigure(graces.length, index);
      const { what, instrument, notehead } = pitchTags(small, context.part);
      const sign = ACCIDENTALS[context.accidentals.get(small) ?? NaN];
      const accidental = sign === undefined ? '' : plainTag('accidental', sign);
      const head = `${grace}${what}${instrument}${plainTag('voice', context.voiceNumber)}${plainTag('type', type)}`;
      return `<note>${head}${accidental}<stem>up</stem>${notehead}${staff}${beams}</note>\n`;
    })
    .join('');
}

/** Hidden rests that fill what a plain value leaves of a time. */
function hiddenRests(pieces: readonly PlainValue[], context: VoiceContext): string {
  const staff = context.staffNumber === 0 ? '' : plainTag('staff', context.staffNumber);
  return pieces
    .map(({ length, type }) => {
      const tags = plainTag('duration', length) + plainTag('voice', context.voiceNumber);
      return `<note print-object="no"><rest/>${tags}${type === undefined ? '' : plainTag('type', type)}${staff}</note>\n`;
    })
    .join('');
}

/** All notes of one event. */
function eventNotes(event: WrittenEvent, context: VoiceContext, beams: string, tuplet: string): string {
  const { figure } = event;
  // In free time a note has a place and a duration, but no value. One is given all the same, since readers count by values.
  const [plain, ...rest] = event.stemless === true || event.wholeBar === true ? plainValues(event.length) : [];
  if (event.kind === 'rest' && plain !== undefined) return hiddenRests([plain, ...rest], context);
  const duration = plainTag('duration', plain?.length ?? event.length);
  const voice = plainTag('voice', context.voiceNumber);
  const value =
    plain === undefined
      ? plainTag('type', TYPES[figure.base] ?? 'quarter') + '<dot/>'.repeat(figure.dots)
      : plain.type === undefined
        ? ''
        : plainTag('type', plain.type);
  const staff = context.staffNumber === 0 ? '' : plainTag('staff', context.staffNumber);
  const inTuplet =
    figure.tuplet === undefined
      ? ''
      : `<time-modification>${plainTag('actual-notes', figure.tuplet.actual)}${plainTag('normal-notes', figure.tuplet.normal)}</time-modification>`;
  if (event.kind === 'rest') {
    const notations = tuplet === '' ? '' : plainTag('notations', tuplet);
    const open = event.hidden === true ? '<note print-object="no">' : '<note>';
    return `${open}<rest/>${duration}${voice}${value}${inTuplet}${staff}${notations}</note>\n`;
  }
  const direction = event.stemless === true ? 'none' : context.stem;
  const stem = direction === '' || figure.base === 1 ? '' : plainTag('stem', direction);
  const notes = event.heads
    .map((head, index) => {
      const { what, instrument, notehead } = pitchTags(head, context.part);
      const sign = ACCIDENTALS[context.accidentals.get(head) ?? NaN];
      const accidental = sign === undefined ? '' : plainTag('accidental', sign);
      const notations = tieTags('tied', head) + (index === 0 ? tuplet : '') + ornamentNotations(event, index);
      return (
        `<note${releaseOf(event, head, plain)}>${index === 0 ? '' : '<chord/>'}${what}${duration}${tieTags('tie', head)}${instrument}${voice}` +
        `${value}${accidental}${inTuplet}${stem}${notehead === '' ? filledHead(event, plain) : notehead}${staff}${index === 0 ? beams : ''}` +
        `${notations === '' ? '' : plainTag('notations', notations)}${index === 0 ? lyricTag(event, context.lyrics) : ''}</note>\n`
      );
    })
    .join('');
  return graceNotes(event, context) + notes + hiddenRests(rest, context);
}

/** Markup of each event of a voice, in order. */
export function voiceNotes(voice: readonly WrittenEvent[], context: VoiceContext): string[] {
  const [only] = voice;
  if (voice.length === 1 && only?.kind === 'rest' && only.hidden !== true) return [wholeBarRest(context)];
  const beams = beamTags(voice, context.beamRuns);
  const tuplets = tupletTags(voice);
  return voice.map((event, index) => eventNotes(event, context, beams.get(index) ?? '', tuplets.get(index) ?? ''));
}
