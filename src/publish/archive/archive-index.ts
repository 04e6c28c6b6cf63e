/** The page of an archive: its builds with everything that was kept of them, for a reader who has nothing but a browser. */
import type { ArchivedBuild } from '../../model/readings/archive.ts';
import { counted } from '../../model/words/plain-words.ts';
import { escapeXml } from '../../draw/svg.ts';
import { OBJECTS } from '../../read/archive/archive-layout.ts';
import { plainPage } from '../render/plain-page.ts';
import { folderHash } from '../imprint.ts';
import { differenceText, standingText } from '../page-data/changes/history-section.ts';

export interface ShownBuild extends ArchivedBuild {
  /** Markup of its picture, looked through by `isPicture`; '' where there is none. */
  readonly picture: string;
}

const OWN_STYLE = `
.archive { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1rem 4rem; }
.archive article { border-top: 1px solid; margin-top: 2rem; padding-top: 0.5rem; }
.archive table { border-collapse: collapse; margin: 0.5rem 0; }
.archive td, .archive th { text-align: left; padding: 0.2rem 1rem 0.2rem 0; vertical-align: top; }
.archive .piece-picture { margin: 0.5rem 0 1rem; }
.archive code { overflow-wrap: anywhere; font-size: 0.85em; }
`;

const USES = { stage: 'stage', settings: 'settings', notes: 'notes' } as const;

function objectLink(sha256: string, text: string, name: string): string {
  return `<a href="${OBJECTS}/${sha256}" download="${escapeXml(name)}">${escapeXml(text)}</a>`;
}

function lastName(path: string): string {
  return path.split('/').at(-1) ?? path;
}

/** What was done since the build before, in the sentences of the page of changes. */
function doneMarkup(done: readonly string[]): string {
  if (done.length === 0) return '';
  return `<h3>What was done since the build before</h3>
<ul class="done">
${done.map((sentence) => `<li><bdi>${escapeXml(sentence)}</bdi></li>`).join('\n')}
</ul>
`;
}

function buildArticle(build: ShownBuild, before: ShownBuild | undefined): string {
  const { number, title, date, newest, follows, files, stages, dossier, picture, done = [] } = build;
  const others = follows.length < 2 ? '' : ` It follows builds ${follows.join(' and ')}, which had grown apart.`;
  const facts = [
    ...(newest === undefined ? [] : [`Newest file of ${newest} (UTC).`]),
    ...(date === null ? [] : [`Date in the settings: ${date}.`]),
    `Folder ${folderHash(files)} (the first digits of a SHA-256 hash).`,
    `Files: ${differenceText(before?.files, files)}.${others}`,
    `Stages: ${stages.map((stage) => `${stage.title} (${counted(stage.bars, 'bar')}, ${counted(stage.parts, 'part')})`).join(', ')}.`,
    `${standingText(build)}.`,
  ];
  const rows = files.map(
    ({ path, use, sha256 }) =>
      `<tr><td>${objectLink(sha256, path, lastName(path))}</td><td>${USES[use]}</td><td><code>${sha256}</code></td></tr>`,
  );
  return `<article id="build-${String(number)}">
<h2>Build ${String(number)}: <bdi>${escapeXml(title)}</bdi></h2>
${picture}
${doneMarkup(done)}<ul>
${facts.map((fact) => `<li>${escapeXml(fact)}</li>`).join('\n')}
</ul>
<details><summary>What was kept of it</summary>
<table>
<thead><tr><th scope="col">File</th><th scope="col">Used as</th><th scope="col">SHA-256, and its name in “${OBJECTS}”</th></tr></thead>
<tbody>
${rows.join('\n')}
<tr><td>${objectLink(dossier, 'dossier.json', 'dossier.json')}</td><td>all that the pages showed</td><td><code>${dossier}</code></td></tr>
</tbody>
</table>
</details>
</article>`;
}

/** The page as text, the newest build first; `style`: the style sheets of the dossier's pages. The same builds give the same bytes. */
export function archiveIndex(builds: readonly ShownBuild[], style: string): string {
  const byNumber = new Map(builds.map((build) => [build.number, build]));
  const css = style + OWN_STYLE;
  const title = `Archive: ${builds.at(-1)?.title ?? ''}`;
  const articles = [...builds].reverse().map((build) => buildArticle(build, byNumber.get(build.follows[0] ?? -1)));
  const body = `<main class="archive">
<h1><bdi>${escapeXml(title)}</bdi></h1>
<p>${counted(builds.length, 'build')}${builds.length === 1 ? '' : ', the newest first'}. Every file lies under its SHA-256 in the folder “${OBJECTS}”: a copy of it under the name given here is the file as it was, byte for byte. “arrangement-dossier build FOLDER --from-archive NUMBER” writes the folder and the dossier of a build again.</p>
${articles.join('\n')}
</main>`;
  return plainPage({ title, css, body, script: '' });
}
