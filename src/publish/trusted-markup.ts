/**
 * The one gate for markup. Templates escape every text; what is to stand as markup (a drawing, a rendered note, the
 * style sheet, the script) passes through here and nowhere else, and no template may use the `safe` filter.
 */
import nunjucks from 'nunjucks';
import { withoutDirectionMarks } from '../read/clean-text.ts';

/** Markup that templates print as it is. */
export type TrustedMarkup = nunjucks.runtime.SafeString;

/** Marks a string made by our own code (drawings, rendered notes, style, script) as markup. Never call it on text of the user. */
export function trustedMarkup(markup: string): TrustedMarkup {
  return new nunjucks.runtime.SafeString(markup);
}

/** Control characters other than tab and line feed, carriage returns, and lone surrogates. */
const NOT_ALLOWED =
  /\r\n?|[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]|[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;

/** Anything that may have to be taken out: a page without it, as most are, is looked through in one pass. */
const SUSPECT = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069\ud800-\udfff]/;

/**
 * Takes out what HTML 5 does not allow in a document at all: it becomes U+FFFD, and line ends become line feeds. (WHATWG
 * HTML, "control-character-in-input-stream" and "surrogate-in-input-stream".) Marks of direction go too.
 */
export function withoutForbiddenCharacters(text: string): string {
  if (!SUSPECT.test(text)) return text;
  return withoutDirectionMarks(text.replace(NOT_ALLOWED, (found) => (found.startsWith('\r') ? '\n' : '\ufffd')));
}
