/** What the sentences of a note speak of, as people write of their changes in several languages. Common practice, no source. */
import { describe, expect, it } from 'vitest';
import { nameReader } from '../../src/assemble/names/source-track.ts';
import { mattersOf } from '../../src/assemble/user-notes-and-settings/said-matters.ts';
import { partOf, timelineOf } from '../support/arrangement.ts';

const two = timelineOf(2);
function named(instrument: string, name: string, id = instrument): ReturnType<typeof partOf> {
  return { ...partOf(instrument, 'C4:0:4', two), id, name };
}
const band = [
  named('trumpet', 'Trompete'),
  named('horn', 'Horn in F'),
  named('viola', 'Viola'),
  named('cello', 'Cello'),
  named('voice', 'Voz Marisa', 'marisa'),
];

/** Each matter as its bars, parts (`all` where what is done is done to all) and deeds. */
function said(text: string): readonly (readonly string[])[] {
  return mattersOf(text, band, nameReader()).map(({ bars, partIds, deeds, isOfAll }) => [
    bars.map(({ from = '', to = '' }) => `${String(from)}-${String(to)}`).join(' '),
    isOfAll ? 'all' : [...partIds].sort().join(' '),
    deeds.join(' '),
  ]);
}

describe('sentences of a note', () => {
  it.each([
    ['Takte 9–12 braucht das Horn eine Pause, sonst ist der Ansatz weg.', '9-12', 'horn', 'rests'],
    ['Die Viola einen Ton tiefer, Takte 3-4.', '3-4', 'viola', 'lower'],
    ['Horn T. 21 bis 23: liegender Ton, macht die Steigerung.', '21-23', 'horn', ''],
    ['Alles einen Ganzton tiefer, also in Es.', '', 'all', 'lower'],
    ['All of it a tone lower, for the singer.', '', 'all', 'lower'],
    ['Tout un ton plus haut, la chanteuse le veut.', '', 'all', 'higher'],
    ['Tutto un tono più basso.', '', 'all', 'lower'],
    ['Un poquito más rápido también.', '', 'all', 'faster'],
    ['Un peu plus lent, on respire mieux.', '', 'all', 'slower'],
    ['Upp ett helt steg, basarna klagade.', '', 'all', 'higher'],
    ['Versen (takt 1-8) tas två gånger.', '1-8', 'all', 'fresh'],
    ['Viola och cello på samma system nu.', '', 'cello viola', 'joined'],
    ['Lite långsammare nu.', '', 'all', 'slower'],
    ['Fuera los compases 5-8, nadie aguanta tanto.', '5-8', 'all', 'cut'],
    ['Takt 5-8 är strukna.', '5-8', 'all', 'cut'],
    ['Les mesures 17 à 20 sont reprises.', '17-20', 'all', 'fresh'],
    ['Cello now on two tracks, to print them apart.', '', 'cello', 'split'],
    ['Marisa entra un tiempo antes en los compases 17-20.', '17-20', 'marisa', ''],
  ])('%s', (text, bars, parts, deed) => {
    expect(said(text)).toEqual([[bars, parts, deed]]);
  });

  it('that give the bars and then the players are one matter, with what explains them', () => {
    expect(
      said('Takte 17–24: es trägt nicht weit genug. Die Trompete geht jetzt mit. Auf dem Platz hört man es.'),
    ).toEqual([['17-24', 'trumpet', '']]);
  });

  it('about another thing that was done, or about others, are another matter, as is each paragraph', () => {
    expect(said('Bars 5-8 are repeated. Cello on two tracks.\n\nViola from bar 9 on.')).toEqual([
      ['5-8', 'all', 'fresh'],
      ['', 'cello', 'split'],
      ['9-', 'viola', ''],
    ]);
    expect(said('The viola was recorded again. The horn waits until bar 25.')).toEqual([
      ['', 'viola', 'fresh'],
      ['-25', 'horn', ''],
    ]);
  });

  it('about parts as a whole are not about the bars of those before them', () => {
    expect(said('The second time is bars 9-16. Viola and cello on one track now.')).toEqual([
      ['9-16', '', ''],
      ['', 'cello viola', 'joined'],
    ]);
  });

  it('that ask give no reason', () => {
    expect(said('Horn in Takt 9 lauter? Cello in Takt 12 leiser.')).toEqual([['12-12', 'cello', 'softer']]);
  });
});
