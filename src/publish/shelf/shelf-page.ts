/** The index over many dossiers, for a reader who has nothing but a browser: a row a piece, in the order of the folders. */
import { escapeXml } from '../../draw/svg.ts';
import { groupedBy } from '../../model/grouped.ts';
import { counted, listText, minutesText } from '../../model/words/plain-words.ts';
import { isPicture } from '../archive/archive-picture.ts';
import { plainPage } from '../render/plain-page.ts';
import { shareText, type BuiltEntry, type FailedEntry, type Shelf } from './shelf-entry.ts';

/** Where the dossiers lie, beside the index. */
export const PIECES = 'pieces';

const COLUMNS: readonly (readonly [label: string, isNumeric: boolean])[] = [
  ['Piece', false],
  ['Picture', false],
  ['To fix', true],
  ['To check', true],
  ['Questions', true],
  ['Answers', true],
  ['Newest stage', false],
  ['Bars', true],
  ['Length', false],
  ['Parts', false],
];

/** Where the counts begin among the columns. */
const FIRST_COUNT = 2;

const OWN_STYLE = `
.shelf .numbers-table { width: 100%; }
.shelf .numbers-table td, .shelf .numbers-table tbody th { vertical-align: top; padding: 0.5rem 0.7rem 0.5rem 0; }
.shelf .numbers-table thead th { padding-right: 0.7rem; white-space: nowrap; }
.shelf .numbers-table tbody th { min-width: 8rem; }
.shelf .numbers-table td.parts { min-width: 11rem; }
.shelf .shelf-small { display: block; font-weight: normal; font-size: 0.85em; color: var(--muted, #5f5c55); overflow-wrap: anywhere; }
.shelf .piece-stamp { width: 10rem; }
.shelf li { overflow-wrap: anywhere; }
.shelf .scroll + p { margin-top: 1rem; }
/* On a narrow screen each piece is a few lines of text under its picture, so that nothing hides at the side. */
@media screen and (max-width: 76rem) {
.shelf .numbers-table { min-width: 0; }
.shelf .scroll:has(> .numbers-table) { background: none; }
.shelf .numbers-table thead { display: none; }
.shelf .numbers-table tbody tr { display: block; padding: 0.6rem 0; border-bottom: 1px solid var(--rule); }
.shelf .numbers-table tbody th, .shelf .numbers-table tbody td { display: inline; border: 0; padding: 0; }
.shelf .numbers-table tbody th, .shelf .numbers-table td:nth-child(2), .shelf .numbers-table td.parts { display: block; }
.shelf .numbers-table .shelf-small { display: inline; margin-left: 0.6em; }
.shelf .numbers-table tbody td:nth-child(n + 4)::before { content: ' · '; }
.shelf .numbers-table tbody td.parts::before { content: none; }
${COLUMNS.map(([label, isNumeric], index) => (isNumeric ? `.shelf .numbers-table tbody td:nth-child(${String(index + 1)})::before { content: '${index === FIRST_COUNT ? '' : ' · '}${label.toLowerCase()}:\\a0'; }\n` : '')).join('')}}
`;

function text(untrusted: string): string {
  return `<bdi>${escapeXml(untrusted)}</bdi>`;
}

/** `Viola and Solo (violin) × 2`: each part by its name, with its instrument where the name does not say it. */
function partsText({ parts }: BuiltEntry): string {
  const labels = parts.map(({ name, instrument }) => {
    const isSaid = name.toLowerCase().includes(instrument.toLowerCase());
    return isSaid ? name : `${name} (${instrument})`;
  });
  const groups = [...groupedBy(labels, (label) => label)];
  return listText(groups.map(([label, { length }]) => (length === 1 ? label : `${label} × ${String(length)}`)));
}

function rowOf(entry: BuiltEntry): string {
  const { id, title, path, picture, findings, questions, answers, stage, stages, bars, seconds } = entry;
  const number = (count: number): string => `<td class="num">${String(count)}</td>`;
  return `<tr><th scope="row"><a href="${PIECES}/${id}/index.html">${text(title)}</a>${path === title ? '' : `<span class="shelf-small">${text(path)}</span>`}</th><td>${isPicture(picture) ? picture : ''}</td>${number(findings.fix)}${number(findings.look)}${number(questions)}${number(answers)}<td>${text(stage)}${stages > 1 ? `<span class="shelf-small">${counted(stages, 'stage')}</span>` : ''}</td>${number(bars)}<td>${minutesText(seconds)}</td><td class="parts">${text(partsText(entry))}</td></tr>`;
}

function tableOf(entries: readonly BuiltEntry[]): string {
  if (entries.length === 0) return '';
  const heads = COLUMNS.map(([label, isNumeric]) => `<th scope="col"${isNumeric ? ' class="num"' : ''}>${label}</th>`);
  const caption = 'Pieces in the order of their folders';
  return `<div class="scroll" tabindex="0" role="group" aria-label="${caption}">
<table class="numbers-table">
<caption>${caption}</caption>
<thead><tr>${heads.join('')}</tr></thead>
<tbody>
${entries.map(rowOf).join('\n')}
</tbody>
</table>
</div>
<p>Each picture is the newest stage in small: a band for each part, darker where it has the foreground; marks on top where the background is louder, an estimate from MIDI. All counts are about the newest stage; what stands is advice, and the musician decides.</p>
`;
}

function failedList(entries: readonly FailedEntry[]): string {
  if (entries.length === 0) return '';
  return `<section id="without">
<h2>Without a dossier</h2>
<ul>
${entries.map(({ path, sentence }) => `<li>${text(path)}: ${text(sentence)}</li>`).join('\n')}
</ul>
</section>
`;
}

/** What a reader must know before the table: that it is not all. */
function remarksOn({ share, missing = [], isUnfinished }: Shelf, failed: number): readonly string[] {
  return [
    ...(isUnfinished === true
      ? [
          'This index is not finished: the run that writes it has not come to its end. Run once more, it goes on where it stopped.',
        ]
      : []),
    ...(share === undefined ? [] : [`This is ${shareText(share)}: the others stand elsewhere until they are joined.`]),
    ...(missing.length === 0
      ? []
      : [
          `What is in ${missing.length === 1 ? 'share' : 'shares'} ${listText(missing.map(String))} is not here: it was not there when the others were joined.`,
        ]),
    ...(failed === 0
      ? []
      : [`<a href="#without">${counted(failed, 'folder')} without a dossier</a>, each with its reason.`]),
  ];
}

/** The page as text; `style`: the style sheets of the dossiers' pages, `script`: their script, which sorts and searches the table. */
export function shelfPage(shelf: Shelf, style: string, script: string): string {
  const built = shelf.entries.filter((entry) => entry.kind === 'built');
  const failed = shelf.entries.filter((entry) => entry.kind === 'failed');
  const title = `Dossiers of ${counted(built.length, 'piece')}`;
  const body = `<main class="shelf">
<h1>${title}</h1>
${remarksOn(shelf, failed.length)
  .map((remark) => `<p>${remark}</p>\n`)
  .join('')}${tableOf(built)}${failedList(failed)}</main>`;
  return plainPage({ title, css: style + OWN_STYLE, body, script });
}
