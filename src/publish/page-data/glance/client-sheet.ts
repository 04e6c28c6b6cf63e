/** The client sheet, a page or two for whoever ordered the piece: what it is, how it stands, what is asked, decided and changed. */
import { drawThumbnail } from '../../../draw/chart/whole-piece/whole-piece-thumbnail.ts';
import { barSpanText, counted, fullStop, listText, numberedTitle } from '../../../model/words/plain-words.ts';
import type { Memo } from '../../../model/music/arrangement.ts';
import type { DossierInput } from '../../dossier-input.ts';
import { kindText, noteHeading } from '../../answers/note-words.ts';
import { standingOfNote, standingOfQuestion, type Standing } from '../../answers/standing.ts';
import { renderNote } from '../../render-note.ts';
import { trustedMarkup, type TrustedMarkup } from '../../trusted-markup.ts';
import { askedShortly, takenForIt, whoLeads } from './asked.ts';
import { findingsText, foregroundNames, sizeText } from '../page-frame/stage-words.ts';
import { briefChange } from '../changes/change-lead.ts';
import { piecePicture } from './piece-picture.ts';
import { plain, type Run, type SheetSection } from '../page-frame/sheet.ts';
import { stageContext, stageFileName, type StageContext } from '../page-frame/stage-context.ts';
import { verdictOf, type Verdict } from './verdict.ts';

export const CLIENT_PAGE = 'client-sheet.html';
const FRONT_PAGE = 'index.html';
/** More names of parts are counted. */
const MOST_NAMES = 16;

interface Matter {
  readonly heading: Run;
  readonly place: string;
  readonly text: TrustedMarkup;
  /** What readers answered, in order. */
  readonly answers: readonly { readonly by: string; readonly text: TrustedMarkup }[];
}

/** The sheet's links lead to the front page. */
function onFrontPage({ text, href }: Run): Run {
  return { text, href: href.startsWith('#') ? FRONT_PAGE + href : href };
}

function verdictElsewhere(verdict: Verdict): Verdict {
  return {
    sentences: verdict.sentences.map((runs) => runs.map(onFrontPage)),
    places: verdict.places.map((place) => ({ ...place, bars: onFrontPage(place.bars), href: FRONT_PAGE + place.href })),
    others: verdict.others,
    othersHref: FRONT_PAGE + verdict.othersHref,
  };
}

function answersIn(standing: Standing): Matter['answers'] {
  return standing.answers.map((memo) => ({ by: kindText(memo), text: renderNote(memo.markdown) }));
}

/** A note of the sheet, with what readers answered to it. */
function matterOf(context: StageContext, memo: Memo, answers: Matter['answers'] = []): Matter {
  const index = context.stages.findIndex(({ stage }) => stage.id === memo.stageId);
  const page = index < 0 ? FRONT_PAGE : stageFileName(context.stages, index);
  const place = [
    memo.answer?.from ?? '',
    memo.date ?? '',
    memo.from === undefined ? '' : barSpanText(memo.from, memo.to ?? memo.from),
    listText(memo.partIds.map(context.partName), 4),
  ];
  return {
    heading: { text: noteHeading(memo), href: `${page}#notes` },
    place: place.filter((piece) => piece !== '').join(', '),
    // A note without a heading is shown as a whole, and its beginning not twice.
    text: renderNote(memo.heading === '' ? '' : memo.markdown),
    answers,
  };
}

function pieceSection(context: StageContext): SheetSection {
  const { stage } = context.published;
  const names = stage.parts.map(({ name }) => name);
  const sections =
    stage.sections.length > 1
      ? listText(
          stage.sections.map(({ name }) => name),
          12,
        )
      : '';
  return {
    id: 'client-piece',
    heading: 'The piece',
    partial: 'client-piece.njk',
    downloads: [],
    body: {
      size: sizeText(context),
      parts: names.length === 0 ? '' : fullStop(`For ${listText(names, MOST_NAMES)}`),
      sections: sections === '' ? '' : `In ${counted(stage.sections.length, 'section')}: ${sections}.`,
      verdict: verdictElsewhere(verdictOf(context, foregroundNames(context))),
      picture: piecePicture(context.published, FRONT_PAGE),
    },
  };
}

/** Who leads as it stands: answers are read by people, the dossier goes by the settings. */
const LEAD_SAID: Readonly<Record<Standing['kind'], string>> = {
  open: 'No setting decides it yet.',
  answered: 'The settings do not say it yet.',
  contradicted: 'The answers differ.',
};

interface AskedMatter {
  readonly standing: Standing;
  readonly matter: Matter;
}

/** Questions of the notes, and who leads where nobody said so, each with how it stands; what else the folder left open is for the arranger. */
function questionMatters(context: StageContext): readonly AskedMatter[] {
  const { stage } = context.published;
  const { memos } = context.arrangement;
  const lead = standingOfQuestion({ code: 'foreground-guessed' }, memos);
  const guessed: Matter = {
    heading: plain(whoLeads(context)),
    place: '',
    text: renderNote(
      `${LEAD_SAID[lead.kind]} ${takenForIt(context, foregroundNames(context))} All that is said of loudness rests on it.`,
    ),
    answers: answersIn(lead),
  };
  const asked = memos
    .filter(({ kind }) => kind === 'question')
    .map((memo): AskedMatter => {
      const standing = standingOfNote(memo, memos);
      return { standing, matter: matterOf(context, memo, answersIn(standing)) };
    });
  const isGuessed = stage.foregroundGuessed && stage.foreground.length > 0;
  return isGuessed ? [{ standing: lead, matter: guessed }, ...asked] : asked;
}

const NOTHING = 'Nothing is asked of you at this stage';

function decideSection(context: StageContext, asked: readonly AskedMatter[]): SheetSection {
  const matters = asked.flatMap(({ standing, matter }) => (standing.kind === 'answered' ? [] : [matter]));
  const isOpen = askedShortly(context, foregroundNames(context)).length > 0;
  return {
    id: 'client-decide',
    heading: 'For you to decide',
    partial: 'client-decide.njk',
    downloads: [],
    body: {
      matters,
      nothing: isOpen ? `${NOTHING}; what the first page still asks is for the arranger to say.` : `${NOTHING}.`,
    },
  };
}

function decidedSection(context: StageContext, asked: readonly AskedMatter[]): readonly SheetSection[] {
  const titles = new Map(context.rules.map((rule) => [rule.name, rule.title]));
  const answered = asked.filter(({ standing }) => standing.kind === 'answered');
  const told = new Set(answered.flatMap(({ standing }) => standing.answers));
  const decided = context.arrangement.memos
    .filter((memo) => memo.kind === 'decision' && !told.has(memo))
    .map((memo) => matterOf(context, memo));
  const accepted = context.published.findings.flatMap((finding, index): readonly Matter[] =>
    finding.accepted === undefined
      ? []
      : [
          {
            heading: {
              text: `${titles.get(finding.rule) ?? finding.rule}: accepted`,
              href: `${FRONT_PAGE}#finding-${String(index + 1)}`,
            },
            place: [barSpanText(finding.from, finding.to), listText(finding.partIds.map(context.partName), 4)]
              .filter((piece) => piece !== '')
              .join(', '),
            text: renderNote(finding.accepted),
            answers: [],
          },
        ],
  );
  const matters = [...answered.map(({ matter }) => matter), ...decided, ...accepted];
  if (matters.length === 0) return [];
  return [
    { id: 'client-decided', heading: 'Decided', partial: 'client-decided.njk', downloads: [], body: { matters } },
  ];
}

function stagesSection(input: DossierInput, context: StageContext): SheetSection {
  const byAfter = new Map(input.changes.map((change) => [change.after, change]));
  const stages = context.stages.map((published, index) => {
    const { stage, readings, findings } = published;
    const change = byAfter.get(stage.id);
    const before = context.stages[index - 1];
    const told =
      change === undefined || before === undefined
        ? 'The first stage'
        : `It ${briefChange({ change, before, after: published })}`;
    const found = findingsText(findings);
    return {
      href: stageFileName(context.stages, index),
      title: numberedTitle(index + 1, stage.title),
      stamp: trustedMarkup(drawThumbnail(stage, readings)),
      remark: stage.remark ?? '',
      told: fullStop(told),
      found: found === '' ? 'No findings.' : `Findings: ${found}.`,
    };
  });
  return {
    id: 'client-stages',
    heading: stages.length > 1 ? 'What changed' : 'The stage',
    partial: 'client-stages.njk',
    downloads: [],
    body: { stages: [...stages].reverse() },
  };
}

/** The sections of the sheet: always about the current stage. Where nobody said who has the foreground, the question comes before the verdict. */
export function clientSections(input: DossierInput, singleFile: boolean): readonly SheetSection[] {
  const context = stageContext(input, input.stages.length - 1, singleFile);
  const asked = questionMatters(context);
  const [piece, decide] = [pieceSection(context), decideSection(context, asked)];
  const first = context.published.stage.foregroundGuessed ? [decide, piece] : [piece, decide];
  return [...first, ...decidedSection(context, asked), stagesSection(input, context)];
}
