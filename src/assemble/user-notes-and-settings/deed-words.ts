/**
 * Words by which notes tell what was done, in English, German, French, Spanish, Italian, Portuguese and Swedish; they are looked for in text
 * without case and accents. Common practice, no source.
 */
import type { Deed } from '../../model/music/arrangement.ts';
import { foldText } from '../names/text.ts';

const TONE = String.raw`(?:(?:halb|ganz)?t[o]n\p{L}*|semitones?|steps?|half|octaves?|oktav\p{L}*|quart\p{L}*|quint\p{L}*|terz\p{L}*|terc\p{L}*|thirds?|fourths?|fifths?|tones?|demi-?tons?|ton[oie]?|semiton[oie]s?|ottav\p{L}|octav\p{L}|(?:halv|hel)?ton(?:er|steg)?|steg)`;
const LOWER = String.raw`(?:tiefer|lower|down|(?:plus|mas|mais|piu|un peu)\s+(?:bas|bajo|basso|baixo|grave)s?|abajo|abaixo|sotto|lagre|ner)`;
const HIGHER = String.raw`(?:hoher|higher|up|(?:plus|mas|mais|piu|un peu)\s+(?:haut|alto|agudo|acuto)s?|arriba|acima|sopra|hogre|upp)`;
const whole = (words: string): RegExp => new RegExp(String.raw`(?<!\p{L})(?:${words})(?!\p{L})`, 'u');
/** A tone or another interval and a way, in either order. */
const moved = (way: string): RegExp =>
  whole(
    String.raw`${TONE}\s+${way}|${way}\s+(?:(?:by|um|de|di|d'|med|en|ett|an?|un[ae]?|einen?|eine|helt|halvt|hel|halv|whole|half)\s+)*${TONE}`,
  );

const WORDS: readonly (readonly [Deed, RegExp])[] = [
  ['lower', moved(LOWER)],
  ['higher', moved(HIGHER)],
  [
    'slower',
    whole(
      String.raw`langsamer|slower|(?:mas|mais|piu)\s+(?:lento|despacio|devagar|tranquillo)|plus\s+lent(?:e|ement)?|moins\s+vite|meno\s+mosso|langsammare|saktare`,
    ),
  ],
  [
    'faster',
    whole(
      String.raw`schneller|faster|quicker|rascher|flotter|zugiger|(?:mas|mais|piu)\s+(?:rapid[oa]|ligero|veloce|svelto|mosso|depressa)|plus\s+(?:vite|rapide)|snabbare|fortare`,
    ),
  ],
  ['louder', whole(String.raw`lauter|louder|(?:mas|mais|piu|plus)\s+fort[ei]?|mas\s+fuerte|starkare|kraftigare`)],
  [
    'softer',
    whole(
      String.raw`leiser|softer|quieter|(?:mas|mais)\s+(?:suave|bajo|baixo)s?|(?:plus|moins)\s+(?:doux|fort)|piu\s+piano|svagare|tystare`,
    ),
  ],
  [
    'rests',
    whole(
      String.raw`paus\p{L}*|schweig\p{L}*|rests?|tacet|silent|descans\p{L}*|call[ae]n?|silenci\p{L}*|se\s+tai\p{L}*|silence|tace|vila[rn]?|tyst`,
    ),
  ],
  [
    'cut',
    whole(
      String.raw`gestrichen|gekurzt|raus|heraus|weggelassen|(?:fall(?:t|en)|kommt|kommen|sind|ist)\s+weg|cut|dropped|out|fuera|corta\p{L}*|quita\p{L}*|coup\p{L}*|supprim\p{L}*|enlev\p{L}*|tagli\p{L}*|tolt[oaie]|via|tira\p{L}*|fora|stru[kc]\p{L}*|stryk\p{L}*|bort`,
    ),
  ],
  [
    'fresh',
    whole(
      String.raw`wiederhol\p{L}*|(?:noch)?mals|zweimal|repeat\p{L}*|again|twice|repet\p{L}*|repit\p{L}*|repris\p{L}*|ripet\p{L}*|ripres\p{L}*|upprepa\p{L}*|igen|tva\s+ganger|en\s+gang\s+till|deux\s+fois|dos\s+veces|due\s+volte|duas\s+vezes|eingefugt\p{L}*|angehangt\p{L}*|inserted|added|anadid\p{L}*|ajoute\p{L}*|aggiunt\p{L}*|acrescent\p{L}*|inlag[td]\p{L}*|neu\p{L}*|new|nuev\p{L}*|nouve\p{L}*|nuov\p{L}*|nov[oa]s?|ny[at]?|(?:takte|bars|compases|mesures|battute|compassos|takter)\s+(?:mehr|more|mas|de\s+plus|en\s+plus|in\s+piu|a\s+mais|till|extra|langer|longer)`,
    ),
  ],
  [
    'split',
    whole(
      String.raw`(?:zwei|two|dos|deux|due|duas|tva)\s+(?:spuren|tracks?|staves|systeme|stimmen|pistas|pistes|tracce|spar|stammor)|getrennt|geteilt|aufgeteilt|split|divided|separate[dly]*|separad\p{L}*|dividid\p{L}*|separe\p{L}*|divise\p{L}*|divis[oaie]|delad\p{L}*|delat|uppdela\p{L}*`,
    ),
  ],
  [
    'joined',
    whole(
      String.raw`(?:eine[rn]?|one|una|une|uma|ett)\s+(?:spur|track|pista|piste|traccia|spar)|zusammengelegt|(?:samma|same|selben|gleichen|meme|stess[oa]|mism[oa]|mesm[oa])\s+(?:system|spar|notrad|staff|track|spur|portee|piste|rigo|traccia|pista|pauta)|joined|merged|juntad\p{L}*|reuni\p{L}*|unit[oaie]|sammanslag\p{L}*`,
    ),
  ],
  [
    'named',
    whole(
      String.raw`heiss\p{L}*|umbenannt|renamed|called|se\s+llama\p{L}*|s'appell\p{L}*|si\s+chiama\p{L}*|chama\p{L}*|heter`,
    ),
  ],
];

/** What a sentence says was done; empty where it has no word for it. */
export function deedsIn(sentence: string): readonly Deed[] {
  const text = foldText(sentence).replaceAll('ß', 'ss');
  return WORDS.flatMap(([deed, pattern]) => (pattern.test(text) ? [deed] : []));
}
