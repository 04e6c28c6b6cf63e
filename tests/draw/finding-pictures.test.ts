/** The pictures of findings, read back from their markup. Places on a staff: the middle line of the treble clef is B4, of the bass clef D3. */
import { describe, expect, it } from 'vitest';
import { drawPictures } from '../../src/draw-pictures.ts';
import type { Stage } from '../../src/model/music/arrangement.ts';
import type { Finding, FoundNote } from '../../src/model/readings/readings.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { readingsOf, writtenOf } from '../support/published.ts';
import { readSystem } from './engrave/drawn.ts';

const timeline = timelineOf(8);
/** A quarter after another, over and over through the eight bars; `-` is a rest. */
function quarters(...pitches: readonly string[]): string {
  return Array.from({ length: 32 }, (_, at) => ({ pitch: pitches[at % pitches.length] ?? '-', at }))
    .filter(({ pitch }) => pitch !== '-')
    .map(({ pitch, at }) => `${pitch}:${String(at)}:1`)
    .join(' ');
}

const piano = partOf('piano', quarters('C5', 'D5', 'E5', 'F5'), timeline, { name: 'Piano', role: 'foreground' });
const flute = partOf('flute', quarters('-', '-', '-', '-', 'E5', 'B3', 'F5', 'G5'), timeline, { name: 'Flute' });
const bass = partOf('double-bass', quarters('E1', 'G1'), timeline, { name: 'Bass' });
const stage = stageOf([flute, piano, bass], timeline);

function finding(changes: Partial<Finding>): Finding {
  return {
    ...{ rule: 'outside-range', level: 'fix', from: 2, to: 2, partIds: ['flute'] },
    ...{ message: 'A message.', advice: '', source: '' },
    ...changes,
  };
}

/** The notes of a part with this key. */
function notesOf(part: Stage['parts'][number], midi: number): FoundNote[] {
  return part.notes.flatMap((note, played) => (note.midi === midi ? [{ partId: part.id, played }] : []));
}

function pictures(findings: readonly Finding[], isCurrent = true, readings = readingsOf(stage)) {
  return drawPictures({ stage, written: writtenOf(stage), readings, findings }, isCurrent);
}

/** Rings by staff: their heights under the top line and how far each is from the middle of some head. */
function ringsOf(svg: string): { readonly staff: number; readonly y: number; readonly x: number }[] {
  return [...readSystem(svg).svg.querySelectorAll('.sn-staff')].flatMap((group, staff) =>
    [...group.querySelectorAll('circle')].map((ring) => ({
      staff,
      y: Number(ring.getAttribute('cy')),
      x: Number(ring.getAttribute('cx')),
    })),
  );
}

describe('the picture of a finding', () => {
  it('rings the note meant: B3 stands seven steps under the middle line of the treble clef', () => {
    const [picture] = pictures([finding({ notes: notesOf(flute, 59).slice(0, 1) })]);
    const rings = ringsOf(picture!.svg);
    expect(rings.map(({ staff, y }) => ({ staff, y }))).toEqual([{ staff: 0, y: 20 + 7 * 5 }]);
    // Four quarters stand in the bar; the ring is round the second of them.
    const { glyphs } = readSystem(picture!.svg).staves[0]!;
    const heads = [...new Set(glyphs.filter(({ code }) => code === 'E0A4').map(({ x }) => x))].sort((a, b) => a - b);
    const [, second, third] = heads;
    expect(rings[0]!.x).toBeGreaterThan(second!);
    expect(rings[0]!.x).toBeLessThan(third!);
    expect(picture!.text).toBe('Bar 2: Flute and Piano; 1 note ringed.');
  });

  it('rings a double bass where it is written, an octave over its sound: E2, six steps under the middle line of the bass clef', () => {
    const [picture] = pictures([finding({ partIds: ['bass'], notes: notesOf(bass, 28).slice(0, 1) })]);
    expect(ringsOf(picture!.svg).map(({ y }) => y)).toEqual([20 + 6 * 5]);
  });

  it('shows of a long one the first place, the one that the text names first, and the last', () => {
    const low = notesOf(flute, 59);
    expect(low).toHaveLength(4);
    const [, , third] = low;
    const shown = pictures([finding({ from: 2, to: 8, notes: [third!, ...low] })]);
    expect(shown.map(({ text }) => text.replace(/:.*/, ''))).toEqual([
      'Bar 2 of 2–8, the first place',
      'Bar 6 of 2–8, the worst place',
      'Bar 8 of 2–8, the last place',
    ]);
    expect(shown.map(({ svg }) => ringsOf(svg).length)).toEqual([1, 1, 1]);
  });

  it('sets the part against the leader of those bars, and two parts that are named against each other', () => {
    const alone = pictures([finding({})])[0]!;
    expect(alone.text).toContain('Flute and Piano');
    expect(ringsOf(alone.svg)).toEqual([]);
    const pair = pictures([finding({ partIds: ['flute', 'bass'] })])[0]!;
    expect(pair.text).toBe('Bar 2: Flute and Bass.');
    expect(readSystem(pair.svg).staves).toHaveLength(2);
  });

  it('draws the margin where the balance is the matter: a bar under the line for each in which the background is louder', () => {
    const balance = timeline.bars.map(({ number }) => ({
      bar: number,
      marginDb: number === 4 || number === 5 ? -6 : 6,
      partsDb: {},
    }));
    const readings = readingsOf(stage, { balance });
    const [picture] = pictures([finding({ rule: 'background-as-loud', from: 4, to: 5 })], true, readings);
    expect(picture!.svg.match(/class="margin-behind"/g)).toHaveLength(2);
    expect(picture!.text).toMatch(/^Bars 2–7, estimated/);
    expect(picture!.text).not.toContain('cut off');
    const far = readingsOf(stage, { balance: balance.map((bar) => ({ ...bar, marginDb: -20 })) });
    const [cut] = pictures([finding({ rule: 'background-as-loud', from: 4, to: 5 })], true, far);
    expect(cut!.text).toMatch(/where the background is; cut off at 12 dB\.$/);
  });

  it('draws an accepted finding like any other, and none of an earlier stage with more than thirty', () => {
    expect(pictures([finding({ accepted: 'It is meant.' })])).toEqual(pictures([finding({})]));
    expect(pictures([finding({})])).toHaveLength(1);
    const many = Array.from({ length: 31 }, () => finding({}));
    expect(pictures(many, false)).toEqual([]);
    expect(pictures(many, true)).toHaveLength(31);
  });

  it('lists every glyph that it uses, and has no style of its own', () => {
    const [picture] = pictures([finding({ notes: notesOf(flute, 59) })]);
    const used = [...picture!.svg.matchAll(/href="#([^"]+)"|<polyline class="([^"]+)"/g)].map(
      (match) => match[1] ?? match[2],
    );
    expect(used.length).toBeGreaterThan(3);
    expect([...new Set(used)].sort()).toEqual(picture!.glyphs);
    expect(picture!.svg).not.toMatch(/\sstyle=/);
  });
});
