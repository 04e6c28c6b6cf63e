/**
 * How people write who leads, in English, German, French, Italian, Spanish and Portuguese, as patterns over a clause that is folded and in which `¤1¤`
 * stands for parts that it names and `§` for bars. Words of the trade, no source.
 */

const anyOf = (words: string): string => `(?:${words.trim().split(/\s+/).join('|').replaceAll('_', ' ')})`;

/** Again, now, alone: it stands between a verb and who does it. */
const AGAIN = String.raw`(?:(?:again|now|wieder|jetzt|nun|erneut|dann|hier|allein|de nouveau|a nouveau|encore|maintenant|otra vez|de nuevo|ahora|di nuovo|ancora|adesso|ora|outra vez|de novo|novamente|agora) ){0,2}`;

/** Says by itself that it is about who leads. */
const MELODY = anyOf(
  String.raw`melod(?:y|ies|ie|ia|ic_line) melodielinie melodiestimme tune theme thema tema lead(?!-|_in\b|_sheet|_to\b)(?:_line|_voice)? leadstimme hauptstimme hauptmelodie fuhrung main_line
  cantus_firmus chant canto ligne_melodique voix_principale linea_melodica voce_principale voz_principal`,
);
/** The same at the beginning of a pattern; a compound may end with it. */
const LINE = `(?<![a-z])(?:haupt)?${MELODY}`;
const SOLO = anyOf('solo assolo sololinie');
/** A stretch of music that somebody has or sings. */
const STRETCH = anyOf(
  String.raw`verse strophe vers refrain chorus couplet bridge brucke estrofa estribillo strofa ritornello stanza mittelteil trio [abc][’']*[-_](?:part|teil|section) (?:part|teil|section|parte|seccion)_[abc]\b`,
);
const PART = String.raw`¤(\d+)¤`;
const ARTICLE = String.raw`(?:(?:the|das|dem|den|der|die|le|la|les|el|los|las|il|lo|i|gli|o|os|as|a|un|une?|una|uma?|ein|eine[rnm]?) |[ld]['’] ?)?`;
const HIM = String.raw`(?:him|her|them|it|ihm|ihr|ihnen|lui|leur|elle|eux|ella|ellos|ellas|loro|lei|ele|ela|${ARTICLE}¤\d+¤)`;
/** What a part does that takes the tune from who had it. */
const TAKES_OFF = String.raw`(?:takes? (?:it |the (?:tune|melody|theme|lead) )?(?:over )?(?:off|from|away from) ${HIM}|takes? over from ${HIM}|(?:ubernimmt|ubernehmen) (?:(?:es|sie|ihn|das) )?von ${HIM}|(?:nimmt|nehmen) (?:(?:es|sie|ihn) ${HIM}|${HIM} (?:die melodie|das thema|die fuhrung))(?: (?:(?:in|im) )?§)? ab|(?:le|la|l['’]) ?lui (?:re)?prend|gliel[oa] (?:toglie|prende)|se l[oa] quitan?|l[oa] recogen?|recoge el testigo)`;
/** Words that put what follows beside, above or below: what stands behind them is no object. */
const BESIDE = anyOf(
  String.raw`under underneath below beneath over above against around behind along to towards like than as after before until and but unter uber gegen hinter um zu zur zum wie nach vor bis
  mit with avec con com sous sur contre derriere vers comme debajo bajo sobre contra detras hacia como sotto sopra contro dietro verso sob atras ate und mais pero ma mas et y from von de du des del della da do
  double[sd]? doubling`,
);
const gap = (most: number): string => `(?:(?!${BESIDE}\\b)[a-z'’§]+ ){0,${String(most)}}`;
const HAS = anyOf(
  String.raw`has have takes? carr(?:y|ies) plays? sings? gets? keeps? states? holds? picks_up hat haben spielt spielen singt singen ubernimmt ubernehmen bekommt bekommen fuhrt fuhren tragt tragen behalt behalten kriegt
  a(?=_(?:la|le|les)\b|_l['’]) ont jouent? prend prennent reprend reprennent chante(?:nt)? porte(?:nt)? garde(?:nt)? tient tiennent expose(?:nt)? joue tiene tienen lleva llevan toca tocan cantan? toma toman retoma hace hacen ha hanno suona suonano
  cantano prende prendono riprende porta portano espone tem leva levam canta cantam faz fazem assume retoma pega`,
);
const LEADS = anyOf(
  'leads? fuhrt fuhren mene menent conduit conduisent guida guidano lidera lideran manda mandan conduce conduz lideram',
);
const IN = anyOf(
  String.raw`in im bei beim on at an am auf au aux a al alla allo ai agli alle chez en dans nel nella nello nei negli nelle na no nas nos ao aos to zu zum zur all['’] l['’]`,
);
const OF = anyOf(
  String.raw`de du des del della dello di do da dos das for fur of von vom pour per para by d['’] dell['’]`,
);
const BY = anyOf(String.raw`by von vom par por da dal dalla pelo pela pelos pelas dai`);
const FROM = anyOf(String.raw`from von vom de du des del da dal dalla do`);
const START = String.raw`^(?:(?:§|now|jetzt|hier|here|aqui|ici|qui|maintenant|ahora|agora|adesso|ora|nun|the|die|das|la|le|el|il|o|a) |[-:] )*`;
/** Nothing more of weight: bars, and words for now and here. */
const END = String.raw`(?: (?:(?:(?:in|im|en|a|à|at|for|fur|pour|per|por|nelle|nas|nos|dans)(?: (?:the|den|les|las|los|le|os|as))? )?§|now|jetzt|hier|here|aqui|ici|qui|maintenant|ahora|agora|adesso|ora|nun|again|wieder|allein|alone|seule?|sol[oa]|[-:.!]))*$`;
const SING = anyOf('sings? singt singen canta cantan cantano cantam chante chantent');
/** Every verse is all of a song that has words. */
const ALL_VERSES = anyOf(
  String.raw`(?:both|all|every|the|alle|beide|die|les|tou(?:s|tes)_les|las|los|todas_las|todos_los|las_dos|le|tutte_le|i|as|os|todas_as)_(?:verses?|choruses|strophen|refrains|couplets|estrofas|estribillos|coplas|strofe|ritornelli|refroes)\b`,
);
/** What leads there is no leader: the bass leads down to the refrain. */
const ON = anyOf(
  String.raw`down up back into over away off hin her zuruck zum zur towards hinauf hinunter vers al alla a hacia para to(?!_§) zu(?!_§)
  nach_(?:[a-h](?:is|es|s)?(?:-|_)(?:dur|moll)|oben|unten|vorne?|hinten)`,
);

/** Bars and places alone before a verb: nothing that somebody takes over. */
const PLACES_ONLY = String.raw`^(?:(?:§|[-:]|in|im|ab|from|at|dans|en|nel|desde|da|hier|dann|jetzt|nun|now|then|here|ici|aqui|qui|(?:im|am|in der|in the|dans l['’]|dans la|en el|en la|nel|nella) (?!bass)[a-z]+) )*`;

/** What is said by a clause: who leads (a group of its pattern), and whether it says so for a whole stage too. */
interface LeadPattern {
  readonly pattern: RegExp;
  readonly isOfAll: boolean;
}

const said = (source: string, isOfAll = false): LeadPattern => ({ pattern: new RegExp(source, 'u'), isOfAll });

/** The first that fits counts; its last group is who leads. */
export const LEAD_PATTERNS: readonly LeadPattern[] = [
  // The flute has the melody; cellos sing the second verse; the horns lead.
  said(`${PART} ${gap(3)}${HAS} ${gap(3)}${MELODY}\\b`, true),
  said(`${PART} ${gap(2)}${LEADS}\\b(?! ${gap(1)}${ON}\\b)`, true),
  said(`${PART} ${gap(2)}${HAS} ${gap(3)}(?:${SOLO}|${STRETCH})\\b`),
  said(`${PART} ${gap(1)}${SING} ${gap(1)}${ALL_VERSES}`, true),
  // In Takt 9 übernimmt das Cello die Melodie; hier führt das Horn.
  said(`(?<![a-z])${HAS} ${gap(1)}${PART} ${gap(2)}${MELODY}\\b`, true),
  said(`(?<![a-z])${HAS} ${gap(1)}${PART} ${gap(2)}(?:${SOLO}|${STRETCH})\\b`),
  said(`(?<![a-z])${LEADS} ${AGAIN}${ARTICLE}${PART}${END}`, true),
  said(`${PART} ${gap(1)}(?:takes it|takes over|ubernimmt|ubernehmen|prend le relais|toma el relevo)${END}`),
  // The trumpet takes it off him in 25-28; die Trompete nimmt sie ihm ab.
  said(`${PART} ${gap(1)}${TAKES_OFF}${END}`),
  said(`${PLACES_ONLY}(?:ubernimmt|ubernehmen|prend le relais|toma el relevo) ${AGAIN}${ARTICLE}${PART}${END}`),
  // Die Melodie hat das Cello; la melodía la lleva el violín; from the flute to the oboe.
  said(`${LINE} ${gap(2)}(?:${IN} |${FROM} )${ARTICLE}¤\\d+¤ (?:\\w+ )?(?:${IN}|para) ${ARTICLE}${PART}`, true),
  said(`${LINE} ${gap(3)}${HAS} ${gap(4)}${PART}`, true),
  said(`(?<![a-z])(?:${MELODY}|${STRETCH}) ${gap(4)}${BY} ${ARTICLE}${PART}`),
  said(`${LINE} ${gap(4)}${IN} ${ARTICLE}${PART}`, true),
  said(`(?<![a-z])(?:${SOLO}|${STRETCH}) (?:§ )?${gap(3)}(?:${HAS}|${IN}) ${ARTICLE}${gap(2)}${PART}`),
  // Solo: Klarinette; thème du hautbois; Cello-Solo.
  said(`${START}(?:${MELODY}|${SOLO})(?: [-:=])?(?: §)? (?:${OF} )?${ARTICLE}${PART}`),
  said(`^(?:(?:§|[-:]) )*${ARTICLE}${PART} (?:[-:=] )?(?:${MELODY}|${SOLO})${END}`),
  // Takte 9-16 singt der Tenor.
  said(`^(?:[a-z'’]+ |§ |[-:] ){0,6}${SING} ${gap(2)}${PART}${END}`),
];

/** Of who stands in the heading: hat die Melodie; leads; melody. */
export const LEAD_OF_HEADING: readonly LeadPattern[] = [
  said(`${START}${HAS} ${gap(3)}${MELODY}\\b`, true),
  said(`${START}${LEADS}\\b(?! ${gap(1)}${ON}\\b)`, true),
  said(`${START}(?:${HAS} ${gap(3)})?(?:${MELODY}|${SOLO})${END}`),
];

/** The solo or the soloist comes again, where one part is called so: retour du solo; soloist again. */
export const SOLO_RETURNS = new RegExp(
  `^(?:§ |[-:] |and )*(?:(?:retour|rentree|wiedereintritt|return|vuelta|vuelve|regresa|volta|torna|ritorno|ritorna|reprise|zuruck|entra de nuevo) ${gap(0)}(?:${OF} |${IN} )?${ARTICLE}solo(?:ist\\w*|list\\w*)?|${ARTICLE}(?:solo(?!-)|soloist|solist(?:in|a|e)?|soliste|solista) (?:is |ist |est |esta |e )?(?:back|again|returns|wieder|zuruck|revient|vuelve|regresa|torna|volta))\\b`,
  'u',
);

const wholeWords = (alternatives: readonly string[]): RegExp =>
  new RegExp(String.raw`(?<![\p{L}])(?:${alternatives.join('|')})(?![\p{L}])`, 'u');

const NOT_AS_IT_IS: readonly string[] = [
  // Not so.
  String.raw`not|never|nobody|none|without|nicht|kein\p{L}*|nie|niemand|ohne|pas|jamais|sans|sin|nunca|non|senza|nao|sem|no (?:longer|more|(?:la |lo |se )?(?:tiene|lleva|toca|canta|esta|tem|leva))|no ${MELODY}|(?:don|doesn|isn|aren)['’]?t|plus (?:aux?|a|chez|dans)|instead|rather|statt|anstatt|au lieu|en vez|invece|em vez`,
  // Wished, weighed, to come.
  String.raw`maybe|perhaps|could|should|would|might|may|want|wish|hope|try|let|let['’]?s|consider|idea|if|whether|will|shall|going to|later|next|todo|please|vielleicht|konnte\p{L}*|sollt?e?n?|sollte\p{L}*|wurde\p{L}*|ware\p{L}*|mochte\p{L}*|wollen|wunsch\p{L}*|evtl|eventuell|ob|falls|wenn|lieber|besser|spater|nachste\p{L}*|kunftig|bitte|wird(?! \p{L}+ ?¤|(?: \p{L}+){0,2} (?:von|vom))|werden|peut|peut-etre|pourrai\p{L}*|devrai\p{L}*|voudrai\p{L}*|serai\p{L}*|sera|souhait\p{L}*|si|plutot|prochain\p{L}*|plus tard|quizas?|tal vez|podria\p{L}*|deberia\p{L}*|quisiera|quiero|ojala|seria|mejor|acaso|mas tarde|proxim\p{L}*|forse|potrebbe\p{L}*|dovrebbe\p{L}*|vorrei|sarebbe|magari|prossim\p{L}*|talvez|poderia\p{L}*|deveria\p{L}*|queria|gostaria|depois|sera que`,
  // No longer so.
  String.raw`was|were|had|used to|formerly|previously|before|earlier|vorher|fruher|zuvor|bisher|war|waren|hatten?|etait|etaient|avait|avaient|avant|era|eran|tenian?|llevaban?|antes|prima|aveva\p{L}*|erano|tinham?|eram|until now|bis jetzt`,
  // Of another version.
  String.raw`version\p{L}*|stages?|fassung\p{L}*|sketch\p{L}*|skizze\p{L}*|esquisse\p{L}*|boceto|bozza|versao|etapa`,
];

/** Clauses that say nothing of how it is: negated, wished, asked, past, or of another version. Folded. */
export const SAYS_NOTHING_OF_NOW = wholeWords(NOT_AS_IT_IS);

/** The same, and clauses about a part beside the tune. */
export const SAYS_NOTHING = wholeWords([
  ...NOT_AS_IT_IS,
  // A part beside the tune.
  String.raw`counter\p{L}*|gegen\p{L}*|contre\p{L}*|contrap\p{L}*|contram\p{L}*|contraca\p{L}*|contro\p{L}*|obl?igat\p{L}*|d[ei]s[ck]ant\p{L}*|uberstimme|begleit\p{L}*|accomp\p{L}*|acomp\p{L}*|harmon\p{L}*|echo\p{L}*|answer\p{L}*|antwort\p{L}*|repon\p{L}*|respon\p{L}*|rispon\p{L}*|fragment\p{L}*|also|too|as well|along|auch|aussi|tambien|anche|tambem|thirds?|terz\p{L}*|tierces?|terceras?|terze|tercas?|sixths|sexten|sixtes|doubl\p{L}*|verdoppel\p{L}*|doppel\p{L}*|mit$|ah|ooh?|uh|leise|softly`,
]);

/** A line above the tune, or one of its own against it: a descant, a counter-melody, on top, who sings against it. Folded. */
export const IS_ABOVE = wholeWords([
  String.raw`d[ei]s[ck]ant\p{L}*|dechant|uberstimme|oberstimme|counter-?(?: )?melod(?:y|ies)|gegenstimme|gegenmelodie|(?:sing|spiel)(?:t|en) dagegen|(?:sings?|plays?) against it|contre-?chant|contracanto|contramelodia|controcanto|contrecanto`,
  String.raw`daruber|druber|obendruber|obendrauf|uber (?:der|die|dem|das) (?:melodie|thema|tenor|gemeinde)|above|on top|over (?:it|the (?:melody|tune|theme))|au-dessus|par-dessus|por encima|encima|arriba|sopra|al di sopra|por cima|acima`,
]);

/** Softer than it was, or than others. Folded. */
export const IS_SOFTER = wholeWords([
  String.raw`leiser|zuruckgenommen|softer|quieter|plus (?:doux|douce|faible|piano)|moins (?:fort|forte)|piu piano|meno forte|menos (?:fuerte|forte)`,
]);

/** Louder than it was, or than others. Folded. */
export const IS_LOUDER = wholeWords([String.raw`lauter|kraftiger|louder|stronger|plus (?:fort|forte)|piu forte`]);

/** Who comes in at a bar goes on from there. Folded. */
export const COMES_IN = wholeWords([
  String.raw`kommt|kommen|setzt|setzen|tritt|treten|joins?|enters?|comes? in|begins?|starts?|entre(?:nt)?|rejoint|rejoignent|arrive(?:nt)?|entra[nm]?|se suman?|arrivano|arriva|entrano`,
]);

/** From first to last: what a place in the music is named for here is all of it. Folded. */
export const TO_THE_END = new RegExp(
  String.raw`(?:(?:von anfang |vom anfang )?bis (?:zum|ans?) (?:schluss|ende)|(?:from (?:the )?(?:beginning|start|first (?:bar|note)) )?(?:right )?(?:to|until) the (?:very )?(?:end|last (?:bar|note))|from (?:beginning|start) to (?:end|finish)|(?:du debut |de la premiere mesure )?(?:jusqu['’]a|a) la fin|jusqu['’]au bout|(?:desde el principio |de principio )?(?:hasta el|a) fin(?:al)?|(?:dall['’]inizio )?(?:fino )?alla fine|(?:do (?:inicio|comeco) )?(?:ate o|ao) fim)(?![\p{L}])`,
  'gu',
);

/** Words for a place in the music: what stands beside them is not said of all of it. Folded. */
export const OF_A_PLACE = new RegExp(
  String.raw`(?<![\p{L}])(?:${STRETCH}|intro|coda|middle|end|ending|beginning|opening|here|there|then|first|second|third|last|half|repeat|again|letter|rehearsal|sometimes|once|mitte|hier|da|dort|dann|zuerst|zunachst|erst\p{L}*|zweite\p{L}*|dritte\p{L}*|letzte\p{L}*|schluss|anfang|ende|teil|halfte|wieder|buchstabe|manchmal|einmal|ici|la-bas|puis|ensuite|d['’]abord|premier\p{L}*|deuxieme\p{L}*|second\p{L}*|dernier\p{L}*|debut|fin|milieu|pont|encore|parfois|reprise|aqui|alli|ahi|luego|despues|primer\p{L}*|segund\p{L}*|ultim\p{L}*|principio|final|puente|a veces|otra vez|qui|poi|inizio|fine|ponte|a volte|inicio|meio|fim|as vezes|outra vez)(?![\p{L}])`,
  'u',
);
