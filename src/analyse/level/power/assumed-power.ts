/**
 * Sound power where no published figure was found: OUR ASSUMPTIONS, each by the nearest relative that has one. They are
 * shown beside every number that rests on them, and `trim` in the settings corrects them.
 */
import type { Family } from '../../../model/music/instrument.ts';

/** Sound power level of one player, dB re 1 pW. */
export interface PowerFigures {
  readonly softest: number;
  readonly forte: number;
  readonly loudest: number;
}

export interface AssumedPower {
  /** Catalogue id of the relative whose published figures stand in. */
  readonly like?: string;
  readonly figures?: PowerFigures;
  /** Completes the sentence "its level is assumed: ...". */
  readonly reason: string;
}

const like = (id: string, reason: string): AssumedPower => ({ like: id, reason });
const figures = (softest: number, forte: number, loudest: number, reason: string): AssumedPower => ({
  figures: { softest, forte, loudest },
  reason,
});

const STRUCK = 'our own estimate for a struck instrument';
const PLUCKED = 'our own estimate for a plucked instrument';
const SCHOOLROOM = 'our own estimate, below the orchestral instrument';
const VOICE = 'our own estimate for a trained voice';

/** By catalogue id. */
export const ASSUMED_POWER: Readonly<Record<string, AssumedPower>> = {
  piccolo: like('flute', 'as a flute'),
  'alto-flute': like('flute', 'as a flute'),
  'bass-flute': like('flute', 'as a flute'),
  'recorder-treble': figures(65, 82, 88, 'our own estimate, below a flute'),
  'oboe-damore': like('oboe', 'as an oboe'),
  'cor-anglais': like('oboe', 'as an oboe'),
  'clarinet-eflat': like('clarinet-bflat', 'as a clarinet in B-flat'),
  'basset-horn': like('clarinet-bflat', 'as a clarinet in B-flat'),
  'bass-clarinet': like('clarinet-bflat', 'as a clarinet in B-flat'),
  contrabassoon: like('bassoon', 'as a bassoon'),
  'sax-soprano': figures(70, 97, 108, 'our own estimate, between oboe and trumpet'),
  'sax-alto': figures(70, 97, 108, 'our own estimate, between oboe and trumpet'),
  'sax-tenor': figures(70, 98, 108, 'our own estimate, between bassoon and trombone'),
  'sax-baritone': figures(70, 98, 108, 'our own estimate, between bassoon and trombone'),
  'trumpet-piccolo': like('trumpet-bflat', 'as a trumpet'),
  'cornet-bflat': like('trumpet-bflat', 'as a trumpet'),
  flugelhorn: like('horn-f', 'as a horn'),
  'alto-horn-eflat': like('horn-f', 'as a horn'),
  'baritone-horn': like('horn-f', 'as a horn'),
  euphonium: like('tuba', 'as a tuba'),
  'trombone-alto': like('trombone-tenor', 'as a tenor trombone'),
  timpani: figures(70, 100, 112, STRUCK),
  'percussion-unpitched': figures(65, 98, 112, STRUCK),
  glockenspiel: figures(65, 92, 102, STRUCK),
  xylophone: figures(65, 94, 104, STRUCK),
  'glockenspiel-soprano': figures(60, 86, 96, SCHOOLROOM),
  'glockenspiel-alto': figures(60, 86, 96, SCHOOLROOM),
  'metallophone-soprano': figures(58, 84, 94, SCHOOLROOM),
  'metallophone-alto': figures(58, 84, 94, SCHOOLROOM),
  'metallophone-bass': figures(58, 84, 94, SCHOOLROOM),
  'xylophone-soprano': figures(60, 88, 98, SCHOOLROOM),
  'xylophone-alto': figures(60, 88, 98, SCHOOLROOM),
  'xylophone-bass': figures(58, 86, 96, SCHOOLROOM),
  marimba: figures(60, 88, 97, STRUCK),
  vibraphone: figures(60, 87, 96, STRUCK),
  'tubular-bells': figures(65, 95, 105, STRUCK),
  crotales: figures(62, 88, 98, STRUCK),
  harp: figures(57, 84, 94, PLUCKED),
  piano: figures(63, 94, 104, STRUCK),
  celesta: figures(55, 78, 86, STRUCK),
  organ: figures(75, 100, 112, 'our own estimate for a small organ'),
  harpsichord: figures(68, 78, 82, PLUCKED),
  harmonium: figures(62, 86, 94, 'our own estimate for a reed organ'),
  accordion: figures(62, 90, 100, 'our own estimate for a reed organ'),
  guitar: figures(55, 79, 88, `${PLUCKED}, not amplified`),
  'bass-guitar': figures(60, 90, 100, `${PLUCKED}, amplified to match an ensemble`),
  mandolin: figures(57, 80, 89, PLUCKED),
  mandola: figures(57, 80, 89, PLUCKED),
  mandocello: figures(57, 80, 89, PLUCKED),
  voice: figures(65, 94, 108, VOICE),
  'voice-soprano': figures(65, 94, 108, VOICE),
  'voice-mezzo': figures(65, 94, 107, VOICE),
  'voice-alto': figures(64, 92, 105, VOICE),
  'voice-tenor': figures(66, 95, 108, VOICE),
  'voice-baritone': figures(66, 95, 107, VOICE),
  'voice-bass': figures(66, 94, 106, VOICE),
  choir: figures(64, 92, 105, VOICE),
  'string-ensemble': like('violin', 'as a violin'),
};

/** Where the catalogue has a newcomer that the table above does not. */
export const ASSUMED_FOR_FAMILY: Readonly<Record<Family, AssumedPower>> = {
  woodwind: like('clarinet-bflat', 'as a clarinet'),
  brass: like('trombone-tenor', 'as a trombone'),
  strings: like('violin', 'as a violin'),
  percussion: figures(65, 98, 112, STRUCK),
  plucked: figures(57, 82, 91, PLUCKED),
  keyboard: figures(63, 94, 104, STRUCK),
  voice: figures(65, 94, 107, VOICE),
  unknown: figures(65, 92, 102, 'our own middle value for an unknown instrument'),
};
