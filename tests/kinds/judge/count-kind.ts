/** What a judged folder comes to in numbers. */
import type { PlantedFlaw, TrueLead } from '../kind.ts';
import type { JudgedKind } from './judge-kind.ts';
import { partOfTrack } from './judge-kind.ts';
import type { FindingVerdict } from './verdicts.ts';
import { tellsFlaw, verdictsOn } from './verdicts.ts';

export interface WrongBar {
  readonly bar: number;
  readonly said: string;
  readonly truth: string;
}

export interface TrackRead {
  readonly track: string;
  readonly said: string;
  readonly truth: string;
  readonly outcome: 'right' | 'asked' | 'wrong';
}

export interface KindCount {
  readonly judged: JudgedKind;
  readonly leadBars: number;
  readonly wrongBars: readonly WrongBar[];
  readonly instruments: readonly TrackRead[];
  readonly players: readonly TrackRead[];
  readonly verdicts: readonly FindingVerdict[];
  readonly weighed: readonly PlantedFlaw[];
  readonly found: readonly PlantedFlaw[];
}

function leadsOf(front: readonly TrueLead[], bar: number): readonly string[] {
  return front.filter(({ bars }) => bars[0] <= bar && bar <= bars[1]).flatMap(({ tracks }) => tracks);
}

/** Bars in which somebody leads and another is said to, of all bars in which somebody leads. */
function leadCount(judged: JudgedKind): Pick<KindCount, 'leadBars' | 'wrongBars'> {
  const { bars, foreground, folder } = judged;
  const namesOf = (partId: string | undefined): readonly string[] =>
    judged.parts.find((part) => part.id === partId)?.tracks.map((track) => track.name) ?? [];
  const led = bars.filter((bar) => leadsOf(folder.truth.front, bar).length > 0);
  const wrongBars = led.flatMap((bar): WrongBar[] => {
    const truth = leadsOf(folder.truth.front, bar);
    const said = foreground
      .filter((span) => span.from <= bar && bar <= span.to)
      .flatMap((span) => namesOf(span.partId));
    return truth.some((track) => said.includes(track))
      ? []
      : [{ bar, said: said.join(' + ') || 'nobody', truth: truth.join(' + ') }];
  });
  return { leadBars: led.length, wrongBars };
}

const ASKED: readonly string[] = [
  'instrument-guessed',
  'instrument-unknown',
  'instrument-clash',
  'ambiguous-name',
  'section-patch',
];

function instrumentReads(judged: JudgedKind): TrackRead[] {
  return Object.entries(judged.folder.truth.parts).flatMap(([track, ids]): TrackRead[] => {
    const part = partOfTrack(judged, track);
    const said = part === undefined ? 'left out' : part.instrument;
    const truth = ids.length === 0 ? 'no pitched instrument' : ids.join(' or ');
    const isRight =
      ids.length === 0 ? part === undefined || part.unpitched || part.instrument === 'unknown' : ids.includes(said);
    const isAsked = judged.questions.some((each) => each.partId === part?.id && ASKED.includes(each.code));
    return [{ track, said, truth, outcome: isRight ? 'right' : isAsked || said === 'unknown' ? 'asked' : 'wrong' }];
  });
}

function playerReads(judged: JudgedKind): TrackRead[] {
  return Object.entries(judged.folder.truth.players).map(([track, players]): TrackRead => {
    const said = partOfTrack(judged, track)?.players ?? 0;
    const isRight = players === 'section' ? said > 1 : said === players;
    return { track, said: String(said), truth: String(players), outcome: isRight ? 'right' : 'wrong' };
  });
}

export function countKind(judged: JudgedKind): KindCount {
  const weighed = judged.folder.truth.flaws.filter((flaw) => flaw.weigh);
  const isFound = (flaw: PlantedFlaw): boolean =>
    judged.findings.some((finding) => tellsFlaw(finding, flaw, judged.bars.length));
  return {
    judged,
    ...leadCount(judged),
    instruments: instrumentReads(judged),
    players: playerReads(judged),
    verdicts: verdictsOn(judged),
    weighed,
    found: weighed.filter(isFound),
  };
}
