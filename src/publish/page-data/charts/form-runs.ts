/** The form of a piece in words, with links to its bars. */
import type { FormPart, FormReading } from '../../../model/readings/form.ts';
import { barSpanText, barsText, spanText } from '../../../model/words/plain-words.ts';
import { barLink, plain, type Run } from '../page-frame/sheet.ts';

/** More places than these are said to be varied. */
const MOST_PLACES = 3;

function asText({ as, from, to }: FormPart): string {
  if (as === undefined) return '';
  const like = `as ${barSpanText(as.from, as.to)}`;
  if (as.but.length === 0) return like;
  return as.but.length > (to - from + 1) / 2 ? `${like}, varied` : `${like}, but ${barsText(as.but, MOST_PLACES)}`;
}

/** Every part of a proposed form; of given sections those that come again. Empty where nothing is to be said. */
export function formRuns(form: FormReading | undefined): readonly Run[] {
  if (form === undefined) return [];
  const isProposed = form.by === 'estimate';
  const parts = form.parts.filter(({ as }) => isProposed || as !== undefined);
  if (parts.length === 0) return [];
  const runs = parts.flatMap((part, index): readonly Run[] => {
    const text = asText(part);
    return [
      plain(`${index === 0 ? '' : '; '}${part.name}\u00a0`),
      barLink(part.from, spanText(part.from, part.to)),
      ...(text === '' ? [] : [plain(` (${text})`)]),
    ];
  });
  return isProposed ? [...runs, plain('. A proposal, by what returns; name sections to decide.')] : runs;
}
