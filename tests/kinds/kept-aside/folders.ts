/** Folders written apart from the rules, by trade knowledge alone: judged, reported, and nothing is set by them. */
import type { KindFolder } from '../kind.ts';
import { brassQuintet } from './brass-quintet.ts';
import { folketoneStrykere } from './folketone-strykere.ts';
import { gospelChoir } from './gospel-choir.ts';
import { klezmerKapelye } from './klezmer-kapelye.ts';
import { salsaOrquesta } from './salsa-orquesta.ts';
import { saxQuartet } from './sax-quartet.ts';
import { schoolOrchestra } from './school-orchestra.ts';
import { sonataATre } from './sonata-a-tre.ts';
import { trioFluteAltoHarpe } from './trio-flute-alto-harpe.ts';
import { zupforchester } from './zupforchester.ts';

export const KEPT_ASIDE: readonly KindFolder[] = [
  brassQuintet,
  folketoneStrykere,
  gospelChoir,
  klezmerKapelye,
  salsaOrquesta,
  saxQuartet,
  schoolOrchestra,
  sonataATre,
  trioFluteAltoHarpe,
  zupforchester,
];
