/** The MusicXML files of a stage: which there are, where they stand, and what makes them. */
import type { WrittenNotes } from '../../model/music/written.ts';
import type { PublishedStage } from '../dossier-input.ts';
import type { ScoreCredits } from './xml/score-xml.ts';
import { fullScoreXml, reducedScoreXml } from './write-musicxml.ts';

interface ScoreFile {
  /** POSIX path inside the output folder. */
  readonly path: string;
  /** Of the link that leads to it. */
  readonly label: string;
  readonly content: () => string;
}

/** POSIX path inside the output folder. */
export function scorePath(stageId: string, kind: 'reduced' | 'full'): string {
  return `scores/${stageId}-${kind}.musicxml`;
}

/** The full score, of a stage that has parts and bars. */
export function fullScoreFiles(
  arrangement: ScoreCredits,
  { stage, written }: Pick<PublishedStage, 'stage'> & { readonly written: WrittenNotes },
): readonly ScoreFile[] {
  const full: ScoreFile = {
    path: scorePath(stage.id, 'full'),
    label: 'Full score as MusicXML, transposing instruments as written',
    content: () => fullScoreXml({ arrangement, stage, written }),
  };
  return stage.parts.length > 0 && stage.timeline.bars.length > 0 ? [full] : [];
}

/** Scores that have anything in them: none of a stage without bars, no reduced one where nothing has a pitch. */
export function scoreFiles(
  arrangement: ScoreCredits,
  { stage, written }: Pick<PublishedStage, 'stage' | 'written'>,
): readonly ScoreFile[] {
  const { staves, bars } = written.reduced;
  const reduced: ScoreFile = {
    path: scorePath(stage.id, 'reduced'),
    label: 'Reduced score as MusicXML',
    content: () => reducedScoreXml({ arrangement, stage, written }),
  };
  return [
    ...(staves.length > 0 && bars.length > 0 ? [reduced] : []),
    ...fullScoreFiles(arrangement, { stage, written }),
  ];
}
