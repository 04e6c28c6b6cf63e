/**
 * Names of instruments and voices in Norwegian, Swedish, Danish, Finnish, Dutch, Portuguese, Polish, Czech and Hungarian, and more of the names
 * by which Latin bands and songs call theirs. Common practice, no source: from memory, as the parts of each country's orchestras have them.
 * A line is catalogue ids (the likeliest first, where the name alone does not tell) = names of one ; plural names.
 */

const NORDIC = `
piccolo = piccolofløyte, pikkolofløyte, piccoloflöjt, piccolofløjte, pikkolohuilu, piccolohuilu ; pikkolofløyter, pikkolohuilut
flute = fløyte, tverrfløyte, flöjt, tvärflöjt, fløjte, tværfløjte, huilu, poikkihuilu ; fløyter, tverrfløyter, flöjter, tvärflöjter, fløjter, huilut
alto-flute = altfløyte, altflöjt, altfløjte, alttohuilu
violin = hardingfele, hardingfiol
recorder-treble = altblokkfløyte, altblockflöjt, altblokfløjte
recorder-soprano|recorder-treble = blokkfløyte, blockflöjt, blokfløjte, nokkahuilu ; blokkfløyter, blockflöjter, nokkahuilut
oboe = obo ; oboer, oboet
cor-anglais = engelsk horn, engelskt horn, engelskhorn, englantilainen torvi, englannintorvi
clarinet-bflat = klarinett, klarinet, klarinetti ; klarinetter, klarinetit
bass-clarinet = bassklarinett, basklarinett, basklarinet, bassoklarinetti ; bassklarinetter
bassoon = fagott, fagot ; fagotter, fagotit
contrabassoon = kontrafagott, kontrafagot, kontrafagotti ; kontrafagotter
sax-soprano = sopransaksofon, sopransaxofon, sopraanosaksofoni, sopransaks
sax-alto = altsaksofon, altsaxofon, alttosaksofoni, altsaks ; altsaksofoner, altsaxofoner
sax-tenor = tenorsaksofon, tenorsaxofon, tenorisaksofoni, tenorsaks ; tenorsaksofoner, tenorsaxofoner
sax-baritone = barytonsaksofon, barytonsaxofon, baritonsaxofon, baritonisaksofoni
sax-alto|sax-tenor|sax-baritone|sax-soprano = saksofon, saksofoni ; saksofoner, saksofonit
horn-f = valthorn, valdhorn, käyrätorvi ; käyrätorvet
trumpet-bflat = trompet, trumpetti ; trompeter, trumpeter, trumpetit
cornet-bflat = kornett, kornet, kornetti ; kornetter, kornetit
flugelhorn = flygelhorn, flyygelitorvi
trombone-tenor = trombon, basun, pasuuna, vetopasuuna, dragbasun ; tromboner, basuner, pasuunat
trombone-bass = basstrombone, bastrombon, bastrombone, bassopasuuna ; basstromboner
euphonium = eufonium
tuba = tuuba ; tubaer, tubor, tuubat
timpani = pauker, puka, pukor, patarumpu, patarummut
glockenspiel = klokkespill, klockspel, klokkespil, kellopeli
xylophone = xylofon, ksylofon, ksylofoni
vibraphone = vibrafon, vibrafoni
tubular-bells = rørklokker, rörklockor, rørklokke, putkikellot
percussion-unpitched = slagverk, slagtøj, perkusjon, lyömäsoittimet, trommer, tromme, trommesett, trommesæt, trummor, trumma, trumset, rummut, rumpu
percussion-unpitched = stortromme, basstromme, bastrumma, bassorumpu, skarptromme, lilletromme, virveltrumma, pikkurumpu, virvelirumpu
percussion-unpitched = cymbaler, bekken, bækken, bäcken, lautaset, symbaalit, triangeli, tamburiini, kubjelle, koskälla, lehmänkello
harp = harpe, harpa, harppu ; harper, harpor, harput
piano = klaver, flygel, flyygeli
organ = urut, kirkeorgel, kyrkorgel
accordion = trekkspill, dragspel, trekspil, hanuri, harmonikka
guitar = gitar, gitarr, kitara, elgitar, elgitarr, elguitar, sähkökitara, akustisk gitar, kassegitar ; gitarer, gitarrer, guitarer, kitarat
bass-guitar = bassgitar, basgitarr, basguitar, elbass, elbas, bassokitara, sähköbasso
violin = fiolin, fiol, fele, viulu ; fioliner, fioler, violiner, feler, viulut
viola = bratsj, bratsch, altfiol, alttoviulu ; bratsjer, bratscher, altfioler, violor, alttoviulut
cello = sello, violoncell, fiolonsell ; celloer, cellor, sellot, violonceller
double-bass = kontrabas ; kontrabasser, kontrabasar, kontrabassot
string-ensemble = strykere, stryk, stråkar, stråk, strygere, stryger, jouset, jousiorkesteri, strykeorkester
voice = vokal, vokalist, sanger, sangerinne, sångare, sångerska, laulaja, forsanger
voice|choir = stemme, sang, sångröst, sång, laulu, lauluääni
choir|cornet-bflat = kor
choir = kuoro, blandakor, blandet kor, mannskor, damekor, manskör, damkör, barnekor, sekakuoro, mieskuoro
voice-soprano = sopraano ; sopraner, sopraanot
voice-mezzo = mezzosopraano
voice-alto = altto ; alter, altar, altot
voice-tenor = tenori ; tenorer, tenorit
voice-baritone = baritoni ; barytoner
double-bass|voice-bass|bass-guitar|tuba|synth-bass = bas
double-bass|voice-bass|tuba = ; basser, basar, bassot
`;

const DUTCH = `
flute = fluit, dwarsfluit ; fluiten, dwarsfluiten
alto-flute = altfluit
recorder-soprano|recorder-treble = blokfluit ; blokfluiten
piccolo = ; piccolo's
oboe = hobo ; hobo's
cor-anglais = althobo, engelse hoorn
clarinet-bflat = ; klarinetten
bassoon = ; fagotten
contrabassoon = contrafagot
sax-alto = altsaxofoon ; altsaxofoons
sax-tenor = tenorsaxofoon ; tenorsaxofoons
sax-baritone = baritonsaxofoon
sax-soprano = sopraansaxofoon
sax-alto|sax-tenor|sax-baritone|sax-soprano = saxofoon ; saxofoons
horn-f = hoorn ; hoorns
trumpet-bflat = ; trompetten
flugelhorn = bugel ; bugels
trombone-tenor = schuiftrombone
tuba = ; tuba's
percussion-unpitched = slagwerk, drumstel, grote trom, kleine trom, bekkens, koebel, tamboerijn
glockenspiel = klokkenspel
xylophone = xylofoon
vibraphone = vibrafoon
tubular-bells = buisklokken
harp = ; harpen
piano = vleugel
harpsichord = klavecimbel, clavecimbel
accordion = accordeon
guitar = gitaar, elektrische gitaar ; gitaren
bass-guitar = basgitaar
violin = viool
viola|violin = ; violen
viola = altviool ; altviolen
cello = ; cello's
double-bass = contrabas ; contrabassen
string-ensemble = strijkers, strijkorkest
voice = zanger, zangeres
voice|choir = zang, zangstem
choir = koor, gemengd koor, mannenkoor, vrouwenkoor, kinderkoor
voice-soprano = sopraan ; sopranen
voice-mezzo = mezzosopraan
voice-alto = ; alten
voice-tenor = ; tenoren
double-bass|voice-bass|tuba = ; bassen
`;

const PORTUGUESE_AND_SPANISH = `
piccolo = flautim ; flautins
flute = flauta transversal
recorder-soprano|recorder-treble = flauta doce ; flautas doces
oboe = ; oboés
cor-anglais = corne inglês
clarinet-bflat = clarinete ; clarinetes
bass-clarinet = clarone, clarinete baixo
bassoon = fagote ; fagotes
contrabassoon = contrafagote
sax-alto = saxofone alto, sax alto
sax-tenor = saxofone tenor, sax tenor
sax-baritone = saxofone barítono, sax barítono
sax-soprano = saxofone soprano
sax-alto|sax-tenor|sax-baritone|sax-soprano = saxofone ; saxofones
horn-f = trompa ; trompas
trumpet-bflat = trompete, trompeta, tpta ; trompetes, trompetas, tptas
flugelhorn = fliscorne, fliscorno
trombone-bass = trombone baixo
euphonium = bombardino
timpani = ; tímpanos
percussion-unpitched = percussão, bumbo, caixa, caixa clara, pratos, prato, triângulo, chocalho, zabumba, reco-reco, atabaque, repique, ganzá
percussion-unpitched = cáscara, tumba, tumbas, tambora, güira, paila, pailas, quijada, chékere, bombo legüero, caja china, plato, platos, pandero
timpani|percussion-unpitched = timbal
xylophone = xilofone, xilófono
vibraphone = vibrafone, vibráfono
tubular-bells = sinos tubulares
harp = harpa ; harpas
organ = órgão
harpsichord = cravo
accordion = acordeão, sanfona
guitar = violão, guitarra elétrica ; violões
bass-guitar|double-bass|voice-bass = baixo
bass-guitar = baixo elétrico
violin = ; violinos
viola = viola de arco, violeta
cello = violoncelo ; violoncelos
double-bass = contrabaixo ; contrabaixos
string-ensemble = cordas
voice = sonero, pregonero, vocalista, cantora, cantaor, sis, sister, bro, brother
choir = coral, chr, coro misto
voice-bass = ; baixos
`;

const POLISH_CZECH_HUNGARIAN = `
piccolo = flet piccolo, pikoló, pikola
flute = flet, flétna, fuvola ; flety, flétny, fuvolák
alto-flute = flet altowy, altová flétna, altfuvola
recorder-soprano|recorder-treble = flet prosty, zobcová flétna, furulya
oboe = obój, hoboj, oboa ; oboje, hoboje, oboák
cor-anglais = rożek angielski, anglický roh, angolkürt
clarinet-bflat = klarnet, klarinét ; klarnety, klarinety, klarinétok
bass-clarinet = klarnet basowy, basklarinét, basszusklarinét
bassoon = ; fagoty, fagottok
contrabassoon = kontrafagot
sax-alto = saksofon altowy, altszaxofon
sax-tenor = saksofon tenorowy, tenorszaxofon
sax-alto|sax-tenor|sax-baritone|sax-soprano = saksofon, szaxofon ; saksofony, saxofony, szaxofonok
horn-f = waltornia, róg, lesní roh, kürt ; waltornie, rogi, lesní rohy, kürtök
trumpet-bflat = trąbka, trubka, trumpeta, trombita ; trąbki, trubky, trumpety, trombiták
flugelhorn = křídlovka, szárnykürt
trombone-tenor = puzon, pozoun, trombon, harsona ; puzony, pozouny, trombony, harsonák
trombone-bass = puzon basowy, basový pozoun, basový trombon, basszusharsona
tuba = ; tuby, tubák
timpani = kotły, tympány, üstdob, üstdobok
percussion-unpitched = perkusja, instrumenty perkusyjne, bicí, bicí nástroje, ütők, ütősök, ütőhangszerek, bębny, dob, dobok, bicí souprava
percussion-unpitched = werbel, wielki bęben, mały bęben, talerze, trójkąt, velký buben, malý buben, činely, triangl, nagydob, kisdob, cintányér
glockenspiel = dzwonki, zvonkohra, harangjáték
xylophone = ksylofon, xilofon
vibraphone = wibrafon, vibrafon
tubular-bells = dzwony rurowe, trubicové zvony, csőharang, csőharangok
harp = harfa, hárfa ; harfy, hárfák
piano = fortepian, klavír, zongora
organ = organy, varhany, orgona
harpsichord = klawesyn, csembaló
celesta = czelesta
accordion = akordeon, tangóharmonika
guitar = gitara, kytara, gitár, gitara elektryczna, elektrická kytara, elektromos gitár ; gitary, kytary, gitárok
bass-guitar = gitara basowa, baskytara, basszusgitár
violin = skrzypce, housle, hegedű ; hegedűk
viola = altówka, brácsa, mélyhegedű ; altówki, violy, brácsák
cello = wiolonczela, cselló, gordonka ; wiolonczele, violoncella, csellók, gordonkák
double-bass = kontrabas, nagybőgő, bőgő ; kontrabasy, nagybőgők
string-ensemble = smyczki, smyčce, vonósok, vonószenekar
voice = wokal, wokalista, wokalistka, zpěvák, zpěvačka, énekes, énekesnő
voice|choir = głos, śpiew, hlas, zpěv, ének, énekhang
choir = sbor, kórus, énekkar
voice-soprano = szoprán ; soprany, szopránok
voice-mezzo = mezzoszoprán
voice-alto = ; alty, altok
voice-tenor = ; tenory, tenorok
voice-bass = ; basszusok
voice-bass|double-bass|bass-guitar = basszus
double-bass|voice-bass = ; basy
`;

export interface FurtherName {
  readonly name: string;
  /** Catalogue ids, the likeliest first. */
  readonly candidates: readonly string[];
  readonly plural: boolean;
}

function namesIn(table: string): readonly FurtherName[] {
  return table
    .trim()
    .split('\n')
    .flatMap((line) => {
      const [ids = '', names = ''] = line.split(' = ');
      const candidates = ids.trim().split('|');
      const [one = '', many = ''] = names.split(';');
      const list = (text: string, plural: boolean): FurtherName[] =>
        text
          .split(',')
          .map((name) => ({ name: name.trim(), candidates, plural }))
          .filter(({ name }) => name !== '');
      return [...list(one, false), ...list(many, true)];
    });
}

/** Every further name, in the order of the tables. */
export const furtherNames: readonly FurtherName[] = [
  NORDIC,
  DUTCH,
  PORTUGUESE_AND_SPANISH,
  POLISH_CZECH_HUNGARIAN,
].flatMap(namesIn);
