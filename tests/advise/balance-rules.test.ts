import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, findingsOf, steps } from './stage-findings.ts';

const timeline = timelineOf(24);
const findingsFor = (...parts: Part[]) => findingsOf(stageOf(parts, timeline));

/** A note in every beat of bars `from` to `to`. */
function beats(pitch: string, from: number, to: number, velocity: number): string {
  const count = (to - from + 1) * 4;
  return Array.from({ length: count }, (_, beat) => `${pitch}:${(from - 1) * 4 + beat}:1:${velocity}`).join(' ');
}

const solo = (music: string): Part => partOf('trumpet-bflat', music, timeline, { role: 'foreground' });

describe('support-over-lead', () => {
  const lead = solo(beats('A5', 1, 24, 110));
  const violins = (number: number, music: string, changes: Partial<Part> = {}): Part =>
    partOf('violin', music, timeline, { name: `Violin ${'I'.repeat(number)}`, number, players: 8, ...changes });

  it('finds second violins over firsts in exactly the bars where they are', () => {
    const second = [beats('E4', 1, 16, 60), beats('E4', 17, 20, 72), beats('E4', 21, 24, 60)].join(' ');
    const findings = findingsFor(lead, violins(1, beats('A4', 1, 24, 60)), violins(2, second));
    expect(barsOf(findings, 'support-over-lead')).toEqual([['look', 17, 20]]);
    const finding = findings.find(({ rule }) => rule === 'support-over-lead');
    // 12 of 127 velocity steps at 31 dB from softest to forte (0.75): 12/127/0.75*31 = 3.9 dB.
    expect(finding?.message).toContain(
      'Violin II is about 4 dB louder than Violin I in bars 17–20 (estimated from MIDI',
    );
    expect(finding?.partIds).toEqual(['violin-ii', 'violin-i']);
  });

  it('is information where a note says that the first is softer there, or the second louder: it is meant', () => {
    const second = [beats('E4', 1, 16, 60), beats('E4', 17, 20, 72), beats('E4', 21, 24, 60)].join(' ');
    const stage = stageOf([lead, violins(1, beats('A4', 1, 24, 60)), violins(2, second)], timeline);
    const said = (partId: string, way: 'softer' | 'louder', from: number, to: number) =>
      findingsOf({ ...stage, announcedLevels: [{ partId, way, from, to }] });
    expect(barsOf(said('violin-i', 'softer', 17, 20), 'support-over-lead')).toEqual([['note', 17, 20]]);
    expect(barsOf(said('violin-ii', 'louder', 15, 24), 'support-over-lead')).toEqual([['note', 17, 20]]);
    expect(said('violin-i', 'softer', 17, 20).find(({ rule }) => rule === 'support-over-lead')?.message).toContain(
      '; a note says so.',
    );
    // Of other bars, or the other way round, it says nothing of this.
    expect(barsOf(said('violin-i', 'softer', 17, 19), 'support-over-lead')).toEqual([['look', 17, 20]]);
    expect(barsOf(said('violin-ii', 'softer', 17, 20), 'support-over-lead')).toEqual([['look', 17, 20]]);
  });

  it('is silent where both are marked alike, whatever register they lie in', () => {
    const findings = findingsFor(lead, violins(1, beats('C5', 1, 24, 60)), violins(2, beats('G3', 1, 24, 60)));
    expect(barsOf(findings, 'support-over-lead')).toEqual([]);
  });

  it('counts players: twice as many seconds at the same marking are 3 dB louder', () => {
    const many = violins(2, beats('A4', 1, 24, 60), { players: 16 });
    const findings = findingsFor(lead, violins(1, beats('A4', 1, 24, 60)), many);
    expect(barsOf(findings, 'support-over-lead')).toEqual([['look', 1, 24]]);
  });

  it('follows the expression controllers too', () => {
    const swell = [steps(11, 127, [0, 90], [32, 120], [48, 90])];
    const findings = findingsFor(
      lead,
      violins(1, beats('A4', 1, 24, 60), {
        tracks: violins(1, '').tracks.map((track) => ({ ...track, curves: [steps(11, 127, [0, 90])] })),
      }),
      violins(2, beats('E4', 1, 24, 60), {
        tracks: violins(2, '').tracks.map((track) => ({ ...track, curves: swell })),
      }),
    );
    expect(barsOf(findings, 'support-over-lead')).toEqual([['look', 9, 12]]);
  });

  it('does not compare bars where the first rests, other instruments, or a second part that is in front', () => {
    const first = violins(1, beats('A4', 1, 8, 60));
    expect(barsOf(findingsFor(lead, first, violins(2, beats('E4', 9, 24, 90))), 'support-over-lead')).toEqual([]);
    const viola = partOf('viola', beats('E4', 1, 24, 110), timeline, { number: 2 });
    expect(barsOf(findingsFor(lead, first, viola), 'support-over-lead')).toEqual([]);
    const inFront = violins(2, beats('E4', 1, 24, 90), { role: 'foreground' });
    expect(barsOf(findingsFor(first, inFront), 'support-over-lead')).toEqual([]);
  });

  it('tells a second part that is louder again and again once, in the worst of its passages, and where else', () => {
    const first = violins(1, beats('A4', 1, 24, 60));
    const second = (...loud: number[]): Part => {
      const bars = Array.from({ length: 24 }, (_, index) => index + 1);
      return violins(2, bars.map((bar) => beats('E4', bar, bar, loud.includes(bar) ? 90 : 50)).join(' '));
    };
    const findings = findingsFor(lead, first, second(3, 8, 13, 14, 20));
    expect(barsOf(findings, 'support-over-lead')).toEqual([['look', 13, 14]]);
    expect(findings.find(({ rule }) => rule === 'support-over-lead')?.message).toContain(
      'in bars 13–14 (estimated from MIDI, both taken in the same register); likewise in bars 3, 8 and 20.',
    );
    expect(barsOf(findingsFor(lead, first, second(3, 8, 13)), 'support-over-lead')).toHaveLength(3);
  });

  it('forgives one uneven bar, not one glaring bar', () => {
    const second = (velocity: number): Part =>
      violins(2, [beats('E4', 1, 8, 60), beats('E4', 9, 9, velocity), beats('E4', 10, 24, 60)].join(' '));
    const first = violins(1, beats('A4', 1, 24, 60));
    expect(barsOf(findingsFor(lead, first, second(70)), 'support-over-lead')).toEqual([]);
    expect(barsOf(findingsFor(lead, first, second(90)), 'support-over-lead')).toEqual([['look', 9, 9]]);
  });
});

describe('background-as-loud', () => {
  it('finds the bars where the background together reaches the foreground', () => {
    const front = partOf('oboe', beats('A5', 1, 24, 80), timeline, { role: 'foreground' });
    const horn = partOf(
      'horn-f',
      [beats('A3', 1, 8, 30), beats('A3', 9, 12, 100), beats('A3', 13, 24, 30)].join(' '),
      timeline,
    );
    const findings = findingsFor(front, horn);
    expect(barsOf(findings, 'background-as-loud')).toEqual([['look', 9, 12]]);
    expect(findings[0]?.message).toMatch(/about \d+ dB louder than Oboe in bars 9–12 \(estimated from MIDI\)/);
    expect(findings[0]?.partIds).toEqual(['oboe', 'horn-in-f']);
  });

  it('tells one cause that returns more than three times once, in the worst of its passages, and where else; three times apart', () => {
    const front = partOf('oboe', beats('A5', 1, 24, 80), timeline, { role: 'foreground' });
    const horn = (...loud: number[]): Part => {
      const bars = Array.from({ length: 24 }, (_, index) => index + 1);
      const velocity = (bar: number): number => (loud.includes(bar) || loud.includes(bar - 1) ? 100 : 20);
      return partOf('horn-f', bars.map((bar) => beats('A3', bar, bar, velocity(bar))).join(' '), timeline);
    };
    const findings = findingsFor(front, horn(2, 8, 14, 20));
    expect(barsOf(findings, 'background-as-loud')).toEqual([['look', 2, 3]]);
    expect(findings.find(({ rule }) => rule === 'background-as-loud')?.message).toContain(
      'likewise in bars 8–9, 14–15 and 20–21.',
    );
    expect(barsOf(findingsFor(front, horn(2, 8, 14)), 'background-as-loud')).toEqual([
      ['look', 2, 3],
      ['look', 8, 9],
      ['look', 14, 15],
    ]);
  });

  it('is silent where four like parts play one dynamic grade under the solo', () => {
    // One of six grades is 21 of 127 velocity steps.
    const front = partOf('oboe', beats('A5', 1, 24, 90), timeline, { role: 'foreground' });
    const four = ['G4', 'E4', 'C4', 'G4'].map((pitch, index) =>
      partOf('oboe', beats(pitch, 1, 24, 60), timeline, { name: `Oboe ${index + 2}` }),
    );
    expect(barsOf(findingsFor(front, ...four), 'background-as-loud')).toEqual([]);
  });

  it('a bar in which the lead is handed over is none in which the old leader is too loud', () => {
    const span = { certainty: 1, weak: false, shared: [] };
    const led = (trumpet: string) => {
      const parts = [
        partOf('trumpet-bflat', trumpet, timeline, { role: 'foreground' }),
        partOf('flute', beats('A5', 9, 24, 50).replace(/^(?:\S+ ){2}/, ''), timeline, { role: 'foreground' }),
        partOf('horn-f', `${beats('A3', 1, 8, 30)} ${beats('A3', 9, 12, 60)} ${beats('A3', 13, 24, 10)}`, timeline),
      ];
      const stage = stageOf(parts, timeline, {
        foreground: [
          { partId: 'trumpet-in-b-flat', from: 1, to: 8, ...span },
          { partId: 'flute', from: 9, to: 24, ...span },
        ],
      });
      return findingsOf(stage).filter(({ rule }) => rule === 'background-as-loud');
    };
    // It ends on the first two beats of the flute's first bar: who is over the flute is the horn alone.
    const over = led(`${beats('A4', 1, 8, 110)} A4:32:1:110 A4:33:1:110`);
    expect(over.map(({ from, to, partIds }) => [from, to, partIds])).toEqual([[9, 12, ['flute', 'horn-in-f']]]);
    // Who plays on under the new leader is no longer handing over.
    expect(led(beats('A4', 1, 10, 110)).map(({ partIds }) => partIds)).toEqual([['flute', 'trumpet-in-b-flat']]);
  });

  it('does not judge bars in which the foreground rests', () => {
    const front = partOf('oboe', `${beats('A5', 1, 8, 90)} ${beats('A5', 13, 24, 90)}`, timeline, {
      role: 'foreground',
    });
    const horn = partOf('horn-f', beats('A3', 9, 12, 100), timeline);
    expect(barsOf(findingsFor(front, horn), 'background-as-loud')).toEqual([]);
  });

  it('only notes it where the level of the foreground instrument is itself assumed, but looks where it is far under', () => {
    const front = partOf('harp', beats('A4', 1, 24, 60), timeline, { role: 'foreground' });
    const horn = (velocity: number): Part =>
      partOf('horn-f', beats('A3', 9, 12, velocity), timeline, { trimDb: velocity < 100 ? -8 : 0 });
    expect(barsOf(findingsFor(front, horn(110)), 'background-as-loud')).toEqual([['look', 9, 12]]);
    // Marked no louder than the harp, the horn is the harpist's match whatever an assumption says.
    expect(barsOf(findingsFor(front, horn(50)), 'background-as-loud')).toEqual([]);
    const findings = findingsFor(front, horn(71));
    expect(barsOf(findings, 'background-as-loud')).toEqual([['note', 9, 12]]);
    expect(findings.find(({ rule }) => rule === 'background-as-loud')?.message).toContain('its own is assumed');
  });

  it('among singers what is assumed of their level is the same for all: a tenor far under two others is to be looked at', () => {
    const tenor = (velocity: number): Part =>
      partOf('voice-tenor', beats('G4', 1, 24, velocity), timeline, { role: 'foreground' });
    const upper = ['A4', 'C4'].map((pitch, index) =>
      partOf(index === 0 ? 'voice-soprano' : 'voice-alto', beats(pitch, 1, 24, 100), timeline),
    );
    expect(barsOf(findingsFor(tenor(70), ...upper), 'background-as-loud')).toEqual([['look', 1, 24]]);
    expect(barsOf(findingsFor(tenor(100), ...upper), 'background-as-loud')).toEqual([]);
  });

  describe('a section of equals that holds its chord in the place of the tune', () => {
    // No figure is published for a saxophone, and nobody in the section is marked half a grade over it.
    const lead = (changes: Partial<Part> = {}): Part =>
      partOf('sax-alto', beats('C5', 1, 24, 100), timeline, { role: 'foreground', ...changes });
    const section = (from: number, to: number, velocity: number): readonly Part[] =>
      (
        [
          ['trumpet-bflat', 'E5'],
          ['sax-tenor', 'C5'],
          ['trombone-tenor', 'A4'],
        ] as const
      ).map(([id, pitch]) =>
        partOf(
          id,
          [beats(pitch, 1, from - 1, 55), beats(pitch, from, to, velocity), beats(pitch, to + 1, 24, 55)].join(' '),
          timeline,
        ),
      );
    const told = (...parts: Part[]) => findingsFor(...parts).filter(({ rule }) => rule === 'background-as-loud');

    it('is named whole where it swells up over the lead, and is told to come down or thin out', () => {
      const [finding, ...others] = told(lead(), ...section(9, 10, 110));
      expect(others).toEqual([]);
      expect(finding).toMatchObject({ level: 'look', from: 9, to: 10 });
      expect([...(finding?.partIds ?? [])].sort()).toEqual([
        'alto-saxophone',
        'tenor-saxophone',
        'tenor-trombone',
        'trumpet-in-b-flat',
      ]);
      expect(finding?.advice).toMatch(/softer.*thin it out/);
    });

    it('is none in one bar of a fill, marked softer than the lead, where the lead is doubled, or always there', () => {
      expect(told(lead(), ...section(9, 9, 110))).toEqual([]);
      expect(told(lead(), ...section(9, 10, 90))).toEqual([]);
      expect(told(lead(), ...section(2, 23, 110))).toEqual([]);
      const [trumpet, ...rest] = section(9, 10, 110);
      const doubled = [lead(), { ...trumpet, role: 'foreground' } as Part, ...rest];
      expect(told(...doubled)).toEqual([]);
    });

    it('is none over what a piano struck and lets die away, as under a last chord', () => {
      const piano = partOf('piano', `${beats('C5', 1, 8, 100)} C5:32:8:100 ${beats('C5', 11, 24, 100)}`, timeline, {
        role: 'foreground',
      });
      expect(told(piano, ...section(9, 10, 110))).toEqual([]);
    });

    it('is none an octave and more under the tune, where it carries it', () => {
      const low = (['E3', 'C3', 'A2'] as const).map((pitch, index) =>
        partOf(
          'trombone-tenor',
          [beats(pitch, 1, 8, 55), beats(pitch, 9, 10, 110), beats(pitch, 11, 24, 55)].join(' '),
          timeline,
          { name: `Trombone ${index + 1}` },
        ),
      );
      expect(told(lead(), ...low)).toEqual([]);
    });
  });

  it('asks for more distance where the settings do', () => {
    const front = partOf('oboe', beats('A5', 1, 24, 90), timeline, { role: 'foreground' });
    const flute = partOf('flute', beats('A4', 1, 24, 70), timeline);
    const stage = stageOf([front, flute], timeline);
    expect(barsOf(findingsOf(stage), 'background-as-loud')).toEqual([]);
    expect(barsOf(findingsOf(stage, { 'background-as-loud': 20 }), 'background-as-loud')).toEqual([['look', 1, 24]]);
  });
});

describe('background-above-melody', () => {
  const tune = (close: string): Part => solo(`${beats('A4', 1, 7, 50)} ${close} ${beats('A4', 9, 16, 50)}`);

  it('asks to look at a phrase close under a higher background note', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} F#5:28:4:70`, timeline);
    const findings = findingsFor(tune('D4:28:2:50'), violin);
    expect(barsOf(findings, 'background-above-melody')).toEqual([['look', 8, 8]]);
    const message = findings.find(({ rule }) => rule === 'background-above-melody')?.message ?? '';
    expect(message).toContain('F♯5 over D4 (written E4)');
  });

  it('is silent where the note above doubles the melody at the octave', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} D5:28:4:70`, timeline);
    expect(barsOf(findingsFor(tune('D4:28:2:110'), violin), 'background-above-melody')).toEqual([]);
  });

  it('is silent where another answers over the last note that is held, as players of any trade do', () => {
    const fill = 'F#5:29:0.5:70 G5:29.5:0.5:70 A5:30:2:70';
    const violin = partOf('violin', `${beats('F4', 1, 6, 30)} ${fill}`, timeline);
    expect(barsOf(findingsFor(tune('D4:28:4:50'), violin), 'background-above-melody')).toEqual([]);
    // What goes on from before, or begins with the last note, takes it away.
    const goingOn = partOf('violin', `${beats('F4', 1, 7, 30)} F4:28:1:70 ${fill}`, timeline);
    expect(barsOf(findingsFor(tune('D4:28:4:50'), goingOn), 'background-above-melody')).toEqual([['look', 8, 8]]);
    const early = partOf('violin', `${beats('F4', 1, 7, 30)} F#5:28:1.5:70 A5:29.5:2.5:70`, timeline);
    expect(barsOf(findingsFor(tune('D4:28:4:50'), early), 'background-above-melody')).toEqual([['look', 8, 8]]);
  });

  it('does not mind a note shorter than a beat', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} F#5:28:0.5:70`, timeline);
    expect(barsOf(findingsFor(tune('D4:28:2:110'), violin), 'background-above-melody')).toEqual([]);
  });

  it('leaves a descant where it belongs, above the tune, and knows it from a treble', () => {
    const above = (name: string): Part =>
      partOf('trumpet-bflat', `${beats('F4', 1, 7, 30)} F#5:28:4:70`, timeline, { name });
    const told = (...parts: Part[]) => barsOf(findingsFor(tune('D4:28:2:50'), ...parts), 'background-above-melody');
    expect(told(above('Trumpet 3'))).toEqual([['look', 8, 8]]);
    expect(told(above('Diskant Trp 3'))).toEqual([]);
    expect(told(above('Trumpet (Descant)'))).toEqual([]);
    expect(told(partOf('voice-soprano', 'F#5:28:4:70', timeline, { name: 'Diskant' }))).toEqual([['look', 8, 8]]);
  });

  it('a line that a note announces is meant, in those bars and no others', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} F#5:28:4:70`, timeline);
    const stage = stageOf([tune('D4:28:2:50'), violin], timeline);
    const told = (from: number, to: number) =>
      findingsOf({ ...stage, announced: [{ partId: 'violin', from, to }] }).find(
        ({ rule }) => rule === 'background-above-melody',
      );
    expect(told(5, 8)).toMatchObject({ level: 'note', from: 8, to: 8 });
    expect(told(5, 8)?.message).toContain('a note announces it');
    expect(told(1, 4)).toMatchObject({ level: 'look' });
  });

  it('inside a phrase it is a note, one for adjacent bars and all parts above', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} C5:12:8:80`, timeline);
    const flute = partOf('flute', 'F5:16:4:70', timeline);
    const findings = findingsFor(tune('A4:28:4:50'), violin, flute);
    expect(barsOf(findings, 'background-above-melody')).toEqual([['note', 4, 5]]);
    expect(findings.find(({ rule }) => rule === 'background-above-melody')?.partIds).toEqual(['violin', 'flute']);
  });

  it('inside a phrase a note far softer than the melody is behind it wherever it lies', () => {
    const violin = partOf('violin', `${beats('F4', 1, 7, 30)} C5:12:8:30`, timeline);
    expect(barsOf(findingsFor(tune('A4:28:4:50'), violin), 'background-above-melody')).toEqual([]);
  });

  it('a piano or a harp over the melody accompanies', () => {
    for (const id of ['piano', 'harp', 'guitar']) {
      const chords = partOf(id, `${beats('F4', 1, 7, 60)} F#5:28:4:70`, timeline);
      expect(barsOf(findingsFor(tune('D4:28:2:50'), chords), 'background-above-melody')).toEqual([]);
    }
  });

  it('a second accordion over the tune of the first is no accompaniment', () => {
    const [first, second] = [tune('D4:28:2:50'), partOf('accordion', `${beats('F4', 1, 7, 60)} F#5:28:4:70`, timeline)];
    const led = { ...first, instrument: 'accordion', family: second.family };
    expect(barsOf(findingsFor(led, { ...second, id: 'second' }), 'background-above-melody')).toEqual([['look', 8, 8]]);
    expect(barsOf(findingsFor(first, second), 'background-above-melody')).toEqual([]);
  });

  it('tells one part over the close of phrase after phrase once, and where else', () => {
    const closes = [4, 8, 12, 16];
    const phrases = closes.map((bar) => `${beats('A4', bar - 3, bar - 1, 50)} D4:${String(4 * bar - 4)}:2:50`);
    const above = closes.map((bar) => `F#5:${String(4 * bar - 4)}:2:70`);
    const violin = partOf('violin', above.join(' '), timeline);
    const findings = findingsFor(solo(phrases.join(' ')), violin);
    expect(barsOf(findings, 'background-above-melody')).toEqual([['look', 4, 4]]);
    expect(findings.find(({ rule }) => rule === 'background-above-melody')?.message).toContain(
      'likewise in bars 8, 12 and 16.',
    );
    const thrice = partOf('violin', above.slice(0, 3).join(' '), timeline);
    expect(barsOf(findingsFor(solo(phrases.join(' ')), thrice), 'background-above-melody')).toHaveLength(3);
  });

  it('says nothing where the melody lies inside by the whole lay-out', () => {
    const cello = partOf('cello', `${beats('A2', 1, 4, 110)} ${beats('D3', 6, 16, 110)}`, timeline, {
      role: 'foreground',
    });
    const violin = partOf('violin', beats('F4', 1, 16, 10), timeline);
    expect(barsOf(findingsFor(cello, violin), 'background-above-melody')).toEqual([]);
  });
});
