/** How each part lies for its player: numbers to ask about, and nothing that goes over the player's head. */
import type { AwkwardKind, AwkwardPlaces, PlayabilityReading } from '../../../model/readings/readings.ts';
import { barSpanText, counted, listText, percentAtLeast } from '../../../model/words/plain-words.ts';
import { barLink, cell, plain, type LinkedTable, type Run, type SheetSection } from '../page-frame/sheet.ts';
import type { StageContext } from '../page-frame/stage-context.ts';

function timeText(time: PlayabilityReading['time']): string {
  if (time === undefined) return '';
  const tiers = [
    ['practical', time.practical],
    ['extreme', time.edge],
    ['out of range', time.outside],
  ] as const;
  return tiers.flatMap(([name, share]) => (share > 0 ? [`${name} ${percentAtLeast(share)}`] : [])).join(', ');
}

function breathCell(breath: PlayabilityReading['breath']): readonly Run[] {
  if (breath === undefined) return cell('');
  const [longest, one] = [breath.seconds, breath.breathSeconds].map((seconds) => String(Math.round(seconds)));
  return [
    plain(`${longest ?? ''} s of about ${one ?? ''} s, `),
    barLink(breath.from, barSpanText(breath.from, breath.to)),
    ...(breath.unbroken === undefined
      ? []
      : [
          plain(`; ${String(Math.round(breath.unbroken.seconds))} s without a written rest, `),
          barLink(breath.unbroken.from, barSpanText(breath.unbroken.from, breath.unbroken.to)),
        ]),
  ];
}

function leapCell(leap: PlayabilityReading['widestLeap']): readonly Run[] {
  if (leap === undefined) return cell('');
  const way = leap.semitones > 0 ? ' up' : leap.semitones < 0 ? ' down' : '';
  return [
    plain(`${counted(Math.abs(leap.semitones), 'semitone')}${way}, `),
    barLink(leap.bar, `bar ${String(leap.bar)}`),
  ];
}

const oneDecimal = (number: number): string => String(Number(number.toFixed(1)));

/** What is asked about each kind: how many places, and what was measured at the hardest. */
const QUESTIONS: Readonly<Record<AwkwardKind, (places: AwkwardPlaces, pitches: string) => string>> = {
  'string-skip': ({ count, amount }, pitches) =>
    `${counted(count, 'quick skip')} over a string, the widest ${pitches} across ${counted(amount - 1, 'string')}`,
  'double-stop': ({ count }, pitches) => `${counted(count, 'chord')} that no one hand seems to hold, as ${pitches}`,
  'repeated-notes': ({ count, amount, usual }, pitches) =>
    `${counted(count, 'run')} of repeated notes over ${String(usual)} a second, up to ${oneDecimal(amount)} on ${pitches}`,
  'harp-pedals': ({ count, amount }) =>
    `${counted(count, 'change')} of a pedal in less than a second as it is spelled, the shortest in ${oneDecimal(amount)} s`,
  'timpani-tuning': ({ count, amount, usual }) =>
    `${counted(count, 'change')} of a drum in less than ${counted(usual, 'second')}, the shortest in ${oneDecimal(amount)} s`,
  'hand-span': ({ count, amount }, pitches) =>
    `${counted(count, 'chord')} wider than a ninth in one hand, the widest ${counted(amount, 'semitone')}: ${pitches}`,
  'brass-endurance': ({ count, amount }) =>
    `${counted(count, 'loud or high stretch', 'loud or high stretches')} without as much rest after it, the longest ${String(Math.round(amount))} s`,
};

/** More drums than these are not on every stage, so it is said of how many a sentence speaks. */
const PAIR = 2;

/** `2 pitches for one player: G2 on the 29-inch drum, D3 on the 26-inch drum; nothing to retune`. */
function drumsText(context: StageContext, { partId, timpani }: PlayabilityReading): string {
  if (timpani === undefined || timpani.drums.length === 0) return '';
  const { drums, pitches, mostBetweenRests, retunings } = timpani;
  const shares = drums.map(({ inches, midi }) => {
    const keys = listText(midi.map((key) => context.soundingLabel(partId, key)));
    return `${keys} on the ${String(inches)}-inch drum`;
  });
  const span = mostBetweenRests < pitches ? `, ${String(mostBetweenRests)} at most between two rests` : '';
  const onDrums = drums.length > PAIR ? ` on ${counted(drums.length, 'drum')}` : '';
  const changes = retunings === 0 ? `nothing to retune${onDrums}` : counted(retunings, 'retuning');
  return `${counted(pitches, 'pitch', 'pitches')} for one player${span}: ${listText(shares)}; ${changes}`;
}

/** A stretch without a written rest that is longer than a breath of the one player: where it is broken is not in the notes. */
function breathQuestion({ published }: StageContext, { partId, breath }: PlayabilityReading): readonly Run[] {
  const unbroken = breath?.unbroken;
  const isOne = published.stage.parts.some(({ id, players }) => id === partId && players === 1);
  if (breath === undefined || unbroken === undefined || !isOne || unbroken.seconds <= breath.breathSeconds) return [];
  return [plain('where to breathe in '), barLink(unbroken.from, barSpanText(unbroken.from, unbroken.to))];
}

function askCell(context: StageContext, reading: PlayabilityReading): readonly Run[] {
  const { partId, awkward } = reading;
  const drums = drumsText(context, reading);
  const breath = breathQuestion(context, reading);
  if (drums === '' && awkward.length === 0) return breath.length > 0 ? breath : cell('nothing stands out');
  const asked = awkward.flatMap((places, index): readonly Run[] => {
    const pitches = places.midi.map((midi) => context.soundingLabel(partId, midi)).join(', ');
    return [
      plain(`${index === 0 && drums === '' ? '' : '; '}${QUESTIONS[places.kind](places, pitches)}, `),
      barLink(places.bar, `bar ${String(places.bar)}`),
    ];
  });
  const questions = drums === '' ? asked : [plain(drums), ...asked];
  return breath.length > 0 ? [...questions, plain('; '), ...breath] : questions;
}

function isVoice({ published }: StageContext, partId: string): boolean {
  return published.stage.parts.find(({ id }) => id === partId)?.family === 'voice';
}

/** The section "Playability". */
export function playabilitySection(context: StageContext): SheetSection {
  const readings = context.published.readings.playability ?? [];
  const table: LinkedTable = {
    caption: 'How each part lies for its player',
    columns: [
      'Part',
      'Median pitch',
      'Time in range',
      'Longest phrase without a breath',
      'Widest leap',
      readings.some(({ partId }) => isVoice(context, partId)) ? 'Ask the player or singer' : 'Ask the player',
    ].map((label) => ({ label, isNumeric: false })),
    rows: readings.map((reading) => [
      cell(context.partName(reading.partId)),
      cell(context.soundingLabel(reading.partId, reading.medianMidi)),
      cell(timeText(reading.time)),
      breathCell(reading.breath),
      leapCell(reading.widestLeap),
      askCell(context, reading),
    ]),
    remark: '',
  };
  return {
    id: 'playability',
    heading: 'Playability',
    partial: 'playability.njk',
    downloads: [],
    body: {
      intro:
        readings.length === 0
          ? 'No part has a pitched note, so there is nothing to ask a player.'
          : 'How each part lies, in numbers to ask about: half of the sounding time lies at or below the median pitch; breaths are planning values; what a hand holds, a tongue repeats or a foot changes in time is estimated from the notes as they are spelled. None of it is a verdict: the player who has the part in hand knows better, and goes before every figure here.',
      table,
    },
  };
}
