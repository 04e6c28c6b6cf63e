/** Titles, ids and the order of stages. */
import type { RawStage } from '../../read/raw.ts';
import type { Settings, StageSettings } from '../../read/settings/settings.ts';
import { dateIn, orderedByDate } from './stage-dates.ts';
import { comparableName, slugOf } from '../names/text.ts';

export interface NamedStage {
  readonly raw: RawStage;
  readonly settings: StageSettings;
  readonly id: string;
  /** 1-based. */
  readonly order: number;
  readonly title: string;
}

/** Stands for the date while separators are taken out; no name has it, as it is a noncharacter. */
const DATE_PLACE = '\uFDD0';

/** The name without its leading number and with separators as spaces, a date kept whole; '' where nothing but a number is there. */
function titleOfName(name: string): string {
  const date = dateIn(name)?.text ?? '';
  const words = (date === '' ? name : name.replace(date, DATE_PLACE))
    .replaceAll(/[_-]+/g, ' ')
    .trim()
    .replace(/^(?:\d+[\s.):]+|0\d+(?=\p{L}))/u, '')
    .replaceAll(/\s+/g, ' ')
    .trim();
  if (/^\d*$/.test(words)) return '';
  const [first = '', ...rest] = words;
  return (first.toUpperCase() + rest.join('')).replace(DATE_PLACE, date);
}

const EXTENSION = /\.(mid|midi|smf)$/i;

/** Whether a name in the settings or a note means this stage: the file or folder name with or without extension, or its title. */
export function meansStage(word: string, stage: { readonly name: string; readonly title: string }): boolean {
  const wanted = comparableName(word.replace(EXTENSION, ''));
  return wanted === comparableName(stage.name) || wanted === comparableName(stage.title);
}

/** The stage that a name means. */
export function stageCalled(word: string, stages: readonly NamedStage[]): NamedStage | undefined {
  return stages.find(({ raw, title }) => meansStage(word, { name: raw.name, title }));
}

function settingsFor(raw: RawStage, settings: Settings): StageSettings {
  const entries = Object.entries(settings.stages ?? {});
  const exact = entries.find(([name]) => comparableName(name.replace(EXTENSION, '')) === comparableName(raw.name));
  const chosen = exact ?? entries.find(([name]) => meansStage(name, { name: raw.name, title: titleOfName(raw.name) }));
  return chosen?.[1] ?? {};
}

/** Stages that the settings do not leave out, and those that they do. */
export function chosenStages(
  stages: readonly RawStage[],
  settings: Settings,
): { readonly kept: readonly RawStage[]; readonly ignored: readonly RawStage[] } {
  const isIgnored = (raw: RawStage): boolean => settingsFor(raw, settings).ignore === true;
  return { kept: stages.filter((raw) => !isIgnored(raw)), ignored: stages.filter(isIgnored) };
}

/** Stages in the order in force (settings first, then dates in all names, else the order given), with titles and ids that are safe as file names. */
export function nameStages(stages: readonly RawStage[], settings: Settings): readonly NamedStage[] {
  const placed = orderedByDate(stages).map((raw, index) => {
    const own = settingsFor(raw, settings);
    return { raw, settings: own, place: own.order ?? index + 1, stated: own.order !== undefined, index };
  });
  placed.sort((a, b) => a.place - b.place || Number(b.stated) - Number(a.stated) || a.index - b.index);
  return placed.map(({ raw, settings: own }, index) => {
    const order = index + 1;
    const title = own.title ?? (titleOfName(raw.name) || `Stage ${order}`);
    const slug = slugOf(title) || slugOf(raw.name);
    const id = `stage-${String(order).padStart(2, '0')}${slug === '' ? '' : `-${slug}`}`;
    return { raw, settings: own, id, order, title };
  });
}
