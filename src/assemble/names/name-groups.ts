/** Words by which track lists put instruments in groups (BR Horns, PERC Timpani, Choir Alto, Hns - Tpt, SYN Texture). */
import { instrumentById } from '../../model/music/catalogue.ts';
import type { Family } from '../../model/music/instrument.ts';

/**
 * A group before an instrument of its own: the word then names no instrument itself. BR alone is the Bratsche, before a horn the brass; the
 * horns of a pop, soul or jazz band are all its winds, and no F horn is among them; what a synthesiser does tells more than that it is one.
 */
export interface NameGroup {
  readonly kind: 'family' | 'horns' | 'synthesiser';
  readonly isSung: boolean;
  /** Whether an instrument (catalogue id) can stand in the group. */
  readonly holds: (id: string) => boolean;
}

function familyGroup(family: Family): NameGroup {
  return { kind: 'family', isSung: family === 'voice', holds: (id) => instrumentById(id)?.family === family };
}

const NO_BAND_HORN: ReadonlySet<string> = new Set([
  'horn-f',
  'wagner-tuba',
  'cor-anglais',
  'basset-horn',
  'alto-horn-eflat',
]);
const BAND_HORNS: NameGroup = {
  kind: 'horns',
  isSung: false,
  holds: (id) => ['brass', 'woodwind'].includes(instrumentById(id)?.family ?? '') && !NO_BAND_HORN.has(id),
};
const SYNTHESISER: NameGroup = {
  kind: 'synthesiser',
  isSung: false,
  holds: (id) => id === 'synth-bass' || id === 'sound-effect',
};

export const SUNG: NameGroup = familyGroup('voice');

const groups = (words: string, group: NameGroup): [string, NameGroup][] =>
  words.split(',').map((word) => [word, group]);

const GROUPS: ReadonlyMap<string, NameGroup> = new Map([
  ...groups('br,brs,brass', familyGroup('brass')),
  ...groups('perc,prc,percussion', familyGroup('percussion')),
  ...groups('str,strs,strings,stryk,strykere,strak,strakar,strygere,jouset,strijkers,cordas', familyGroup('strings')),
  ...groups('keys,keyboards', familyGroup('keyboard')),
  ...groups('choir,chorus,chor,coro,choeur,chr,kor,koor,kuoro,korus,sbor,coral,vox,vocals,voices', SUNG),
  ...groups('horn,horns,hn,hns,hrn,hrns,horn section', BAND_HORNS),
  ...groups('syn,synth,synths,synthesizer,synthesiser,synthi', SYNTHESISER),
]);

/** Groups that are never an instrument beside another: Strings/Bass and Percussion | Timpani are no pairs. */
const PURE: ReadonlySet<string> = new Set(
  'brs,brass,perc,prc,percussion,str,strs,strings,keys,keyboards,vocals,vox,voices'.split(','),
);

/** The group that a folded name may be; undefined where it is none. */
export function groupNamed(key: string): NameGroup | undefined {
  return GROUPS.get(key);
}

const SUNG_SINGLY: ReadonlySet<string> = new Set(['vox', 'vocals', 'voices']);

/** True where the group is a choir, whose voices are sections: CHR Alt, Choir Tenor, but not Vox Tenor. */
export function isChoirName(key: string): boolean {
  return GROUPS.get(key) === SUNG && !SUNG_SINGLY.has(key);
}

/** True where the word is nothing but a group once an instrument of it follows. */
export function isPureGroup(key: string): boolean {
  return PURE.has(key);
}
