import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/music/arrangement.ts';
import { partOf, stageOf, timelineOf } from '../support/arrangement.ts';
import { barsOf, figure, findingsOf, messageOf } from './stage-findings.ts';

/** 60 quarters a minute: a quarter is a second, a bar four. */
const timeline = timelineOf(64);
const solo = partOf('piano', figure('C5 D5 E5 F5', 1, 1, 64, 90), timeline, { role: 'foreground', name: 'Solo' });
const findingsFor = (...parts: Part[]) => findingsOf(stageOf([solo, ...parts], timeline));
const told = (rule: string, ...parts: Part[]) => barsOf(findingsFor(...parts), rule);

describe('double-stop (each note wants a string of its own: Rimsky-Korsakov, Gehrkens; the reach of a hand from memory)', () => {
  const viola = (music: string, players = 1): Part => partOf('viola', music, timeline, { players });

  it('two notes under G3 lie on the lowest string of a viola together', () => {
    expect(told('double-stop', viola('C#3:8:4 F3:8:4'))).toEqual([['look', 3, 3]]);
    expect(messageOf(findingsFor(viola('C#3:8:4 F3:8:4')), 'double-stop')).toContain('C♯3 and F3 at bar 3, beat 1');
  });

  it('a sixth from string to string is held, and a section divides', () => {
    expect(told('double-stop', viola('E3:8:4 C4:8:4'))).toEqual([]);
    expect(told('double-stop', viola('C#3:8:4 F3:8:4', 6))).toEqual([]);
  });

  it('a larger hand is a matter of settings', () => {
    // An octave is stopped a fourth apart; C sharp 3 and E4 are a semitone and nine semitones over their strings.
    expect(told('double-stop', viola('E3:8:4 E4:8:4'))).toEqual([]);
    const ninth = viola('C#3:8:4 E4:8:4');
    expect(told('double-stop', ninth)).toEqual([['look', 3, 3]]);
    expect(barsOf(findingsOf(stageOf([solo, ninth], timeline), { 'double-stop': 4 }), 'double-stop')).toEqual([]);
  });
});

describe('one-string (one note a string; open strings of the catalogue)', () => {
  const guitar = (music: string, instrument = 'guitar'): Part => partOf(instrument, music, timeline);

  it('E2 and G2 lie on the sixth string of a guitar alone', () => {
    expect(told('one-string', guitar('E2:8:4 G2:8:4 B3:8:4'))).toEqual([['fix', 3, 3]]);
  });

  it('which is to be checked only where the guitar is a guess', () => {
    const guess: Part = { ...guitar('E2:8:4 G2:8:4 B3:8:4'), recognisedBy: 'program' };
    expect(told('one-string', guess)).toEqual([['look', 3, 3]]);
  });

  it('an open chord of six notes has a string for each, and so has a broken one', () => {
    expect(told('one-string', guitar('E2:8:4 B2:8:4 E3:8:4 G#3:8:4 B3:8:4 E4:8:4'))).toEqual([]);
    expect(told('one-string', guitar('E2:8:1 G2:9:1 B3:10:1'))).toEqual([]);
  });

  it('a violinist who holds A3 cannot begin B3 beside it, and can D5', () => {
    expect(told('one-string', guitar('A3:8:4 B3:10:2', 'violin'))).toEqual([['look', 3, 3]]);
    expect(told('one-string', guitar('A3:8:4 D4:10:2', 'violin'))).toEqual([]);
  });
});

describe('divisi (by desks, in four and more only softly: Rimsky-Korsakov)', () => {
  const violins = (velocity: number, players: number): Part => {
    const part = partOf('violin', 'G3:8:4 D4:8:4 B4:8:4 G5:8:4', timeline, { players });
    return { ...part, notes: part.notes.map((note) => ({ ...note, velocity })) };
  };

  it('a chord of four notes is thin for sixteen violins forte, and soft it is not', () => {
    expect(told('divisi', violins(110, 16))).toEqual([['note', 3, 3]]);
    expect(told('divisi', violins(40, 16))).toEqual([]);
  });
});

describe('stamina (common practice, no source; the longest of 14 open songs goes on for 58 s at 100 to the minute)', () => {
  const singer = (music: string): Part => partOf('voice-soprano', music, timeline);

  it('a song of twenty bars without a rest is too much for one singer at one quarter a second', () => {
    expect(told('stamina', singer(figure('C5 D5', 2, 3, 22)))).toEqual([['look', 3, 22]]);
  });

  it('half of it, a rest, and the other half is not, but where breath is caught is asked', () => {
    const halves = (lengthQuarters: number): Part =>
      singer(`${figure('C5 D5', lengthQuarters, 3, 11)} ${figure('C5 D5', lengthQuarters, 13, 22)}`);
    expect(told('stamina', halves(2)).map(([level]) => level)).toEqual(['note', 'note']);
  });

  it('a quarter of a second after every fourth bar is a place to breathe', () => {
    const phrase = (bar: number): string => `C5:${String(4 * (bar - 1))}:8 D5:${String(4 * (bar - 1) + 8)}:7.5`;
    expect(told('stamina', singer([3, 7, 11].map(phrase).join(' ')))).toEqual([]);
  });
});

describe('leftover-track (common practice, no source)', () => {
  const line = (name: string, instrument = 'violin'): Part =>
    ((part) => ({ ...part, tracks: part.tracks.map((track) => ({ ...track, name })) }))(
      partOf(instrument, figure('G4 A4 B4 A4', 1, 3, 10), timeline, { name }),
    );

  it('an old piano that has the notes of the violins is left over', () => {
    expect(told('leftover-track', line('Violins'), line('Piano old', 'piano'))).toEqual([['look', 3, 10]]);
  });

  it('a flute in unison with the violins is a doubling', () => {
    expect(told('leftover-track', line('Violins'), line('Flute', 'flute'))).toEqual([]);
  });
});

describe('covered-from-above (weak and strong registers: Rimsky-Korsakov)', () => {
  const front = partOf('flute', figure('D4 E4 F4 E4', 1, 3, 8, 90), timeline, { role: 'foreground', name: 'Tune' });
  const above = (music: string): Part => partOf('trumpet-c', music, timeline, { name: 'Above' });
  const heard = (part: Part) => barsOf(findingsOf(stageOf([front, part], timeline), {}), 'covered-from-above');

  it('a flute in its lowest notes under a soft trumpet is not listened to', () => {
    expect(heard(above(figure('C5', 4, 3, 8, 20)))).toEqual([['look', 3, 8]]);
  });

  it('under the flute it does not cover it from above', () => {
    expect(heard(above(figure('G3', 4, 3, 8, 20)))).toEqual([]);
  });
});

describe('hand-span (R. Boyle, R. Boyle and E. Booker: a ninth is the practical ceiling, a tenth for large hands)', () => {
  const keys = (music: string, instrument = 'piano'): Part => partOf(instrument, music, timeline, { name: 'Keys' });

  it('over a bass note a tenth is broken once without a word, noted a second time; a ninth is everyday', () => {
    expect(told('hand-span', keys('C1:8:4 C3:8:4 E4:8:4'))).toEqual([]);
    expect(told('hand-span', keys('C1:8:4 C3:8:4 E4:8:4 C1:12:4 C3:12:4 E4:12:4'))).toEqual([['note', 3, 4]]);
    expect(told('hand-span', keys('C1:8:4 C3:8:4 D4:8:4'))).toEqual([]);
  });

  it('one twelfth can be rolled, three in a row are to be looked at', () => {
    const chord = (start: number): string => `C1:${start}:4 C3:${start}:4 G4:${start}:4`;
    expect(told('hand-span', keys(chord(8)))).toEqual([['note', 3, 3]]);
    expect(told('hand-span', keys([8, 12, 16].map(chord).join(' ')))).toEqual([['look', 3, 5]]);
  });

  it('one twelfth that is struck and followed within half a second is to be looked at: there is no time to roll it', () => {
    const chord = (start: number, length: number): string =>
      `D2:${start}:${length} A3:${start}:${length} F5:${start}:${length}`;
    expect(told('hand-span', keys(`${chord(8, 0.5)} D3:8.5:0.5 F4:8.5:0.5`))).toEqual([['look', 3, 3]]);
    expect(told('hand-span', keys(`${chord(8, 4)} D3:12:1 F4:12:1`))).toEqual([['note', 3, 3]]);
  });

  it('a chord in the middle that neither hand reaches wants a third hand: it must be fixed, and the middle is what goes', () => {
    const chord = (names: string, more = ''): string => `${names.replaceAll(/\S+/g, (name) => `${name}:8:4`)} ${more}`;
    const findings = findingsFor(keys(chord('Eb1 Eb2 G3 Bb3 C4 G5 Bb5 Eb6')));
    expect(barsOf(findings, 'hand-span')).toEqual([['fix', 3, 3]]);
    expect(findings.find(({ rule }) => rule === 'hand-span')?.advice).toContain(
      'Leave the middle out (G3, B♭3 and C4) or give it to somebody else',
    );
    // Two octaves in each hand, and nothing between: what is far apart is two hands' everyday.
    expect(told('hand-span', keys(chord('Eb1 Eb2 Bb5 Eb6')))).toEqual([]);
    // One key in the middle goes to whichever hand is free first.
    expect(told('hand-span', keys(chord('Eb1 Eb2 Bb3 Bb5 Eb6')))).toEqual([['look', 3, 3]]);
    // Four hands have it, and a player who breaks it.
    const four = partOf('piano', chord('Eb1 Eb2 G3 Bb3 C4 G5 Bb5 Eb6'), timeline, { name: 'Keys', players: 2 });
    expect(told('hand-span', four).filter(([level]) => level === 'fix')).toEqual([]);
    expect(told('hand-span', keys(chord('Eb1 Eb2 G5 Bb5 Eb6', 'G3:8.5:3.5 Bb3:8.5:3.5 C4:8.5:3.5')))).toEqual([]);
    // Bellows have buttons for the left hand.
    expect(told('hand-span', keys(chord('Eb2 Eb3 G4 Bb4 G6 Bb6'), 'accordion')).map(([level]) => level)).not.toContain(
      'fix',
    );
  });

  it('one that leaves a tenth to the left hand and a twelfth to the right is looked at: neither has a hand free to roll it', () => {
    const chord = (names: string): string =>
      names
        .split(' ')
        .map((name) => `${name}:8:4`)
        .join(' ');
    const findings = findingsOf(stageOf([keys(chord('F#2 A3 D4 A4 D5 F#5 A5'))], timeline));
    expect(barsOf(findings, 'hand-span')).toEqual([['look', 3, 3]]);
    expect(messageOf(findings, 'hand-span')).toContain('while the other hand has more than a ninth too');
    expect(told('hand-span', keys(chord('F#2 D4 A4 D5 F#5 A5')))).toEqual([['note', 3, 3]]);
  });

  it('a chord rolled from below is none, and an organist has the feet for the bass', () => {
    expect(told('hand-span', keys('C1:8:4 C3:8:4 G4:8.5:3.5'))).toEqual([]);
    expect(told('hand-span', keys('C2:8:4 C4:8:4 G5:8:4', 'organ'))).toEqual([]);
  });
});

describe('harp-pedals (one pedal a letter: Rimsky-Korsakov, Gehrkens; about a second for a change: from memory)', () => {
  const harp = (music: string): Part => partOf('harp', music, timeline);

  it('C sharp over a C that has just sounded wants the pedal moved at once', () => {
    expect(told('harp-pedals', harp('C4:8:2 C#5:8:2'))).toEqual([['look', 3, 3]]);
    expect(told('harp-pedals', harp('C4:8:0.75 C#4:8.75:1'))).toEqual([['note', 3, 3]]);
  });

  it('with a second and a half nothing is said', () => {
    expect(told('harp-pedals', harp('C4:8:1 C#4:9.5:1'))).toEqual([]);
  });
});

describe('timpani-tuning (four pedal drums: J. J. Papastefan; two seconds for a change: common practice, no source)', () => {
  const timpani = (music: string): Part => partOf('timpani', music, timeline);

  it('a third pitch that only the two large drums have, a second later, is to be looked at', () => {
    // F2 and G flat 2 take the drums of 32 and 29 inches, and no other has G2.
    expect(told('timpani-tuning', timpani('F2:8:0.5 Gb2:9:0.5 G2:9.75:0.5'))).toEqual([['note', 3, 3]]);
    expect(told('timpani-tuning', timpani('F2:8:0.5 Gb2:8.5:0.5 G2:9:0.5'))).toEqual([['look', 3, 3]]);
    expect(messageOf(findingsFor(timpani('F2:8:0.5 Gb2:8.5:0.5 G2:9:0.5')), 'timpani-tuning')).toContain(
      'a set of 4 pedal drums and one player are assumed',
    );
  });

  it('two pitches of the classical pair stroke by stroke, or four on four drums, are nothing', () => {
    expect(told('timpani-tuning', timpani(figure('G2 D3', 0.5, 3, 6)))).toEqual([]);
    expect(told('timpani-tuning', timpani(figure('F2 C3 D3 G3', 0.5, 3, 6)))).toEqual([]);
  });

  it('in two seconds of rest a drum is retuned', () => {
    expect(told('timpani-tuning', timpani('F2:8:0.5 Gb2:9:0.5 G2:12:0.5'))).toEqual([]);
  });

  it('drums are chosen ahead: the second drum is left free for the pitch that comes in haste', () => {
    // G2 lies on both large drums, E2 on the largest alone.
    expect(told('timpani-tuning', timpani('G2:8:0.5 E2:8.5:0.5 G2:9:0.5'))).toEqual([]);
  });

  it('two drums retuned in one rest of two seconds are one too many for one player', () => {
    expect(told('timpani-tuning', timpani('F2:8:0.5 Gb2:8.5:0.5 G2:11:0.5 Ab2:11.5:0.5'))).toEqual([['note', 3, 3]]);
  });

  it('a slower pedal is a matter of settings', () => {
    const part = timpani('F2:8:0.5 Gb2:9:0.5 G2:12:0.5');
    expect(barsOf(findingsOf(stageOf([solo, part], timeline), { 'timpani-tuning': 6 }), 'timpani-tuning')).toHaveLength(
      1,
    );
  });
});

describe('repeated-notes (tuba 9 to 10 a second: contemporarytuba.com; others from memory)', () => {
  const strokes = (instrument: string, pitch: string, perSecond: number, players = 1): Part =>
    partOf(
      instrument,
      Array.from({ length: 16 }, (_, index) => `${pitch}:${8 + index / perSecond}:${0.8 / perSecond}`).join(' '),
      timeline,
      { players },
    );

  it('a bassoon at nine a second is noted, at ten to be looked at, at seven left alone', () => {
    expect(told('repeated-notes', strokes('bassoon', 'C3', 8))).toEqual([['note', 3, 3]]);
    expect(told('repeated-notes', strokes('bassoon', 'C3', 10))).toEqual([['look', 3, 3]]);
    expect(told('repeated-notes', strokes('bassoon', 'C3', 7))).toEqual([]);
  });

  it('a trumpet has a double tongue and is only noted, and only beyond that (Rimsky-Korsakov, ch. I); far beyond it is to be looked at', () => {
    expect(told('repeated-notes', strokes('trumpet-c', 'C5', 12))).toEqual([]);
    expect(told('repeated-notes', strokes('trumpet-c', 'C5', 14))).toEqual([['note', 3, 3]]);
    expect(told('repeated-notes', strokes('trumpet-c', 'C5', 16))).toEqual([['look', 3, 3]]);
  });

  it('over twelve a second a bow plays a tremolo', () => {
    expect(told('repeated-notes', strokes('violin', 'A4', 14, 8))).toEqual([]);
  });
});

describe('brass-endurance (loud playing wants rest of like length: Adler, Blatter, from memory)', () => {
  const trumpet = (bars: number, rest: number, velocity = 110): Part =>
    partOf('trumpet-c', `${figure('E5 D5', 2, 3, 2 + bars, velocity)} C5:${8 + 4 * bars + rest}:2:40`, timeline);

  it('half a minute in f with a bar of rest after it is noted, more than a minute to be looked at', () => {
    expect(told('brass-endurance', trumpet(7, 4))).toEqual([['note', 3, 9]]);
    expect(told('brass-endurance', trumpet(16, 4))).toEqual([['look', 3, 18]]);
  });

  it('with as much rest after it, or soft, nothing is said', () => {
    expect(told('brass-endurance', trumpet(7, 28))).toEqual([]);
    expect(told('brass-endurance', trumpet(7, 4, 60))).toEqual([]);
  });
});

describe('tessitura (everyday ranges of the catalogue; the length is common practice, no source)', () => {
  // Above C5 sounding a horn is beyond the everyday (Rimsky-Korsakov, Table C: F2 to C5).
  const horn = (pitches: string, from: number, to: number): Part =>
    partOf('horn-f', `G4:0:4:60 ${figure(pitches, 1, from, to, 60)}`, timeline, { players: 2 });

  it('five bars of four seconds over C5 are noted, eight to be looked at', () => {
    expect(told('tessitura', horn('D5 E5', 3, 7))).toEqual([['note', 3, 7]]);
    expect(told('tessitura', horn('D5 E5', 3, 10))).toEqual([['look', 3, 10]]);
  });

  it('it says more than the edge of the range, which is not told beside it', () => {
    expect(told('edge-of-range', horn('D5 E5', 3, 7))).toEqual([]);
    expect(told('edge-of-range', horn('D5 E5', 3, 4))).toHaveLength(1);
  });

  it('two bars are a matter of a moment, and a lower note between is relief', () => {
    expect(told('tessitura', horn('D5 E5', 3, 4))).toEqual([]);
    expect(told('tessitura', horn('D5 G4', 3, 10))).toEqual([]);
  });
});

describe('high-entry (horn attacks above C5 from silence are a risk: from memory)', () => {
  const horn = (music: string): Part => partOf('horn-f', music, timeline);

  it('a horn that comes in on D5 after eight seconds', () => {
    const findings = findingsFor(horn('G4:0:4:60 D5:12:2:60 C5:14:2:60'));
    expect(barsOf(findings, 'high-entry')).toEqual([['note', 4, 4]]);
    expect(messageOf(findings, 'high-entry')).toContain('D5 (written A5) at bar 4, beat 1, after 8 s of rest');
  });

  it('from its neighbour, or inside the everyday range, it is no question', () => {
    expect(told('high-entry', horn('G4:0:4:60 C5:11:1:60 D5:12:2:60'))).toEqual([]);
    expect(told('high-entry', horn('G4:0:4:60 C5:12:2:60'))).toEqual([]);
  });

  // Nobody asks a player two questions about one high entry.
  it('a high note, and one that it leads to, are told once, as an entry; with more the range is a question of its own', () => {
    for (const music of ['D5:12:2:60 C5:14:2:60', 'D5:12:2:60 C5:14:1:60 E5:15:1:60']) {
      const findings = findingsFor(horn(`G4:0:4:60 ${music}`));
      expect(barsOf(findings, 'high-entry')).toEqual([['note', 4, 4]]);
      expect(barsOf(findings, 'edge-of-range')).toEqual([]);
    }
    const three = findingsFor(horn('G4:0:4:60 D5:12:1:60 E5:13:1:60 C5:14:1:60 D5:15:1:60'));
    expect(barsOf(three, 'high-entry')).toEqual([['note', 4, 4]]);
    expect(barsOf(three, 'edge-of-range')).toEqual([['note', 4, 4]]);
  });

  it('a single high note that is no entry, and a low one, stay with the range', () => {
    expect(told('edge-of-range', horn('G4:0:4:60 C5:11:1:60 D5:12:2:60'))).toEqual([['note', 4, 4]]);
    expect(told('edge-of-range', horn('G4:0:4:60 C2:12:2:60 C3:14:2:60'))).toEqual([['note', 4, 4]]);
  });
});

describe('string-skip (common practice, no source)', () => {
  const violin = (pitches: string, length: number): Part =>
    partOf('violin', figure(pitches, length, 3, 3, 60), timeline);

  it('from G3 to E6 and back four times a second the bow jumps over two strings', () => {
    expect(told('string-skip', violin('G3 E6', 0.25))).toEqual([['note', 3, 3]]);
  });

  it('slowly, or to the neighbouring string, nothing is said; nor of a single leap', () => {
    expect(told('string-skip', violin('G3 E6', 0.5))).toEqual([]);
    expect(told('string-skip', violin('G3 B4', 0.25))).toEqual([]);
    expect(told('string-skip', partOf('violin', 'G3:8:0.25 E6:8.25:1', timeline))).toEqual([]);
  });
});
