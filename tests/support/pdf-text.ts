/** The words of a PDF that a browser printed, sheet by sheet; enough of ISO 32000-1 for what Skia writes (text as glyph numbers, 9.10.3). */
import { inflateSync } from 'node:zlib';

type Objects = ReadonlyMap<string, string>;

const OBJECT = /(?:^|\n)(\d+) 0 obj\n?([\s\S]*?)\nendobj/g;

function objectsOf(text: string): Objects {
  return new Map([...text.matchAll(OBJECT)].map(([, number = '', body = '']) => [number, body]));
}

/** The content of a stream object, inflated where it is deflated. */
function streamOf(body: string): string {
  const start = /stream\r?\n/.exec(body);
  if (start === null) return '';
  const from = start.index + start[0].length;
  const length = Number(/\/Length (\d+)/.exec(body)?.[1] ?? 0);
  const raw = Buffer.from(body.slice(from, from + length), 'latin1');
  return (body.includes('/FlateDecode') ? inflateSync(raw) : raw).toString('latin1');
}

function signOf(hex: string): string {
  return Buffer.from(hex, 'hex').swap16().toString('utf16le');
}

/** Glyph numbers of a font and what they stand for, from its ToUnicode map. */
function unicodeOf(map: string): ReadonlyMap<number, string> {
  const signs = new Map<number, string>();
  for (const [, block = ''] of map.matchAll(/beginbfchar\s([\s\S]*?)endbfchar/g)) {
    for (const [, glyph = '', sign = ''] of block.matchAll(/<(\w+)> <(\w+)>/g)) {
      signs.set(Number.parseInt(glyph, 16), signOf(sign));
    }
  }
  for (const [, block = ''] of map.matchAll(/beginbfrange\s([\s\S]*?)endbfrange/g)) {
    for (const [, first = '', last = '', sign = ''] of block.matchAll(/<(\w+)> <(\w+)> <(\w+)>/g)) {
      const from = Number.parseInt(first, 16);
      for (let glyph = from; glyph <= Number.parseInt(last, 16); glyph++) {
        signs.set(glyph, String.fromCodePoint(Number.parseInt(sign, 16) + glyph - from));
      }
    }
  }
  return signs;
}

function wordsOf(content: string, fonts: ReadonlyMap<string, ReadonlyMap<number, string>>): string {
  let font: ReadonlyMap<number, string> | undefined;
  let words = '';
  for (const [whole, name, hex] of content.matchAll(/\/(\w+) [\d.]+ Tf|<([\dA-Fa-f]+)>|\bET\b/g)) {
    if (name !== undefined) font = fonts.get(name);
    else if (hex === undefined) words += whole === 'ET' ? '\n' : '';
    else for (const [glyph] of hex.matchAll(/\w{4}/g)) words += font?.get(Number.parseInt(glyph, 16)) ?? '';
  }
  return words;
}

/** One text a sheet, in the order of the sheets. Words stand in the order in which they are drawn. */
export function pdfSheets(pdf: Buffer): readonly string[] {
  const objects = objectsOf(pdf.toString('latin1'));
  const sheets = [...objects.values()].filter((body) => /\/Type \/Page\b(?!s)/.test(body));
  return sheets.map((sheet) => {
    const fonts = new Map(
      [...sheet.matchAll(/\/(F\d+) (\d+) 0 R/g)].map(([, name = '', number = '']) => {
        const map = /\/ToUnicode (\d+) 0 R/.exec(objects.get(number) ?? '')?.[1] ?? '';
        return [name, unicodeOf(streamOf(objects.get(map) ?? ''))] as const;
      }),
    );
    const contents = /\/Contents (\d+) 0 R/.exec(sheet)?.[1] ?? '';
    return wordsOf(streamOf(objects.get(contents) ?? ''), fonts);
  });
}
