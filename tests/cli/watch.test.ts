/** `watch`: what is built anew and what is recalled, what is shown and to whom, and how it ends. */
import { spawn } from 'node:child_process';
import { cpSync, mkdirSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { basename, join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { buildDossier } from '../../src/build.ts';
import { foldersIn, folderState } from '../../src/commands/folder-state.ts';
import { roundMemory } from '../../src/commands/round-memory.ts';
import type { WatchEffects } from '../../src/commands/watch-effects.ts';
import { answerRequest, withReload } from '../../src/commands/watch-site.ts';
import type { Site, SiteAnswer, SiteRequest } from '../../src/commands/watch-site.ts';
import type { WatchNews } from '../../src/commands/watch.ts';
import { watchFolder } from '../../src/commands/watch.ts';
import { counting } from '../support/counting.ts';
import { openBrowser } from '../support/browser.ts';
import { scratchFolder, testEffects } from '../support/effects.ts';
import { contentsUnder } from '../support/files-under.ts';
import { generatedMidi } from '../support/generated-folder.ts';
import { runCli } from '../support/run-cli.ts';

function threeStages(): string {
  const folder = join(scratchFolder(), 'piece');
  mkdirSync(folder);
  for (const stage of [1, 2, 3]) writeFileSync(join(folder, `0${String(stage)} s.mid`), generatedMidi(6, stage));
  return folder;
}

describe('a memory that reaches from one build to the next', () => {
  it('makes a thing once for equal keys, and anew for others', () => {
    const memory = roundMemory();
    const stage = {};
    let made = 0;
    const recall = (purpose: string, ...keys: unknown[]): number =>
      memory.recall(
        purpose,
        () => keys,
        () => ++made,
      );
    expect([recall('page', 'a', stage), recall('page', 'a', stage)]).toEqual([1, 1]);
    expect([recall('page', 'b', stage), recall('page', 'a', {}), recall('score', 'a', stage)]).toEqual([2, 3, 4]);
    expect(recall('page', 'a')).toBe(5);
  });

  it('forgets what the last round did not ask for', () => {
    const memory = roundMemory();
    let made = 0;
    const recall = (key: string): number =>
      memory.recall(
        'x',
        () => [key],
        () => ++made,
      );
    recall('old');
    memory.endRound();
    recall('new');
    memory.endRound();
    expect(recall('new')).toBe(2);
    expect(recall('old')).toBe(3);
  });

  it('renews what stands in a place only where what it is made from says something else, and takes over what stays the same', () => {
    const memory = roundMemory();
    let made = 0;
    const bars = (from: unknown, count = 2): readonly { readonly bars: number }[] =>
      memory.renew('bars', 'stage 1', [from], () => {
        made++;
        return [{ bars: count }];
      });
    const first = bars({ file: ['a'] });
    memory.endRound();
    expect([bars({ file: ['a'] }), made]).toEqual([first, 1]);
    memory.endRound();
    // Another file with as many bars, then one with more.
    expect(bars({ file: ['b'] })).toBe(first);
    expect([bars({ file: ['c'] }, 3), made]).toEqual([[{ bars: 3 }], 3]);
    memory.endRound();
    memory.endRound();
    expect([bars({ file: ['c'] }, 3), made]).toEqual([[{ bars: 3 }], 4]);
  });
});

describe('building again after one changed file', () => {
  it('notates that stage alone, compares it alone, lays out its scores alone, and writes what a fresh build writes', async () => {
    const folder = threeStages();
    const out = join(scratchFolder(), 'watched');
    const { memory, made } = counting(roundMemory());
    const build = (): Promise<unknown> => buildDossier({ folder, out, singleFile: false, memory }, testEffects());
    await build();
    expect(made.get('judged')).toBe(3);
    expect([made.get('midi file'), made.get('tracks'), made.get('finished stage')]).toEqual([3, 3, 3]);
    const sections = made.get('shown section') ?? 0;
    memory.endRound();
    made.clear();
    writeFileSync(join(folder, '03 s.mid'), generatedMidi(6, 3, 77));
    await build();
    expect([made.get('judged'), made.get('engraving')]).toEqual([1, 1]);
    expect([made.get('midi file'), made.get('tracks'), made.get('finished stage')]).toEqual([1, 1, 1]);
    // Those of the first two stages stay but for where they stand among the others.
    expect(made.get('shown section')).toBeLessThan(sections / 2);
    expect(made.get('dossier.json')).toBe(1);
    expect(made.get('scores/stage-01-s-full.musicxml')).toBeUndefined();
    expect(made.get('scores/stage-03-s-full.musicxml')).toBe(1);
    // Of the three pairs of stages the two that the third is in.
    expect([made.get('comparison'), made.get('told step')]).toEqual([2, 2]);
    expect([made.get('shown score'), made.get('shown full score')]).toEqual([1, 2]);
    expect(made.get('templates')).toBeUndefined();
    const fresh = join(scratchFolder(), 'fresh');
    await buildDossier({ folder, out: fresh, singleFile: false }, testEffects());
    expect(contentsUnder(out)).toEqual(contentsUnder(fresh));
  });

  it('leaves the notes of every stage as they are where somebody else leads, and writes what a fresh build writes', async () => {
    const folder = threeStages();
    const out = join(scratchFolder(), 'watched');
    const { memory, made } = counting(roundMemory());
    const build = async (): Promise<void> => {
      made.clear();
      await buildDossier({ folder, out, singleFile: false, memory }, testEffects());
      memory.endRound();
    };
    await build();
    expect(made.get('notes')).toBe(3);
    // A round in which nobody needs them does not forget them.
    await build();
    expect([made.get('judged'), made.get('notes')]).toEqual([undefined, undefined]);
    writeFileSync(join(folder, 'dossier.yaml'), 'foreground: Violin I\n');
    await build();
    expect([made.get('judged'), made.get('engraving'), made.get('notes')]).toEqual([2, 2, undefined]);
    const fresh = join(scratchFolder(), 'fresh');
    await buildDossier({ folder, out: fresh, singleFile: false }, testEffects());
    expect(contentsUnder(out)).toEqual(contentsUnder(fresh));
  });

  it.each([
    ['a title', 'title: Another\n'],
    ['an arranger', 'arranger: Somebody\n'],
    ['a limit', 'limits: {late-part: 5}\n'],
    ['sections', 'sections: [{name: First, bars: 1-2}, {name: Second, bars: 3-6}]\n'],
    ['paper', 'paper: letter\n'],
    ['a note about a stage', '# Stage 2, bar 2\n\nThe flute a third lower, as the singer asked.\n', 'note.md'],
    ['a note about the whole piece', '# Bars 2-4\n\nSlower.\n', 'note.md'],
  ])('forgets nothing that %s in the folder changes', async (_what, text, file = 'dossier.yaml') => {
    const folder = threeStages();
    const out = join(scratchFolder(), 'watched');
    const memory = roundMemory();
    await buildDossier({ folder, out, singleFile: false, memory }, testEffects());
    const first = contentsUnder(out);
    writeFileSync(join(folder, file), text);
    await buildDossier({ folder, out, singleFile: false, memory }, testEffects());
    const fresh = join(scratchFolder(), 'fresh');
    await buildDossier({ folder, out: fresh, singleFile: false }, testEffects());
    expect(contentsUnder(out)).toEqual(contentsUnder(fresh));
    expect(contentsUnder(out)).not.toEqual(first);
  });
});

describe('seeing that the folder has changed', () => {
  it('notices another size, another time, a new file, one that is gone, and not the dossier itself', async () => {
    const folder = threeStages();
    const { disk } = testEffects();
    const look = (): Promise<string> => folderState(folder, disk, [join(folder, 'dossier')]);
    const first = await look();
    expect(await look()).toBe(first);
    mkdirSync(join(folder, 'dossier'));
    writeFileSync(join(folder, 'dossier', 'index.html'), 'x');
    expect(await look()).toBe(first);
    writeFileSync(join(folder, 'note.md'), 'new');
    const second = await look();
    expect(second).not.toBe(first);
    writeFileSync(join(folder, 'note.md'), 'nex');
    const third = await look();
    expect(third).not.toBe(second);
    renameSync(join(folder, 'note.md'), join(folder, 'other.md'));
    expect(await look()).not.toBe(third);
  });

  it('looks for news in the folder and in those that hold the parts of a stage', async () => {
    const folder = threeStages();
    mkdirSync(join(folder, '04 parts'));
    writeFileSync(join(folder, '04 parts', 'horn.mid'), generatedMidi(6, 1));
    const state = await folderState(folder, testEffects().disk, []);
    expect(foldersIn(folder, state)).toEqual([folder, join(folder, '04 parts')]);
    expect(foldersIn(folder, '')).toEqual([folder]);
  });

  it('is not upset by a folder that has gone', async () => {
    expect(await folderState(join(scratchFolder(), 'none'), testEffects().disk, [])).toBe('');
  });
});

const PAGE =
  '<!DOCTYPE html><html lang="en"><head><meta http-equiv="Content-Security-Policy" content="default-src &#39;none&#39;; script-src &#39;sha256-x&#39;"><title>t</title></head><body><p>$& $1</p></body></html>';

describe('the dossier over HTTP', () => {
  const files: Readonly<Record<string, string>> = { 'index.html': PAGE, 'dossier.json': '{}', 'tables/a b.csv': 'x' };
  const site: Site = {
    port: 4000,
    secret: 'secret',
    files: new Set(Object.keys(files)),
    read: (path) => Promise.resolve(new TextEncoder().encode(files[path] ?? 'a secret')),
  };
  const ask = (request: Partial<SiteRequest>): Promise<SiteAnswer> =>
    answerRequest({ method: 'GET', target: '/secret/', host: '127.0.0.1:4000', ...request }, site);
  const statusOf = async (request: Partial<SiteRequest>): Promise<number> => {
    const answer = await ask(request);
    return answer.kind === 'whole' ? answer.status : 0;
  };

  it.each(['/', '/index.html', '/dossier.json', '/tables/a%20b.csv', '/index.html?x=1#bar-3'])(
    'shows %s',
    async (target) => {
      expect(await statusOf({ target: `/secret${target}` })).toBe(200);
    },
  );

  it.each([
    '/../dossier.yaml',
    '/%2e%2e/dossier.yaml',
    '/..%2fdossier.yaml',
    '//etc/passwd',
    '/tables',
    '/.arrangement-dossier',
    '/%',
    'http://elsewhere/index.html',
  ])('has no %s: only the files of the last build, by their exact names', async (target) => {
    expect(await statusOf({ target: `/secret${target}` })).toBe(404);
    expect(await statusOf({ target })).toBe(404);
  });

  // Other users of the machine reach the port as well.
  it.each(['/', '/index.html', '/secret', '/secre/', '/secrets/', '/SECRET/', '/other/index.html', '//secret/', '/.newer'])(
    'shows nothing under %s to whoever does not know the secret of the address',
    async (target) => {
      expect(await statusOf({ target })).toBe(404);
    },
  ); // prettier-ignore

  it('is shown on port 80 too, which browsers leave out of the name they call', async () => {
    const ask80 = (host: string): Promise<SiteAnswer> =>
      answerRequest({ method: 'GET', target: '/secret/', host }, { ...site, port: 80 });
    expect(await ask80('127.0.0.1')).toMatchObject({ status: 200 });
    expect(await ask80('localhost:80')).toMatchObject({ status: 200 });
    expect(await ask80('elsewhere.example')).toMatchObject({ status: 421 });
  });

  // A page elsewhere whose name is made to lead to 127.0.0.1 sends its own name as the host.
  it.each(['', 'elsewhere.example', 'elsewhere.example:4000', '127.0.0.1', '127.0.0.1:4001', '127.0.0.1.nip.example:4000'])(
    'answers nobody who calls it “%s”',
    async (host) => {
      expect(await statusOf({ host })).toBe(421);
      expect(await statusOf({ host, target: '/secret/.newer' })).toBe(421);
    },
  ); // prettier-ignore

  it.each(['POST', 'PUT', 'DELETE', 'OPTIONS', 'CONNECT'])('refuses %s', async (method) => {
    expect(await statusOf({ method })).toBe(405);
  });

  it('allows a page one more script and one connection, and leaves the rest of it alone', () => {
    const shown = withReload(PAGE);
    expect(shown).toContain('<p>$& $1</p>');
    expect(shown).toMatch(/script-src &#39;sha256-[^;]{40,}&#39; &#39;sha256-x&#39;; connect-src &#39;self&#39;"/);
    expect(shown).toContain('default-src &#39;none&#39;;'.replaceAll("'", '&#39;'));
    const added = shown.replace(/<script>[^]*?<\/script>\n/, '').replace(/content="[^"]*"/, '');
    expect(added).toBe(PAGE.replace(/content="[^"]*"/, ''));
  });

  it('gives data files as they are, and lets no other site frame, read or keep anything', async () => {
    const answer = await ask({ target: '/secret/dossier.json' });
    expect(answer).toMatchObject({
      body: new TextEncoder().encode('{}'),
      headers: {
        'Cache-Control': 'no-store',
        'X-Content-Type-Options': 'nosniff',
        'Cross-Origin-Resource-Policy': 'same-origin',
        'Content-Security-Policy': "frame-ancestors 'none'",
      },
    });
  });
});

interface Script {
  readonly news: WatchNews[];
  readonly announced: number[];
  readonly isClosed: () => boolean;
  /** What the site answers to a path. */
  readonly ask: (target: string) => Promise<SiteAnswer>;
  readonly run: Promise<void>;
}

/** What is done once a build was told of; `then` in the pause after that, whatever was told. */
interface Step {
  (): void;
  readonly then?: () => void;
}

/** A watch whose pauses run these steps, one after each build; the last step is followed by the wish to end. */
function watchWith(folder: string, steps: readonly Step[]): Script {
  const news: WatchNews[] = [];
  const announced: number[] = [];
  let isClosed = false;
  let isEndWanted = false;
  let next = 0;
  let then: (() => void) | undefined;
  let answer: (request: SiteRequest) => Promise<SiteAnswer> = () => Promise.reject(new Error('not open yet'));
  const ask = (target: string): Promise<SiteAnswer> => answer({ method: 'GET', target, host: '127.0.0.1:4000' });
  const effects: WatchEffects = {
    clockMs: () => 0,
    interruptible: (work) => work(),
    secret: () => 'secret',
    isEndWanted: () => isEndWanted,
    pause: () => {
      const more = then;
      then = undefined;
      more?.();
      // A step is taken once its build has been told of.
      if (news.length > next) {
        const step = steps[next++];
        if (step === undefined) isEndWanted = true;
        else step();
        then = step?.then;
      }
      return Promise.resolve();
    },
    change: () => Promise.resolve(),
    openSite: (_port, given) => {
      answer = given;
      return Promise.resolve({
        port: 4000,
        announce: (build) => announced.push(build),
        close: () => {
          isClosed = true;
          return Promise.resolve();
        },
      });
    },
  };
  const run = watchFolder({ folder, port: 0 }, testEffects(), effects, (one) => news.push(one));
  return { news, announced, isClosed: () => isClosed, ask, run };
}

describe('watching a folder', () => {
  it('builds at once, again after a change, and again after the next; then it ends and closes', async () => {
    const folder = threeStages();
    const script = watchWith(folder, [
      () => {
        writeFileSync(join(folder, '02 s.mid'), generatedMidi(6, 2, 9));
      },
      () => {
        writeFileSync(join(folder, 'a note.md'), '# Bar 2\n\nSlower.\n');
      },
    ]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['built', 'built', 'built']);
    expect(script.announced).toEqual([1, 2, 3]);
    expect(script.isClosed()).toBe(true);
    expect(readFileSync(join(folder, 'dossier', 'index.html'), 'utf8')).toContain('Slower.');
  });

  it('keeps the last good dossier while the settings are wrong, says so, and goes on when they are mended', async () => {
    const folder = threeStages();
    let good: ReadonlyMap<string, string> = new Map();
    const script = watchWith(folder, [
      () => {
        good = contentsUnder(join(folder, 'dossier'));
        writeFileSync(join(folder, 'dossier.yaml'), 'titel: x\n');
      },
      () => {
        expect(contentsUnder(join(folder, 'dossier'))).toEqual(good);
        writeFileSync(join(folder, 'dossier.yaml'), 'title: Mended\n');
      },
    ]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['built', 'refused', 'built']);
    expect(script.announced).toEqual([1, 2]);
    expect(readFileSync(join(folder, 'dossier', 'index.html'), 'utf8')).toContain('Mended');
  });

  it('keeps the last good dossier while one export of several is broken off, says so, and goes on when it is whole', async () => {
    const folder = threeStages();
    let good: ReadonlyMap<string, string> = new Map();
    const whole = generatedMidi(6, 2, 9);
    const stays = (): void => {
      expect(contentsUnder(join(folder, 'dossier'))).toEqual(good);
    };
    const script = watchWith(folder, [
      () => {
        good = contentsUnder(join(folder, 'dossier'));
        writeFileSync(join(folder, '02 s.mid'), whole.slice(0, whole.length / 2));
      },
      () => {
        stays();
        writeFileSync(join(folder, '02 s.mid'), '');
      },
      () => {
        stays();
        writeFileSync(join(folder, '02 s.mid'), whole);
      },
      () => {
        expect(contentsUnder(join(folder, 'dossier'))).not.toEqual(good);
        rmSync(join(folder, '02 s.mid'));
      },
    ]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['built', 'refused', 'refused', 'built', 'built']);
    for (const one of script.news) {
      if (one.kind !== 'refused') continue;
      expect(one.problems).toMatchObject([{ kind: 'refused', file: '02 s.mid' }]);
      expect(one.problems[0]?.message).toMatch(/^This export was whole .* export it again, or take it out[^\n]*\.$/);
    }
  });

  it('takes nothing that is written in two steps before it is whole', async () => {
    const folder = threeStages();
    const whole = generatedMidi(6, 2, 9);
    const halfMusic = Object.assign(
      () => {
        writeFileSync(join(folder, '02 s.mid'), whole.slice(0, whole.length / 2));
      },
      {
        then: () => {
          writeFileSync(join(folder, '02 s.mid'), whole);
        },
      },
    );
    const halfSettings = Object.assign(
      () => {
        writeFileSync(join(folder, 'dossier.yaml'), 'tit');
      },
      {
        then: () => {
          writeFileSync(join(folder, 'dossier.yaml'), 'title: Whole\n');
        },
      },
    );
    const script = watchWith(folder, [halfMusic, halfSettings]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['built', 'built', 'built']);
    const fresh = join(scratchFolder(), basename(folder));
    cpSync(folder, fresh, { recursive: true, filter: (path) => !path.endsWith('dossier') });
    expect((await runCli(['build', fresh, '--quiet'])).code).toBe(0);
    expect(contentsUnder(join(folder, 'dossier'))).toEqual(contentsUnder(join(fresh, 'dossier')));
  });

  it('builds an export that was never whole: its program may always write it so', async () => {
    const folder = threeStages();
    const whole = generatedMidi(6, 2, 9);
    writeFileSync(join(folder, '02 s.mid'), whole.slice(0, whole.length - 20));
    const script = watchWith(folder, [
      () => {
        writeFileSync(join(folder, '02 s.mid'), whole.slice(0, whole.length - 10));
      },
    ]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['built', 'built']);
  });

  it('shows no file that a link in the place of a page leads to', async () => {
    const folder = threeStages();
    const secret = join(scratchFolder(), 'secret.txt');
    writeFileSync(secret, 'a secret');
    const page = join(folder, 'dossier', 'index.html');
    const asked: Promise<SiteAnswer>[] = [];
    const script = watchWith(folder, [
      () => {
        asked.push(script.ask('/secret/'));
        writeFileSync(join(folder, 'note.md'), 'new');
      },
    ]);
    await script.run;
    rmSync(page);
    symlinkSync(secret, page);
    asked.push(script.ask('/secret/'));
    expect(await Promise.all(asked)).toMatchObject([{ status: 200 }, { status: 404 }]);
  });

  it('waits where nothing usable is there yet', async () => {
    const folder = scratchFolder();
    const script = watchWith(folder, [
      () => {
        writeFileSync(join(folder, '1.mid'), generatedMidi(4, 1));
      },
    ]);
    await script.run;
    expect(script.news.map(({ kind }) => kind)).toEqual(['refused', 'built']);
  });

  it('does not begin where the folder is not there or the output is somebody else’s', async () => {
    await expect(watchWith(join(scratchFolder(), 'none'), []).run).rejects.toThrow(/no folder/);
    const folder = threeStages();
    mkdirSync(join(folder, 'dossier'));
    writeFileSync(join(folder, 'dossier', 'mine.txt'), 'mine');
    const script = watchWith(folder, []);
    await expect(script.run).rejects.toThrow(/did not write/);
    expect(script.isClosed()).toBe(true);
  });
});

describe('the command', () => {
  it('shows the pages on this machine, reloads them after a change, and ends with 0 on an interrupt', async () => {
    const folder = threeStages();
    writeFileSync(join(folder, 'dossier.yaml'), 'title: Before\n');
    const child = spawn(process.execPath, [resolve('dist/cli.js'), 'watch', folder], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    const ended = new Promise<number | null>((done) => child.on('exit', done));
    let out = '';
    const address = await new Promise<string>((done) => {
      child.stdout.on('data', (chunk: Buffer) => {
        out += chunk.toString();
        const found = /http:\/\/127\.0\.0\.1:\d+\/[\w-]{24}\//.exec(out)?.[0];
        if (found !== undefined) done(found);
      });
    });
    const browser = await openBrowser();
    try {
      const page = await browser.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(error.message));
      await page.goto(address);
      expect(await page.title()).toBe('Before');
      writeFileSync(join(folder, 'dossier.yaml'), 'title: After\n');
      await page.waitForFunction(() => document.title === 'After');
      expect(complaints).toEqual([]);
    } finally {
      await browser.close();
      child.kill('SIGINT');
    }
    expect(await ended).toBe(0);
    const fresh = join(scratchFolder(), 'piece');
    cpSync(folder, fresh, { recursive: true, filter: (path) => !path.endsWith('dossier') });
    expect((await runCli(['build', fresh, '--quiet'])).code).toBe(0);
    expect(contentsUnder(join(folder, 'dossier'))).toEqual(contentsUnder(join(fresh, 'dossier')));
  });

  it('refuses a port that is taken, with one sentence and 2', async () => {
    const { createServer } = await import('node:http');
    const server = createServer();
    const port = await new Promise<number>((done) => {
      server.listen(0, '127.0.0.1', () => {
        const found = server.address();
        done(typeof found === 'object' && found !== null ? found.port : 0);
      });
    });
    const folder = threeStages();
    const result = await runCli(['watch', folder, '--port', String(port), '--quiet']);
    server.close();
    rmSync(folder, { recursive: true });
    expect(result.code).toBe(2);
    expect(result.err.trim()).toMatch(
      /^Port \d+ of this machine cannot be used because another program uses it[^\n]*$/,
    );
  });
});
