/** Everything the templates are given: the sheets and the frame that all of them share. */
import { glyphDefs, markerStyle } from '../../draw/engrave/ink/glyph-table.ts';
import type { Memory } from '../../model/memory.ts';
import type { DossierInput } from '../dossier-input.ts';
import { buildSheets } from '../page-data/build-sheets.ts';
import { stayBar, type StayBar } from '../page-data/page-frame/stay-bar.ts';
import type { Sheet, SheetFrame } from '../page-data/page-frame/sheet.ts';
import { imprintOf, imprintText } from '../imprint.ts';
import { markStyle } from './mark-style.ts';
import { contentPolicy } from './content-policy.ts';
import { trustedMarkup, type TrustedMarkup } from '../trusted-markup.ts';

export interface PreparePagesOptions {
  /** The style sheet without the paper size. */
  readonly style: string;
  /** The browser script, one classic script. */
  readonly script: string;
  readonly singleFile: boolean;
  /** What is known of the pages of an earlier build. */
  readonly memory?: Memory;
}

interface PreparedSheet extends Sheet {
  readonly glyphDefs: TrustedMarkup;
  readonly stay: StayBar;
  /** Whether this is the first page of a folder, which says what it needs beside it. */
  readonly isFrontOfFolder: boolean;
}

export interface PreparedPages {
  readonly frame: SheetFrame;
  readonly sheets: readonly PreparedSheet[];
}

/** Style sheet text without comments and indentation; everything else stays as it was written. */
function compactStyle(style: string): string {
  return style
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '')
    .join('\n');
}

/** Where the pages play audio from: beside them, or out of themselves; '' where they have none. */
function audioSource(sheets: readonly Sheet[], singleFile: boolean): string {
  if (sheets.every(({ sketches }) => sketches.audio.length === 0)) return '';
  return singleFile ? 'data:' : "'self'";
}

/** The data of all pages. Pure. */
export function preparePages(input: DossierInput, options: PreparePagesOptions): PreparedPages {
  const paper = input.arrangement.paper === 'letter' ? 'letter' : 'A4';
  const sheets = buildSheets(input, options.singleFile, options.memory);
  const markers = markerStyle(sheets.flatMap(({ glyphs }) => glyphs));
  const style = compactStyle(
    `${options.style}\n${markers}\n@page { size: ${paper}; }\n@page landscape-score { size: ${paper} landscape; }`,
  );
  const marks = compactStyle(markStyle(input));
  const imprint = imprintOf(input);
  // A script element ends at the first `</script` in it, wherever that stands (WHATWG HTML, script data state).
  const script = options.script.trim().replaceAll('</script', '<\\/script');
  return {
    frame: {
      piece: input.arrangement.title,
      imprint: imprintText(imprint),
      folder: imprint.folder,
      policy: contentPolicy([style, marks], script, audioSource(sheets, options.singleFile)),
      style: trustedMarkup(style),
      marks: trustedMarkup(marks),
      script: trustedMarkup(script),
    },
    sheets: sheets.map((sheet) => ({
      ...sheet,
      stay: stayBar(sheet),
      isFrontOfFolder: !options.singleFile && sheet.fileName === 'index.html',
      glyphDefs: trustedMarkup(sheet.glyphs.length === 0 ? '' : glyphDefs(sheet.glyphs)),
    })),
  };
}
