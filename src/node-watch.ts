/** Clock, signals and HTTP server of Node, behind the `WatchEffects` interface. */
import { randomBytes } from 'node:crypto';
import { watch } from 'node:fs';
import type { FSWatcher } from 'node:fs';
import { createServer } from 'node:http';
import type { IncomingMessage, Server, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import type { OpenSite, WatchEffects } from './commands/watch-effects.ts';
import type { SiteAnswer, SiteRequest } from './commands/watch-site.ts';
import type { InputError } from './problems/problem.ts';
import { usageError } from './problems/problem.ts';

const LOOPBACK = '127.0.0.1';

/** Bytes of the secret: 144 bits, more than anybody tries out. */
const SECRET_BYTES = 18;

/**
 * What a browser with some dozens of pages open stays far below. Browsers do not pipeline: more than a few requests before an answer, on one
 * connection, are a flood.
 */
const MOST_CONNECTIONS = 64;
const MOST_LISTENERS = 32;
const MOST_UNANSWERED = 4;
const MOST_REQUESTS_A_CONNECTION = 1000;
const MOST_HEADER_BYTES = 8192;
const MOST_WAITING_MS = 10_000;

const LISTEN_REASONS: Readonly<Record<string, string>> = {
  EADDRINUSE: 'another program uses it',
  EACCES: 'the system keeps it for the administrator, as it does with most numbers below 1024',
};

function cannotListen(port: number, error: NodeJS.ErrnoException): InputError {
  const reason = LISTEN_REASONS[error.code ?? ''] ?? `the system refuses it (${error.code ?? ''})`;
  const message = `Port ${String(port)} of this machine cannot be used because ${reason}: choose another with --port, or leave it out.`;
  return usageError('port-taken', message);
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

/** Whether a connection may send one more request; every one is counted until its answer is sent. */
function unansweredCounter(): (request: IncomingMessage, response: ServerResponse) => boolean {
  const unanswered = new WeakMap<Socket, number>();
  return ({ socket }, response) => {
    const before = unanswered.get(socket) ?? 0;
    if (before >= MOST_UNANSWERED) return false;
    unanswered.set(socket, before + 1);
    response.on('close', () => unanswered.set(socket, (unanswered.get(socket) ?? 1) - 1));
    return true;
  };
}

async function openSite(port: number, answer: (request: SiteRequest) => Promise<SiteAnswer>): Promise<OpenSite> {
  const listeners = new Set<ServerResponse>();
  const isLetIn = unansweredCounter();
  let build = 0;
  const say = (response: ServerResponse): void => {
    if (build > 0) response.write(`data: ${String(build)}\n\n`);
  };
  const limits = {
    maxHeaderSize: MOST_HEADER_BYTES,
    headersTimeout: MOST_WAITING_MS,
    requestTimeout: MOST_WAITING_MS,
  };
  const server = createServer(limits, (request, response) => {
    if (!isLetIn(request, response)) {
      request.socket.destroy();
      return;
    }
    const asked = { method: request.method ?? '', target: request.url ?? '', host: request.headers.host ?? '' };
    const send = (given: SiteAnswer): void => {
      if (given.kind === 'events') {
        if (listeners.size >= MOST_LISTENERS) {
          response.writeHead(503);
          response.end();
          return;
        }
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
  server.maxConnections = MOST_CONNECTIONS;
  server.maxRequestsPerSocket = MOST_REQUESTS_A_CONNECTION;
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

/** Systems give each user so many watched folders; of more the first ones are enough to be told soon of most changes. */
const MOST_WATCHED = 64;

/** Calls `wake` on the first change in one of the folders that the system tells of; what cannot be watched is not. */
function watchers(folders: readonly string[], wake: () => void): readonly FSWatcher[] {
  return folders.slice(0, MOST_WATCHED).flatMap((folder) => {
    try {
      const watcher = watch(folder, { persistent: false }, wake);
      // A folder that has gone: the next look sees it.
      watcher.on('error', () => {
        watcher.close();
      });
      return [watcher];
    } catch {
      return [];
    }
  });
}

const END_SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** The end is wanted from the first SIGINT, SIGTERM or SIGHUP on. */
export function nodeWatchEffects(): WatchEffects {
  let isEndWanted = false;
  const wakers = new Set<() => void>();
  const note = (): void => {
    isEndWanted = true;
    for (const wake of wakers) wake();
  };
  const listen = (): void => {
    for (const signal of END_SIGNALS) process.on(signal, note);
  };
  listen();
  const pauseUntil = (milliseconds: number, begin: (wake: () => void) => readonly FSWatcher[]): Promise<void> =>
    new Promise((done) => {
      let open: readonly FSWatcher[] = [];
      const wake = (): void => {
        clearTimeout(timer);
        for (const watcher of open) watcher.close();
        wakers.delete(wake);
        done();
      };
      const timer = setTimeout(wake, isEndWanted ? 0 : milliseconds);
      wakers.add(wake);
      open = begin(wake);
    });
  return {
    isEndWanted: () => isEndWanted,
    clockMs: () => performance.now(),
    secret: () => randomBytes(SECRET_BYTES).toString('base64url'),
    interruptible: async (work) => {
      // A listener runs only when the work looks up; without one the system ends the program in the midst of it.
      for (const signal of END_SIGNALS) process.off(signal, note);
      try {
        return await work();
      } finally {
        listen();
      }
    },
    pause: (milliseconds) => pauseUntil(milliseconds, () => []),
    change: (folders, milliseconds) => pauseUntil(milliseconds, (wake) => watchers(folders, wake)),
    openSite,
  };
}
