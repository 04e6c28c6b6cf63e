/** A build that was written again from an archive. */
import type { Problem } from '../../problems/problem.ts';
import { OBJECTS } from '../../read/archive/archive-layout.ts';
import type { KeptFolder } from '../../read/archive/kept-build.ts';
import { archiveRemark } from '../../read/archive/read-archive.ts';

/** Folder in the restored dossier that holds the files of the build. */
export const KEPT_FOLDER = 'folder';

/** Said where the dossier is not what it was: another version of the program, or files that were not used then and told of. */
export function otherDossier({ build }: KeptFolder, archive: string): Problem {
  return archiveRemark(
    'restored-otherwise',
    `The files of build ${String(build.number)} are restored byte for byte, but this version of the program makes another dossier of them than was made then; what the pages showed then is in “${archive}/${OBJECTS}/${build.dossier}” (dossier.json).`,
  );
}
