/** All folders of many kinds; a new one is one file and one line here. */
import { choirOrgan } from './folders/choir-organ.ts';
import { windQuintet } from './folders/wind-quintet.ts';
import type { KindFolder } from './kind.ts';

export const KINDS: readonly KindFolder[] = [choirOrgan, windQuintet];
