/** What the MIDI of a folder shows, as entries for a settings file: what is sure, and what is not with the reason. Pure. */
import { comparableName } from '../assemble/names/text.ts';
import type { Arrangement, Part, Stage } from '../model/music/arrangement.ts';
import { className } from '../model/music/pitch.ts';
import type { StyleReading } from '../model/music/style.ts';
import type { OfferedAcceptance } from '../publish/answers/accepted-lines.ts';
import type { KeySpan } from '../model/music/written.ts';

/** One setting that can be filled in. */
export interface StartEntry {
  /** Path in the settings, e.g. `['parts', 'Vla.']`. */
  readonly path: readonly string[];
  /** As it is to be written in YAML. */
  readonly content: unknown;
  /** Why it is not certain, in sentences; it is then written as a comment. Absent where the MIDI shows it. */
  readonly unsure?: string;
  /** Settings to be offered inside as comments, e.g. the number of players that was assumed. */
  readonly offered?: Readonly<Record<string, unknown>>;
}

function spanText(from: number, to: number): string | number {
  return from === to ? from : `${String(from)}-${String(to)}`;
}

interface TrackUse {
  readonly name: string;
  readonly part: Part;
  readonly question: string | undefined;
}

/** Tracks by comparable name, those of the last stage first and in score order. */
function tracksByName(stages: readonly Stage[]): ReadonlyMap<string, readonly TrackUse[]> {
  const uses = new Map<string, TrackUse[]>();
  for (const stage of stages.toReversed()) {
    for (const part of stage.parts) {
      // What the question asks for is this very file.
      const question = stage.questions.find((asked) => asked.partId === part.id)?.text.replace(/ Say .*$/, '');
      for (const { name } of part.tracks) {
        const key = comparableName(name);
        if (key === '') continue;
        const there = uses.get(key) ?? [];
        there.push({ name, part, question });
        uses.set(key, there);
      }
    }
  }
  return uses;
}

const GUESSED: Readonly<Record<Part['recognisedBy'], string>> = {
  settings: '',
  name: '',
  note: '',
  program: 'The name does not say what it is; its General MIDI program does.',
  channel: 'The name does not say what it is; it is on the channel for percussion.',
  none: 'Neither name nor program says what it is: put the instrument in place of this one.',
};

function partEntry(uses: readonly TrackUse[]): StartEntry | undefined {
  const [first] = uses;
  if (first === undefined) return undefined;
  const { name, part } = first;
  const instruments = [...new Set(uses.map((use) => use.part.instrument))];
  const guess = uses.map((use) => GUESSED[use.part.recognisedBy]).find((text) => text !== '');
  const differs =
    instruments.length > 1
      ? `It was read as ${instruments.map((id) => `“${id}”`).join(' in one stage and as ')} in another.`
      : undefined;
  const unsure = differs ?? uses.find((use) => use.question !== undefined)?.question ?? guess;
  const isKnown = part.instrument !== 'unknown';
  return {
    path: ['parts', name],
    content: { instrument: isKnown ? part.instrument : 'violin' },
    ...(unsure === undefined ? {} : { unsure }),
    offered: { players: part.players },
  };
}

function stageEntries(stages: readonly Stage[], names: ReadonlyMap<string, string>): readonly StartEntry[] {
  return stages.flatMap((stage) => {
    const name = names.get(stage.id);
    return name === undefined
      ? []
      : [{ path: ['stages', name], content: { title: stage.title }, offered: { remark: 'What this stage is about' } }];
  });
}

function sectionsEntry(stages: readonly Stage[]): StartEntry | undefined {
  const current = stages.at(-1);
  if (current === undefined) return undefined;
  const content = current.sections.map(({ name, from, to }) => ({ name, bars: spanText(from, to) }));
  const alone = current.sections.length === 1 && stages.every((stage) => stage.sections.length === 1);
  return {
    path: ['sections'],
    content,
    ...(alone ? { unsure: 'The MIDI has no markers, so that the piece is one section.' } : {}),
  };
}

function foregroundEntry(stages: readonly Stage[]): StartEntry | undefined {
  const current = stages.at(-1);
  const [first] = stages;
  if (current === undefined || first === undefined) return undefined;
  const nameOf = (id: string): string => current.parts.find((part) => part.id === id)?.name ?? id;
  const [only, second] = current.foreground;
  if (only === undefined) return undefined;
  const content =
    second === undefined
      ? nameOf(only.partId)
      : current.foreground.map(({ partId, from, to }) => ({ part: nameOf(partId), bars: spanText(from, to) }));
  const path = ['foreground'];
  if (current.foregroundGuessed) {
    return {
      path,
      content,
      unsure:
        'A guess by line, height, strength and movement, phrase by phrase: the MIDI does not say who has the foreground.',
    };
  }
  return { path, content };
}

function keyEntry(stage: Stage, keys: readonly KeySpan[]): StartEntry | undefined {
  const [key] = keys;
  if (key === undefined) return undefined;
  const unsure =
    stage.statedKeys.length === 0
      ? 'An estimate from the notes at the beginning. What is said here would hold for the whole piece.'
      : 'The MIDI has key signatures, which are used as they stand. What is said here would hold for the whole piece.';
  return { path: ['key'], content: `${className(key.tonic)} ${key.mode}`, unsure };
}

function styleEntry({ style, sure, because }: StyleReading): StartEntry {
  return {
    path: ['style'],
    content: style,
    unsure: `A ${sure ? '' : 'doubtful '}guess for the current stage, because ${because}. What is said here would hold for all stages.`,
  };
}

function pickupEntry(stage: Stage): StartEntry | undefined {
  const [bar] = stage.timeline.bars;
  if (bar === undefined) return undefined;
  return bar.number === 0
    ? { path: ['pickup'], content: bar.lengthQuarters, unsure: 'Seen from the first bar of the MIDI.' }
    : { path: ['pickup'], content: 0, unsure: 'The MIDI shows no pickup.' };
}

export interface StartSource {
  readonly arrangement: Arrangement;
  /** File or folder name of each stage, by its id. */
  readonly stageNames: ReadonlyMap<string, string>;
  /** Keys of the current stage. */
  readonly keys: readonly KeySpan[];
  /** How the harmony of the current stage was read. */
  readonly style: StyleReading;
  /** Findings that readers accepted in their answers. */
  readonly acceptances: readonly OfferedAcceptance[];
}

/** Offered, never in force: a finding is accepted by the arranger alone. */
function acceptedEntry(acceptances: readonly OfferedAcceptance[]): StartEntry | undefined {
  if (acceptances.length === 0) return undefined;
  return { path: ['accepted'], content: acceptances, unsure: 'Readers accepted these findings in their answers.' };
}

/** What can be filled in. */
export function startFacts({ arrangement, stageNames, keys, style, acceptances }: StartSource): readonly StartEntry[] {
  const { stages } = arrangement;
  const current = stages.at(-1);
  const parts = [...tracksByName(stages).values()].flatMap((uses) => partEntry(uses) ?? []);
  const optional = [
    foregroundEntry(stages),
    sectionsEntry(stages),
    current === undefined ? undefined : keyEntry(current, keys),
    styleEntry(style),
    current === undefined ? undefined : pickupEntry(current),
    acceptedEntry(acceptances),
  ];
  return [
    { path: ['title'], content: arrangement.title },
    ...stageEntries(stages, stageNames),
    ...optional.flatMap((entry) => entry ?? []),
    ...parts,
  ];
}
