/** Keys that notes name: `E dorian`, `g-Moll`, `La frigio`, `sol mineur`, for the piece or for the bars that the note is about. */
import type { StatedKey } from '../../model/music/arrangement.ts';
import type { ModalKey, ModeName, SpelledClass, Step } from '../../model/music/pitch.ts';
import { classAt, fifthsOf, majorBehind } from '../../model/music/pitch.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { RawMemo } from '../../read/raw.ts';
import { foldText } from '../names/text.ts';
import { takeBars } from './bars-in-words.ts';
import { sentencesOf } from './told-tracks.ts';

type Mode = 'major' | 'minor' | 'phrygian dominant' | ModeName;

const MODE_WORDS: ReadonlyMap<string, Mode> = new Map(
  Object.entries<string>({
    major: 'major,dur,majeur,maggiore,mayor,maior,ionian,ionisch',
    minor: 'minor,moll,mineur,minore,menor,aeolian,aolisch',
    dorian: 'dorian,dorisch,dorien,dorico',
    phrygian: 'phrygian,phrygisch,phrygien,frigio',
    lydian: 'lydian,lydisch,lydien,lidio',
    mixolydian: 'mixolydian,mixolydisch,mixolydien,misolidio,mixolidio',
    'phrygian dominant':
      'phrygian dominant,phrygisch dominant,phrygien dominant,frigio dominante,frigio mayor,freygish,hijaz',
  }).flatMap(([mode, words]) => words.split(',').map((word): [string, Mode] => [word, mode as Mode])),
);
const SYLLABLES: ReadonlyMap<string, Step> = new Map([
  ['do', 'C'],
  ['ut', 'C'],
  ['re', 'D'],
  ['mi', 'E'],
  ['fa', 'F'],
  ['sol', 'G'],
  ['la', 'A'],
  ['si', 'B'],
]);
const MODE = [...MODE_WORDS.keys()].sort((a, b) => b.length - a.length).join('|');
const SIGN = 'sharp|flat|dieses?|diesis|sostenido|sustenido|bemolle|bemol|[#b]';
const NOTE = `[a-h](?:is|es|s)?|${[...SYLLABLES.keys()].join('|')}`;
/** What may stand before the key of a piece; after other words it may be a chord, a clarinet or where the music goes. */
const BEFORE = String.raw`(?:^|[,;:(.]\s*|(?<![a-z])(?:in|en|em|is|ist|est|es|e|key(?: of)?|tonality|tonart|tonalite|tonalita|tonalidad|tonalidade|tono(?: de)?|modo(?: de)?|mode(?: de)?)\s+)`;
/** What may follow it: with a noun behind it a major is no key. */
const AFTER = String.raw`(?=\s*(?:$|[,;.:()!]|(?:and|but|with|throughout|all|from|until|in|at|for|to|und|mit|bis|ab|et|avec|y|e|con|com|hasta|durch\w*)(?![a-z])))`;
const KEY = new RegExp(String.raw`${BEFORE}(${NOTE})(?:[\s-]*(${SIGN}))?[\s-]+(${MODE})(?![a-z])${AFTER}`, 'g');
const GOES =
  /(?<![a-z])(?:modulat\w*|moduliert|modula|goes|ends?|leans?|not|nicht|kein\w*|pas|non|no|nao|instead|statt|perhaps|maybe|vielleicht|former\w*|was|war|transpose\w*)(?![a-z])/;

/** The class that a folded note name means; German names where the mode is German. */
function classOf(name: string, sign: string, isGerman: boolean): SpelledClass | undefined {
  const alter = /sharp|^dies|sostenido|sustenido|#/.test(sign) ? 1 : sign === '' ? 0 : -1;
  const syllable = SYLLABLES.get(name);
  if (syllable !== undefined) return { step: syllable, alter };
  const letter = name.charAt(0);
  const ending = name.slice(1);
  if (ending === '' && !isGerman) return letter === 'h' ? undefined : { step: letter.toUpperCase() as Step, alter };
  if (!isGerman) return undefined;
  if (letter === 'b' && ending === '') return { step: 'B', alter: -1 };
  const step = (letter === 'h' ? 'B' : letter.toUpperCase()) as Step;
  if (ending === 's' && letter !== 'a' && letter !== 'e') return undefined;
  return { step, alter: ending === '' ? alter : ending === 'is' ? 1 : -1 };
}

const GERMAN = /dur|moll|isch$/;

/** A key as a stage states it, without the bars from which it holds; undefined where it has more than seven signs. */
type NamedKey = Pick<StatedKey, 'tonic' | 'mode' | 'modal' | 'isPhrygianDominant'>;

function named(tonic: SpelledClass, mode: Mode): NamedKey | undefined {
  const fifths = fifthsOf(tonic);
  if (mode === 'major' || mode === 'minor')
    return Math.abs(fifths - (mode === 'minor' ? 3 : 0)) > 7 ? undefined : { tonic, mode };
  // The notes of the minor key a fifth below.
  if (mode === 'phrygian dominant') return { tonic: classAt(fifths - 1), mode: 'minor', isPhrygianDominant: true };
  const modal: ModalKey = { tonic, name: mode };
  const major = majorBehind(modal);
  if (Math.abs(fifthsOf(major)) > 7) return undefined;
  // Flamenco and folk music in the phrygian mode have the chords of the minor key on the fourth degree.
  return mode === 'phrygian'
    ? { tonic: classAt(fifths - 1), mode: 'minor', modal }
    : { tonic: major, mode: 'major', modal };
}

/** The key that a sentence says the music is in; undefined where it names none, several, or says where it goes or is not. */
export function keyInSentence(sentence: string): NamedKey | undefined {
  const text = foldText(sentence).replaceAll('♯', '#').replaceAll('♭', 'b');
  if (sentence.endsWith('?')) return undefined;
  const found = [...text.matchAll(KEY)].flatMap(({ index, 1: note = '', 2: sign = '', 3: word = '' }) => {
    if (GOES.test(text.slice(0, index))) return [];
    const tonic = classOf(note, sign, GERMAN.test(word));
    const mode = MODE_WORDS.get(word);
    return tonic === undefined || mode === undefined ? [] : (named(tonic, mode) ?? []);
  });
  const [first, ...others] = found;
  return others.length === 0 ? first : undefined;
}

interface ToldKey {
  readonly key: NamedKey;
  readonly from?: number;
  readonly to?: number;
}

/** Where a note's key holds: the bars of the sentence, else of the note, else the piece. */
function toldIn(memo: RawMemo): readonly ToldKey[] {
  return sentencesOf(memo).flatMap((sentence): readonly ToldKey[] => {
    const { text, bars } = takeBars(sentence);
    const key = keyInSentence(text.replaceAll('§', ','));
    if (key === undefined) return [];
    const said = bars.flat();
    const [own] = said;
    if (said.length > 1) return [];
    if (own !== undefined)
      return [
        { key, ...(own.from === undefined ? {} : { from: own.from }), ...(own.to === undefined ? {} : { to: own.to }) },
      ];
    return [{ key, ...(memo.bars === undefined ? {} : memo.bars.content) }];
  });
}

/** Sharps of the signature; flats are negative. */
function signatureOf({ tonic, mode }: NamedKey): number {
  return fifthsOf(tonic) - (mode === 'minor' ? 3 : 0);
}

/**
 * Stated keys with those that notes name: a key of the piece goes before what the files say (a signature says no mode, and many files mark all as
 * major), one of some bars is put there, and the key before comes back after it. Where notes differ about the piece none counts; settings go first.
 */
export function withToldKeys(
  stated: readonly StatedKey[],
  memos: readonly RawMemo[],
  bars: readonly Bar[],
): readonly StatedKey[] {
  if (stated.some(({ by }) => by === 'settings')) return stated;
  const told = memos.filter(({ answer }) => answer === undefined).flatMap(toldIn);
  const [first, last] = [bars[0]?.number ?? 1, bars.at(-1)?.number ?? 1];
  const whole = told.filter(({ from, to }) => from === undefined && to === undefined).map(({ key }) => key);
  const isAgreed = new Set(whole.map((key) => JSON.stringify(key))).size === 1;
  const [piece] = isAgreed ? whole : [];
  let keys: readonly StatedKey[] = stated;
  // Files that change their signature say more than one key of the piece does, but no mode: where its own signature stands, the note has it.
  if (piece !== undefined)
    keys =
      stated.length < 2
        ? [{ fromBar: first, ...piece, by: 'note' }]
        : stated.map((key) =>
            signatureOf(key) === signatureOf(piece) ? { fromBar: key.fromBar, ...piece, by: 'note' } : key,
          );
  for (const { key, from = first, to = last } of told) {
    if ((from === first && to === last) || keys.length === 0 || from > to || from < first || to > last) continue;
    const before = keys.filter(({ fromBar }) => fromBar <= to).at(-1) ?? keys[0];
    const later = keys.filter(({ fromBar }) => fromBar > to);
    const back =
      before === undefined || to >= last || later[0]?.fromBar === to + 1 ? [] : [{ ...before, fromBar: to + 1 }];
    keys = [...keys.filter(({ fromBar }) => fromBar < from), { fromBar: from, ...key, by: 'note' }, ...back, ...later];
  }
  return keys;
}
