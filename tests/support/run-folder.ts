/** The one folder of a test run: temporary files of all its tests and the unpacked browser. Another run has another. */
const VARIABLE = 'DOSSIER_TEST_RUN';

export function setRunFolder(folder: string): void {
  process.env[VARIABLE] = folder;
}

/** Throws where no run has begun. */
export function runFolder(): string {
  const folder = process.env[VARIABLE];
  if (folder === undefined) throw new Error('the global setup has made no folder for this run');
  return folder;
}
