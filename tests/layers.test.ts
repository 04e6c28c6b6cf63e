import { readdirSync, readFileSync } from 'node:fs';
import { basename, dirname, join, posix, relative, resolve, sep } from 'node:path';
import { describe, expect, it } from 'vitest';

const SOURCE = resolve('src');

/** The flow, top to bottom: a folder imports only from itself, from those before it, and from the two that all may use. */
const FLOW = ['read', 'assemble', 'notate', 'analyse', 'advise', 'draw', 'publish'] as const;
const COMMON = ['problems', 'model'] as const;
/** What the page plays with and the build prepares: the one thing that page scripts share with the flow. It imports nothing. */
const SHARED_WITH_PAGES = 'sound';
/** Uses the whole flow; only the command line uses it. */
const COMMANDS = 'commands';

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(ts|mjs)$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
}

function layerOf(path: string): string {
  const parts = relative(SOURCE, path).split(/[\\/]/);
  return parts.length === 1 ? 'top' : (parts[0] ?? 'top');
}

/** Files that a file imports by a relative path. */
function importsOf(path: string): string[] {
  const text = readFileSync(path, 'utf8');
  const specifiers = [...text.matchAll(/(?:from|import)\s*\(?\s*['"](\.[^'"]+)['"]/g)].map((match) => match[1] ?? '');
  return specifiers.map((specifier) => resolve(dirname(path), specifier));
}

function foldersUnder(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(entry.parentPath, entry.name));
}

/** Folders of src that hold folders, and what lies in them: their rooms, and files beside these that use them all. */
function foldersWithRooms(): string[] {
  return foldersUnder(SOURCE).filter((folder) => roomsOf(folder).length > 0);
}

function roomsOf(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(folder, entry.name));
}

/** Which rooms of a folder each of its rooms imports from. */
function roomImports(folder: string): ReadonlyMap<string, readonly string[]> {
  const rooms = roomsOf(folder);
  const roomOf = (path: string): string | undefined => rooms.find((room) => path.startsWith(room + sep));
  return new Map(
    rooms.map((room) => [
      room,
      filesUnder(room)
        .flatMap((file) => importsOf(file).map(roomOf))
        .filter((other): other is string => other !== undefined && other !== room),
    ]),
  );
}

function allowed(from: string, to: string): boolean {
  if (from === 'top' || from === to) return true;
  if (from === COMMANDS) return to !== 'client';
  if (to === SHARED_WITH_PAGES) return from !== 'problems' && from !== 'model';
  if (from === 'problems' || from === 'client' || from === SHARED_WITH_PAGES) return false;
  if (to === 'problems') return true;
  if (from === 'model') return false;
  if (to === 'model') return true;
  const fromIndex = FLOW.findIndex((name) => name === from);
  const toIndex = FLOW.findIndex((name) => name === to);
  return fromIndex >= 0 && toIndex >= 0 && toIndex < fromIndex;
}

/** Files that lead back to themselves by their imports, types included (strongly connected components; R. Tarjan 1972). */
function circles(imports: ReadonlyMap<string, readonly string[]>): string[][] {
  const next = (file: string): readonly string[] => imports.get(file) ?? [];
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const stack: string[] = [];
  const found: string[][] = [];
  const visit = (file: string): number => {
    const own = order.size;
    order.set(file, own);
    lowest.set(file, own);
    stack.push(file);
    for (const target of next(file)) {
      if (!order.has(target)) lowest.set(file, Math.min(lowest.get(file) ?? own, visit(target)));
      else if (stack.includes(target)) lowest.set(file, Math.min(lowest.get(file) ?? own, order.get(target) ?? own));
    }
    const low = lowest.get(file) ?? own;
    if (low === own) {
      const circle = stack.splice(stack.indexOf(file));
      if (circle.length > 1) found.push(circle.map((path) => relative(SOURCE, path)));
    }
    return low;
  };
  for (const file of imports.keys()) if (!order.has(file)) visit(file);
  return found;
}

describe('the flow runs in one direction', () => {
  const files = filesUnder(SOURCE);

  it('finds the sources', () => {
    expect(files.length).toBeGreaterThan(20);
  });

  it.each(files.map((file) => posix.normalize(relative(SOURCE, file).replaceAll('\\', '/'))))(
    '%s imports nothing from below',
    (file) => {
      const path = join(SOURCE, file);
      const upward = importsOf(path)
        .filter((target) => target.startsWith(SOURCE))
        .filter((target) => !allowed(layerOf(path), layerOf(target)));
      expect(upward).toEqual([]);
    },
  );

  it('has no circle of files, not even of types', () => {
    const known = new Set(files);
    const imports = files.map((file): [string, string[]] => [
      file,
      importsOf(file).filter((target) => known.has(target)),
    ]);
    expect(circles(new Map(imports))).toEqual([]);
  });

  it.each(foldersWithRooms().map((folder) => relative(SOURCE, folder)))('the rooms of %s import one way', (folder) => {
    expect(circles(roomImports(join(SOURCE, folder)))).toEqual([]);
  });

  it.each(foldersWithRooms().map((folder) => relative(SOURCE, folder)))(
    'the README of %s names its rooms',
    (folder) => {
      const text = readFileSync(join(SOURCE, folder, 'README.md'), 'utf8');
      const unnamed = roomsOf(join(SOURCE, folder))
        .map((room) => basename(room))
        .filter((room) => !new RegExp(`^- \`(${room}|${room}/[a-z-]+)\`: `, 'm').test(text));
      expect(unnamed).toEqual([]);
    },
  );

  it('keeps a folder small enough to look through', () => {
    const large = ['.', ...foldersUnder(SOURCE).map((folder) => relative(SOURCE, folder))].filter(
      (folder) => readdirSync(join(SOURCE, folder)).filter((name) => name.endsWith('.ts')).length > 16,
    );
    expect(large).toEqual([]);
  });

  it.each(['assemble', 'notate', 'analyse', 'advise', 'draw', 'model', 'problems', 'sound'])(
    '%s touches neither disk, terminal, clock nor chance',
    (layer) => {
      const guilty = filesUnder(join(SOURCE, layer)).filter((file) =>
        /node:(fs|child_process|os|process)|Date\.now|new Date|Math\.random|console\./.test(readFileSync(file, 'utf8')),
      );
      expect(guilty).toEqual([]);
    },
  );

  it('names every folder of src', () => {
    const folders = readdirSync(SOURCE, { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(folders.map((entry) => entry.name).sort()).toEqual(
      [...FLOW, ...COMMON, SHARED_WITH_PAGES, COMMANDS, 'client'].sort(),
    );
  });
});
