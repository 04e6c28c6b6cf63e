/** All folders of many kinds; a new one is one file and one line here. */
import { ballad } from './folders/ballad.ts';
import { brassBand } from './folders/brass-band.ts';
import { choirOrgan } from './folders/choir-organ.ts';
import { filmCue } from './folders/film-cue.ts';
import { firstArrangement } from './folders/first-arrangement.ts';
import { liedQuartet } from './folders/lied-quartet.ts';
import { sixtyTracks } from './folders/sixty-tracks.ts';
import { swingCombo } from './folders/swing-combo.ts';
import { windQuintet } from './folders/wind-quintet.ts';
import type { KindFolder } from './kind.ts';
import { LAST_LOOK } from './last-look/folders.ts';

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
  ...LAST_LOOK,
];
