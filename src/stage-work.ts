/** What is made of one stage once it is notated: it is judged, its scores are engraved and written. Pure, in whatever thread. */
import { adviseStage } from './advise/advise-stage.ts';
import { analyseStage } from './analyse/analyse-stage.ts';
import type { MovedSince } from './analyse/misplaced/moved-since.ts';
import { sketchOf } from './analyse/played-sketch/sketch-of.ts';
import { drawPictures } from './draw-pictures.ts';
import { engraveScore } from './draw/engrave/score/engrave-score.ts';
import { engraveFullScores } from './engrave-full-scores.ts';
import { sharedMusic } from './assemble/shared-music.ts';
import { heldOnce } from './model/alike.ts';
import type { Arrangement, Stage } from './model/music/arrangement.ts';
import type { WrittenNotes, WrittenStage } from './model/music/written.ts';
import { begins, noneBegun, pieceOf, type Begun, type Piece } from './model/shared-piece.ts';
import { asShown } from './notate/as-shown.ts';
import { proposeTempo } from './notate/free-time/tempo-proposal.ts';
import { notateStage, reductionOf } from './notate/notate-stage.ts';
import { fullScoreTexts, scoreTexts, stageTexts } from './publish/data/stage-texts.ts';
import type { PublishedProposal, PublishedStage, StageTexts } from './publish/dossier-input.ts';
import type { ScoreCredits } from './publish/musicxml/xml/score-xml.ts';
import { packSketch } from './sound/sketch-text.ts';

/** Width of an engraved system in CSS pixels: the text width of the page, and of A4 at 96 dpi when scaled by two thirds. */
const SYSTEM_WIDTH_PX = 1200;

/** Width for a telephone held upright: 350 px of text show it at two thirds, a staff of 27 px. */
const NARROW_WIDTH_PX = 520;

const ENGRAVED = { widthPx: SYSTEM_WIDTH_PX, narrowPx: NARROW_WIDTH_PX } as const;

export type NotatedStage = Pick<PublishedStage, 'stage'> & { readonly written: WrittenNotes };

export type JudgedStage = NotatedStage & Pick<PublishedStage, 'readings' | 'findings'>;

/** All that is drawn of one but its charts, and the short score that it is drawn from. */
export type Engravings = Omit<PublishedStage, keyof JudgedStage | 'charts'> & Pick<WrittenStage, 'reduced'>;

/** All that the judgement of a stage takes from the arrangement, and from the stage before it. */
export interface Judging extends Pick<Arrangement, 'limits' | 'accepted'> {
  /** Passages of the stage that stood elsewhere in the one before. */
  readonly moved: readonly MovedSince[];
}

/** Analyses and judges one stage. */
export function judgeStage(notated: NotatedStage, judging: Judging): JudgedStage {
  return judgedAs(notated, judgementOf(notated, judging));
}

function judgementOf({ stage, written }: NotatedStage, { limits, accepted, moved }: Judging): Judgement {
  const readings = analyseStage(stage, written);
  return { readings, findings: adviseStage({ stage, written, readings, limits, accepted, moved }) };
}

function judgedAs({ stage, written }: NotatedStage, { readings, findings }: Judgement): JudgedStage {
  return { stage, written, readings, findings };
}

/** Bars and tempos for a stage that was played without a click, and the reduced score that they would give. */
function proposalFor(stage: Stage): PublishedProposal | undefined {
  const proposal = proposeTempo(stage);
  if (proposal === undefined) return undefined;
  const written = notateStage(proposal.stage);
  const shown = asShown(written.reduced, written, proposal.stage.timeline.bars);
  return { ...proposal, score: engraveScore(shown, { ...ENGRAVED, title: stage.title }) };
}

/** The short score as music and as it is engraved, and that of a tempo map, where one is proposed. */
export type Scores = Pick<PublishedStage, 'score' | 'proposal'> & Pick<WrittenStage, 'reduced'>;

/** What is drawn and packed of a stage once it is judged. */
export type Pictured = Pick<PublishedStage, 'pictures' | 'sketch'>;

/** Makes the short score of one stage and engraves it: no judgement asks for it. `isCurrent`: it is the last one of the arrangement. */
function engraveScores({ stage, written }: NotatedStage, isCurrent: boolean): Scores {
  const reduced = reductionOf(stage, written);
  const proposal = isCurrent && !written.onGrid ? proposalFor(stage) : undefined;
  return {
    ...(proposal === undefined ? {} : { proposal }),
    reduced,
    score: engraveScore(asShown(reduced, written, stage.timeline.bars), {
      ...ENGRAVED,
      title: stage.title,
    }),
  };
}

function pictureStage(judged: JudgedStage, isCurrent: boolean): Pictured {
  const sketch = sketchOf(judged.stage, judged.written, judged.readings);
  return {
    ...(sketch.lines.length > 0 ? { sketch: packSketch(sketch) } : {}),
    pictures: drawPictures(judged, isCurrent),
  };
}

/** Draws all of one judged stage but its charts. `isCurrent`: it is the last one of the arrangement. */
export function engraveStage(judged: JudgedStage, isCurrent: boolean): Engravings {
  return {
    ...engraveScores(judged, isCurrent),
    fullScores: engraveFullScores(judged.stage, judged.written, isCurrent),
    ...pictureStage(judged, isCurrent),
  };
}

/** A stage with all that was made of it. */
export function publishedStage(
  judged: JudgedStage,
  { reduced, ...drawn }: Engravings,
  charts: PublishedStage['charts'],
): PublishedStage {
  return { ...judged, ...drawn, written: { ...judged.written, reduced }, charts };
}

/** A notated stage as another thread is given it, with all that it needs to know of the arrangement. */
export interface StageOrder extends NotatedStage {
  readonly isCurrent: boolean;
  readonly judging: Judging;
  readonly credits: ScoreCredits;
  /** Of `SHARED`, in that order. */
  readonly begun: Begun;
}

/** What a judgement adds to a notated stage. */
export type Judgement = Omit<JudgedStage, keyof NotatedStage>;

/** What another thread makes of it, each for itself. */
export interface StageResults {
  /** Without the stage, which whoever ordered it has. */
  readonly judged: Judgement;
  readonly scores: Scores;
  readonly fullScores: PublishedStage['fullScores'];
  readonly pictured: Pictured;
  readonly texts: StageTexts;
}

/** What whoever begins it first does, in the order in which the other thread begins it. */
const SHARED = ['judged', 'scores', 'fullScores', 'pictured'] as const;

type Shared = (typeof SHARED)[number];

/** Work under way beside this thread; each gives undefined where that cannot be or was begun here, and it is done here. */
export interface StageWork {
  readonly given: { readonly [Kind in keyof StageResults]: Promise<StageResults[Kind] | undefined> };
  /** Hands over the judgement that was made here, for what follows from it. */
  readonly giveJudgement: (judgement: Judgement) => void;
}

/** What one thread made of a stage; undefined is what the other one makes. */
export type StagePieces = { readonly [Kind in keyof StageResults]?: StageResults[Kind] | undefined };

/** Makes another thread ready; what it gives has stages worked on there. */
export type WorkBeside = () => (order: StageOrder) => StageWork;

function beginsShared(begun: Begun, kind: Shared): boolean {
  return begins(begun, SHARED.indexOf(kind));
}

/** The same order, what its stage has in common with one that was worked on before held once: what was made of that serves this one too. */
export function sharedOrder(order: StageOrder, before: NotatedStage | undefined): StageOrder {
  if (before === undefined) return order;
  const known = new Map(before.written.parts.map(({ partId, notes }) => [partId, notes]));
  const parts = order.written.parts.map((part) => ({ ...part, notes: heldOnce(part.notes, known.get(part.partId)) }));
  return { ...order, stage: sharedMusic(order.stage, before.stage), written: { ...order.written, parts } };
}

/** What there is to do of an order yet. */
export interface OrderUnderWay {
  /** True once all is there that the texts are made of. */
  readonly isJudged: () => boolean;
  /** Goes on with the judgement of the other thread. */
  readonly takeJudgement: (judgement: Judgement) => void;
  /** The texts are waited for last. */
  readonly makeTexts: () => void;
}

/** All the work on a stage that the other thread has not begun, handed over piece by piece. */
export function workOnStage(
  { isCurrent, judging, credits, begun, ...notated }: StageOrder,
  handOver: (made: StagePieces) => void,
): OrderUnderWay {
  const made = <Made>(kind: Shared, make: () => Made): Made | undefined =>
    beginsShared(begun, kind) ? make() : undefined;
  const judgement = made('judged', () => judgementOf(notated, judging));
  let judged = judgement && judgedAs(notated, judgement);
  handOver({ judged: judgement });
  const scores = made('scores', () => engraveScores(notated, isCurrent));
  handOver({ scores });
  const { stage, written } = notated;
  handOver({ fullScores: made('fullScores', () => engraveFullScores(stage, written, isCurrent)) });
  const picture = (one: JudgedStage): void => {
    handOver({ pictured: made('pictured', () => pictureStage(one, isCurrent)) });
  };
  if (judged !== undefined) picture(judged);
  return {
    isJudged: () => judged !== undefined,
    takeJudgement: (given) => {
      judged = judgedAs(notated, given);
      picture(judged);
    },
    makeTexts: () => {
      const one = judged;
      if (scores === undefined) {
        handOver({ texts: fullScoreTexts(notated, credits) });
        return;
      }
      const { reduced, ...engraved } = scores;
      const short = { stage, written: { ...written, reduced } };
      const texts =
        one === undefined ? scoreTexts(short, credits) : stageTexts({ ...one, ...short, ...engraved }, credits);
      handOver({ texts });
    },
  };
}

/** A stage whose judgement and drawings are under way, here or beside this thread. */
export interface StageUnderWay {
  readonly judged: () => Promise<JudgedStage>;
  /** All that is drawn of it but its charts. */
  readonly engravings: () => Promise<Engravings>;
  /** Both do here and now what another thread has not begun. */
  readonly takeOverJudging: () => void;
  readonly takeOverDrawing: () => void;
  /** Of another thread, where there is one. */
  readonly texts: StageWork['given']['texts'] | undefined;
}

/**
 * Begins the work on a notated stage: beside this thread where `send` has it done there, else here when it is asked for. `fullScores`: where they are
 * known already.
 */
export function beginWork(
  order: Omit<StageOrder, 'begun'>,
  send?: (order: StageOrder) => StageWork,
  fullScores?: PublishedStage['fullScores'],
): StageUnderWay {
  const { stage, written, isCurrent, judging } = order;
  const begun = noneBegun(SHARED.length);
  if (fullScores !== undefined) beginsShared(begun, 'fullScores');
  const work = send?.({ ...order, begun });
  const shared = <Kind extends Shared>(kind: Kind, make: () => StageResults[Kind]): Piece<StageResults[Kind]> =>
    pieceOf(make, work && { given: work.given[kind], begin: () => beginsShared(begun, kind) });
  const judgement = shared('judged', () => {
    const made = judgementOf(order, judging);
    work?.giveJudgement(made);
    return made;
  });
  let judged: Promise<JudgedStage> | undefined;
  const asJudged = (): Promise<JudgedStage> => (judged ??= judgement.made().then((made) => judgedAs(order, made)));
  const short = shared('scores', () => engraveScores(order, isCurrent));
  const full = shared('fullScores', () => engraveFullScores(stage, written, isCurrent));
  return {
    judged: asJudged,
    engravings: async () => {
      const one = await asJudged();
      const pictured = shared('pictured', () => pictureStage(one, isCurrent));
      const scores = { ...(await short.made()), fullScores: fullScores ?? (await full.made()) };
      // Whoever laid out the full score draws from it sooner; but nobody waits for that.
      pictured.takeOver();
      return { ...scores, ...(await pictured.made()) };
    },
    takeOverJudging: judgement.takeOver,
    takeOverDrawing: () => {
      full.takeOver();
      short.takeOver();
    },
    texts: work?.given.texts,
  };
}
