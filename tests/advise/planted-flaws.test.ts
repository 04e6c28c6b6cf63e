/**
 * Known flaws in clean arrangements: oboe and strings in D, piano and winds in B flat in 3/4, cornet and brass in F, choir and
 * organ in G minor in 6/8, written as MIDI files with a little scatter and read as a user's folder is. The clean ones keep to
 * what a harmony and an orchestration teacher ask for (common practice, no source); each flaw is planted alone.
 */
import { describe, expect, it } from 'vitest';
import { RULE_NAMES } from '../../src/model/readings/rule-names.ts';
import { ENSEMBLES, cleanPiece } from '../support/planted/ensembles.ts';
import { planted } from '../support/planted/flaws.ts';
import { judgePiece, told } from '../support/planted/judge-piece.ts';

/** A part left out for some bars has to come in again. */
const OF_PACING = ['never-rests', 'stamina', 'all-at-once', 'entry-off-phrase'];

const FLAWS = ENSEMBLES.flatMap((ensemble) =>
  RULE_NAMES.flatMap((rule) => {
    const flaw = planted(rule, ensemble);
    return flaw === undefined ? [] : [{ ...flaw, ensemble: ensemble.name }];
  }),
);

describe('a clean arrangement', () => {
  it.each(ENSEMBLES)('for $name has nothing to fix, to look at or to note', async (ensemble) => {
    const { findings } = await judgePiece(cleanPiece(ensemble));
    expect(told(findings)).toEqual([]);
  });
});

describe('a flaw planted alone is found in its bars, by its rule, in its part', () => {
  it('every rule has one somewhere', () => {
    expect(new Set(FLAWS.map(({ rule }) => rule))).toEqual(new Set(RULE_NAMES));
    expect(FLAWS.length).toBeGreaterThanOrEqual(70);
  });

  it.each(FLAWS)('$rule in bars $from-$to of $ensemble', async ({ rule, from, to, part, piece }) => {
    const { findings, stage } = await judgePiece(piece);
    const nameOf = (id: string): string => stage.parts.find((candidate) => candidate.id === id)?.name ?? id;
    const found = findings.filter(
      (finding) =>
        finding.rule === rule &&
        finding.from >= from &&
        finding.to <= to &&
        (part === undefined || finding.partIds.map(nameOf).includes(part)),
    );
    expect(found, told(findings).join('\n')).not.toEqual([]);
    // Nothing else is told that the planting did not bring with it: no more than a few other remarks.
    expect(findings.length, told(findings).join('\n')).toBeLessThanOrEqual(6);
    // What it brings stays in its bars, or one beside them; only who comes in and who rests is changed beyond.
    for (const finding of findings.filter((item) => !OF_PACING.includes(item.rule))) {
      expect(finding.from, finding.message).toBeGreaterThanOrEqual(from - 1);
      expect(finding.to, finding.message).toBeLessThanOrEqual(to + 1);
    }
  });
});
