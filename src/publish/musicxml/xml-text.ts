/** The few words of XML that the score writers need. Every text from outside goes through `xmlText`. */
import { element, escapeXml } from '../../draw/svg.ts';

/** Controls of both sets, tab and line ends among them: a name in a score is one line. */
const CONTROLS = /[\u0000-\u001f\u007f-\u009f]+/g;

/** A text on one line, without control characters, not yet escaped. */
export function oneLine(text: string): string {
  return text.replace(CONTROLS, ' ').replace(/ {2,}/g, ' ').trim();
}

/** An element with a text from anywhere; the text is put on one line and escaped. */
export function textTag(name: string, text: string, attributes: Readonly<Record<string, string>> = {}): string {
  const clean = escapeXml(oneLine(text));
  // `element` would leave the content of an empty element out, which reads the same.
  return element(name, attributes, clean);
}

/** An element with a whole number or a word of the standard. */
export function plainTag(name: string, content: number | string): string {
  return `<${name}>${String(content)}</${name}>`;
}
