/** Name of the file that marks a folder as a dossier of ours: never read as input, and only such a folder is written over. */
export const OUTPUT_MARKER = '.arrangement-dossier';
