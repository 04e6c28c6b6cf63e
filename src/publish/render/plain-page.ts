/** A page beside the dossiers that is made of text alone: complete in itself, with the style of their pages and its own policy. */
import { escapeXml } from '../../draw/svg.ts';
import { contentPolicy } from './content-policy.ts';

export interface PlainPage {
  /** Of the browser's window; plain text. */
  readonly title: string;
  readonly css: string;
  /** Markup of everything in the body. */
  readonly body: string;
  /** The one script that the page may run; '' for none. */
  readonly script: string;
}

/** The page as text. */
export function plainPage({ title, css, body, script }: PlainPage): string {
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${contentPolicy([css], script)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${escapeXml(title)}</title>
<style>${css}</style>
</head>
<body>
${body}
${script === '' ? '' : `<script>${script}</script>\n`}</body>
</html>
`;
}
