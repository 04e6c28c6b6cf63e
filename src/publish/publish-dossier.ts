/** The last step: everything that was found out, as files. */
import type { Effects } from '../model/effects.ts';
import type { Memory } from '../model/memory.ts';
import { NO_MEMORY } from '../model/memory.ts';
import { sha256Of } from '../model/hashes.ts';
import { csvFiles } from './data/csv-tables.ts';
import { DOSSIER_JSON, dossierJson, dossierPieces, stagePieces, stageText } from './data/dossier-json.ts';
import { packedLinks, type UnpackedFile } from './data/packed-files.ts';
import { TEMPO_PROPOSAL, tempoProposalMidi } from './data/tempo-proposal-midi.ts';
import { glyphDefs } from '../draw/engrave/ink/glyph-table.ts';
import type { DossierInput, PublishedStage, StageTexts } from './dossier-input.ts';
import { SINGLE_FILE_NAME } from './dossier-names.ts';
import { scoreFiles } from './musicxml/score-files.ts';
import { renderPages, type RenderedPage } from './render/render-pages.ts';
import { joinPages } from './render/single-file.ts';
import { writeFolder, type AnyFile, type OutputFile } from './write-folder.ts';
import { stands, type WrittenDossier } from './output/written-dossier.ts';

export interface PublishTarget {
  /** Absolute path of the finished dossier. */
  readonly folder: string;
  /** True: all pages in one `dossier.html`, which travels alone; the data files stand beside it all the same. */
  readonly singleFile: boolean;
}

export interface PublishedDossier {
  /** Paths inside the folder, pages first. */
  readonly files: readonly string[];
  /** Size of all of them in bytes of UTF-8. */
  readonly bytes: number;
}

/** The proposal of a tempo map, where there is one. */
function proposalFiles(input: DossierInput): readonly UnpackedFile[] {
  const current = input.stages.at(-1);
  if (current?.proposal === undefined) return [];
  return [
    {
      path: TEMPO_PROPOSAL,
      mediaType: 'audio/midi',
      bytes: tempoProposalMidi(current.proposal, current.stage.timeline),
    },
  ];
}

/** The audio that a single file takes along. */
async function packedAudio({ audio = [] }: DossierInput): Promise<readonly UnpackedFile[]> {
  const files: UnpackedFile[] = [];
  for (const { path, mediaType, content } of audio.filter(({ fitsSingleFile }) => fitsSingleFile))
    files.push({ path, mediaType, bytes: await content() });
  return files;
}

/** `dossier.json`, the CSV tables and the scores: the same files, however the pages are given. `texts`: of each stage what is made already. */
export function dataFiles(
  input: DossierInput,
  memory: Memory = NO_MEMORY,
  texts: readonly (StageTexts | undefined)[] = [],
): readonly OutputFile[] {
  const { title, arranger } = input.arrangement;
  const textsOf = new Map(input.stages.map((stage, index) => [stage, texts[index]]));
  const textOf = (path: string, stage: PublishedStage, keys: readonly unknown[], make: () => string): string =>
    memory.recall(
      path,
      () => [stage, ...keys],
      () => textsOf.get(stage)?.get(path) ?? make(),
    );
  const fileOf = ({ path, content }: OutputFile, stage: PublishedStage, keys: readonly unknown[] = []): OutputFile => ({
    path,
    content: () => textOf(path, stage, keys, content),
  });
  const jsonOf = (stage: PublishedStage): string => textOf(DOSSIER_JSON, stage, [], () => stageText(stage));
  const isMadeAnew = (stage: PublishedStage): boolean => memory === NO_MEMORY && textsOf.get(stage) === undefined;
  return [
    {
      path: DOSSIER_JSON,
      content: () => dossierJson(input, jsonOf),
      pieces: () => dossierPieces(input, (stage) => (isMadeAnew(stage) ? stagePieces(stage) : [jsonOf(stage)])),
    },
    ...input.stages.flatMap((stage) => csvFiles(stage).map((file) => fileOf(file, stage))),
    ...input.stages.flatMap((stage) =>
      scoreFiles(input.arrangement, stage).map((file) => fileOf(file, stage, [title, arranger])),
    ),
  ];
}

/** The same files, each made once however often it is asked for. */
function madeOnce(files: readonly OutputFile[]): readonly OutputFile[] {
  return files.map(({ path, content }) => {
    let made: string | undefined;
    return { path, content: () => (made ??= content()) };
  });
}

function textOf(files: readonly OutputFile[]): (path: string) => string {
  const byPath = new Map(files.map((file) => [file.path, file]));
  return (path) => {
    const file = byPath.get(path);
    if (file === undefined) throw new Error(`there is no file ${path}`);
    return file.content();
  };
}

/** Lets go of a text once it is given: it is asked for when it is written. */
function givenOnce(text: string): () => string {
  let held: string | undefined = text;
  return () => {
    const given = held;
    if (given === undefined) throw new Error('a page was asked for twice');
    held = undefined;
    return given;
  };
}

/** The pages, or the one file that holds them, packed `data`, and the files `asTheyAre`. */
function pageFiles(
  pages: readonly RenderedPage[],
  input: DossierInput,
  singleFile: boolean,
  data: readonly OutputFile[],
  asTheyAre: readonly UnpackedFile[],
): readonly OutputFile[] {
  if (!singleFile) return pages.map(({ fileName, html }) => ({ path: fileName, content: givenOnce(html) }));
  const glyphs = [
    ...new Set(
      input.stages.flatMap(({ score, fullScores, pictures = [], proposal }) =>
        [
          score,
          ...fullScores.flatMap(({ pages }) => pages),
          ...pictures,
          ...(proposal === undefined ? [] : [proposal.score]),
        ].flatMap(({ glyphs }) => glyphs),
      ),
    ),
  ].sort();
  return [
    {
      path: SINGLE_FILE_NAME,
      content: () => joinPages(pages, glyphDefs(glyphs), packedLinks(input, textOf(data), asTheyAre)),
    },
  ];
}

/** A text in UTF-8 that is never held whole as text. */
function bytesOf(pieces: Iterable<string>): Uint8Array {
  const encoder = new TextEncoder();
  const encoded = Array.from(pieces, (piece) => encoder.encode(piece));
  const bytes = new Uint8Array(encoded.reduce((sum, { length }) => sum + length, 0));
  let from = 0;
  for (const piece of encoded) {
    bytes.set(piece, from);
    from += piece.length;
  }
  return bytes;
}

/** Writes files as the dossier in a folder. Returns what stands there then. */
async function writeDossier(
  files: readonly AnyFile[],
  folder: string,
  effects: Effects,
  memory: Memory,
): Promise<WrittenDossier> {
  const hashes = new Map<string, string>();
  const coded = (text: string) => {
    const bytes = new TextEncoder().encode(text);
    return { bytes, sha256: sha256Of(bytes) };
  };
  const hashed = files.map(({ path, content, pieces }) => ({
    path,
    content: async () => {
      const made = pieces === undefined ? await content() : bytesOf(pieces());
      const { bytes, sha256 } =
        typeof made === 'string'
          ? memory.renew('coded file', path, [made], () => coded(made))
          : { bytes: made, sha256: sha256Of(made) };
      hashes.set(path, sha256);
      return bytes;
    },
  }));
  const bytes = await writeFolder(hashed, folder, effects);
  return { files: files.map(({ path }) => ({ path, sha256: hashes.get(path) ?? '' })), bytes };
}

async function makeAndWrite(
  input: DossierInput,
  { folder, singleFile }: PublishTarget,
  effects: Effects,
  memory: Memory,
  others: readonly AnyFile[],
): Promise<WrittenDossier> {
  let pages: readonly RenderedPage[] | undefined = await renderPages(input, { singleFile }, effects, memory);
  const made = dataFiles(input, memory, await input.texts);
  const data = singleFile ? madeOnce(made) : made;
  const proposal = proposalFiles(input);
  const asTheyAre = singleFile ? [...proposal, ...(await packedAudio(input))] : [];
  const written = pageFiles(pages, input, singleFile, data, asTheyAre);
  pages = undefined;
  return writeDossier(
    [
      ...written,
      ...data,
      ...proposal.map(({ path, bytes }) => ({ path, content: () => bytes })),
      ...(input.audio ?? []),
      ...others,
    ],
    folder,
    effects,
    memory,
  );
}

/**
 * Writes the dossier into `target.folder`, whole or not at all; where the memory knows that it stands there already, nothing is made or
 * written. Throws an InputError (kind `usage`) where something stands there that is not ours or the disk refuses. `others`: files that lie in
 * the folder besides, of which no memory knows.
 */
export async function publishDossier(
  input: DossierInput,
  target: PublishTarget,
  effects: Effects,
  memory: Memory = NO_MEMORY,
  others: readonly AnyFile[] = [],
): Promise<PublishedDossier> {
  const { arrangement, history } = input;
  // Comparisons and rules are made from the stages and by the program.
  const keys = (): readonly unknown[] => [
    JSON.stringify({ arrangement: { ...arrangement, stages: [] }, history, singleFile: target.singleFile }),
    ...input.stages,
  ];
  // Only this function keeps anything for that purpose.
  const known = memory.find('written', keys) as WrittenDossier | undefined;
  const isThere = known !== undefined && (await stands(known, target.folder, effects.disk));
  const written = isThere ? known : await makeAndWrite(input, target, effects, memory, others);
  if (!isThere) memory.keep('written', keys, written);
  return { files: written.files.map(({ path }) => path), bytes: written.bytes };
}
