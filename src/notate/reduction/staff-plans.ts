/** The staves of a reduced score and the clefs they may have. */
import catalogue from '../../../shared/instruments.json' with { type: 'json' };
import type { Part, Stage } from '../../model/music/arrangement.ts';
import type { Clef } from '../../model/music/instrument.ts';
import type { StaffInfo } from '../../model/music/written.ts';
import { hasTwoStaves } from '../voices/hands.ts';
import type { Line } from './lines.ts';
import type { ScoreTime } from '../score-time/score-time.ts';
import type { StaffBlock } from './staff-blocks.ts';

export interface StaffPlan extends StaffInfo {
  readonly choices: readonly Clef[];
}

const MIDDLE_C = 60;

const CLEFS_BY_INSTRUMENT = new Map(
  catalogue.instruments.map((instrument) => [instrument.id, instrument.clefs as readonly Clef[]]),
);

/** Clefs in which a part is read at sounding pitch; an instrument that sounds an octave lower gets the clef that says so. */
function clefsOf(part: Part): readonly Clef[] {
  const clefs = CLEFS_BY_INSTRUMENT.get(part.instrument);
  if (part.instrument === 'double-bass') return ['bass-8'];
  if (clefs !== undefined && clefs.length > 0) return [...new Set(clefs)];
  const pitched = part.notes.map((note) => note.midi);
  const mean = pitched.reduce((sum, midi) => sum + midi, 0) / Math.max(1, pitched.length);
  return mean < MIDDLE_C && pitched.length > 0 ? ['bass', 'treble'] : ['treble', 'bass'];
}

/**
 * Clefs of one staff on which all of these lead: several in turn are read at the keyboard as all else in a short score, in treble and bass clef, also
 * those whose players read C clefs (common practice, no source).
 */
function clefsInFront(leaders: readonly Part[]): readonly Clef[] {
  const all = [...new Set(leaders.flatMap(clefsOf))];
  if (leaders.length === 1) return all;
  const read = all.filter((clef) => clef !== 'alto' && clef !== 'tenor');
  return read.length === 0 ? ['treble'] : read;
}

function isOver(lines: readonly Line[], offset: number): boolean {
  return lines.every((line) => line.notes.every((note) => note.to <= offset && !note.goesOn));
}

/** The part in front of the next bar that begins its tune in this one, after a rest and after everyone now in front has ended. */
function pickupOf(next: ReadonlySet<string>, here: ReadonlySet<string>, lines: readonly Line[]): string | undefined {
  const leading = lines.filter((line) => here.has(line.partId));
  return [...next].find((partId) => {
    if (here.has(partId)) return false;
    const own = lines.filter((line) => line.partId === partId).flatMap((line) => line.notes);
    const first = Math.min(...own.map((note) => note.from));
    return own.length > 0 && first > 0 && own.every((note) => !note.continues) && isOver(leading, first);
  });
}

/** Ids of the parts in front by bar index, from the stage's spans; the upbeat of a tune belongs to the part that plays the tune. */
export function foregroundByBar(
  stage: Stage,
  time: ScoreTime,
  lines: readonly (readonly Line[])[],
): ReadonlySet<string>[] {
  const pitched = new Set(stage.parts.filter((part) => !part.unpitched).map((part) => part.id));
  const front = time.bars.map(
    (bar) =>
      new Set(
        stage.foreground
          .filter((span) => bar.number >= span.from && bar.number <= span.to && pitched.has(span.partId))
          .map((span) => span.partId),
      ),
  );
  return front.map((here, bar) => {
    const next = front[bar + 1];
    const pickup = next === undefined ? undefined : pickupOf(next, here, lines[bar] ?? []);
    return pickup === undefined ? here : new Set([...here, pickup]);
  });
}

/** Staves of those in front; none where nobody is. */
export function frontPlans(stage: Stage, front: readonly ReadonlySet<string>[]): StaffPlan[] {
  const leaders = stage.parts.filter((part) => front.some((ids) => ids.has(part.id)));
  const plans: StaffPlan[] = [];
  const only = leaders.length === 1 ? leaders[0] : undefined;
  const label = only?.name ?? 'Lead';
  const abbreviation = only?.abbreviation ?? 'Lead';
  if (leaders.some(hasTwoStaves)) {
    const common = { brace: 'foreground', role: 'foreground' } as const;
    plans.push(
      { ...common, id: 'foreground-upper', label, abbreviation, clef: 'treble', choices: ['treble', 'bass'] },
      {
        ...common,
        id: 'foreground-lower',
        label: '',
        abbreviation: '',
        clef: 'bass',
        choices: ['bass', 'treble'],
        // Others than the keyboard lead too: the second staff is there for it alone.
        ...(only === undefined ? { whenPlayed: true } : {}),
      },
    );
  } else if (leaders.length > 0) {
    const choices = clefsInFront(leaders);
    const id = 'foreground-upper';
    plans.push({ id, label, abbreviation, clef: choices[0] ?? 'treble', choices, brace: id, role: 'foreground' });
  }
  return plans;
}

/** One stave of the ensemble: which of two it is, and which of its lines always stands. */
export interface EnsembleStaff extends StaffPlan {
  /** Index of its block. */
  readonly block: number;
  readonly half: 'upper' | 'lower' | 'whole';
  readonly principal: 'top' | 'bass';
}

/** What a staff of its own is read in, by the mean of what it has to show. */
function choicesFor(lines: readonly Line[]): readonly Clef[] {
  let [sum, weight] = [0, 0];
  for (const { notes } of lines) {
    for (const note of notes) {
      sum += note.midi * (note.to - note.from);
      weight += note.to - note.from;
    }
  }
  return weight > 0 && sum / weight < MIDDLE_C ? ['bass', 'treble'] : ['treble', 'bass'];
}

/** Staves of the ensemble, block by block; choirs with staves of their own stand under one bracket and are left out where they rest. */
export function ensemblePlans(
  blocks: readonly StaffBlock[],
  linesOf: (block: number) => readonly (readonly Line[])[],
): EnsembleStaff[] {
  const areChoirs = blocks.length > 1;
  return blocks.flatMap(({ id, label, abbreviation, staves }, block): EnsembleStaff[] => {
    const common = {
      brace: id,
      role: 'background',
      block,
      ...(areChoirs ? { bracket: 'ensemble', whenPlayed: true } : {}),
    } as const;
    if (staves === 1) {
      const choices = choicesFor(linesOf(block).flat());
      const [clef = 'treble'] = choices;
      const principal = clef === 'bass' ? 'bass' : 'top';
      return [{ ...common, id, label, abbreviation, clef, choices, half: 'whole', principal }];
    }
    const upper = { clef: 'treble', choices: ['treble', 'bass'], half: 'upper', principal: 'top' } as const;
    const lower = { clef: 'bass', choices: ['bass', 'treble'], half: 'lower', principal: 'bass' } as const;
    return [
      { ...common, ...upper, id: `${id}-upper`, label, abbreviation },
      // A brace of choirs may lose its upper staff, and the lower one then bears the name.
      {
        ...common,
        ...lower,
        id: `${id}-lower`,
        label: areChoirs ? label : '',
        abbreviation: areChoirs ? abbreviation : '',
      },
    ];
  });
}
