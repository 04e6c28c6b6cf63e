/** Builds that were kept, oldest first. */

export interface ArchivedFile {
  /** POSIX path relative to the input folder. */
  readonly path: string;
  readonly sha256: string;
  readonly use: 'stage' | 'settings' | 'notes';
}

export interface ArchivedStage {
  readonly title: string;
  readonly bars: number;
  readonly parts: number;
  readonly seconds: number;
  /** Findings that stood, by level. */
  readonly findings: { readonly fix: number; readonly look: number; readonly note: number };
}

/** One build: what was in the folder, and what came of it. */
export interface ArchivedBuild {
  /** Its place among the builds that the archive has, from 1. */
  readonly number: number;
  /** Numbers of the builds it was made after: one, or several where lines that had grown apart come together. */
  readonly follows: readonly number[];
  readonly title: string;
  /** As the settings had it; the program reads no clock. */
  readonly date: string | null;
  /** Every file that was used, in order of path. */
  readonly files: readonly ArchivedFile[];
  readonly stages: readonly ArchivedStage[];
  /** Day of the newest of the files, in universal time, as the disk had it; the dossier itself never shows it. */
  readonly newest?: string;
  /** What was done to the music since the build before, in sentences; absent of the first build and of those that did not ask. */
  readonly done?: readonly string[];
  /** Hash of the picture of the whole piece. */
  readonly picture?: string;
  /** Hash of the `dossier.json` of the build. */
  readonly dossier: string;
}

/** A build as the dossier itself shows it: without what only the archive knows of it. */
export type KeptBuild = Omit<ArchivedBuild, 'dossier' | 'newest' | 'picture' | 'done'>;
