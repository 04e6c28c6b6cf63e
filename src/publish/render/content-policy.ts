/** The content security policy of every page: nothing may load but its own audio, and only our own style and script may run. */
import { createHash } from 'node:crypto';

function sha256(text: string): string {
  return `'sha256-${createHash('sha256').update(text, 'utf8').digest('base64')}'`;
}

/**
 * Policy text for the `content` of the meta element, for exactly these inline styles and this script; `audioFrom` is where audio comes from, '' for nowhere.
 * Source: W3C Content Security Policy Level 3, hash sources; `default-src 'none'` forbids every request.
 */
export function contentPolicy(styles: readonly string[], script: string, audioFrom = ''): string {
  return [
    "default-src 'none'",
    `style-src ${styles.map(sha256).join(' ')}`,
    `script-src ${sha256(script)}`,
    'img-src data:',
    ...(audioFrom === '' ? [] : [`media-src ${audioFrom}`]),
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
}
