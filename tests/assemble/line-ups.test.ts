/** Whole line-ups of many trades, read as they stand: common practice, from memory, no source. */
import { describe, expect, it } from 'vitest';
import { lineUps, readLineUp } from '../support/line-ups.ts';

const read = lineUps().map((lineUp) => ({ lineUp, ...readLineUp(lineUp) }));
const all = read.flatMap(({ tracks }) => tracks);

describe('line-ups of bands, choirs, consorts and templates', () => {
  it('are at least fifty with well over five hundred names', () => {
    expect(read.length).toBeGreaterThanOrEqual(50);
    expect(all.length).toBeGreaterThan(500);
  });

  it('have at least 98 in 100 names right', () => {
    const right = all.filter(({ verdict }) => verdict === 'right');
    expect(right.length / all.length).toBeGreaterThanOrEqual(0.98);
  });

  it.each(read.map(({ lineUp, tracks }) => [lineUp.title, tracks] as const))(
    '%s: nobody is taken for another without a question',
    (_, tracks) => {
      const wrong = tracks.filter(({ verdict }) => verdict === 'wrong');
      expect(wrong.map(({ name, taken }) => `${name}: ${taken}`)).toEqual([]);
    },
  );

  it('have as many players as the trade has', () => {
    const wrong = all.filter(({ players, playersTaken }) => players !== undefined && players !== playersTaken);
    expect(wrong.map(({ lineUp, name, playersTaken }) => `${lineUp}, ${name}: ${String(playersTaken)}`)).toEqual([]);
  });

  it.each([
    ['soul band with a horn section', ['band', 'combo']],
    ['big band by chairs', ['big-band']],
    ['big band in short', ['big-band']],
    ['Bigband', ['big-band']],
    ['Blasorchester', ['wind-band']],
    ['brass band', ['brass-band']],
    ['string orchestra with harp', ['string-orchestra', 'orchestra']],
    ['brass quintet', ['chamber']],
    ['choir with soloists', ['choir']],
    ['rock band with strings', ['band']],
    ['sketch of a song, the singer on a voice program', ['song', 'band']],
    ['ska band with a singer', ['band']],
    ['jazz combo with a singer', ['combo']],
  ])('%s: the kind of ensemble', (title, kinds) => {
    expect(kinds).toContain(read.find(({ lineUp }) => lineUp.title === title)?.kind);
  });
});
