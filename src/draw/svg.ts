/**
 * SVG and HTML as strings. Every text that comes from outside goes through `escapeXml`; every number through `round`, so
 * that the output is short and the same on every machine.
 */

/** Characters that XML 1.0 does not allow at all (its production 2, Char), lone surrogates included. */
const NOT_XML =
  /[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]|[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text made safe for element content and quoted attributes, in XML and in HTML. What XML cannot hold becomes U+FFFD. */
export function escapeXml(text: string): string {
  return text.replace(NOT_XML, '\uFFFD').replace(/[&<>"']/g, (sign) => ENTITIES[sign] ?? sign);
}

/** A number as SVG has it: at most one decimal by default, no exponent, no `-0`; 0 where it is not finite. */
export function round(value: number, decimals = 1): string {
  if (!Number.isFinite(value)) return '0';
  const factor = 10 ** decimals;
  const rounded = Math.round(value * factor) / factor;
  return String(rounded === 0 ? 0 : rounded);
}

export type AttributeSet = Readonly<Record<string, string | number | undefined>>;

function attributeText(attributes: AttributeSet): string {
  let text = '';
  for (const [name, value] of Object.entries(attributes)) {
    if (value === undefined || value === '') continue;
    text += ` ${name}="${typeof value === 'number' ? round(value, 2) : escapeXml(value)}"`;
  }
  return text;
}

/** An element; `content` is markup and is NOT escaped. Empty and undefined attributes are left out. */
export function element(name: string, attributes: AttributeSet, content = ''): string {
  return content === ''
    ? `<${name}${attributeText(attributes)}/>`
    : `<${name}${attributeText(attributes)}>${content}</${name}>`;
}

/** A text element; the text is escaped. */
export function textElement(text: string, attributes: AttributeSet): string {
  return `<text${attributeText(attributes)}>${escapeXml(text)}</text>`;
}

/** Text as part of an id: lower-case letters, digits and hyphens, starting with a letter. */
export function idPart(text: string): string {
  const kept = text
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-+|-+$/g, '');
  return /^[a-z]/.test(kept) ? kept : `x${kept === '' ? '' : `-${kept}`}`;
}
