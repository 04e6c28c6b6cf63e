/**
 * The dossier over HTTP while it is watched: the files of the last build as they stand on the disk, and in every page one
 * more script that reloads it. What is written to the folder stays the same. Pure but for the reading of files.
 */
import { createHash, timingSafeEqual } from 'node:crypto';

export interface SiteRequest {
  readonly method: string;
  /** As in the request line, with the query. */
  readonly target: string;
  /** The Host header; '' where there is none. */
  readonly host: string;
}

export type SiteAnswer =
  | {
      readonly kind: 'whole';
      readonly status: number;
      readonly headers: Readonly<Record<string, string>>;
      readonly body: Uint8Array | string;
    }
  /** A stream of server-sent events that stays open. */
  | { readonly kind: 'events'; readonly headers: Readonly<Record<string, string>> };

/** Where pages, which all lie at the top, hear of a newer build; no file of a dossier begins with a full stop. */
const EVENTS_PATH = '.newer';

/** Reloads the page when the number of the build is no longer the one it was told first. The browser keeps the place on the page. */
const RELOAD_SCRIPT = `(() => {
  let build = '';
  new EventSource('${EVENTS_PATH}').onmessage = (event) => {
    if (build !== '' && build !== event.data) location.reload();
    build = event.data;
  };
})();`;

const RELOAD_HASH = `'sha256-${createHash('sha256').update(RELOAD_SCRIPT, 'utf8').digest('base64')}'`;

const KINDS: Readonly<Record<string, string>> = {
  html: 'text/html; charset=utf-8',
  json: 'application/json; charset=utf-8',
  csv: 'text/csv; charset=utf-8',
  // Registered with IANA for MusicXML.
  musicxml: 'application/vnd.recordare.musicxml+xml',
};

/** Nothing is kept, guessed, framed or shown to other sites. */
const COMMON: Readonly<Record<string, string>> = {
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Content-Security-Policy': "frame-ancestors 'none'",
};

function sentence(status: number, text: string, headers: Readonly<Record<string, string>> = {}): SiteAnswer {
  return {
    kind: 'whole',
    status,
    headers: { ...COMMON, 'Content-Type': 'text/plain; charset=utf-8', ...headers },
    body: `${text}\n`,
  };
}

/** The page with the script that reloads it, let in by the page's own policy and by nothing else. */
export function withReload(html: string): string {
  const policy = /(<meta http-equiv="Content-Security-Policy" content=")([^"]*)"/.exec(html);
  if (policy === null) return html;
  const [whole, opening = '', content = ''] = policy;
  const ours = RELOAD_HASH.replaceAll("'", '&#39;');
  const opened = content.replace(/script-src /, `script-src ${ours} `);
  const meta = `${opening}${opened}; connect-src &#39;self&#39;"`;
  const end = html.lastIndexOf('</body>');
  const place = end < 0 ? html.length : end;
  return `${html.slice(0, place)}<script>${RELOAD_SCRIPT}</script>\n${html.slice(place)}`.replace(whole, () => meta);
}

export interface Site {
  readonly port: number;
  /** First part of every path, which only the user is told: other users of the machine reach the port, too. */
  readonly secret: string;
  /** Paths inside the dossier that may be read. */
  readonly files: ReadonlySet<string>;
  /** Content of one of them; undefined where it is not there. */
  readonly read: (path: string) => Promise<Uint8Array | undefined>;
}

/** Port of `http:` that an address does not name (RFC 9110, 4.2.1). */
const USUAL_PORT = 80;

/** Whether two texts are equal, in a time that does not tell how much of them is. */
function isEqual(one: string, other: string): boolean {
  const digest = (text: string): Uint8Array => createHash('sha256').update(text, 'utf8').digest();
  return timingSafeEqual(digest(one), digest(other));
}

/** Path inside the dossier; undefined for whoever does not know the secret. */
function pathOf(target: string, secret: string): string | undefined {
  const [, first = '', rest] = /^\/([^/?#]*)(?:\/([^?#]*))?/.exec(target) ?? [];
  if (!isEqual(first, secret) || rest === undefined) return undefined;
  try {
    const path = decodeURIComponent(rest);
    return path === '' ? 'index.html' : path;
  } catch {
    return undefined;
  }
}

/** Answers one request: files of the last build by their exact names, to this machine and to whoever knows the secret only. */
export async function answerRequest(request: SiteRequest, site: Site): Promise<SiteAnswer> {
  // A page elsewhere may give its own name this address; its requests then carry that name.
  const names = ['127.0.0.1', 'localhost'];
  const hosts = [...names.map((name) => `${name}:${String(site.port)}`), ...(site.port === USUAL_PORT ? names : [])];
  if (!hosts.includes(request.host.toLowerCase())) {
    return sentence(421, 'This dossier is shown under 127.0.0.1 only.');
  }
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    return sentence(405, 'A dossier can only be read.', { Allow: 'GET, HEAD' });
  }
  const path = pathOf(request.target, site.secret);
  if (path === EVENTS_PATH) return { kind: 'events', headers: { ...COMMON, 'Content-Type': 'text/event-stream' } };
  const content = path === undefined || !site.files.has(path) ? undefined : await site.read(path);
  if (path === undefined || content === undefined) return sentence(404, 'There is no such file in the dossier.');
  const extension = /\.([a-z]+)$/.exec(path)?.[1] ?? '';
  const isPage = extension === 'html';
  return {
    kind: 'whole',
    status: 200,
    headers: { ...COMMON, 'Content-Type': KINDS[extension] ?? 'application/octet-stream' },
    body: isPage ? withReload(new TextDecoder().decode(content)) : content,
  };
}
