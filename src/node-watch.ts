/** Clock, signals and HTTP server of Node, behind the `WatchEffects` interface. */
import { createServer } from 'node:http';
import type { Server, ServerResponse } from 'node:http';
import type { OpenSite, WatchEffects } from './commands/watch-effects.ts';
import type { SiteAnswer, SiteRequest } from './commands/watch-site.ts';
import { InputError } from './problems/problem.ts';

const LOOPBACK = '127.0.0.1';

function cannotListen(port: number, error: NodeJS.ErrnoException): InputError {
  const reason =
    error.code === 'EADDRINUSE' ? 'another program uses it' : `the system refuses it (${error.code ?? ''})`;
  const message = `Port ${String(port)} of this machine cannot be used because ${reason}: choose another with --port, or leave it out.`;
  return new InputError([{ kind: 'usage', code: 'port-taken', file: '', message }]);
}

function listen(server: Server, port: number): Promise<number> {
  return new Promise((done, fail) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      fail(cannotListen(port, error));
    });
    server.listen(port, LOOPBACK, () => {
      const address = server.address();
      done(typeof address === 'object' && address !== null ? address.port : port);
    });
  });
}

async function openSite(port: number, answer: (request: SiteRequest) => Promise<SiteAnswer>): Promise<OpenSite> {
  const listeners = new Set<ServerResponse>();
  let build = 0;
  const say = (response: ServerResponse): void => {
    if (build > 0) response.write(`data: ${String(build)}\n\n`);
  };
  const server = createServer((request, response) => {
    const asked = { method: request.method ?? '', target: request.url ?? '', host: request.headers.host ?? '' };
    const send = (given: SiteAnswer): void => {
      if (given.kind === 'events') {
        response.writeHead(200, given.headers);
        listeners.add(response);
        response.on('close', () => listeners.delete(response));
        say(response);
        return;
      }
      response.writeHead(given.status, given.headers);
      response.end(asked.method === 'HEAD' ? undefined : given.body);
    };
    answer(asked).then(send, () => {
      response.writeHead(500);
      response.end();
    });
  });
  const opened = await listen(server, port);
  return {
    port: opened,
    announce: (newest) => {
      build = newest;
      for (const response of listeners) say(response);
    },
    close: () =>
      new Promise((done) => {
        server.close(() => {
          done();
        });
        server.closeAllConnections();
      }),
  };
}

/** The end is wanted from the first SIGINT, SIGTERM or SIGHUP on. */
export function nodeWatchEffects(): WatchEffects {
  let isEndWanted = false;
  const wakers = new Set<() => void>();
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => {
      isEndWanted = true;
      for (const wake of wakers) wake();
    });
  }
  return {
    isEndWanted: () => isEndWanted,
    clockMs: () => performance.now(),
    pause: (milliseconds) =>
      new Promise((done) => {
        const wake = (): void => {
          clearTimeout(timer);
          wakers.delete(wake);
          done();
        };
        const timer = setTimeout(wake, isEndWanted ? 0 : milliseconds);
        wakers.add(wake);
      }),
    openSite,
  };
}
