/** Who is in front in a stage: as settings say, then notes; else the part that was alone in the first stage; else a guess. */
import type { ForegroundSpan, Part, PlayedNote, Section, Stage } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import type { Bar } from '../../model/music/timeline.ts';
import { barIndexAt } from '../../model/music/timeline.ts';
import type { Settings } from '../../read/settings/settings.ts';
import { followedLeads, playsChords } from './followed-tune.ts';
import type { EarlierTune } from './given-tune.ts';
import { givenBars, withGivenDoubt } from './given-tune.ts';
import { guessLeads } from './guess-leads.ts';
import { partsMeant } from '../user-notes-and-settings/part-words.ts';
import type { NameReader } from '../names/source-track.ts';
import type { NamedDraft } from './known-lead.ts';
import { knownLeads, SOLO_IS_A_RANK } from './known-lead.ts';
import type { BarLead } from './lead-spans.ts';
import { fillBars, saidLead, spansOf } from './lead-spans.ts';
import type { LeadPart } from './shared-lead.ts';
import { leadPartOf, withSharedLeads } from './shared-lead.ts';
import type { HeardMemo, ToldLead } from './told-leads.ts';
import { toldLeads } from './told-leads.ts';

export interface Front {
  readonly spans: readonly ForegroundSpan[];
  /** What had to be asked last: where notes say it of some bars and nobody of others, these are guessed. */
  readonly by: 'settings' | 'notes' | 'first-stage' | 'guess';
  /** What of it notes said. */
  readonly told: readonly ToldLead[];
}

export interface FrontInput {
  readonly bars: readonly Bar[];
  readonly sections: readonly Section[];
  readonly candidates: readonly {
    readonly id: string;
    readonly notes: readonly PlayedNote[];
    readonly draft: NamedDraft;
  }[];
  readonly parts: readonly Part[];
  readonly settings: Settings;
  readonly ensemble: EnsembleKind;
  readonly onlyPartOfFirstStage: string | undefined;
  readonly before: Stage | undefined;
  /** What led in the stage before. */
  readonly tunesBefore: readonly EarlierTune[];
  /** Notes that may say who leads. */
  readonly heard: readonly HeardMemo[];
  readonly read: NameReader;
}

/** What the settings say of each bar: an entry without bars holds for those that no other names. */
function saidByBar({ bars, parts, settings, read }: FrontInput): (BarLead | undefined)[] {
  const leads: (BarLead | undefined)[] = bars.map(() => undefined);
  let everywhere: BarLead | undefined;
  for (const entry of settings.foreground ?? []) {
    const meant = partsMeant(entry.part, parts, read)[0];
    if (meant === undefined) continue;
    if (entry.bars === undefined) everywhere ??= saidLead(meant.id);
    else {
      const { from, to } = entry.bars;
      bars.forEach((bar, index) => {
        if (bar.number >= from && bar.number <= to) leads[index] = saidLead(meant.id);
      });
    }
  }
  return leads.map((lead) => lead ?? everywhere);
}

/** What notes say of the bars that the settings leave open. */
function toldByBar(
  { heard, parts, sections, bars, candidates, ensemble, read }: FrontInput,
  bySettings: readonly (BarLead | undefined)[],
  guess: () => readonly (BarLead | undefined)[],
): { readonly told: readonly ToldLead[]; readonly byNotes: readonly (BarLead | undefined)[] } {
  const soloists = SOLO_IS_A_RANK.has(ensemble) ? [] : candidates.filter(({ draft }) => draft.solo);
  const soloId = soloists.length === 1 ? soloists[0]?.id : undefined;
  const isOpen = new Set(bars.filter((_, index) => bySettings[index] === undefined).map(({ number }) => number));
  const told = toldLeads({ heard, parts, sections, bars, soloId, read }, guess)
    .map((one) => ({ ...one, bars: one.bars.filter((bar) => isOpen.has(bar)) }))
    .filter((one) => one.bars.length > 0);
  const byBar = new Map(told.flatMap(({ partId, bars: own }) => own.map((bar) => [bar, saidLead(partId)] as const)));
  return { told, byNotes: bars.map(({ number }) => byBar.get(number)) };
}

function guessOf(
  { bars, sections, candidates, ensemble, tunesBefore }: FrontInput,
  sharing: readonly LeadPart[],
): readonly (BarLead | undefined)[] {
  const given = givenBars(tunesBefore, sharing, bars);
  const known = knownLeads(candidates, ensemble);
  const leads = guessLeads(
    candidates.map(({ draft, id, notes }, index) => ({
      id,
      instrument: draft.instrument,
      unpitched: instrumentById(draft.instrument)?.polyphony.kind === 'unpitched',
      notes,
      known: known[index] ?? [],
      given: given.get(id) ?? new Set(),
    })),
    bars,
    sections,
  );
  return withGivenDoubt(leads, given, bars);
}

/**
 * Who leads where the first stage had one part: it, and whoever was given its tune since. Bars of which neither can be said are left open where it
 * plays chords and has given its tune away: it may accompany there.
 */
function withSoloist(
  soloist: Part,
  said: readonly (BarLead | undefined)[],
  { bars, parts, before }: FrontInput,
): readonly (BarLead | undefined)[] {
  const lines = parts.map(({ id, notes, unpitched, instrument }) => ({ id, notes, unpitched, instrument }));
  const followed = before === undefined ? [] : followedLeads(before, lines, bars);
  const ids = [
    ...followed.flatMap((lead) => lead?.partId ?? []),
    ...(before?.foreground ?? []).map((span) => span.partId),
  ];
  const hasGiven = ids.some((id) => id !== soloist.id);
  const otherwise = hasGiven && playsChords(soloist.instrument) ? undefined : saidLead(soloist.id);
  const soundsIn = (part: Part): ReadonlySet<number> =>
    new Set(part.notes.map(({ startQuarters }) => barIndexAt(bars, startQuarters)));
  const own = soundsIn(soloist);
  const others = parts.filter((part) => part !== soloist).map(soundsIn);
  const isAlone = (index: number): boolean => own.has(index) && !others.some((sounding) => sounding.has(index));
  return said.map((lead, index) => lead ?? followed[index] ?? (isAlone(index) ? saidLead(soloist.id) : otherwise));
}

/** The front of a stage; bars that the settings leave open go to the next rule. */
export function frontOf(input: FrontInput): Front {
  const { bars, parts, onlyPartOfFirstStage } = input;
  const sharing = parts.map(leadPartOf);
  const spans = (leads: readonly (BarLead | undefined)[]): readonly ForegroundSpan[] =>
    spansOf(bars, leads, (plain) => withSharedLeads(plain, sharing, bars));
  if (parts.length === 0) return { spans: [], by: 'settings', told: [] };
  const bySettings = saidByBar(input);
  if (bySettings.every((lead) => lead !== undefined)) return { spans: spans(bySettings), by: 'settings', told: [] };
  let found: readonly (BarLead | undefined)[] | undefined;
  const guessed = (): readonly (BarLead | undefined)[] => (found ??= guessOf(input, sharing));
  const { told, byNotes } = toldByBar(input, bySettings, guessed);
  const said = bySettings.map((lead, index) => lead ?? byNotes[index]);
  if (said.every((lead) => lead !== undefined)) return { spans: spans(said), by: 'notes', told };
  const alone = parts.length === 1 ? parts[0]?.id : onlyPartOfFirstStage;
  const soloist = parts.find((part) => part.id === alone);
  if (soloist !== undefined) {
    const leads = withSoloist(soloist, said, input);
    if (leads.every((lead) => lead !== undefined)) return { spans: spans(leads), by: 'first-stage', told };
    return { spans: spans(fillBars(leads.map((lead, index) => lead ?? guessed()[index]))), by: 'guess', told };
  }
  const all = fillBars(said.map((lead, index) => lead ?? guessed()[index]));
  return { spans: spans(all), by: 'guess', told };
}
