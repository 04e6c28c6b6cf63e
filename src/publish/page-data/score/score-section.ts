/** The reduced score, system by system, with what was put together and what was left out. */
import type { WrittenStage } from '../../../model/music/written.ts';
import { barsText, counted, listText, percentText, spanText } from '../../../model/words/plain-words.ts';
import { HOW_TO_READ, freeInShort } from '../../../notate/free-time/free-words.ts';
import { PROPOSAL_CAUTIONS, proposalText } from '../../../notate/free-time/proposal-words.ts';
import { packedName } from '../../data/packed-files.ts';
import { TEMPO_PROPOSAL } from '../../data/tempo-proposal-midi.ts';
import { scoreFiles } from '../../musicxml/score-files.ts';
import { fullScoreLinks } from './full-score-pages.ts';
import { overviewOf } from '../page-frame/overview.ts';
import { notesAbout } from '../page-frame/notes-section.ts';
import type { SheetSection } from '../page-frame/sheet.ts';
import { withShortLines } from './short-lines.ts';
import { shownSystems } from './shown-system.ts';
import { spreadSystems } from './spread-systems.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

/** From so many systems on a browser lays out only those in sight. */
const MANY_SYSTEMS = 24;

function swingText(swing: WrittenStage['swing'] = []): string {
  if (swing.length === 0) return '';
  const where = listText(swing.map(({ from, to }) => spanText(from, to)));
  return ` In bars ${where} long and short values were played where even ones are written (swing).`;
}

/** That some are written where their players read them, where any is. */
function octavesText({ bars }: WrittenStage['reduced']): string {
  const isMoved = bars.some(({ staves }) =>
    staves.some(({ voices }) => voices.flat().some(({ heads }) => heads.some(({ sounds }) => sounds !== undefined))),
  );
  return isMoved ? '; a part named with 8vb or 8va sounds so far below or above what is written' : '';
}

/** Why choirs have staves of their own. */
function choirsText({ choirs }: WrittenStage['reduced']): string {
  if (choirs === undefined) return '';
  const why =
    choirs.by === 'settings'
      ? 'as the settings ask'
      : `because on two staves ${percentText(choirs.crowded)} of the bars would show more than two rhythms on a staff or go three ledger lines beyond it`;
  return ` Choirs have staves of their own, ${why}; a staff that rests for a whole line is left out of it.${choirs.by === 'settings' ? '' : ' Set “staves” in the settings to decide how many.'}`;
}

/** The score that proposed bars and tempos would give, without places of its own. */
function proposalOf({ published, singleFile }: StageContext): object | '' {
  const { proposal } = published;
  if (proposal === undefined) return '';
  const { systems } = shownSystems(proposal.score.systems, 'Proposed score');
  const placeless = { anchors: [], bars: [] };
  return {
    heading: 'A proposal: bars and tempos',
    text: proposalText(proposal),
    cautions: PROPOSAL_CAUTIONS,
    link: { href: singleFile ? packedName(TEMPO_PROPOSAL) : TEMPO_PROPOSAL, label: TEMPO_PROPOSAL },
    systems: systems.map((system) => ({
      ...system,
      ...placeless,
      narrow: system.narrow.map((picture) => ({ ...picture, ...placeless })),
    })),
  };
}

/** The section "Reduced score". */
export function scoreSection(context: StageContext): SheetSection {
  const { stage, written, score } = context.published;
  // A single file has the narrow lines of the current stage only; those of earlier ones are cut out of the long lines.
  const narrow = !context.singleFile || context.isCurrent;
  const { systems, placed } = context.memory.recall(
    'shown score',
    () => [score, narrow ? 'narrow' : 'wide', JSON.stringify(context.marks)],
    () => {
      const own = narrow ? score.systems : score.systems.map((system) => ({ ...system, narrow: [] }));
      return shownSystems(withShortLines(own, 'system'), 'Reduced score', context.marks);
    },
  );
  const notes = score.systems.map(({ fromBar, toBar }) => notesAbout(context, fromBar, toBar));
  const unplaced = stage.timeline.bars.map((bar) => bar.number).filter((number) => !placed.has(number));
  const doubtful = written.parts
    .filter((part) => part.doubtfulShare > 0.1)
    .map((part) => context.partName(part.partId));
  const intro =
    systems.length === 0
      ? 'There is no score to show: no part has a note.'
      : `All parts on ${counted(written.reduced.staves.length, 'staff', 'staves')}, at sounding pitch${octavesText(written.reduced)}. Doublings at the unison and the octave are written once and named under the system; an octave stands where it is the highest or lowest that sounds.${choirsText(written.reduced)}${swingText(written.swing)}`;
  const unsure = [
    ...(written.onGrid ? [] : [freeInShort(written.steadyBeat), HOW_TO_READ]),
    ...(doubtful.length === 0 ? [] : [`The written rhythm is doubtful in: ${doubtful.join(', ')}.`]),
    ...(systems.length > 0 && unplaced.length > 0 ? [`Not engraved: ${barsText(unplaced)}.`] : []),
  ];
  // A note over many bars stands where they begin.
  const withNotes = systems.map((system, index) => ({
    ...system,
    notes: (notes[index] ?? []).filter(({ href }) => !(notes[index - 1] ?? []).some((before) => before.href === href)),
  }));
  const steps = spreadSystems(withNotes, [intro, ...unsure], context.arrangement.paper);
  return {
    id: 'score',
    heading: 'Reduced score',
    partial: 'score.njk',
    downloads: context.singleFile
      ? []
      : scoreFiles(context.arrangement, context.published).map(({ path, label }) => ({ href: path, label })),
    body: {
      intro,
      unsure,
      unplaced,
      overview: overviewOf(context, (bar) => (placed.has(bar) ? `#bar-${String(bar)}` : '')),
      systems: withNotes.map((system, index) => ({ ...system, spread: steps[index] ?? 0 })),
      isLong: systems.length > MANY_SYSTEMS,
      fullScores: fullScoreLinks(context),
      proposal: proposalOf(context),
    },
  };
}
