/** Draws one system: bar by bar into a sheet for each staff, words above, then the staves set one under another by their ink. */
import type { EngravedBar } from '../../../model/drawing.ts';
import type { DynamicMark, NoteHead, ScoreBar, ScoreSyllable, StaffInfo } from '../../../model/music/written.ts';
import type { BarPlace } from './above-system.ts';
import { drawBarNumbers, drawChords, drawHeadings } from './above-system.ts';
import { drawLongRest, drawWholeBarRest } from '../signs/bar-rests.ts';
import { LINE_LEAD_PX, courtesyWidth, widthAfterNotes, widthBeforeNotes } from '../bar-spacing/bar-width.ts';
import { drawClefs } from '../bar-spacing/clefs-inside.ts';
import type { CueBlock } from '../signs/cues.ts';
import { drawCues } from '../signs/cues.ts';
import { drawDot } from '../signs/draw-dots.ts';
import type { DrawnVoice } from '../signs/draw-notes.ts';
import { drawVoice } from '../signs/draw-notes.ts';
import { drawOrnaments } from '../signs/draw-ornaments.ts';
import type { LineOfMusic } from '../signs/dynamics.ts';
import { drawDynamics, drawNames } from '../signs/dynamics.ts';
import type { BarLine } from './frame.ts';
import { labelsOf, marginFor, staffGroups } from './frame.ts';
import { SMALL_CLEF_SCALE, changeHead, clefChanges, drawHead, lineHead } from '../bar-spacing/heads.ts';
import { addBox } from '../ink/ink.ts';
import type { PlacedWords } from '../bar-spacing/columns.ts';
import { momentIndex } from '../bar-spacing/columns.ts';
import type { ReadyBar } from '../line-breaks/justify-line.ts';
import { justifyLine } from '../line-breaks/justify-line.ts';
import type { OttavaMap } from '../accidentals-beams-rests/ottava.ts';
import { drawOttavas } from '../signs/ottava-brackets.ts';
import type { Sheet } from '../ink/sheet.ts';
import { blankSheet, drawGlyph, point, strokeQuietly } from '../ink/sheet.ts';
import type { DrawnSystem, SettableSystem } from './set-system.ts';
import { settableSystem } from './set-system.ts';
import { STAFF_PX } from './stack-staves.ts';
import type { PlacedSyllable } from '../signs/syllables.ts';
import { drawSyllables } from '../signs/syllables.ts';
import { tenths } from '../ink/tenths.ts';
import type { TimeSpan } from '../bar-spacing/time-places.ts';
import { timeline } from '../bar-spacing/time-places.ts';
import type { OpenTies } from '../signs/ties.ts';
import { drawLeavingTies, drawTiesOfBar } from '../signs/ties.ts';
import { drawTuplets } from '../signs/tuplets.ts';
import type { LetterSize } from '../ink/words.ts';

export interface SystemRequest {
  readonly staves: readonly StaffInfo[];
  /** Which staves of the score these are. */
  readonly staffIndices: readonly number[];
  readonly bars: readonly ReadyBar[];
  /** The bar after the last one of this system. */
  readonly next: ScoreBar | undefined;
  /** Names of staves in full, or short. */
  readonly fullNames: boolean;
  readonly widthPx: number;
  readonly label: string;
  readonly ottava: OttavaMap;
  /** Dynamics of the whole score; those of this line are drawn. */
  readonly dynamics: readonly DynamicMark[];
  /** Words of the whole score, by place; what was begun in an earlier line goes on in this one. */
  readonly syllables: readonly ScoreSyllable[];
  /** Shared by all systems of the score. */
  readonly glyphs: Set<string>;
  /** Heads to be ringed; none where absent. */
  readonly marked?: ReadonlySet<NoteHead>;
  /** Size on the page, as a share of the drawing's own; as wide as its place where absent. */
  readonly shownScale?: number;
  /** Size of names, sections and tempo; that of a reduced score where absent. */
  readonly letters?: LetterSize | undefined;
  /** Width on paper in points; that of an upright A4 sheet where absent. */
  readonly printedPt?: number | undefined;
}

const STAFF_LINE_PX = 1;

export function marginOf(staves: readonly StaffInfo[], fullNames: boolean, letters?: LetterSize): number {
  return marginFor(labelsOf(staves, staffGroups(staves), fullNames, letters), staves);
}

interface BarFrame {
  readonly noteX: number;
  readonly columnXs: readonly number[];
  /** Where the room of the notes ends. */
  readonly endX: number;
}

function frameOf({ prepared }: ReadyBar, noteX: number, force: number): BarFrame {
  let x = noteX;
  const columnXs: number[] = [];
  for (const gap of prepared.gaps) {
    if (columnXs.length < prepared.moments.length) columnXs.push(x);
    x += Math.max(gap.least, force * gap.ideal);
  }
  return { noteX, columnXs, endX: x };
}

/** Draws the notes and rests of a bar; the voices of each staff, where they stand. */
function drawBar(ready: ReadyBar, sheets: readonly Sheet[], frame: BarFrame): readonly (readonly DrawnVoice[])[] {
  const { prepared, bars } = ready;
  const { bar } = prepared;
  return prepared.staves.map((staff, staffIndex) => {
    const sheet = sheets[staffIndex];
    if (sheet === undefined) return [];
    if (bars.length > 1) drawLongRest(sheet, bars.length, frame.noteX, frame.endX, staffIndex === 0);
    else if (staff.silent) drawWholeBarRest(sheet, bar, frame.noteX, frame.endX, 10);
    if (bars.length > 1 || staff.silent) return [];
    drawClefs(sheet, staff.clefs, frame.columnXs);
    return staff.voices.map((voice, voiceIndex) => {
      for (const { event } of voice.events) {
        if (event.wholeBar !== true || event.hidden === true) continue;
        drawWholeBarRest(sheet, bar, frame.noteX, frame.endX, voice.direction === 1 ? -10 : 30);
      }
      return drawVoice(sheet, voice, frame.columnXs, bar.startDivisions, staff.voices[1 - voiceIndex]);
    });
  });
}

function barPlaces({ bars }: ReadyBar, left: number, right: number, scale: number): EngravedBar[] {
  const width = (right - left) / bars.length;
  return bars.map(({ number }, index) => ({
    number,
    xPx: Math.round((left + index * width) * scale * 10) / 10,
    widthPx: Math.round(width * scale * 10) / 10,
  }));
}

/** The music of one system, staff by staff; how far apart these stand is still open. */
export function layOutSystem(request: SystemRequest): SettableSystem {
  const { staves, bars, next, widthPx } = request;
  const labels = labelsOf(staves, staffGroups(staves), request.fullNames, request.letters);
  const margin = marginFor(labels, staves);
  const { systemPx, force } = justifyLine(bars, next, widthPx, margin);
  const scale = widthPx / systemPx;
  const sheets = staves.map(() => blankSheet(systemPx, request.glyphs, request.marked));
  const ties = staves.map((): OpenTies => new Map());
  const drawn = staves.map((): DrawnVoice[] => []);

  const places: BarPlace[] = [];
  const barLines: { x: number; kind: BarLine }[] = [];
  const chords: { placed: PlacedWords; x: number }[] = [];
  const cues: { block: CueBlock; x: number }[] = [];
  const words: { placed: PlacedSyllable; x: number }[] = [];
  const engraved: EngravedBar[] = [];
  const spans: TimeSpan[] = [];
  let left = margin;
  bars.forEach((ready, index) => {
    const { prepared } = ready;
    const { bar } = prepared;
    const following = bars[index + 1]?.prepared.bar ?? next;
    const head = index === 0 ? lineHead(bar) : changeHead(bar);
    drawHead(sheets, head, left);
    const noteX = left + widthBeforeNotes(prepared, index === 0);
    const frame = frameOf(ready, noteX, force);
    const changes = clefChanges(ready.bars.at(-1) ?? bar, following);
    const right = frame.endX + widthAfterNotes(ready, following);
    const voices = drawBar(ready, sheets, frame);
    changes.forEach((sign, staffIndex) => {
      const sheet = sheets[staffIndex];
      if (sign === undefined || sheet === undefined) return;
      drawGlyph(sheet, sign.glyph, frame.endX - 2, sign.y, SMALL_CLEF_SCALE);
    });

    const kind = following === undefined ? 'final' : following.sectionName !== undefined ? 'double' : 'single';
    barLines.push({ x: right, kind });
    const xAt = (start: number): number => frame.columnXs[momentIndex(prepared.moments, start)] ?? noteX;
    places.push({
      bar,
      first: index === 0,
      left,
      noteX: left + head.widthPx + 13,
      ...(bar.tempoAt === undefined ? {} : { tempoX: xAt(bar.startDivisions + bar.tempoAt) }),
    });
    for (const placed of ready.chords) chords.push({ placed, x: xAt(placed.start) });
    for (const placed of ready.words) words.push({ placed, x: xAt(placed.start) });
    for (const block of ready.cues) cues.push({ block, x: xAt(block.start) });
    const lineStart = index === 0 ? noteX - prepared.leadPx - LINE_LEAD_PX + 4 : undefined;
    spans.push({ start: bar.startDivisions, moments: prepared.moments, xs: frame.columnXs, endX: frame.endX });
    voices.forEach((staffVoices, staffIndex) => {
      const [sheet, open] = [sheets[staffIndex], ties[staffIndex]];
      if (sheet === undefined || open === undefined) return;
      drawTiesOfBar(sheet, staffVoices, bar.startDivisions, open, lineStart);
      for (const { events, direction } of staffVoices) for (const event of events) drawDot(sheet, event, direction);
      for (const voice of staffVoices) {
        drawTuplets(sheet, voice);
        voice.events.forEach((event, place) => {
          drawOrnaments(sheet, event, voice.events[place + 1]?.x ?? frame.endX);
        });
      }
      drawn[staffIndex]?.push(...staffVoices);
    });
    engraved.push(...barPlaces(ready, left, right, scale));
    left = right;
  });

  const musicEnd = left;
  const lineEnd = musicEnd + courtesyWidth(next);
  if (next !== undefined) drawHead(sheets, changeHead(next), musicEnd);
  const lastBar = bars.at(-1)?.bars.at(-1);
  const endDivisions = lastBar === undefined ? 0 : lastBar.startDivisions + lastBar.lengthDivisions;
  sheets.forEach((sheet, staffIndex) => {
    const open = ties[staffIndex];
    if (open !== undefined) drawLeavingTies(sheet, open, endDivisions, musicEnd);
    const path = [0, 10, 20, 30, 40].map((y) => `M${point(margin, y)}H${tenths(lineEnd)}`).join('');
    strokeQuietly(sheet, path, STAFF_LINE_PX);
    addBox(sheet.ink, margin, lineEnd, 0, STAFF_PX);
    const following = next?.staves[staffIndex]?.voices.flat().filter((event) => event.kind === 'notes')[0];
    drawOttavas(
      sheet,
      drawn[staffIndex] ?? [],
      request.ottava,
      musicEnd,
      (octaves) => following !== undefined && request.ottava.get(following) === octaves,
    );
  });

  const line: LineOfMusic = {
    start: spans[0]?.start ?? 0,
    end: endDivisions,
    xAt: timeline(spans, endDivisions),
    left: places[0]?.noteX ?? margin,
    right: musicEnd,
  };
  sheets.forEach((sheet, staffIndex) => {
    const sung = words.filter(({ placed }) => placed.syllable.staff === request.staffIndices[staffIndex]);
    const isBefore = ({ staff, start }: ScoreSyllable): boolean =>
      staff === request.staffIndices[staffIndex] && start < line.start;
    drawSyllables(sheet, sung, request.syllables.findLast(isBefore), line);
    drawDynamics(
      sheet,
      request.dynamics.filter((mark) => mark.staff === request.staffIndices[staffIndex]),
      line,
      sung.length > 0,
    );
    drawNames(
      sheet,
      bars.flatMap((ready) =>
        ready.prepared.bar.names.filter((name) => name.staff === request.staffIndices[staffIndex]),
      ),
      line,
      systemPx - 1,
    );
    drawCues(
      sheet,
      cues.filter(({ block }) => block.staff === request.staffIndices[staffIndex]),
      systemPx - 1,
    );
  });
  const topSheet = sheets[0];
  if (topSheet !== undefined) {
    drawBarNumbers(topSheet, places, systemPx, request.printedPt);
    drawChords(topSheet, chords, systemPx - 1);
    drawHeadings(topSheet, places, systemPx - 1, request.letters);
  }

  return settableSystem({ ...request, systemPx, scale, margin, labels, sheets, barLines, engraved });
}

/** Draws one system, its staves no farther apart than they must be. */
export function drawSystem(request: SystemRequest): DrawnSystem {
  return layOutSystem(request).draw(0);
}
