/**
 * Which kind of ensemble the recognised parts make: orchestra, chamber music, choir, bands. Who stands in which ensemble is common
 * practice; the counts from which one is told from another are ours.
 */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Ensemble, EnsembleKind } from '../../model/music/ensemble.ts';

/** A part as far as the ensemble goes. */
export interface EnsembleMember {
  /** Catalogue id or `unknown`. */
  readonly instrument: string;
  /** Players that the name states: 2 for Flutes 1 & 2; else 1. */
  readonly stated: number;
  /** The name is a plural or says tutti, divisi: a section. */
  readonly section: boolean;
  readonly solo: boolean;
  /** A drum set played by one drummer. */
  readonly kit: boolean;
}

/** Words for the set that one drummer plays, and for its pieces where each has a track. */
const KIT_WORDS: ReadonlySet<string> = new Set(
  'drums,drum kit,drumkit,drum set,drumset,kit,schlagzeug,batteria,batterie,kick,kick drum,hi hat,hihat,trap set,trap kit,drum machine,beats,drumkit acoustic,acoustic drums,electronic drums,e drums,drum loop,overheads,brushes,dr,drs,drm,drms,bateria,trommer,trommesett,trommesaet,trummor,trumset,rummut,drumstel,bebny,perkusja,dobok,bici souprava'.split(
    ',',
  ),
);

/** Whether a folded name is that of a drum set or one of its pieces. */
export function isKitName(matched: string): boolean {
  return KIT_WORDS.has(matched);
}

const ELECTRONIC: ReadonlySet<string> = new Set(['synthesizer', 'synth-bass', 'sound-effect']);
/** Brass that bands have and orchestras rarely. */
const BAND_BRASS = ['flugelhorn', 'alto-horn-eflat', 'baritone-horn', 'euphonium'];
const FOLK: ReadonlySet<string> = new Set(
  'guitar,mandolin,mandola,banjo,ukulele,bouzouki,cavaquinho,charango,viola-caipira,guitarron,accordion,bass-guitar'.split(
    ',',
  ),
);
/** Plucked strings that play continuo, or belong to an orchestra. */
const OLD_PLUCKED = ['harp', 'lute', 'archlute', 'theorbo'];

interface Counts {
  readonly all: number;
  readonly known: number;
  readonly of: (...ids: readonly string[]) => number;
  readonly family: (family: string) => number;
  /** Players, where names state them, of instruments whose id begins so. */
  readonly players: (prefix: string) => number;
  readonly sections: boolean;
  readonly kit: boolean;
}

function countsOf(members: readonly EnsembleMember[]): Counts {
  const ids = new Map<string, number>();
  const families = new Map<string, number>();
  for (const { instrument } of members) {
    ids.set(instrument, (ids.get(instrument) ?? 0) + 1);
    const family = instrumentById(instrument)?.family ?? 'unknown';
    families.set(family, (families.get(family) ?? 0) + 1);
  }
  return {
    all: members.length,
    known: members.filter(({ instrument }) => instrumentById(instrument) !== undefined).length,
    of: (...wanted) => wanted.reduce((sum, id) => sum + (ids.get(id) ?? 0), 0),
    family: (family) => families.get(family) ?? 0,
    players: (prefix) =>
      members.reduce((sum, { instrument, stated }) => sum + (instrument.startsWith(prefix) ? stated : 0), 0),
    sections: members.some(({ instrument, section }) => section && instrumentById(instrument)?.family === 'strings'),
    kit: members.some(({ kit }) => kit),
  };
}

/** Bowed strings but the bass, which every kind of ensemble has. */
const bowed = ({ of }: Counts): number => of('violin', 'viola', 'cello', 'string-ensemble');
const basses = ({ of }: Counts): number => of('double-bass', 'bass-guitar', 'synth-bass', 'guitarron');
const saxes = ({ players }: Counts): number => players('sax-');
/** Wood and brass as an orchestra has them. */
const winds = (counts: Counts): number =>
  counts.family('woodwind') -
  counts.of('sax-soprano', 'sax-alto', 'sax-tenor', 'sax-baritone') +
  counts.family('brass');

const is = (kind: EnsembleKind, sure = true): Ensemble => ({ kind, sure });

function electronic(counts: Counts): Ensemble | undefined {
  const made = counts.of(...ELECTRONIC);
  if (made < 2 || counts.family('voice') > counts.of('choir') || 2 * made < counts.all) return undefined;
  return is('electronic', made * 3 >= counts.all * 2);
}

function percussion(counts: Counts): Ensemble | undefined {
  const struck = counts.family('percussion');
  const others = counts.all - struck - counts.family('keyboard') - counts.of('harp');
  return struck >= 2 && others === 0 && struck >= 0.6 * counts.all ? is('percussion', struck >= 3) : undefined;
}

function choir(counts: Counts): Ensemble | undefined {
  const voices = counts.family('voice');
  const kinds = ['voice-soprano', 'voice-mezzo', 'voice-alto', 'voice-tenor', 'voice-baritone', 'voice-bass'].filter(
    (id) => counts.of(id) > 0,
  ).length;
  const isChoir = counts.of('choir') > 0 || kinds >= 3 || voices >= 4;
  if (!isChoir || (counts.kit && basses(counts) > 0) || voices < 0.4 * counts.all) return undefined;
  return is('choir', voices >= 0.6 * counts.all && kinds !== 3);
}

function windsAlone(counts: Counts): Ensemble | undefined {
  if (bowed(counts) > 0 && !(bowed(counts) === 1 && counts.of('cello') === 1 && winds(counts) >= 10)) return undefined;
  const { of, family, players, all } = counts;
  const wood = family('woodwind');
  if (wood === 0 && family('brass') >= 5 && of('cornet-bflat', 'cornet-eflat') > 0) {
    if (of(...BAND_BRASS) > 0) return is('brass-band');
  }
  const rhythm = counts.kit || basses(counts) > 0;
  if (
    rhythm &&
    saxes(counts) >= 2 &&
    players('trumpet') >= 2 &&
    players('trombone') >= 2 &&
    winds(counts) - family('brass') <= 2
  )
    return is('big-band', saxes(counts) >= 4);
  const band = of('euphonium', 'baritone-horn', 'clarinet-eflat') + saxes(counts);
  // Saxophones and brass over guitar and bass: the horns of a band, whatever their number.
  if (rhythm && winds(counts) === family('brass') && of('guitar', 'bass-guitar', 'organ', 'synthesizer') > 0)
    return undefined;
  if (wood >= 3 && family('brass') >= 3 && all >= 8) return is('wind-band', band > 0);
  return undefined;
}

function bands(counts: Counts): Ensemble | undefined {
  const { of, family, kit } = counts;
  const bass = basses(counts);
  const isOrchestral = winds(counts) >= 4 && (bowed(counts) >= 3 || of('string-ensemble') > 0);
  if (isOrchestral) return undefined;
  const singers = family('voice') - of('choir');
  // Several singers before a rhythm section are a band with its backing choir; a combo has one at most.
  const isSung = singers >= 3 || (singers > 0 && of('choir') > 0);
  const chords = of('piano', 'guitar', 'organ', 'vibraphone', 'synthesizer');
  const horns =
    saxes(counts) + of('trumpet-bflat', 'trombone-tenor', 'clarinet-bflat', 'flugelhorn', 'flute', 'vibraphone');
  // Horn, piano, double bass and drums are a jazz combo, with a pad behind them too.
  const electric = of('synth-bass') + (horns > 0 && of('double-bass') > 0 && of('piano') > 0 ? 0 : of('synthesizer'));
  if (kit && bass > 0 && bowed(counts) <= 1 && electric === 0) {
    const swings = horns > 0 || (of('double-bass') > 0 && of('piano') > 0);
    // A singer before a bass guitar and horns is a ska, soul or pop band; the singer of a combo has an upright bass behind (common practice, no source).
    const isBand = singers > 0 && of('double-bass') === 0;
    if (swings && !isSung && !isBand && of('guitar') <= 1 && chords > 0)
      return is('combo', of('double-bass') > 0 || horns >= 2);
    if (horns === 0 && singers === 0 && of('guitar') === 0 && of('piano') > 0) return is('combo', false);
  }
  if (kit && (bass > 0 || of('guitar') > 0 || singers > 0)) return is('band', bass > 0);
  if (of('bass-guitar', 'synth-bass') > 0 && chords > 0 && winds(counts) <= 3) return is('band', singers > 0);
  // A fiddle among plucked strings and a squeezebox: a band that plays folk tunes.
  if (of(...FOLK) >= 2 && bowed(counts) <= 1 && winds(counts) <= 2) return is('band', false);
  return undefined;
}

/** The desks of a salon orchestra, the reed organ that fills in for the winds it lacks, and a wind of each kind at most (common practice, no source). */
function salon(counts: Counts): Ensemble | undefined {
  const { of, players, sections } = counts;
  const isSmall = of('violin') <= 3 && of('viola') <= 1 && of('cello') <= 1 && of('double-bass') <= 1 && !sections;
  const isPaired = ['flute', 'oboe', 'clarinet', 'bassoon', 'horn'].some((wind) => players(wind) > 1);
  const isSalon = of('harmonium') > 0 && of('piano') > 0 && of('violin') > 0 && winds(counts) > 0;
  return isSalon && isSmall && !isPaired ? is('chamber') : undefined;
}

function withStrings(counts: Counts): Ensemble | undefined {
  const { of, sections, all } = counts;
  const violins = of('violin');
  const patches = of('string-ensemble');
  const strings = bowed(counts) + of('double-bass');
  const others = winds(counts) + saxes(counts);
  const massed = sections || patches > 0 || (violins >= 2 && of('double-bass') > 0);
  if (others === 0 && of('timpani') === 0) {
    if (strings < 3 && !sections && patches === 0) return undefined;
    if (massed || strings > 6) return is('string-orchestra', sections || strings >= 5);
    return undefined;
  }
  if (strings === 0) return undefined;
  const twice = ['flute', 'oboe', 'clarinet-bflat', 'clarinet-a', 'bassoon', 'horn-f'].filter(
    (id) => counts.players(id) >= 2,
  ).length;
  const grand =
    of('timpani') +
    Math.min(1, of('percussion-unpitched')) +
    Math.min(1, of('trombone-tenor', 'trombone-bass', 'tuba')) +
    Math.min(1, counts.players('trumpet') >= 2 ? 1 : 0) +
    (sections ? 1 : 0) +
    patches +
    twice;
  if (strings >= 3 || massed) {
    if (others >= 4 && (massed || grand > 0)) return is('orchestra', grand >= 2 || all >= 10);
    if (massed && grand > 0) return is('orchestra', grand >= 2);
    if (massed && others >= 4) return is('orchestra', false);
    // Five strings with their bass and a wind or two; with more winds it may be an octet, with an organ a continuo.
    const alone = counts.family('keyboard') + counts.family('voice') === 0;
    if (massed && strings >= 5 && others <= 2 && alone) return is('orchestra', false);
  }
  return undefined;
}

/**
 * Violins without viola and cello over plucked strings, piano or a squeezebox: a band that has fiddles (mariachi, charanga, ceilidh), no orchestra.
 * Common practice, no source.
 */
function isFiddleBand(counts: Counts): boolean {
  const { of, family } = counts;
  const others = family('plucked') - of(...OLD_PLUCKED) + of('accordion', 'piano');
  return of('violin') > 0 && of('viola', 'cello', 'string-ensemble', 'timpani') === 0 && others > 0;
}

/** The kind of ensemble that parts make. Pure; the order of the members does not matter. */
export function ensembleOf(members: readonly EnsembleMember[]): Ensemble {
  const counts = countsOf(members);
  if (counts.known === 0) return is('unknown', false);
  if (counts.all === 1) return is('solo', counts.of('string-ensemble', 'choir') === 0);
  const whole =
    electronic(counts) ??
    percussion(counts) ??
    choir(counts) ??
    windsAlone(counts) ??
    salon(counts) ??
    bands(counts) ??
    withStrings(counts);
  const isMassed = whole?.kind === 'orchestra' || whole?.kind === 'string-orchestra';
  if (isMassed && isFiddleBand(counts)) return is('band', false);
  if (whole !== undefined) return whole;
  const singers = counts.family('voice');
  const melodic = bowed(counts) + winds(counts) + saxes(counts);
  if (singers > 0 && melodic <= 1 && singers <= 3) return is('song', counts.all <= 4);
  if (2 * counts.known < counts.all) return is('unknown', false);
  return is('chamber', counts.all <= 8 && (counts.family('brass') === 0 || counts.all <= 6));
}

/** What so many players together are called, by the beginnings of the words in the languages of titles. */
const NUMBERED: readonly (readonly [beginnings: readonly string[], parts: number])[] = [
  [['quartet', 'cuartet', 'kvartet', 'quatuor'], 4],
  [['quintet', 'kvintet'], 5],
  [['sextet', 'sextuor', 'sestett'], 6],
  [['septet', 'septuor', 'settimin'], 7],
  [['octet', 'oktet', 'octuor', 'ottett'], 8],
  [['nonet'], 9],
];

/** Salonorchester, salon orchestra, orchestre de salon. */
function isSalon(words: readonly string[]): boolean {
  const hasWord = (beginning: string): boolean => words.some((word) => word.startsWith(beginning));
  return (
    hasWord('salonorch') || hasWord('salonork') || (words.includes('salon') && (hasWord('orch') || hasWord('orq')))
  );
}

/**
 * The ensemble as a title has it: strings of as many parts as a quintet or another such word says are single players, where their instruments alone
 * would be a string orchestra (two violins, viola, cello and bass are either); so are those of a salon orchestra.
 */
export function ensembleNamed(ensemble: Ensemble, titles: readonly string[], parts: number): Ensemble {
  const words = titles.flatMap((title) => title.toLowerCase().split(/[^\p{L}]+/u));
  const isNamed = NUMBERED.some(
    ([beginnings, number]) =>
      number === parts &&
      words.some((word) => beginnings.some((each) => word.replace(/^streich|^string/, '').startsWith(each))),
  );
  return (ensemble.kind === 'string-orchestra' && isNamed) || (ensemble.kind === 'orchestra' && isSalon(words))
    ? is('chamber', true)
    : ensemble;
}
