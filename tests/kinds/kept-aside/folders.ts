/** Folders written apart from the rules, by trade knowledge alone: judged, reported, and nothing is set by them. */
import type { KindFolder } from '../kind.ts';
import { anthemChildren } from './anthem-children.ts';
import { concertoClarinetto } from './concerto-clarinetto.ts';
import { coroDivisi } from './coro-divisi.ts';
import { melodieQuatuor } from './melodie-quatuor.ts';
import { gameTemplate } from './game-template.ts';
import { marschBlasorchester } from './marsch-blasorchester.ts';
import { soulBand } from './soul-band.ts';
import { tangoAcordeon } from './tango-acordeon.ts';

export const KEPT_ASIDE: readonly KindFolder[] = [
  melodieQuatuor,
  tangoAcordeon,
  coroDivisi,
  concertoClarinetto,
  soulBand,
  marschBlasorchester,
  gameTemplate,
  anthemChildren,
];
