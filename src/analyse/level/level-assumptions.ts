/** How the level of each part was estimated, in a sentence for "how it was measured". */
import type { Part } from '../../model/music/arrangement.ts';
import { instrumentById } from '../../model/music/catalogue.ts';
import type { LevelAssumption } from '../../model/readings/readings.ts';
import type { LevelModel } from './level-model.ts';
import { isLevelLeftOut } from './left-out.ts';
import { REGISTER_STEP_DB } from './power/power-of-instrument.ts';

const DYNAMICS_TEXT: Readonly<Record<Part['dynamics'], string>> = {
  velocity: 'velocity',
  cc1: 'controller 1',
  cc2: 'controller 2',
  cc11: 'controller 11',
};

function registerText(part: Part): string {
  const registers = instrumentById(part.instrument)?.registers ?? [];
  return registers.length === 0
    ? ''
    : `; ${REGISTER_STEP_DB} dB for each step a register is stronger or weaker (our convention)`;
}

function decayText(model: LevelModel): string {
  const rates = [...new Set(model.tracks.map((track) => track.decayDbPerSecond))].filter((rate) => rate > 0);
  if (rates.length === 0) return '';
  const which = model.tracks.every((track) => track.decayDbPerSecond > 0) ? 'notes die' : 'plucked notes die';
  const less = Math.max(...model.tracks.map(({ pluckedLessDb }) => pluckedLessDb));
  const plucked = less > 0 ? `, and begin ${String(less)} dB softer than bowed ones` : '';
  const held = model.tracks.find(({ tremoloFromSeconds }) => tremoloFromSeconds !== undefined)?.tremoloFromSeconds;
  const tremolo = held === undefined ? '' : `, those of ${String(held)} s and more taken as tremolo do not`;
  return `; ${which} away by ${rates.join(' or ')} dB a second${plucked}${tremolo} (our convention)`;
}

function playersText(part: Part): string {
  if (part.players === 1) return '1 player';
  return `${part.players} players${part.playersBy === 'default' ? ' (taken as usual)' : ''}`;
}

function signed(db: number): string {
  return `${db > 0 ? '+' : '−'}${Math.abs(db)}`;
}

/** What has to be said of a part whose dynamic nothing compares with that of others. */
const OTHER_SCALE =
  ', others go by velocity: which setting is which velocity nobody wrote down, so a bar with the two sides of the balance on two scales that does not stand out is told by whichever reading puts the foreground further in front (the other one: velocity as the dynamic, controller 11 a gain, as General MIDI has it)';

/** The same of every part but the first of them. */
const OTHER_SCALE_TOO = ', another scale than the velocities of others, as said above';

/** The sentence for one part; `apart` as `partsOnAnotherScale` has them. */
export function levelAssumptionOf(part: Part, model: LevelModel, apart: ReadonlySet<string>): LevelAssumption {
  const { figures, assumed, basis } = model.power;
  const range = `sound power of one player ${figures.softest} to ${figures.loudest} dB`;
  const origin = assumed
    ? `${range}, which is an assumption (${basis}) because no published figure is at hand`
    : `${range} after ${basis}`;
  const trim = part.trimDb === 0 ? '' : `; trimmed by ${signed(part.trimDb)} dB`;
  const [first] = apart;
  const scale = !apart.has(part.id) ? '' : part.id === first ? OTHER_SCALE : OTHER_SCALE_TOO;
  const dynamic = `${DYNAMICS_TEXT[part.dynamics]} as the dynamic${scale}`;
  return {
    partId: part.id,
    text: `${part.instrumentName}: ${origin}; ${dynamic}; ${playersText(part)}${trim}${registerText(part)}${decayText(model)}${isLevelLeftOut(part) ? '; left out of the sums of foreground and background' : ''}.`,
    assumed,
  };
}
