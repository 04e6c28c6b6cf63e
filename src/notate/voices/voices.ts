/** Voices inside a part: notes that sound together but do not start and end together stand in different voices. */
export interface TimedNote {
  readonly start: number;
  readonly end: number;
  readonly midi: number;
  readonly staff: number;
}

interface Unit {
  readonly members: readonly number[];
  readonly start: number;
  end: number;
  readonly centre: number;
  voice: number;
}

const MOST_VOICES = 4;

/** Fingers play a bass and a tune on one staff. */
export const FINGERED: ReadonlySet<string> = new Set(['guitar', 'lute', 'archlute']);

/** A bass this far under the rest of its chord is a voice of its own where fingers play a bass and a tune on one staff, in semitones. */
const BASS_APART = 10;

/** Chords that are struck as one, their bass apart from them. */
function withoutBass(members: readonly number[], notes: readonly TimedNote[]): number[][] {
  const midiOf = (index: number): number => notes[index]?.midi ?? 0;
  const sorted = [...members].sort((a, b) => midiOf(a) - midiOf(b));
  const [bass, next] = sorted;
  if (bass === undefined || next === undefined || midiOf(next) - midiOf(bass) < BASS_APART) return [sorted];
  return [[bass], sorted.slice(1)];
}

/** Chords with their bass apart, but whole where silence stands on both sides: nothing goes on above or under such a stroke. */
function bassesApart(chords: readonly (readonly number[])[], notes: readonly TimedNote[]): (readonly number[])[] {
  const timed = chords.map((members) => ({ members, ...spanOf(members, notes) })).sort((a, b) => a.start - b.start);
  let before = -Infinity;
  return timed.flatMap(({ members, start, end }, index) => {
    const standsAlone = before < start && end < (timed[index + 1]?.start ?? Infinity);
    before = Math.max(before, end);
    return standsAlone ? [members] : withoutBass(members, notes);
  });
}

function spanOf([first = 0]: readonly number[], notes: readonly TimedNote[]): { start: number; end: number } {
  return { start: notes[first]?.start ?? 0, end: notes[first]?.end ?? 0 };
}

function unitsOf(notes: readonly TimedNote[], staff: number, bassApart: boolean): Unit[] {
  const byKey = new Map<string, number[]>();
  for (const [index, note] of notes.entries()) {
    if (note.staff !== staff) continue;
    const key = `${String(note.start)}:${String(note.end)}`;
    const known = byKey.get(key);
    if (known === undefined) byKey.set(key, [index]);
    else known.push(index);
  }
  const chords = [...byKey.values()];
  return (bassApart ? bassesApart(chords, notes) : chords)
    .map((members): Unit => {
      const centre = members.reduce((sum, index) => sum + (notes[index]?.midi ?? 0), 0) / members.length;
      return { members, ...spanOf(members, notes), centre, voice: 0 };
    })
    .sort((a, b) => a.start - b.start || b.centre - a.centre);
}

/** Numbers the voices of every stretch without a silence from the top, so that voice 1 is the upper one. */
function orderByHeight(units: readonly Unit[]): void {
  let stretch: Unit[] = [];
  let until = -Infinity;
  const close = (): void => {
    const sums = new Map<number, { sum: number; weight: number }>();
    for (const unit of stretch) {
      const known = sums.get(unit.voice) ?? { sum: 0, weight: 0 };
      const weight = unit.end - unit.start;
      sums.set(unit.voice, { sum: known.sum + unit.centre * weight, weight: known.weight + weight });
    }
    const order = [...sums.entries()]
      .sort((a, b) => b[1].sum / b[1].weight - a[1].sum / a[1].weight)
      .map(([voice]) => voice);
    for (const unit of stretch) unit.voice = order.indexOf(unit.voice) + 1;
    stretch = [];
  };
  for (const unit of units) {
    if (unit.start >= until) close();
    stretch.push(unit);
    until = Math.max(until, unit.end);
  }
  close();
}

export interface VoicedNote {
  readonly end: number;
  readonly voice: number;
}

/** `bassApart`: a low bass has a voice of its own. Voice of each note and its end, cut where four voices are not enough. No two notes of a voice overlap unless they form a chord. */
export function voicesOf(notes: readonly TimedNote[], bassApart = false): VoicedNote[] {
  const voiced: VoicedNote[] = notes.map((note) => ({ end: note.end, voice: 1 }));
  for (const staff of [1, 2, 3]) {
    const units = unitsOf(notes, staff, bassApart);
    const last: Unit[] = [];
    for (const unit of units) {
      let best = -1;
      let least = Infinity;
      for (let voice = 0; voice < Math.max(MOST_VOICES, last.length); voice++) {
        const before = last[voice];
        if (before !== undefined && before.end > unit.start) continue;
        // A new voice is opened only where no voice is free; among free ones the nearest in pitch goes on.
        const cost = before === undefined ? 200 + voice : Math.abs(before.centre - unit.centre);
        if (cost < least) {
          least = cost;
          best = voice;
        }
      }
      if (best < 0) {
        best = last.reduce((oldest, item, voice) => (item.start < (last[oldest]?.start ?? 0) ? voice : oldest), 0);
        const cut = last[best];
        if (cut !== undefined && cut.start < unit.start) cut.end = unit.start;
        else best = last.length;
      }
      unit.voice = best + 1;
      last[best] = unit;
    }
    orderByHeight(units);
    for (const unit of units) for (const index of unit.members) voiced[index] = { end: unit.end, voice: unit.voice };
  }
  return voiced;
}
