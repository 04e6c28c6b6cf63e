/** The outside world, handed in: disk and terminal. No code but the command line makes one of these from the real thing. */

export interface DirectoryEntry {
  readonly name: string;
  readonly kind: 'file' | 'directory' | 'link' | 'other';
}

export interface FileStatus {
  readonly kind: 'file' | 'directory' | 'other';
  readonly bytes: number;
  /** Time of the last change in ms, where the disk knows it: for seeing that there was one, never for the output. */
  readonly modifiedMs?: number;
}

export interface Disk {
  /** Entries of a folder, unsorted; links are reported as links, not followed. Throws where it cannot be listed. */
  readonly list: (path: string) => Promise<readonly DirectoryEntry[]>;
  /** Status after following links; undefined where nothing is there. Throws where the disk fails. */
  readonly status: (path: string) => Promise<FileStatus | undefined>;
  /** Absolute path with every link resolved; undefined where nothing is there. */
  readonly realPath: (path: string) => Promise<string | undefined>;
  readonly read: (path: string) => Promise<Uint8Array>;
  /** `length` bytes of a file from `from` on; fewer where its end comes before. */
  readonly readPart: (path: string, from: number, length: number) => Promise<Uint8Array>;
  readonly write: (path: string, content: string | Uint8Array) => Promise<void>;
  /** Writes a file and returns once the disk has its bytes, so that they outlive a power cut. */
  readonly writeLasting: (path: string, content: string | Uint8Array) => Promise<void>;
  /** Returns once the disk has the names in a folder, new and changed ones, as far as it offers that. */
  readonly makeNamesLast: (folder: string) => Promise<void>;
  /** Writes a file that is not there yet; throws an InputError where something of that name is. */
  readonly create: (path: string, content: string) => Promise<void>;
  readonly makeFolder: (path: string) => Promise<void>;
  readonly rename: (from: string, to: string) => Promise<void>;
  /** Gives a file a second name, or copies it where the disk has no second names: a rename over the first leaves the second. */
  readonly keepCopy: (from: string, to: string) => Promise<void>;
  /** Removes a file or a whole folder; no error where it is absent. */
  readonly remove: (path: string) => Promise<void>;
  /** Removes a folder if nothing is in it; no error where something is, or where it is absent. */
  readonly removeEmptyFolder: (path: string) => Promise<void>;
}

export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly isInteractive: boolean;
}

/** Who is at work: for the names of what is unfinished only; never reaches the output. */
export interface Runs {
  /** A name for a piece of work that nothing else has, on this machine or another: digits, letters and hyphens. */
  readonly begin: () => string;
  readonly end: (run: string) => void;
  /**
   * True where the work of this name has ended, or was broken off with its program. False too where nobody here can know: on
   * another machine.
   */
  readonly isOver: (run: string) => boolean;
  /** True where the work of this name was begun on another machine. */
  readonly isElsewhere: (run: string) => boolean;
  /** Waits a moment for the work of others. */
  readonly wait: () => Promise<void>;
}

export interface Effects {
  /** Runs work with this folder as the working directory, for a library that reads what stands there and takes relative paths. */
  readonly standingIn: <T>(folder: string, work: () => Promise<T>) => Promise<T>;
  readonly disk: Disk;
  readonly terminal: Terminal;
  /** Absolute path of the package (holds `templates/`). */
  readonly packageRoot: string;
  /** Bundled browser script, one classic script. */
  readonly clientScript: string;
  readonly runs: Runs;
  /**
   * Runs work that leaves something half done where it is broken off. A wish to end the program is kept until the work has
   * ended, then granted; the work may ask whether there is one, and give up early.
   */
  readonly withoutInterruption: <T>(work: (isEndWanted: () => boolean) => Promise<T>) => Promise<T>;
}
