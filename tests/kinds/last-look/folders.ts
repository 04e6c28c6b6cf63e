/** Folders that were kept aside for one last look; since that look they are tuning folders like the others. */
import type { KindFolder } from '../kind.ts';
import { bigBand } from './big-band.ts';
import { cantataAria } from './cantata-aria.ts';
import { folkSet } from './folk-set.ts';
import { freePiano } from './free-piano.ts';
import { guitarAndStrings } from './guitar-and-strings.ts';
import { operaScene } from './opera-scene.ts';
import { orchestralExport } from './orchestral-export.ts';
import { percussionEnsemble } from './percussion-ensemble.ts';
import { pianoTrio } from './piano-trio.ts';
import { pitBand } from './pit-band.ts';
import { synthScore } from './synth-score.ts';

export const LAST_LOOK: readonly KindFolder[] = [
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
];
