import { describe, expect, it } from 'vitest';
import { element, escapeXml, idPart, round, textElement } from '../../src/draw/svg.ts';

describe('text in SVG', () => {
  it('escapes the five characters that XML reserves (XML 1.0, section 4.6)', () => {
    expect(escapeXml(`<&>"'`)).toBe('&lt;&amp;&gt;&quot;&#39;');
  });

  it('replaces what XML 1.0 does not allow as a character (production 2, Char)', () => {
    expect(escapeXml('a\u0000b\u0008c\u000Bd\uFFFEe')).toBe('a\uFFFDb\uFFFDc\uFFFDd\uFFFDe');
    expect(escapeXml('a\tb\nc\rd')).toBe('a\tb\nc\rd');
  });

  it('replaces half of a surrogate pair but keeps a whole one', () => {
    expect(escapeXml('\uD834\uDD1E \uD834 \uDD1E')).toBe('\uD834\uDD1E \uFFFD \uFFFD');
  });

  it('escapes attributes and text, and leaves out what is empty', () => {
    expect(element('g', { class: '"><script>', id: undefined, x: 0 })).toBe(
      '<g class="&quot;&gt;&lt;script&gt;" x="0"/>',
    );
    expect(textElement('</text>', {})).toBe('<text>&lt;/text&gt;</text>');
  });
});

describe('numbers in SVG', () => {
  it('are short, and never an exponent, a negative zero or not a number', () => {
    expect(round(1.25)).toBe('1.3');
    expect(round(-0.01)).toBe('0');
    expect(round(Number.NEGATIVE_INFINITY)).toBe('0');
    expect(round(12.3456, 2)).toBe('12.35');
  });
});

describe('ids', () => {
  it('hold only what is safe in an id, a selector and a url()', () => {
    for (const text of ['stage-01-x', '"><b>', '01', '', 'Ärger & Co'])
      expect(idPart(text)).toMatch(/^[a-z][a-z0-9-]*$/);
  });
});
