/** Who is in front in a stage: as settings say; else the part that was alone in the first stage; else a guess. */
import type { ForegroundSpan, Part, PlayedNote, Section } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { EnsembleKind } from '../../model/music/ensemble.ts';
import type { Bar } from '../../model/music/timeline.ts';
import type { Settings } from '../../read/settings/settings.ts';
import type { EarlierTune } from './given-tune.ts';
import { givenBars, withGivenDoubt } from './given-tune.ts';
import { guessLeads } from './guess-leads.ts';
import { partsMeant } from '../user-notes-and-settings/part-words.ts';
import type { NameReader } from '../names/source-track.ts';
import type { NamedDraft } from './known-lead.ts';
import { knownLeads } from './known-lead.ts';
import type { BarLead } from './lead-spans.ts';
import { fillBars, saidLead, spansOf } from './lead-spans.ts';
import type { LeadPart } from './shared-lead.ts';
import { withSharedLeads } from './shared-lead.ts';

export interface Front {
  readonly spans: readonly ForegroundSpan[];
  readonly by: 'settings' | 'first-stage' | 'guess';
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
  /** What led in the stage before. */
  readonly tunesBefore: readonly EarlierTune[];
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

/** The front of a stage; bars that the settings leave open go to the next rule. */
export function frontOf(input: FrontInput): Front {
  const { bars, parts, onlyPartOfFirstStage } = input;
  const sharing = parts.map(({ id, notes, unpitched, latenessMs }) => ({
    id,
    notes,
    unpitched,
    lateSeconds: latenessMs.median / 1000,
  }));
  const spans = (leads: readonly (BarLead | undefined)[]): readonly ForegroundSpan[] =>
    spansOf(bars, leads, (plain) => withSharedLeads(plain, sharing, bars));
  if (parts.length === 0) return { spans: [], by: 'settings' };
  const said = saidByBar(input);
  if (said.every((lead) => lead !== undefined)) return { spans: spans(said), by: 'settings' };
  const alone = parts.length === 1 ? parts[0]?.id : onlyPartOfFirstStage;
  if (alone !== undefined && parts.some((part) => part.id === alone)) {
    return { spans: spans(said.map((lead) => lead ?? saidLead(alone))), by: 'first-stage' };
  }
  const guessed = guessOf(input, sharing);
  const all = fillBars(said.map((lead, index) => lead ?? guessed[index]));
  return { spans: spans(all), by: 'guess' };
}
