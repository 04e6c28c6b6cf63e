/** The files of a dossier as they travel inside a single file: packed, in links that hold their bytes (`data:`, RFC 2397). */
import { posix } from 'node:path';
import type { DossierInput } from '../dossier-input.ts';
import { scoreFiles } from '../musicxml/score-files.ts';
import { csvFiles } from './csv-tables.ts';
import { zipOf, type ZippedFile } from './zip.ts';

/** Media type of a compressed MusicXML score (W3C, MusicXML 4.0, “Compressed .MXL files”). */
const MXL = 'application/vnd.recordare.musicxml';
const ZIP = 'application/zip';

/** The one score of a compressed MusicXML file, with the container that names it (MusicXML 4.0, container.xsd). */
function mxlFiles(name: string, text: string): readonly ZippedFile[] {
  const container = `<?xml version="1.0" encoding="UTF-8"?>\n<container><rootfiles><rootfile full-path="${name}" media-type="${MXL}+xml"/></rootfiles></container>\n`;
  return [
    { path: 'META-INF/container.xml', text: container },
    { path: name, text },
  ];
}

function dataLink(type: string, files: readonly ZippedFile[]): string {
  return `data:${type};base64,${zipOf(files).toString('base64')}`;
}

/** Name of a score, a stage's tables, or the data export inside a single file. */
export function packedName(path: string): string {
  if (path === 'dossier.json') return 'packed/dossier-json.zip';
  return `packed/${posix.basename(path).replace(/\.musicxml$/, '.mxl')}`;
}

/** Name of the archive of a stage's tables. */
export function packedTablesName(stageId: string): string {
  return `packed/${stageId}-tables.zip`;
}

/** A file of the dossier that goes in as it is. */
export interface UnpackedFile {
  readonly path: string;
  readonly mediaType: string;
  readonly bytes: Uint8Array;
}

/** What stands under each name, as links; `textOf` gives the text of a file of the dossier by its path. */
export function packedLinks(
  input: DossierInput,
  textOf: (path: string) => string,
  others: readonly UnpackedFile[] = [],
): ReadonlyMap<string, string> {
  const ofStages = input.stages.flatMap((stage): readonly (readonly [string, string])[] => [
    ...scoreFiles(input.arrangement, stage).map(
      ({ path }) => [packedName(path), dataLink(MXL, mxlFiles(posix.basename(path), textOf(path)))] as const,
    ),
    [
      packedTablesName(stage.stage.id),
      dataLink(
        ZIP,
        csvFiles(stage).map(({ path }) => ({ path: posix.basename(path), text: textOf(path) })),
      ),
    ],
  ]);
  const asTheyAre = others.map(
    ({ path, mediaType, bytes }) =>
      [packedName(path), `data:${mediaType};base64,${Buffer.from(bytes).toString('base64')}`] as const,
  );
  const json = dataLink(ZIP, [{ path: 'dossier.json', text: textOf('dossier.json') }]);
  return new Map([...ofStages, ...asTheyAre, [packedName('dossier.json'), json]]);
}
