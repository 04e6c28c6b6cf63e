/**
 * Every picture under a finding of both samples, read back: a ring is on a note that the finding names. Places on a staff by its clef: the
 * treble clef names G4, the alto clef C4, the bass clef F3 (any handbook of notation).
 */
import { describe, expect, it } from 'vitest';
import { adviseStage } from '../../src/advise/advise-stage.ts';
import { analyseStage } from '../../src/analyse/analyse-stage.ts';
import { drawPictures } from '../../src/draw-pictures.ts';
import { STEPS } from '../../src/model/music/pitch.ts';
import { concertIntervalOf } from '../../src/notate/keys/written-pitch.ts';
import { readSystem, type DrawnGlyph, type DrawnStaff } from '../draw/engrave/drawn.ts';
import { arrangementIn } from '../support/read-stages.ts';
import { sampleFolders } from '../support/sample.ts';
import { notated } from '../support/notated.ts';

/** Diatonic steps from C0, by code point of the clef. */
const CLEF_STEPS: Readonly<Record<string, number>> = { E050: 4 * 7 + 4, E05C: 4 * 7, E062: 3 * 7 + 3 };
const STEP_PX = 5;

function clefsOf({ glyphs }: DrawnStaff): DrawnGlyph[] {
  return glyphs.filter(({ code }) => code in CLEF_STEPS).sort((a, b) => a.x - b.x);
}

/** Steps at which the rings of a picture stand. */
function ringedSteps(svg: string): number[] {
  const system = readSystem(svg);
  const groups = [...system.svg.querySelectorAll('.sn-staff')];
  return groups.flatMap((group, index) => {
    const clefs = clefsOf(system.staves[index]!);
    return [...group.querySelectorAll('circle')].map((ring) => {
      const x = Number(ring.getAttribute('cx'));
      const clef = clefs.findLast((candidate) => candidate.x < x)!;
      return CLEF_STEPS[clef.code]! + Math.round((clef.y - Number(ring.getAttribute('cy'))) / STEP_PX);
    });
  });
}

describe.each(sampleFolders().map((folder) => [folder.replace(/.*\//, ''), folder]))(
  'the pictures of %s',
  (_, folder) => {
    it('ring the notes that their findings name, and nothing else', async () => {
      const { stages, limits, accepted } = await arrangementIn(folder);
      let ringed = 0;
      for (const stage of stages.slice(-2)) {
        const written = notated(stage);
        const readings = analyseStage(stage, written);
        const findings = adviseStage({ stage, written, readings, limits, accepted });
        const pictures = drawPictures({ stage, written, readings, findings }, true);
        for (const [index, finding] of findings.entries()) {
          const own = pictures.filter((picture) => picture.finding === index);
          const steps = (finding.notes ?? []).map(({ partId, played }) => {
            const note = written.parts
              .find((part) => part.partId === partId)!
              .notes.find((one) => one.played === played)!;
            const { diatonic } = concertIntervalOf(stage.parts.find(({ id }) => id === partId)!);
            return 7 * note.pitch.octave + STEPS.indexOf(note.pitch.step) - diatonic;
          });
          const rings = own.flatMap(({ svg }) => ringedSteps(svg));
          if (finding.accepted === undefined) expect(new Set(rings), finding.message).toEqual(new Set(steps));
          ringed += rings.length;
        }
        const bytes = pictures.reduce((sum, { svg }) => sum + svg.length, 0);
        expect(bytes / Math.max(1, pictures.length)).toBeLessThanOrEqual(4096);
      }
      expect(ringed).toBeGreaterThan(8);
    });
  },
);
