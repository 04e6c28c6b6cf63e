/** The folders of many kinds on which constants may be set; a new one is one file and one line here. */
import { ballad } from './folders/ballad.ts';
import { brassBand } from './folders/brass-band.ts';
import { choirOrgan } from './folders/choir-organ.ts';
import { filmCue } from './folders/film-cue.ts';
import { firstArrangement } from './folders/first-arrangement.ts';
import { liedQuartet } from './folders/lied-quartet.ts';
import { sixtyTracks } from './folders/sixty-tracks.ts';
import { swingCombo } from './folders/swing-combo.ts';
import { windQuintet } from './folders/wind-quintet.ts';
import { guitarAndStrings } from './folders/guitar-and-strings.ts';
import { folkSet } from './folders/folk-set.ts';
import { orchestralExport } from './folders/orchestral-export.ts';
import { freePiano } from './folders/free-piano.ts';
import { bigBand } from './folders/big-band.ts';
import { percussionEnsemble } from './folders/percussion-ensemble.ts';
import { pianoTrio } from './folders/piano-trio.ts';
import { operaScene } from './folders/opera-scene.ts';
import { synthScore } from './folders/synth-score.ts';
import { cantataAria } from './folders/cantata-aria.ts';
import { pitBand } from './folders/pit-band.ts';
import { anthemChildren } from './folders/anthem-children.ts';
import { concertoClarinetto } from './folders/concerto-clarinetto.ts';
import { coroDivisi } from './folders/coro-divisi.ts';
import { melodieQuatuor } from './folders/melodie-quatuor.ts';
import { gameTemplate } from './folders/game-template.ts';
import { marschBlasorchester } from './folders/marsch-blasorchester.ts';
import { soulBand } from './folders/soul-band.ts';
import { tangoAcordeon } from './folders/tango-acordeon.ts';
import { maennerchor } from './folders/maennerchor.ts';
import { recorderConsort } from './folders/recorder-consort.ts';
import { skaBand } from './folders/ska-band.ts';
import { quintetContrabass } from './folders/quintet-contrabass.ts';
import { steelBand } from './folders/steel-band.ts';
import { theatreTrio } from './folders/theatre-trio.ts';
import { ottettoFiati } from './folders/ottetto-fiati.ts';
import { choeurHarpe } from './folders/choeur-harpe.ts';
import { trumpetBallad } from './folders/trumpet-ballad.ts';
import { akkordeonQuintett } from './folders/akkordeon-quintett.ts';
import { quintetoTango } from './folders/quinteto-tango.ts';
import { bluegrass } from './folders/bluegrass.ts';
import { charanga } from './folders/charanga.ts';
import { salonorchester } from './folders/salonorchester.ts';
import type { KindFolder } from './kind.ts';

export const KINDS: readonly KindFolder[] = [
  ballad,
  brassBand,
  choirOrgan,
  filmCue,
  firstArrangement,
  liedQuartet,
  sixtyTracks,
  swingCombo,
  windQuintet,
  guitarAndStrings,
  folkSet,
  orchestralExport,
  freePiano,
  bigBand,
  percussionEnsemble,
  pianoTrio,
  operaScene,
  synthScore,
  cantataAria,
  pitBand,
  anthemChildren,
  concertoClarinetto,
  coroDivisi,
  melodieQuatuor,
  gameTemplate,
  marschBlasorchester,
  soulBand,
  tangoAcordeon,
  recorderConsort,
  skaBand,
  maennerchor,
  quintetContrabass,
  steelBand,
  theatreTrio,
  ottettoFiati,
  choeurHarpe,
  trumpetBallad,
  akkordeonQuintett,
  quintetoTango,
  salonorchester,
  bluegrass,
  charanga,
];
