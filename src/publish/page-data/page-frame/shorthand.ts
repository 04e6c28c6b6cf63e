/**
 * Instrumentation in the trade's shorthand: `2.1.2.2 - 4.2.3.1 - timp - hp - str`. Order and grouping as orchestra catalogues
 * have it (flutes, oboes, clarinets, bassoons; horns, trumpets, trombones, tubas; 0 where absent). There is no standard for
 * related instruments: a plus adds their players here, and the legend says so.
 */
import type { Part } from '../../../model/music/arrangement.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';

/** Main instruments of the eight places, by the tens of the catalogue's score order; the others of a ten are related ones. */
const WOODWIND = [1, 2, 3, 4];
const BRASS = [6, 7, 8];
const MAIN: ReadonlySet<string> = new Set([
  'flute',
  'oboe',
  'clarinet-bflat',
  'clarinet-a',
  'bassoon',
  'horn-f',
  'trumpet-bflat',
  'trumpet-c',
  'trombone-tenor',
  'trombone-alto',
  'trombone-bass',
  'tuba',
]);
const STRINGS = ['violin', 'viola', 'cello', 'double-bass'];

interface Member {
  readonly part: Part;
  readonly order: number;
}

function place(members: readonly Member[]): string {
  const main = members.filter(({ part }) => MAIN.has(part.instrument)).reduce((sum, { part }) => sum + part.players, 0);
  const related = new Map<string, number>();
  for (const { part } of members) {
    if (MAIN.has(part.instrument)) continue;
    const name = (instrumentById(part.instrument)?.abbreviation ?? part.instrumentName)
      .toLowerCase()
      .replace(/\.$/, '');
    related.set(name, (related.get(name) ?? 0) + part.players);
  }
  const added = [...related].map(([name, players]) => `+${players > 1 ? String(players) : ''}${name}`);
  return `${String(main)}${added.join('')}`;
}

function winds(members: readonly Member[]): readonly string[] {
  const ofTen = (ten: number): readonly Member[] => members.filter(({ order }) => Math.floor(order / 10) === ten);
  const woodwind = WOODWIND.map(ofTen);
  const [horns = [], trumpets = [], low = []] = BRASS.map(ofTen);
  const tubas = low.filter(({ part }) => part.instrument === 'tuba');
  const brass = [horns, trumpets, low.filter((member) => !tubas.includes(member)), tubas];
  if ([...woodwind, ...brass].every((group) => group.length === 0)) return [];
  return [woodwind.map(place).join('.'), brass.map(place).join('.')];
}

/** `sax`, `2 sax`: instruments that are named, with how many where it is more than one. */
function named(members: readonly Member[], nameOf: (part: Part) => string): readonly string[] {
  const counts = new Map<string, number>();
  for (const { part } of members) counts.set(nameOf(part), (counts.get(nameOf(part)) ?? 0) + part.players);
  return [...counts].map(([name, players]) => (players > 1 ? `${String(players)} ${name}` : name));
}

function strings(members: readonly Member[]): readonly string[] {
  const own = members.filter(({ part }) => STRINGS.includes(part.instrument));
  const rest = members.filter(({ part }) => part.family === 'strings' && !STRINGS.includes(part.instrument));
  if (own.length === 0) return rest.length === 0 ? [] : ['str'];
  const players = (id: string, second?: boolean): number =>
    own
      .filter(({ part }) => part.instrument === id && (second === undefined || (part.number === 2) === second))
      .reduce((sum, { part }) => sum + part.players, 0);
  const desks = [players('violin', false), players('violin', true), ...STRINGS.slice(1).map((id) => players(id))];
  return [`str ${desks.join('.')}`];
}

const SHORT: Readonly<Record<string, string>> = {
  timpani: 'timp',
  harp: 'hp',
  piano: 'pf',
  celesta: 'cel',
  organ: 'org',
};

export interface Shorthand {
  /** One line; '' where no part is there. Instruments that nobody recognised stand at the end with their names. */
  readonly text: string;
  /** How its places are to be read; '' where it has none. */
  readonly legend: string;
}

function legendOf(windPlaces: readonly string[], stringPlaces: readonly string[]): string {
  const hasDesks = stringPlaces.some((text) => /^str \d/.test(text));
  const places = [
    ...(windPlaces.length === 0
      ? []
      : ['flutes.oboes.clarinets.bassoons - horns.trumpets.trombones.tubas', ...(hasDesks ? ['others'] : [])]),
    ...(hasDesks ? ['str: violins I.II.violas.cellos.basses'] : []),
  ];
  if (places.length === 0) return '';
  const hasRelated = windPlaces.some((text) => text.includes('+'));
  return `In players: ${places.join(' - ')}${hasRelated ? '; a plus adds players of a related instrument' : ''}.`;
}

/** The instrumentation of a stage in one line, and its legend. */
export function shorthandOf(parts: readonly Part[]): Shorthand {
  const members = parts.map((part): Member => ({ part, order: instrumentById(part.instrument)?.scoreOrder ?? 999 }));
  const short = (part: Part): string =>
    SHORT[part.instrument] ??
    (instrumentById(part.instrument)?.abbreviation ?? part.name).toLowerCase().replace(/\.$/, '');
  const within = (from: number, to: number): readonly Member[] =>
    members.filter(({ order }) => order >= from && order < to + 1);
  const percussion = within(91, 99).filter(({ part }) => part.instrument !== 'timpani');
  const [windPlaces, stringPlaces] = [winds(members), strings(members)];
  const text = [
    ...windPlaces,
    ...named(within(50, 59), () => 'sax'),
    ...named(within(90, 90), short),
    ...(percussion.length === 0 ? [] : [percussion.length > 1 ? `${String(percussion.length)} perc` : 'perc']),
    ...named(within(100, 109), short),
    ...named(within(110, 118), short),
    ...stringPlaces,
    ...named(within(124, 999), (part) => part.name),
  ].join(' - ');
  return { text, legend: legendOf(windPlaces, stringPlaces) };
}
