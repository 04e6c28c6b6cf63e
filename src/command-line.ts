/**
 * The command line, described once: the tables make the parser, `--help` and the README's list.
 */
import { parseArgs } from 'node:util';
import type { FindingLevel } from './model/readings/readings.ts';
import type { InputError } from './problems/problem.ts';
import { usageError } from './problems/problem.ts';
import { nearestName } from './problems/nearest-name.ts';
import type { Share } from './publish/shelf/shelf-entry.ts';

export type CommandName = 'build' | 'watch' | 'check' | 'start' | 'shelf';

export interface OptionRecord {
  readonly name: string;
  /** Placeholder of its argument; none for a switch. */
  readonly argument?: string;
  readonly help: string;
  readonly commands: readonly CommandName[];
}

export const COMMANDS: Readonly<Record<CommandName, string>> = {
  build: 'read the folder and write the dossier',
  watch: 'build, build again whenever the folder changes, and reload the pages that are open',
  check: 'read the folder and print the findings, without writing a dossier',
  start: 'write a commented dossier.yaml into the folder, filled in with what the MIDI shows',
  shelf: 'build the dossiers of all folders below ROOT that hold MIDI and have changed, and an index over them',
};

export const OPTIONS: readonly OptionRecord[] = [
  {
    name: 'out',
    argument: 'DIR',
    help: 'where the dossier goes (default: the folder “dossier” inside FOLDER or ROOT)',
    commands: ['build', 'watch', 'shelf'],
  },
  {
    name: 'single-file',
    help: 'write one self-contained dossier.html instead of a page a stage',
    commands: ['build'],
  },
  {
    name: 'archive',
    help: 'keep every build in a folder beside the dossier (its name and “-archive”) and show stages whose export is gone',
    commands: ['build'],
  },
  {
    name: 'from-archive',
    argument: 'NUMBER',
    help: 'write a build that the archive kept again, with its files, into a folder beside the dossier (its name and “-build-NUMBER”)',
    commands: ['build'],
  },
  {
    name: 'stage',
    argument: 'NAME',
    help: 'the arrangement as it stood at this stage; later ones are left out (title, file name or number)',
    commands: ['build', 'watch', 'check'],
  },
  {
    name: 'level',
    argument: 'LEVEL',
    help: 'exit with 1 where a finding of this level or above stands: fix (must fix), look (to check) or note (for information); default: fix',
    commands: ['check'],
  },
  {
    name: 'open',
    help: 'print what is still open instead, in order of bars: questions, findings nobody answered, answers since the last build',
    commands: ['check'],
  },
  {
    name: 'port',
    argument: 'NUMBER',
    help: 'port of this machine under which the pages are shown (default: any that is free)',
    commands: ['watch'],
  },
  {
    name: 'kept',
    argument: 'DIR',
    help: 'where results are kept for later builds, of any folder (default: the folder of your system for what can be made again)',
    commands: ['build', 'watch', 'check', 'shelf'],
  },
  {
    name: 'anew',
    help: 'work everything out anew: neither use nor keep results',
    commands: ['build', 'watch', 'check', 'shelf'],
  },
  {
    name: 'share',
    argument: 'N/M',
    help: 'do one of M equal shares only, as on one of M machines, into a folder of its own (default: “dossier-N-of-M” inside ROOT)',
    commands: ['shelf'],
  },
  {
    name: 'join',
    help: 'instead of a ROOT give the folders of all shares: copies their dossiers to --out, with one index over them',
    commands: ['shelf'],
  },
  { name: 'quiet', help: 'print problems only', commands: ['build', 'watch', 'check', 'start', 'shelf'] },
  {
    name: 'json',
    help: 'print the outcome as JSON on standard output',
    commands: ['build', 'check', 'start', 'shelf'],
  },
  { name: 'help', help: 'print this text', commands: ['build', 'watch', 'check', 'start', 'shelf'] },
];

export const EXIT_CODES: readonly (readonly [number, string])[] = [
  [0, 'done'],
  [1, 'findings at the asked level stand (check)'],
  [2, 'the command line or the settings are wrong, or a place cannot be written; the last good dossier stands'],
  [3, 'nothing usable was found in the folder; the last good dossier stands'],
  [70, 'internal error; please report it'],
];

/** What is to be done about results of earlier builds. */
export interface Keeping {
  /** The folder where they are kept, where the user states one. */
  readonly kept?: string;
  /** Use and keep none. */
  readonly anew: boolean;
}

/** What the user asked for. */
export type Request =
  | { readonly kind: 'help' }
  | (Keeping & {
      readonly kind: 'build';
      readonly folder: string;
      readonly out?: string;
      readonly singleFile: boolean;
      readonly archive: boolean;
      readonly fromArchive?: number;
      readonly stage?: string;
      readonly quiet: boolean;
      readonly json: boolean;
    })
  | (Keeping & {
      readonly kind: 'watch';
      readonly folder: string;
      readonly out?: string;
      readonly stage?: string;
      readonly port: number;
      readonly quiet: boolean;
    })
  | (Keeping & {
      readonly kind: 'check';
      readonly folder: string;
      readonly stage?: string;
      readonly level: FindingLevel;
      readonly open: boolean;
      readonly quiet: boolean;
      readonly json: boolean;
    })
  | (Keeping & {
      readonly kind: 'shelf';
      readonly root: string;
      readonly out?: string;
      readonly share?: Share;
      readonly quiet: boolean;
      readonly json: boolean;
    })
  | {
      readonly kind: 'join';
      readonly shares: readonly string[];
      readonly out: string;
      readonly quiet: boolean;
      readonly json: boolean;
    }
  | { readonly kind: 'start'; readonly folder: string; readonly quiet: boolean; readonly json: boolean };

function usage(message: string): InputError {
  return usageError('command-line', message);
}

/** Turns “did you mean” into words, or into nothing where no name is near. */
function hint(name: string, names: readonly string[], prefix = ''): string {
  const nearest = nearestName(name, names);
  return nearest === undefined ? '' : ` Did you mean “${prefix}${nearest}”?`;
}

function optionOf(argument: string): OptionRecord | undefined {
  const name = argument.slice(2).split('=')[0];
  return OPTIONS.find((option) => option.name === name);
}

/** Explains in one sentence the first argument that the parser would not take. */
function checkOptionNames(command: CommandName, all: readonly string[]): void {
  // What follows “--” is a name, whatever it looks like.
  const end = all.indexOf('--');
  const args = end < 0 ? all : all.slice(0, end);
  const seen = new Set<string>();
  args.forEach((argument, index) => {
    if (argument === '-h' || !argument.startsWith('-') || argument === '-') return;
    const before = args[index - 1];
    const record = optionOf(argument);
    if (before?.startsWith('--') === true && !before.includes('=') && optionOf(before)?.argument !== undefined) {
      throw usage(`--${optionOf(before)?.name ?? ''} needs a ${optionOf(before)?.argument ?? ''} after it.`);
    }
    if (record === undefined || !argument.startsWith('--')) {
      const known = OPTIONS.filter((option) => option.commands.includes(command)).map((option) => option.name);
      throw usage(
        `There is no option “${argument}”.${hint(argument.replace(/^-+/, ''), known, '--')} See “arrangement-dossier --help”.`,
      );
    }
    if (!record.commands.includes(command)) {
      throw usage(`--${record.name} does not go with “${command}”, only with “${record.commands.join('” and “')}”.`);
    }
    if (seen.has(record.name)) throw usage(`--${record.name} is there twice: give it once.`);
    seen.add(record.name);
    if (record.argument === undefined && argument.includes('=')) {
      throw usage(`--${record.name} takes nothing after “=”.`);
    }
    if (record.argument !== undefined && !argument.includes('=') && args[index + 1] === undefined) {
      throw usage(`--${record.name} needs a ${record.argument} after it.`);
    }
  });
}

const LEVELS: readonly FindingLevel[] = ['fix', 'look', 'note'];

function isCommand(name: string): name is CommandName {
  return Object.hasOwn(COMMANDS, name);
}

function buildNumberOf(text: string | undefined): number | undefined {
  if (text === undefined || /^[1-9]\d{0,8}$/.test(text)) return text === undefined ? undefined : Number(text);
  throw usage(`--from-archive is the number of a build, from 1 on, not “${text}”.`);
}

const MOST_SHARES = 1000;

function shareFrom(text: string): Share {
  const [, number = 0, of = 0] = (/^(\d{1,4})\/(\d{1,4})$/.exec(text) ?? []).map(Number);
  if (number >= 1 && number <= of && of <= MOST_SHARES) return { number, of };
  throw usage(
    `--share is the number of a share and how many there are, as 3/8 (at most ${MOST_SHARES}), not “${text}”.`,
  );
}

const MOST_PORT = 65_535;

function portOf(text: string | undefined): number {
  const port = Number(text ?? '0');
  if (/^\d{1,5}$/.test(text ?? '0') && port <= MOST_PORT) return port;
  throw usage(`--port is a number from 0 to ${MOST_PORT}, not “${text ?? ''}”.`);
}

/**
 * Reads the arguments (without node and script). Throws an InputError of kind `usage` with one sentence where they
 * cannot be understood.
 */
export function parseCommandLine(args: readonly string[]): Request {
  if (args.length === 0 || args.includes('--help') || args.includes('-h') || args[0] === 'help')
    return { kind: 'help' };
  const [name = '', ...rest] = args;
  if (!isCommand(name)) {
    throw usage(`There is no command “${name}”.${hint(name, Object.keys(COMMANDS))} See “arrangement-dossier --help”.`);
  }
  checkOptionNames(name, rest);
  const { values, positionals } = parseArgs({
    args: rest,
    allowPositionals: true,
    options: {
      out: { type: 'string' },
      'single-file': { type: 'boolean' },
      archive: { type: 'boolean' },
      'from-archive': { type: 'string' },
      stage: { type: 'string' },
      level: { type: 'string' },
      open: { type: 'boolean' },
      port: { type: 'string' },
      kept: { type: 'string' },
      anew: { type: 'boolean' },
      share: { type: 'string' },
      join: { type: 'boolean' },
      quiet: { type: 'boolean' },
      json: { type: 'boolean' },
    },
  });
  const [folder, ...more] = positionals;
  if (folder === undefined || folder === '') {
    throw usage(`“${name}” needs the folder to read, for example “arrangement-dossier ${name} my-arrangement”.`);
  }
  const isJoin = values.join === true;
  if (more.length > 0 && !isJoin) {
    throw usage(`“${name}” reads one folder at a time; “${more.join('”, “')}” is too much (quote a name with spaces).`);
  }
  for (const option of ['out', 'stage', 'kept'] as const) {
    if (values[option] === '') throw usage(`--${option} needs a name that is not empty.`);
  }
  const plain = { folder, quiet: values.quiet ?? false, json: values.json ?? false };
  if (name === 'start') return { kind: 'start', ...plain };
  if (values.kept !== undefined && values.anew === true)
    throw usage('--kept says where results are kept, and --anew keeps none: give one of them.');
  const staged = {
    anew: values.anew ?? false,
    ...(values.kept === undefined ? {} : { kept: values.kept }),
    ...(values.stage === undefined ? {} : { stage: values.stage }),
  };
  if (name === 'watch') {
    return {
      kind: 'watch',
      folder,
      quiet: plain.quiet,
      port: portOf(values.port),
      ...staged,
      ...(values.out === undefined ? {} : { out: values.out }),
    };
  }
  if (name === 'shelf') {
    const { quiet, json } = plain;
    const place = values.out === undefined ? {} : { out: values.out };
    const share = values.share === undefined ? {} : { share: shareFrom(values.share) };
    if (!isJoin) return { kind: 'shelf', root: folder, quiet, json, ...staged, ...place, ...share };
    const beside = (['share', 'kept', 'anew'] as const).find((option) => values[option] !== undefined);
    if (beside !== undefined)
      throw usage(`--${beside} makes a share, and --join puts shares together: give one of them.`);
    if (values.out === undefined) throw usage('--join needs --out, the folder where all shares come together.');
    return { kind: 'join', shares: positionals, out: values.out, quiet, json };
  }
  const common = { ...plain, ...staged };
  if (name === 'build') {
    const fromArchive = buildNumberOf(values['from-archive']);
    if (fromArchive !== undefined && values.archive === true)
      throw usage('--from-archive reads what the archive has, and --archive adds to it: give one of them.');
    return {
      kind: 'build',
      ...common,
      ...(fromArchive === undefined ? {} : { fromArchive }),
      singleFile: values['single-file'] ?? false,
      archive: values.archive ?? false,
      ...(values.out === undefined ? {} : { out: values.out }),
    };
  }
  if (values.open === true && values.level !== undefined)
    throw usage('--open lists what is open whatever its level: leave --level out.');
  const level = LEVELS.find((candidate) => candidate === (values.level ?? 'fix'));
  if (level === undefined) throw usage(`--level is fix, look or note, not “${values.level ?? ''}”.`);
  return { kind: 'check', ...common, level, open: values.open ?? false };
}

/** The whole text of `--help`, made from the tables above. */
export function helpText(): string {
  const lines = [
    'arrangement-dossier: from a folder of MIDI sketches and notes to a dossier of the arrangement',
    '',
    'Usage',
    '  arrangement-dossier build FOLDER [--out DIR] [--single-file] [--archive | --from-archive NUMBER] [--stage NAME] [--kept DIR | --anew] [--quiet] [--json]',
    '  arrangement-dossier watch FOLDER [--out DIR] [--stage NAME] [--port NUMBER] [--kept DIR | --anew] [--quiet]',
    '  arrangement-dossier check FOLDER [--stage NAME] [--level LEVEL | --open] [--kept DIR | --anew] [--quiet] [--json]',
    '  arrangement-dossier start FOLDER [--quiet] [--json]',
    '  arrangement-dossier shelf ROOT [--out DIR] [--share N/M] [--kept DIR | --anew] [--quiet] [--json]',
    '  arrangement-dossier shelf --join DIR... --out DIR [--quiet] [--json]',
    '',
    'Commands',
    ...Object.entries(COMMANDS).map(([name, help]) => `  ${name.padEnd(20)} ${help}`),
    '',
    'Options',
    ...OPTIONS.map((option) => {
      const left = `--${option.name}${option.argument === undefined ? '' : ` ${option.argument}`}`;
      return `  ${left.padEnd(20)} ${option.help}`;
    }),
    '',
    'The folder',
    '  A stage of the arrangement is one .mid, .midi or .smf file, or a subfolder with one file a part;',
    '  stages follow in natural order of their names, and the last one is the current stage.',
    '  Optional: dossier.yaml (settings) and .md files (notes). The folder is only read; “start” alone adds',
    '  a file to it, and never over one that is there.',
    '',
    'Exit codes',
    ...EXIT_CODES.map(([code, help]) => `  ${String(code).padEnd(20)} ${help}`),
    '',
    'Example',
    '  arrangement-dossier build my-arrangement --single-file',
  ];
  return `${lines.join('\n')}\n`;
}
