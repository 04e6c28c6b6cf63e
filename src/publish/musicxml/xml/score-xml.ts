/** The whole document: score-partwise, MusicXML 4.0. */
import type { Arrangement, Stage } from '../../../model/music/arrangement.ts';
import { isAlike } from '../../../model/alike.ts';
import type { WrittenNote } from '../../../model/music/written.ts';
import { element } from '../../../draw/svg.ts';
import { partText } from './measure-xml.ts';
import type { BarFrame, PartLayout, PartSound, ScoreLayout } from '../layout/score-layout.ts';
import { oneLine, plainTag, textTag } from '../xml-text.ts';

const PROLOGUE =
  '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n' +
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

function soundTag(sound: PartSound): string {
  const standard = sound.sound === '' ? '' : plainTag('instrument-sound', sound.sound);
  return element('score-instrument', { id: sound.id }, textTag('instrument-name', sound.name) + standard);
}

function midiTag(part: PartLayout, sound: PartSound): string {
  return element(
    'midi-instrument',
    { id: sound.id },
    plainTag('midi-channel', part.midiChannel) +
      (sound.midiProgram === undefined ? '' : plainTag('midi-program', sound.midiProgram)) +
      (sound.midiUnpitched === undefined ? '' : plainTag('midi-unpitched', sound.midiUnpitched)),
  );
}

function scorePart(part: PartLayout): string {
  const abbreviation = oneLine(part.abbreviation) === '' ? '' : textTag('part-abbreviation', part.abbreviation);
  return `${element(
    'score-part',
    { id: part.id },
    textTag('part-name', part.name) +
      abbreviation +
      part.sounds.map(soundTag).join('') +
      part.sounds.map((sound) => midiTag(part, sound)).join(''),
  )}\n`;
}

/** The list of parts; two and more neighbours of one bracket stand in a group. */
function partList(parts: readonly PartLayout[]): string {
  let text = '';
  for (const [index, part] of parts.entries()) {
    const sameBefore = part.bracket !== '' && parts[index - 1]?.bracket === part.bracket;
    const sameAfter = part.bracket !== '' && parts[index + 1]?.bracket === part.bracket;
    if (sameAfter && !sameBefore) {
      text += `<part-group type="start" number="1"><group-symbol>bracket</group-symbol><group-barline>yes</group-barline></part-group>\n`;
    }
    text += scorePart(part);
    if (sameBefore && !sameAfter) text += '<part-group type="stop" number="1"/>\n';
  }
  return `<part-list>\n${text}</part-list>\n`;
}

interface KnownText {
  readonly others: readonly unknown[];
  readonly id: string;
  readonly text: string;
}

/** By the notes: many stages have the same. */
const known = new WeakMap<readonly WrittenNote[], KnownText>();

/** The frame of a bar as all parts but the first see it: without what stands over the score. */
function besideFirst({ number, startDivisions, lengthDivisions, meter, showMeter, mode }: BarFrame): object {
  return { number, startDivisions, lengthDivisions, meter, showMeter, mode };
}

/** The text of a part, taken from that of another stage where the part is the same, under another number perhaps. */
function knownPartText(layout: ScoreLayout, index: number): string {
  const { madeFrom, id = '' } = layout.parts[index] ?? {};
  if (madeFrom === undefined || index === 0) return partText(layout, index);
  const others = [...madeFrom.others, layout.frames.map(besideFirst)];
  const before = known.get(madeFrom.notes);
  if (before === undefined || !isAlike(before.others, others)) {
    const text = partText(layout, index);
    known.set(madeFrom.notes, { others, id, text });
    return text;
  }
  // No text of a user has a bracket of a tag in it.
  return before.text
    .replace(`<part id="${before.id}"`, `<part id="${id}"`)
    .replaceAll(`<instrument id="${before.id}-`, `<instrument id="${id}-`);
}

/** What a score says of the whole piece. */
export type ScoreCredits = Pick<Arrangement, 'title' | 'arranger'>;

/** A document without date, so that the same folder gives the same bytes. '' where there is nothing to write. */
export function scoreText(arrangement: ScoreCredits, stage: Stage, layout: ScoreLayout): string {
  if (layout.parts.length === 0 || layout.frames.length === 0) return '';
  const creator =
    arrangement.arranger === undefined ? '' : textTag('creator', arrangement.arranger, { type: 'arranger' });
  const header =
    `<work>${textTag('work-title', arrangement.title)}</work>\n` +
    `${textTag('movement-title', stage.title)}\n` +
    `<identification>${creator}<encoding><software>arrangement-dossier</software></encoding></identification>\n` +
    partList(layout.parts);
  const parts = layout.parts.map((_, index) => knownPartText(layout, index)).join('');
  return `${PROLOGUE}${element('score-partwise', { version: '4.0' }, `\n${header}${parts}`)}\n`;
}
