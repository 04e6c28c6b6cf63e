/** Defaults and guesses in force, one sentence each. */
import { instrumentById } from '../model/music/catalogue.ts';
import { quoted } from '../read/clean-text.ts';
import { backwardsRemark, dateQuestion } from './stage-order/stage-dates.ts';
import { chosenStages, nameStages } from './stage-order/stage-names.ts';
import type { FinishedStage } from './finish-stage.ts';
import type { EnsembleKind } from '../model/music/ensemble.ts';
import { ensembleWords } from '../model/music/ensemble.ts';
import { barsText, listText, sentenceStart } from '../model/words/plain-words.ts';
import type { StageMusic } from './stage-music.ts';
import type { RawFolder } from '../read/raw.ts';

/** A sentence about stages; one about the only stage names none. */
function saidOf(stages: string, predicate: string): string {
  return stages === '' ? sentenceStart(predicate) : `${stages}: ${predicate}`;
}

function stagesNamed(items: readonly { readonly stage: { readonly title: string } }[], total: number): string {
  if (items.length === total) return total === 1 ? '' : 'Every stage';
  const titles = items.map(({ stage }) => quoted(stage.title));
  return `Stage${items.length === 1 ? '' : 's'} ${listText(titles, 7)}`;
}

function ensembleSentence(kind: EnsembleKind, stages: string, sure: boolean, isShared: boolean): string {
  if (kind === 'unknown') return saidOf(stages, 'the parts do not tell what kind of ensemble they make.');
  const doubt = sure ? '' : ' (another kind is about as likely; say how many play with parts: NAME: players)';
  return saidOf(stages, `by its instruments taken for ${ensembleWords(kind, isShared)}${doubt}.`);
}

/** A note this little before its beat, in quarters, is played on it. */
const EARLY = 0.12;

/** Quarters that sound at the end of a first bar whose first half at least is silent, in halves; undefined where it begins sooner. */
function lateOpening({ stage }: FinishedStage, { grid }: StageMusic): number | undefined {
  const [first, next] = stage.timeline.bars;
  if (grid.pickup !== 'none' || first?.number !== 1 || next === undefined) return undefined;
  const onset = stage.parts.reduce(
    (least, { notes }) => Math.min(least, notes[0]?.startQuarters ?? Infinity),
    Infinity,
  );
  const sounding = Math.ceil((next.startQuarters - onset - EARLY) * 2) / 2;
  return sounding > 0 && sounding <= first.lengthQuarters / 2 ? sounding : undefined;
}

/** Which tracks were named by a note alone, with its words. */
function toldSentences(music: readonly StageMusic[]): readonly string[] {
  const said = music.flatMap(({ drafts }) =>
    drafts.flatMap(({ by, instrument, tracks }) =>
      tracks.flatMap(({ source: { name, told } }) =>
        by === 'note' && told !== undefined
          ? `${name === '' ? 'A track without a name' : `Track ${quoted(name)}`} is taken for ${instrumentById(instrument)?.name ?? instrument}: your note ${quoted(told.file)} says ${quoted(told.quote, 120)}.`
          : [],
      ),
    ),
  );
  return [...new Set(said)];
}

/** How many play which part by a note, with its words, a sentence of it once. */
function playersSentences(music: readonly StageMusic[], finished: readonly FinishedStage[]): readonly string[] {
  const byNote = new Set(
    finished.flatMap(({ stage }) =>
      stage.parts.filter(({ playersBy }) => playersBy === 'note').map(({ name }) => name),
    ),
  );
  const said = new Map<string, Set<string>>();
  for (const { name, toldPlayers: told } of music.flatMap(({ drafts }) => drafts)) {
    if (told === undefined || !byNote.has(name)) continue;
    const source = `your note ${quoted(told.file)} says ${quoted(told.quote.replace(/\.$/, ''), 120)}`;
    said.set(source, (said.get(source) ?? new Set()).add(`${name} ${told.players}`));
  }
  return [...said].map(([source, sizes]) => `How many play is taken from a note (${listText([...sizes])}): ${source}.`);
}

/** How many strings an instrument has by a note, with its words. */
function stringsSentences(music: readonly StageMusic[]): readonly string[] {
  const said = music.flatMap(({ drafts }) =>
    drafts.flatMap(({ name, toldStrings: told }) =>
      told === undefined
        ? []
        : [
            `${name} has ${told.strings} strings: your note ${quoted(told.file)} says ${quoted(told.quote.replace(/\.$/, ''), 120)}.`,
          ],
    ),
  );
  return [...new Set(said)];
}

/** Who is in front by which note, with its words, a sentence of it once. */
function leadSentences(finished: readonly FinishedStage[]): readonly string[] {
  const said = new Map<string, { readonly names: Map<string, Set<number>>; readonly of: Set<FinishedStage> }>();
  for (const done of finished)
    for (const { partId, bars, file, quote } of done.toldLeads) {
      const source = `your note ${quoted(file)} says ${quoted(quote.replace(/\.$/, ''), 120)}`;
      const own = said.get(source) ?? { names: new Map<string, Set<number>>(), of: new Set<FinishedStage>() };
      const name = done.stage.parts.find(({ id }) => id === partId)?.name ?? partId;
      own.names.set(name, new Set([...(own.names.get(name) ?? []), ...bars]));
      said.set(source, { ...own, of: own.of.add(done) });
    }
  return [...said].map(([source, { names, of }]) => {
    const leads = [...names].map(
      ([name, bars]) =>
        `${name} in ${barsText(
          [...bars].sort((a, b) => a - b),
          4,
        )}`,
    );
    return saidOf(
      stagesNamed([...of], finished.length),
      `who has the foreground is taken from a note (${listText(leads)}): ${source}.`,
    );
  });
}

/** Sentences for "How this folder was read". `music` and `finished` run parallel. */
export function assumptionsOf(
  folder: RawFolder,
  folderName: string,
  music: readonly StageMusic[],
  finished: readonly FinishedStage[],
): readonly string[] {
  const { content } = folder.settings;
  const sentences: string[] = [];
  const total = finished.length;
  const where = (holds: (own: StageMusic, done: FinishedStage) => boolean): string | undefined => {
    const chosen = finished.filter((done, index) => {
      const own = music[index];
      return own !== undefined && holds(own, done);
    });
    return chosen.length === 0 ? undefined : stagesNamed(chosen, total);
  };
  const say = (subject: string | undefined, predicate: string): void => {
    if (subject !== undefined) sentences.push(saidOf(subject, predicate));
  };
  if (content.title === undefined)
    sentences.push(`No title was given: the folder's name, ${quoted(folderName)}, is used.`);
  const isOrderStated = Object.values(content.stages ?? {}).some(({ order }) => order !== undefined);
  const question = isOrderStated ? undefined : dateQuestion(folder.stages.map(({ name }) => name));
  if (question !== undefined) sentences.push(question);
  const inForce = nameStages(chosenStages(folder.stages, content).kept, content).map(({ raw }) => raw.name);
  const backwards = question === undefined ? backwardsRemark(inForce) : undefined;
  if (backwards !== undefined) sentences.push(backwards);
  say(
    where((own) => !own.clock.tempoStated),
    'no tempo was given, so 120 quarter notes a minute are assumed (the default of Standard MIDI Files).',
  );
  say(
    where((own) => !own.clock.meterStated),
    'no meter was given, so 4/4 is assumed (the default of Standard MIDI Files).',
  );
  say(
    where((own) => own.grid.pickup === 'first-meter'),
    'the first bar is shorter than the next and is taken for a pickup, bar 0; set pickup: 0 if it is a whole bar.',
  );
  const openings = finished.map((done, index) => {
    const own = music[index];
    return own === undefined || content.pickup !== undefined ? undefined : lateOpening(done, own);
  });
  for (const quarters of new Set(openings)) {
    if (quarters === undefined) continue;
    say(
      where((_, done) => openings[finished.indexOf(done)] === quarters),
      `bar 1 is silent but for its last ${quarters === 1 ? 'quarter note' : `${String(quarters)} quarter notes`}, so it may be a pickup: set pickup: ${String(quarters)} to call it bar 0 and the next one bar 1.`,
    );
  }
  say(
    where((_, done) => done.sectionsBy === 'none'),
    'no sections were given, neither in the settings nor as markers, so the piece is one section.',
  );
  if (finished.some((done) => done.foregroundBy === 'first-stage' && done.stage.parts.length > 1)) {
    const name = finished.find((done) => done.stage.parts.length === 1)?.stage.parts[0]?.name ?? '';
    const isGiven = finished.some(
      ({ foregroundBy, stage: { foreground } }) =>
        foregroundBy === 'first-stage' && new Set(foreground.map(({ partId }) => partId)).size > 1,
    );
    sentences.push(
      `No setting says who has the foreground: the only part of the first stage, ${quoted(name)}, has${isGiven ? ', and where its tune was given to another part, that one' : ''}.`,
    );
  }
  say(
    where((_, done) => done.stage.foregroundGuessed && done.toldLeads.length === 0),
    'no setting says who has the foreground, so the part that sounds most like a melody is taken, phrase by phrase (a guess).',
  );
  say(
    where((_, done) => done.stage.foregroundGuessed && done.toldLeads.length > 0),
    'where neither a setting nor a note says who has the foreground, the part that sounds most like a melody is taken, phrase by phrase (a guess).',
  );
  for (const kind of new Set(finished.map((done) => done.stage.ensemble.kind))) {
    const of = finished.filter((done) => done.stage.ensemble.kind === kind);
    sentences.push(
      ensembleSentence(
        kind,
        stagesNamed(of, total),
        of.every((done) => done.stage.ensemble.sure),
        of.some((done) => done.stage.parts.some(({ players }) => players > 1)),
      ),
    );
  }
  sentences.push(
    ...leadSentences(finished),
    ...toldSentences(music),
    ...playersSentences(music, finished),
    ...stringsSentences(music),
  );
  const effects = new Set(
    finished
      .flatMap((done) => done.stage.parts.filter(({ instrument }) => instrument === 'sound-effect'))
      .map(({ name }) => name),
  );
  if (effects.size > 0) {
    sentences.push(
      `${listText(
        [...effects].map((name) => quoted(name)),
        7,
      )} ${effects.size === 1 ? 'is' : 'are'} taken for effects, sound without pitch: no range, no part in the harmony, no level.`,
    );
  }
  const sections = new Map<string, number>();
  for (const done of finished) for (const part of done.sectionParts) sections.set(part.abbreviation, part.players);
  if (sections.size > 0) {
    const sizes = [...sections].slice(0, 12).map(([name, players]) => `${name} ${players}`);
    sentences.push(
      `The players of sections were not given: ${listText(sizes)} are assumed (strings: the smallest orchestra in Rimsky-Korsakov's table, Principles of Orchestration, ch. I; two or three violins of a band without lower strings; winds in pairs, four horns, three trumpets or trombones, eight to a voice of a choir: common practice). All other parts without a number have one player.`,
    );
  } else if (finished.some((done) => done.stage.parts.some((part) => part.playersBy === 'default'))) {
    sentences.push('The number of players was not given everywhere: where it is not, one player to a part is assumed.');
  }
  return sentences;
}
