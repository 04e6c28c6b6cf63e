/** The page "Files": everything that the dossier has to take along, and what each is for. */
import { posix } from 'node:path';
import { audioUse } from '../audio/audio-words.ts';
import { packedName, packedTablesName } from '../data/packed-files.ts';
import { TEMPO_PROPOSAL } from '../data/tempo-proposal-midi.ts';
import type { DossierInput } from '../dossier-input.ts';
import { scoreFiles } from '../musicxml/score-files.ts';
import { TABLE_NAMES } from '../data/csv-tables.ts';
import { numbersFileName } from './charts/numbers-page.ts';
import type { SheetSection } from './page-frame/sheet.ts';
import { tablePath } from '../data/chart-names.ts';
import { currentFirst, stageFileName } from './page-frame/stage-context.ts';

export const FILES_PAGE = 'files.html';

interface OfferedFile {
  /** '' for what is not to be taken along from here. */
  readonly href: string;
  readonly label: string;
  /** Name under which a browser keeps it; '' for a page. */
  readonly saveAs: string;
  readonly use: string;
}

/** Each table by the name that the section it belongs to gives it, and what it is for. */
const TABLES: Readonly<Record<string, readonly [label: string, use: string]>> = {
  register: ['Register', 'lowest, highest and mean pitch of every part in every bar'],
  spacing: ['Families', 'how high and low each family lies, bar by bar'],
  presence: ['Spans', 'from which bar to which every part sounds, how it enters and leaves'],
  events: ['Entries and exits', 'entries, exits and silences in order of time'],
  texture: ['Texture', 'how many parts sound together, step by step'],
  sections: ['Sections', 'section against section: parts, notes, levels'],
  balance: ['Balance', 'estimated levels of foreground, background and every part, bar by bar'],
  chords: ['Chords', 'chords with numerals, bar by bar'],
  'foreign-notes': ['Non-chord tones', 'non-chord tones and how they are heard'],
  ranges: ['Ranges', 'range of every part, sounding and written, beside its instrument’s'],
  playability: ['Playability', 'how every part lies for its player'],
  findings: ['Findings', 'all findings with bars, parts, advice and source'],
};

function offered(path: string, label: string, use: string, singleFile: boolean): OfferedFile {
  const href = singleFile ? packedName(path) : path;
  return { href, label, saveAs: posix.basename(href), use };
}

function stageFiles(input: DossierInput, index: number, singleFile: boolean): readonly OfferedFile[] {
  const published = input.stages[index];
  if (published === undefined) return [];
  const { id } = published.stage;
  const scores = scoreFiles(input.arrangement, published).map(({ path, label }) =>
    offered(
      path,
      label,
      path.endsWith('-full.musicxml')
        ? 'every part on its own staff, to be engraved, played or cut into parts'
        : 'all parts on a few staves, to read, play or rework',
      singleFile,
    ),
  );
  const numbers: OfferedFile = {
    href: numbersFileName(input.stages, index),
    label: 'Numbers',
    saveAs: '',
    use: 'the tables behind the charts, to read or to print',
  };
  const packed = packedTablesName(id);
  const tables = singleFile
    ? [
        {
          href: packed,
          label: 'All tables as CSV, in one ZIP',
          saveAs: posix.basename(packed),
          use: 'for a spreadsheet: one row a bar, span or finding',
        },
      ]
    : TABLE_NAMES.map((name) => {
        const [label, use] = TABLES[name] ?? [name, 'for a spreadsheet'];
        return offered(tablePath(id, name), `${label} as CSV`, use, false);
      });
  const proposal =
    published.proposal === undefined
      ? []
      : [
          offered(
            TEMPO_PROPOSAL,
            TEMPO_PROPOSAL,
            'bars and tempos proposed for playing without a click, with the notes: to be checked by ear',
            singleFile,
          ),
        ];
  const audio = (input.audio ?? [])
    .filter(({ stageId }) => stageId === id)
    .map((own): OfferedFile => ({
      // A single file holds it once, on the page of the stage.
      href: singleFile ? '' : own.path,
      label: 'Audio',
      saveAs: posix.basename(own.path),
      use: audioUse(own, singleFile),
    }));
  return [...scores, ...proposal, ...audio, numbers, ...tables];
}

/** The sections of the page: each stage, the current one first, then what is about all of them. */
export function filesSections(input: DossierInput, singleFile: boolean): readonly SheetSection[] {
  const stages = currentFirst(input.stages).map((index): SheetSection => {
    const { stage } = input.stages[index] ?? { stage: { id: '', title: '' } };
    return {
      id: `files-${stage.id}`,
      heading: `Stage ${String(index + 1)}: ${stage.title}`,
      partial: 'files.njk',
      downloads: [],
      body: {
        intro: '',
        page: { href: stageFileName(input.stages, index), label: 'The pages of this stage' },
        files: stageFiles(input, index, singleFile),
      },
    };
  });
  const whole = offered(
    'dossier.json',
    singleFile ? 'dossier.json (in a ZIP)' : 'dossier.json',
    'everything that the pages show, as data for programs; its form is described by a JSON Schema that comes with the program',
    singleFile,
  );
  return [
    ...stages,
    {
      id: 'files-all',
      heading: 'All stages',
      partial: 'files.njk',
      downloads: [],
      body: {
        intro: singleFile
          ? 'This file holds everything and can be mailed or kept alone. A link above saves what it names out of it.'
          : 'The pages of this folder belong together: whoever gets it gets the whole folder, or one file made with --single-file. What is printed leaves the numbers out; they are printed from their own pages.',
        page: { href: 'index.html', label: 'The current stage' },
        files: [whole],
      },
    },
  ];
}
