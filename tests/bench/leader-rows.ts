/** How often the leader is right where nobody says: blind songs, our own textures, folders of kinds, movements with annotations of others. */
import { guessLeads } from '../../src/assemble/who-has-the-melody/guess-leads.ts';
import type { KnownLeaders } from '../support/leaders/leader-truth.ts';
import { knownKinds, knownMovements, knownSongs, knownTextures } from '../support/leaders/leader-truth.ts';

interface LeaderShare {
  readonly known: KnownLeaders;
  /** Quarters in which somebody leads who sounds, and those where the guess is one of them. */
  readonly all: number;
  readonly right: number;
  /** The same of quarters in bars whose leader is called weak. */
  readonly weak: number;
  readonly weakRight: number;
}

const WEAK = 0.6;

function leaderShare(known: KnownLeaders): LeaderShare {
  const leads = guessLeads(known.candidates, known.bars, known.sections);
  let [all, right, weak, weakRight] = [0, 0, 0, 0];
  known.bars.forEach(({ startQuarters, lengthQuarters }, bar) => {
    const lead = leads[bar];
    for (let at = 0; at < lengthQuarters; at++) {
      const truth = known.leadersAt(startQuarters + at + 0.01);
      if (truth.length === 0) continue;
      const isRight = lead !== undefined && truth.includes(lead.partId);
      all++;
      if (isRight) right++;
      if (lead !== undefined && lead.certainty >= WEAK) continue;
      weak++;
      if (isRight) weakRight++;
    }
  });
  return { known, all, right, weak, weakRight };
}

function percent(part: number, all: number): string {
  return all === 0 ? '-' : `${((100 * part) / all).toFixed(1)} %`;
}

function figureOf(shares: readonly LeaderShare[]): string {
  const sum = (read: (share: LeaderShare) => number): number => shares.reduce((total, share) => total + read(share), 0);
  const [all, right, weak, weakRight] = [
    sum((share) => share.all),
    sum((share) => share.right),
    sum((share) => share.weak),
    sum((share) => share.weakRight),
  ];
  return `${percent(right, all)} of ${String(all)} quarters; called weak ${percent(weak, all)}, of them right ${percent(weakRight, weak)}`;
}

const WORDS: Readonly<Record<KnownLeaders['set'], string>> = {
  songs: 'songs, nothing named',
  textures: 'short textures of our own, no soloist named',
  kinds: 'folders of many kinds, no singer or soloist told',
  orchestra: 'movements, annotations of others, by instrument',
};

/** Rows by source and half; annotations of movements lie outside the repository, in the folder that LEADER_ANNOTATIONS names. */
export async function leaderRows(): Promise<
  readonly { readonly group: KnownLeaders['half']; readonly music: string; readonly figure: string }[]
> {
  const annotations = process.env['LEADER_ANNOTATIONS'];
  const known = [
    ...knownSongs(),
    ...knownTextures(),
    ...(await knownKinds()),
    ...(annotations === undefined ? [] : knownMovements(annotations)),
  ];
  const shares = known.map(leaderShare);
  return (['tuning', 'last-look'] as const).flatMap((half) =>
    (Object.keys(WORDS) as KnownLeaders['set'][]).flatMap((set) => {
      const own = shares.filter((share) => share.known.half === half && share.known.set === set);
      if (own.length === 0) return [];
      // Movements are few and long: each stands for itself too.
      const single = set === 'orchestra' ? own : [];
      return [
        { group: half, music: WORDS[set], figure: figureOf(own) },
        ...single.map((share) => ({ group: half, music: `  ${share.known.name}`, figure: figureOf([share]) })),
      ];
    }),
  );
}
