/** Words that stand in track names beside the instrument, and the splitting of a name into words. */
import { foldText } from './text.ts';

export interface NameWord {
  /** Folded. */
  readonly text: string;
  /** Place in the name as given. */
  readonly start: number;
  readonly end: number;
  /** Signs and spaces between it and the word before. */
  readonly between: string;
  /** True behind a sign that parts names (/ + & ; | : and a comma in brackets): no name reaches across it. */
  readonly apart: boolean;
}

// Letters, digits and sharps make words; a change from small to capital letter, or between letter and digit, starts a new one. Octave marks are one.
const WORD =
  /(?<!\d)(?:8v[abe]|15m[ab])(?!\p{L})|\p{Lu}{2,}(?![\p{Ll}])[♭♯#]?|\p{Lu}?[\p{Ll}\p{M}]+[♭♯#]?|\p{Lu}[♭♯#]?|\d+|[\p{Lo}\p{Lt}\p{Lm}]+/gu;

/** Solofiolin, Sologeige, Solotrumpet: one word for a soloist, read as two. */
const SOLO_COMPOUND = /^(solo)(?!ist)(\p{L}{3,})$/iu;

interface WordPlace {
  readonly text: string;
  readonly index: number;
}

function soloApart(match: RegExpMatchArray): readonly WordPlace[] {
  const index = match.index ?? 0;
  const [, solo, rest] = SOLO_COMPOUND.exec(match[0]) ?? [];
  if (solo === undefined || rest === undefined) return [{ text: match[0], index }];
  return [
    { text: solo, index },
    { text: rest, index: index + solo.length },
  ];
}

/** Words of a name, folded, with their places. Dots, hyphens, brackets and the like only separate. */
export function wordsOf(name: string): NameWord[] {
  const text = name.normalize('NFC');
  let last = 0;
  return [...text.matchAll(WORD)].flatMap(soloApart).map((match) => {
    const end = match.index + match.text.length;
    const between = text.slice(last, match.index);
    const before = text.slice(0, match.index);
    const isBracketed = before.lastIndexOf('(') > before.lastIndexOf(')');
    const apart = /[/+&;|:]/.test(between) || (isBracketed && between.includes(','));
    last = end;
    return { text: foldText(match.text), start: match.index, end, between, apart };
  });
}

const set = (words: string): ReadonlySet<string> => new Set(words.split(/\s+/).filter((word) => word !== ''));

/** How it is played: these tell tracks of one part apart, never parts. */
export const ARTICULATION_WORDS = set(`
  legato leg legati staccato staccati stacc stac staccatissimo staccatiss spiccato spicc spic sautille saltando ricochet jete
  pizzicato pizzicati pizz piz bartok snap arco bow bowed gestrichen gezupft tremolo tremolos tremoli trem trm trill trills triller trillo trille
  sustain sustains sustained sus sust long longs short shorts marcato marc portato port portamento porta tenuto detache detaches det
  martele martellato legno harmonics harmonic flag flageolett flautando flaut pont ponticello sul tasto sord sordino sordini sourdine con senza mit ohne
  dampfer gedampft muted mute mutes open ouvert bouche gestopft stopped cuivre vib vibrato nonvib espr espressivo expr expressive expression cant cantabile dolce fp sfz sfp cresc swell swells
  run runs fx effects gliss glissando glissandi flutter flz flatterzunge frull frullato accent accents accented perf performance
  roll rolls wirbel rullo roulement hit hits art arts artic articulation articulations keyswitch keyswitches ks normal norm ord ordinario natural naturale staccatos slur slurred grace arpeggio arpeggios pedal ped tongue tongued
`);

/** Where and how it was recorded or laid out: never part of what is played. */
export const MIX_WORDS = set(`
  close closed spot far mid near tree room hall ambient ambience amb ambi outrigger outriggers surround mix mixed mic mics mike stage wet dry rev reverb
  left right center centre links rechts gauche droite sinistra destra mono stereo layer layered patch lib library midi mid track trk spur piste traccia inst instr instrument channel chan ch
  part parte partie stimme section sec sect group grp gruppe ens ensemble bus stem new neu old alt copy kopie take edit edited bounce version ver final sketch demo rec
  quantized quantised unquantized raw live main all the and und et of e for fur pour per
`);

/**
 * What programs call a track that nobody named, in the languages of their menus: it says no instrument. Whole names; common practice, no source.
 */
const DEFAULT_NAME =
  /^(?:(?:new|neue[rs]?|nuov[ao]|nouve(?:lle|au)|nuev[ao]|nov[ao]|ny|nytt|nieuwe?|now[ay]|uusi)\s+)?(?:(?:midi|audio|instrument|software)[\s-]+)?(?:midi|audio|inst(?:rument)?|tracks?|trk|spur|midispur|piste|pista|traccia|channel|chan|ch|kanal|canale?|spor|spår|spoor|ścieżka|stopa|raita|untitled|unnamed|unbenannt|ohne (?:namen|titel)|sans (?:titre|nom)|senza (?:titolo|nome)|sin (?:título|nombre)|sem (?:título|nome))[\s_#.-]*\d*(?:\s+(?:copy|kopie|copie|copia))?(?:\s+\d+)?$/iu;

/** True of a track name that a program gave: New track, Spur 3, Piste 4. */
export function isDefaultName(name: string): boolean {
  return DEFAULT_NAME.test(name.normalize('NFC').trim());
}

/** Which hand of a keyboard or harp. */
export const HAND_WORDS = set('lh rh hand hands main mano linke rechte');

/** Desks and divisions of one section: the same part. */
export const DESK_WORDS = set(
  'desk desks stand stands pult pulte pupitre leggio div divisi divisa geteilt div. unis unison unisoni tutti soli leader inside outside player players',
);

/** Words by which people say that a track leads, or that it does not. */
export const LEAD_WORDS = set('lead melody melodie melodia tune theme thema mel');
export const BEHIND_WORDS = set(
  'ost ostinato pad pads comp comping drone arp arps arpeggio backing bv bvs bgv bgvs chords rhythm bed',
);
/** One player out of a section: a part of its own. */
export const SOLO_WORDS = set(
  'solo soloist solist soliste solista concertino soolo solisti szolo szolista solowy solowa solowe solova solove',
);

/** Words for one player, who need not lead where he plays: the fiddler who stands before a salon orchestra, and who plays its obbligato. */
export const ONE_PLAYER_WORDS = set('stehgeiger obl oblig obligat obligato obbligato oblige');

/** Words that follow a number which is not the number of a part. */
export const COUNTED_WORDS = set(
  'desk stand pult pupitre mic mics take ver version v layer ch chan channel track trk spur midi port copy edit div cc',
);

// V alone is left out: it begins names (V.no, V.la) more often than it counts a fifth player.
const ROMAN: ReadonlyMap<string, number> = new Map(
  Object.entries({ i: 1, ii: 2, iii: 3, iv: 4, vi: 6, vii: 7, viii: 8 }),
);
const ORDINALS: ReadonlyMap<string, number> = new Map(
  Object.entries({
    first: 1,
    firsts: 1,
    second: 2,
    seconds: 2,
    third: 3,
    fourth: 4,
    one: 1,
    two: 2,
    three: 3,
    four: 4,
    erste: 1,
    erster: 1,
    ersten: 1,
    erstes: 1,
    zweite: 2,
    zweiter: 2,
    zweiten: 2,
    zweites: 2,
    dritte: 3,
    dritter: 3,
    drittes: 3,
    vierte: 4,
    vierter: 4,
    viertes: 4,
    primo: 1,
    prima: 1,
    primi: 1,
    prime: 1,
    secondo: 2,
    seconda: 2,
    secondi: 2,
    seconde: 2,
    terzo: 3,
    quarto: 4,
    premier: 1,
    premiere: 1,
    premiers: 1,
    premieres: 1,
    deuxieme: 2,
    deuxiemes: 2,
    secondes: 2,
    troisieme: 3,
    quatrieme: 4,
    forste: 1,
    forsta: 1,
    andra: 2,
    anden: 2,
    eerste: 1,
    tweede: 2,
    primeiro: 1,
    primeira: 1,
    primeiros: 1,
    primero: 1,
    primera: 1,
    primeros: 1,
    segundo: 2,
    segunda: 2,
    segundos: 2,
  }),
);

/** Letters after a digit that make it an ordinal: 1st, 2nd, 2e, 1o. */
export const ORDINAL_ENDINGS = set('st nd rd th er re e eme ere o a ma da');

/** The number a word stands for as a Roman numeral or an ordinal; undefined for any other word. */
export function spokenNumber(word: string): number | undefined {
  return ROMAN.get(word) ?? ORDINALS.get(word);
}

/** The number a Roman numeral stands for. */
export function romanNumber(word: string): number | undefined {
  return ROMAN.get(word);
}
