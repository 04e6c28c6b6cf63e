/** How the folder was read and measured: files, repairs, assumptions, lateness, what was set aside. */
import { audioSentences } from '../../audio/audio-words.ts';
import { counted } from '../../../model/words/plain-words.ts';
import { quoted } from '../../../read/clean-text.ts';
import { placeOf } from '../../../problems/problem.ts';
import type { FileUse, Part } from '../../../model/music/arrangement.ts';
import { differenceText, questionName, standingOfQuestion } from '../../answers/standing.ts';
import { questionsOf } from '../../questions.ts';
import { folderQuestion, FOLDER_QUESTIONS } from '../glance/asked.ts';
import { decimalText } from '../../numbers-and-names.ts';
import { noteLink } from '../page-frame/notes-section.ts';
import { cell, firstRows, type LinkedTable, type SheetSection } from '../page-frame/sheet.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

const USES: Readonly<Record<FileUse, string>> = {
  stage: 'a stage',
  settings: 'settings',
  notes: 'notes',
  audio: 'audio of a stage',
  'not used': 'not used',
};

const RECOGNISED_BY: Readonly<Record<Part['recognisedBy'], string>> = {
  settings: 'the settings',
  name: "the track's name",
  note: 'a note',
  program: 'the program number',
  channel: 'the percussion channel',
  none: 'nothing',
};

const DYNAMICS: Readonly<Record<Part['dynamics'], string>> = {
  velocity: 'velocity',
  cc1: 'controller 1',
  cc2: 'controller 2',
  cc11: 'controller 11',
};

function partTable(context: StageContext): LinkedTable {
  const rows = context.published.stage.parts.map((part) => [
    cell(part.name),
    cell(
      part.tracks
        .map(
          (track) => `${track.file}, track ${String(track.track)}${track.name === '' ? '' : ` ${quoted(track.name)}`}`,
        )
        .join('; '),
    ),
    cell(`${part.instrumentName}, by ${RECOGNISED_BY[part.recognisedBy]}`),
    cell(String(part.notes.length)),
    cell(DYNAMICS[part.dynamics]),
    cell(decimalText(part.latenessMs.median, 0)),
    cell(decimalText(part.latenessMs.spread, 0)),
  ]);
  return {
    caption: 'How each part was read',
    columns: [
      { label: 'Part', isNumeric: false },
      { label: 'Tracks', isNumeric: false },
      { label: 'Instrument', isNumeric: false },
      { label: 'Notes', isNumeric: true },
      { label: 'Dynamics from', isNumeric: false },
      { label: 'Late by (ms)', isNumeric: true },
      { label: 'Spread (ms)', isNumeric: true },
    ],
    rows,
    remark: '',
  };
}

function controlTable(context: StageContext): LinkedTable {
  const rows = context.published.stage.parts.flatMap((part) => {
    const byReason = new Map<string, { count: number; keys: Set<number> }>();
    for (const note of part.controlNotes) {
      const group = byReason.get(note.reason) ?? { count: 0, keys: new Set<number>() };
      group.count += 1;
      group.keys.add(note.midi);
      byReason.set(note.reason, group);
    }
    return [...byReason].map(([reason, group]) => [
      cell(part.name),
      cell(String(group.count)),
      cell([...group.keys].sort((a, b) => a - b).join(', ')),
      cell(reason),
    ]);
  });
  return {
    caption: 'Notes that were set aside as control and not as music',
    columns: [
      { label: 'Part', isNumeric: false },
      { label: 'Notes', isNumeric: true },
      { label: 'MIDI keys', isNumeric: true },
      { label: 'Why', isNumeric: false },
    ],
    rows,
    remark: '',
  };
}

/** The section "How this folder was read and measured". */
export function readingSection(context: StageContext): SheetSection {
  const { arrangement, published } = context;
  const problems = arrangement.problems.map((problem) => ({
    place: placeOf(problem),
    message: problem.message,
    isRefusal: problem.kind !== 'remark',
  }));
  const files = arrangement.files.map((file) => ({
    path: file.path,
    use: USES[file.use],
    shortHash: file.sha256.slice(0, 12),
    hash: file.sha256,
  }));
  const refused = problems.filter((problem) => problem.isRefusal).length;
  return {
    id: 'reading',
    heading: 'How this folder was read and measured',
    partial: 'reading.njk',
    downloads: context.singleFile ? [] : [{ href: 'dossier.json', label: 'Everything as JSON' }],
    body: {
      intro: `${counted(files.length, 'file')} in the folder${
        problems.length === 0
          ? ', read without a warning.'
          : `; ${[...(refused < problems.length ? [counted(problems.length - refused, 'warning')] : []), ...(refused > 0 ? [counted(refused, 'rejected file')] : [])].join(', ')}.`
      } Times are as performed; before anything was written down, each part's own lateness was taken out.`,
      problems: firstRows(problems, 'dossier.json'),
      assumptions: arrangement.assumptions,
      questionsId: FOLDER_QUESTIONS,
      questions: questionsOf(published).map((question, index) => {
        const standing = standingOfQuestion(question, arrangement.memos);
        return {
          id: folderQuestion(index),
          name: questionName(question),
          text: question.text,
          answered: standing.kind === 'answered' ? `Answered by ${standing.by}.` : differenceText(standing),
          notes: standing.answers.map((memo) => noteLink(context, memo)),
        };
      }),
      audio: context.audio === undefined ? [] : audioSentences(context.audio, context.singleFile),
      remarks: published.written.remarks,
      files: firstRows(files, 'dossier.json'),
      parts: partTable(context),
      controls: controlTable(context),
      limits: Object.entries(arrangement.limits).map(([rule, limit]) => `${rule}: ${String(limit)}`),
    },
  };
}
