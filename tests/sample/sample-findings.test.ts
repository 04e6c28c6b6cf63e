import { describe, expect, it } from 'vitest';
import { FLAWS } from '../../sample-input/flaws.ts';
import type { CheckedStage } from '../../src/build.ts';
import { checkFolder } from '../../src/build.ts';
import type { Finding } from '../../src/model/readings/readings.ts';
import { testEffects } from '../support/effects.ts';
import { COMPLETE, EARLIER, SAMPLE } from './sample-support.ts';

const judged = new Map<string, Promise<CheckedStage>>();

function checked(stage: string): Promise<CheckedStage> {
  const known = judged.get(stage);
  if (known !== undefined) return known;
  const fresh = checkFolder({ folder: SAMPLE, stage }, testEffects()).then((outcome) => outcome.checked);
  judged.set(stage, fresh);
  return fresh;
}

/** Names of the tracks of the parts that a finding names. */
function tracksIn(finding: Finding, { stage }: CheckedStage): string[] {
  return stage.parts
    .filter((part) => finding.partIds.includes(part.id))
    .flatMap((part) => part.tracks.map((track) => track.name));
}

// The flaws were put in by hand: the list stands in the script of the sample, not in what the program finds.
describe('the findings on the sample are the flaws that were put in', () => {
  it('each flaw is found in its bars and its part', async () => {
    const last = await checked(COMPLETE.name);
    for (const flaw of FLAWS) {
      const found = last.findings.filter(
        (finding) => finding.rule === flaw.rule && finding.from === flaw.from && finding.to === flaw.to,
      );
      const named = found.flatMap((finding) => tracksIn(finding, last));
      expect(named, `${flaw.rule} in bars ${flaw.from}-${flaw.to}`).toEqual(expect.arrayContaining([...flaw.parts]));
    }
  });

  it('nothing else is to fix or to look at', async () => {
    const last = await checked(COMPLETE.name);
    const serious = last.findings.filter((finding) => finding.level !== 'note' && finding.accepted === undefined);
    expect(serious.length).toBe(FLAWS.length);
  });

  it('the flute above the tune is found, and accepted with its reason', async () => {
    const last = await checked(COMPLETE.name);
    const flute = last.findings.filter(
      (finding) => finding.rule === 'background-above-melody' && tracksIn(finding, last).includes('Flöte'),
    );
    expect(flute.length).toBeGreaterThan(0);
    for (const finding of flute) expect(finding.accepted).toContain('light on the water');
  });

  it.each(EARLIER.map((stage) => stage.name))('%s has nothing to fix or to look at', async (name) => {
    const { findings } = await checked(name);
    const open = findings.filter((finding) => finding.level !== 'note' && finding.accepted === undefined);
    expect(open.map((finding) => finding.message)).toEqual([]);
  });

  it('the program reads the names of all parts as a musician does', async () => {
    const last = await checked(COMPLETE.name);
    expect(last.stage.parts.map((part) => part.instrument).sort()).toEqual(
      [
        'piano',
        'violin',
        'violin',
        'viola',
        'cello',
        'double-bass',
        'flute',
        'clarinet-bflat',
        'bassoon',
        'horn-f',
        'timpani',
      ].sort(),
    );
  });
});
