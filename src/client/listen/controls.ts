/** The line at the foot of the page from which one listens: words, no more than a line of them. */
import { button, element } from '../elements.ts';
import type { Sketch } from '../../sound/sketch.ts';
import type { HeardAs } from './player.ts';
import type { Heard } from './programme.ts';

export interface Controls {
  readonly line: HTMLElement;
  readonly go: HTMLButtonElement;
  readonly bar: HTMLInputElement;
  readonly parts: HTMLSelectElement;
  readonly stages: HTMLSelectElement;
  readonly others: HTMLSelectElement;
  readonly playOn: HTMLButtonElement;
  readonly softer: HTMLButtonElement;
  readonly louder: HTMLButtonElement;
  readonly away: HTMLButtonElement;
  /** Says how many bars there are, which ones are repeated ('' for none), and what it is that one hears. */
  readonly tell: (bars: string, repeated: string, heardAs: HeardAs) => void;
}

function select(label: string, ...options: readonly HTMLElement[]): HTMLSelectElement {
  const made = element('select', '', ...options);
  made.setAttribute('aria-label', label);
  return made;
}

function group(label: string, options: readonly HTMLElement[]): HTMLElement {
  const made = element('optgroup', '', ...options);
  made.label = label;
  return made;
}

const SKETCH = 'A sketch of pitch, time and balance as estimated from MIDI, not of sound.';

const NOTES: Readonly<Record<HeardAs, string>> = {
  audio: 'The audio that lies beside the music.',
  sketch: SKETCH,
  none: `There is no audio of this to hear. ${SKETCH}`,
  refused: `This browser does not play the audio. ${SKETCH}`,
};

const EARS = ' It begins quietly; mind your ears before you turn anything up.';

const HOW =
  ' While this line is here, a click on a bar plays from it, the space bar plays and stops, the left and right arrows go a bar back or on, and [ and ] set the first and last bar to repeat.';

/** What is to be heard as it stands in the list: `audio`, `all`, `front`, `back`, `alone ID`, `without ID`. */
export function choiceOf(value: string): Heard {
  const [kind = 'all', partId = ''] = value.split(' ');
  if (kind === 'alone' || kind === 'without') return { kind, partId };
  return { kind: kind === 'front' || kind === 'back' || kind === 'audio' ? kind : 'all' };
}

/** Parts of all stages, each once, under the name that it has in the last. */
function partsOf(sketches: readonly Sketch[]): readonly (readonly [id: string, name: string])[] {
  return [...new Map(sketches.flatMap(({ parts }) => parts.map(({ id, name }) => [id, name] as const)))];
}

/** The line, not yet on the page. */
export function createControls(sketches: readonly Sketch[], isCut: boolean, hasAudio: boolean): Controls {
  const sketched = hasAudio ? 'sketch: ' : '';
  const parts = partsOf(sketches);
  const titled = sketches.map(({ stageId, order, title }) => new Option(`${String(order)} ${title}`, stageId));
  const go = button('Listen', 'listen-go');
  const bar = element('input', '');
  bar.type = 'number';
  bar.setAttribute('aria-label', 'Bar');
  const count = element('span', 'listen-count');
  const repeated = element('span', '');
  const playOn = button('Play on');
  const repeating = element('span', 'listen-repeat', repeated, ' ', playOn);
  repeating.setAttribute('role', 'status');
  const controls = {
    go,
    bar,
    parts: select(
      'What is heard',
      ...(hasAudio ? [new Option('audio', 'audio')] : []),
      new Option(`${sketched}all parts`, 'all'),
      new Option(`${sketched}foreground only`, 'front'),
      new Option(`${sketched}background only`, 'back'),
      group(
        'One part alone',
        parts.map(([id, name]) => new Option(`${name} alone`, `alone ${id}`)),
      ),
      group(
        'One part left out',
        parts.map(([id, name]) => new Option(`without ${name}`, `without ${id}`)),
      ),
    ),
    stages: select('Stage', ...titled),
    others: select(
      'In turn with',
      new Option('this stage only', ''),
      ...sketches.map(({ stageId, order, title }) => new Option(`in turn with ${String(order)} ${title}`, stageId)),
    ),
    playOn,
    softer: button('Softer'),
    louder: button('Louder'),
    away: button('Put away'),
  };
  const several = sketches.length > 1 ? [controls.stages, controls.others] : [];
  const words = element(
    'p',
    'listen-line',
    go,
    element('label', '', 'from bar ', bar, ' ', count),
    controls.parts,
    ...several,
    repeating,
    controls.softer,
    controls.louder,
    controls.away,
  );
  const others = isCut ? ' Other stages are heard on their own pages.' : '';
  const heard = element('span', '');
  heard.setAttribute('role', 'status');
  const note = element('p', 'listen-note', heard, EARS, others, element('span', 'listen-how', HOW));
  const line = element('section', 'listen', words, note);
  line.setAttribute('aria-label', 'Listen');
  return {
    ...controls,
    line,
    tell: (bars, again, heardAs) => {
      if (heard.textContent !== NOTES[heardAs]) heard.textContent = NOTES[heardAs];
      count.textContent = bars;
      repeated.textContent = again;
      repeating.hidden = again === '';
    },
  };
}
