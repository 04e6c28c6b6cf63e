/** What reaches the port of `watch` from other programs and users of the machine, and how its work is ended. */
import { writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { OpenSite, WatchEffects } from '../../src/commands/watch-effects.ts';
import type { SiteAnswer } from '../../src/commands/watch-site.ts';
import { nodeWatchEffects } from '../../src/node-watch.ts';
import { scratchFolder } from '../support/effects.ts';

const PAGE: SiteAnswer = { kind: 'whole', status: 200, headers: {}, body: 'a page' };
const EVENTS: SiteAnswer = { kind: 'events', headers: {} };

const before = process.listeners('SIGINT');
const ours = (): number => process.listeners('SIGINT').filter((listener) => !before.includes(listener)).length;

let watch: WatchEffects | undefined;
const sites: OpenSite[] = [];

afterEach(async () => {
  for (const site of sites.splice(0)) await site.close();
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const)
    for (const listener of process.listeners(signal)) if (listener.name === 'note') process.off(signal, listener);
  watch = undefined;
});

async function opened(answer: () => Promise<SiteAnswer>): Promise<OpenSite> {
  watch ??= nodeWatchEffects();
  const site = await watch.openSite(0, answer);
  sites.push(site);
  return site;
}

/** All that comes back until the other side closes, or until `enough` has come. */
function saying(port: number, text: string, enough: (heard: string) => boolean = () => false): Promise<string> {
  return new Promise((done) => {
    const socket = connect(port, '127.0.0.1', () => socket.write(text));
    let heard = '';
    const end = (): void => {
      socket.destroy();
      done(heard);
    };
    socket.on('data', (bytes: Buffer) => {
      heard += bytes.toString();
      if (enough(heard)) end();
    });
    socket.on('error', end);
    socket.on('close', end);
  });
}

const REQUEST = 'GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n';

describe('a flood', () => {
  it('of requests before any answer ends with the connection, after a few were looked at', async () => {
    let looked = 0;
    const site = await opened(() => {
      looked++;
      return new Promise(() => undefined);
    });
    expect(await saying(site.port, REQUEST.repeat(5000))).toBe('');
    expect(looked).toBeLessThanOrEqual(4);
  });

  it('is not what a browser does: one request after the other on one connection', async () => {
    const site = await opened(() => Promise.resolve(PAGE));
    const answers = (heard: string): number => heard.split('a page').length - 1;
    const heard = await new Promise<string>((done) => {
      const socket = connect(site.port, '127.0.0.1', () => socket.write(REQUEST));
      let all = '';
      socket.on('data', (bytes: Buffer) => {
        all += bytes.toString();
        if (answers(all) < 20) {
          if (bytes.toString().includes('a page')) socket.write(REQUEST);
          return;
        }
        socket.destroy();
        done(all);
      });
    });
    expect(answers(heard)).toBe(20);
  });

  it('of header lines is refused', async () => {
    const site = await opened(() => Promise.resolve(PAGE));
    const long = `GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: ${'x'.repeat(20_000)}\r\n\r\n`;
    expect(await saying(site.port, long)).toContain('431');
  });

  it('of listeners leaves room for pages', async () => {
    const site = await opened(() => Promise.resolve(EVENTS));
    const open = Array.from({ length: 33 }, () => connect(site.port, '127.0.0.1'));
    const last = await new Promise<string>((done) => {
      let answered = 0;
      for (const socket of open) {
        socket.write(REQUEST);
        socket.once('data', (bytes: Buffer) => {
          const status = bytes.toString().slice(9, 12);
          if (status === '503') done(status);
          if (++answered === open.length) done(status);
        });
      }
    });
    for (const socket of open) socket.destroy();
    expect(last).toBe('503');
  });
});

describe('a wish to end', () => {
  it('is noted at rest, and left to the system while a dossier is built: a build may compute for minutes', async () => {
    watch = nodeWatchEffects();
    expect(ours()).toBe(1);
    await watch.interruptible(() => {
      expect(ours()).toBe(0);
      return Promise.resolve();
    });
    expect(ours()).toBe(1);
    await expect(watch.interruptible(() => Promise.reject(new Error('spoilt')))).rejects.toThrow('spoilt');
    expect(ours()).toBe(1);
  });
});

describe('waiting for a change', () => {
  it('ends with the first one that the system tells of, in any of the folders', async () => {
    watch = nodeWatchEffects();
    const folders = [scratchFolder(), scratchFolder()];
    for (const folder of folders) {
      const told = watch.change(folders, 3_600_000);
      writeFileSync(join(folder, 'export.mid'), 'x');
      await told;
    }
  });

  it('ends in time where nothing can be told of', async () => {
    watch = nodeWatchEffects();
    await watch.change([join(scratchFolder(), 'none')], 1);
    await watch.change([scratchFolder()], 1);
  });
});

describe('the secret of the address', () => {
  it('is another each time', () => {
    watch = nodeWatchEffects();
    const secrets = Array.from({ length: 100 }, () => watch?.secret() ?? '');
    expect(new Set(secrets).size).toBe(100);
    for (const secret of secrets) expect(secret).toMatch(/^[\w-]{24}$/);
  });
});
