// Compiles the TypeScript sources into dist/ when they are newer than what is there, then runs the command line.
// Plain JavaScript, because Node 20 runs it as it is.
import { existsSync, mkdirSync, readFileSync, readdirSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

/** @param {string} folder @returns {number} newest modification time under the folder, in ms */
function newestUnder(folder) {
  let newest = 0;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    newest = Math.max(newest, entry.isDirectory() ? newestUnder(path) : statSync(path).mtimeMs);
  }
  return newest;
}

/**
 * Puts files into dist/, each whole at once, so that programs that are compiled or run at the same time see a whole one. Pieces that an earlier
 * program may still want to load stay.
 * @param {readonly import('esbuild').OutputFile[]} files
 */
function place(files) {
  const folder = join(root, 'dist');
  mkdirSync(folder, { recursive: true });
  for (const { path, contents } of files) {
    const partial = `${path}.${String(process.pid)}.partial`;
    writeFileSync(partial, contents);
    renameSync(partial, path);
  }
}

/** The browser script. @type {import('esbuild').BuildOptions & { write: false }} */
const CLIENT = {
  write: false,
  entryPoints: [join(root, 'src/client/client.ts')],
  outfile: join(root, 'dist', 'client.js'),
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2020',
  legalComments: 'none',
  logLevel: 'warning',
};

/** Decoders stay packages of their own: one of them is LGPL and must be replaceable, and they are loaded only where a recording asks for them. */
const DECODERS = [
  '@wasm-audio-decoders/flac',
  '@wasm-audio-decoders/ogg-vorbis',
  'codec-parser',
  'mpg123-decoder',
  'opus-decoder',
];

/** Command line, library and what the package offers. @type {import('esbuild').BuildOptions & { write: false }} */
const PROGRAM = {
  write: false,
  entryPoints: {
    cli: join(root, 'src/main.ts'),
    library: join(root, 'src/library.ts'),
    package: join(root, 'src/package.ts'),
    'stage-thread': join(root, 'src/commands/stage-thread.ts'),
  },
  outdir: join(root, 'dist'),
  bundle: true,
  splitting: true,
  platform: 'node',
  format: 'esm',
  target: 'node20',
  external: ['@11ty/eleventy', 'nunjucks', 'wasm-media-encoders', ...DECODERS],
  banner: {
    js: "import { createRequire as nodeCreateRequire } from 'node:module'; const require = nodeCreateRequire(import.meta.url);",
  },
  // Less to parse at every start; names stay, so that a stack trace can be read.
  minifySyntax: true,
  minifyWhitespace: true,
  legalComments: 'none',
  logLevel: 'warning',
};

/** Bundles the command line and the browser script into dist/ unless they are up to date. */
export async function compile() {
  const output = join(root, 'dist', 'cli.js');
  const sources = Math.max(
    newestUnder(join(root, 'src')),
    newestUnder(join(root, 'shared')),
    statSync(join(root, 'package.json')).mtimeMs,
  );
  if (existsSync(output) && statSync(output).mtimeMs > sources) return;
  const { build } = await import('esbuild');
  const [client, program] = await Promise.all([build(CLIENT), build(PROGRAM)]);
  // What is loaded by others comes before them, and last the file whose age is asked above.
  const rank = [/^chunk/, /^client|^stage/, /^library|^package/, /^cli/];
  const rankOf = (/** @type {string} */ path) => rank.findIndex((name) => name.test(basename(path)));
  place([...client.outputFiles, ...program.outputFiles].sort((a, b) => rankOf(a.path) - rankOf(b.path)));
}

/** Paths of all files that are bundled, relative to the repository. @returns {Promise<string[]>} */
export async function bundled() {
  const { build } = await import('esbuild');
  const results = await Promise.all(
    [CLIENT, PROGRAM].map((options) => build({ ...options, metafile: true, absWorkingDir: root })),
  );
  return results.flatMap(({ metafile }) => Object.keys(metafile.inputs));
}

/** Describes what the package offers, in types, beside its code. */
async function describe() {
  const { default: typescript } = await import('typescript');
  const source = readFileSync(join(root, 'src', 'package.ts'), 'utf8');
  const { outputText } = typescript.transpileDeclaration(source, { compilerOptions: { isolatedDeclarations: true } });
  writeFileSync(join(root, 'dist', 'package.d.ts'), outputText);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  // For a package dist/ is made anew, without pieces of earlier programs.
  if (process.argv[2] === '--fresh') rmSync(join(root, 'dist'), { recursive: true, force: true });
  await compile();
  if (process.argv[2] === '--fresh') await describe();
  if (process.argv[2] !== '--compile-only' && process.argv[2] !== '--fresh')
    await import(pathToFileURL(join(root, 'dist', 'cli.js')).href);
}
