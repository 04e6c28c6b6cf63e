/**
 * The one table of `dossier.yaml`: name, kind, meaning, default and example of every key. The check, the JSON Schema and
 * the list in the README are made from it; the types of settings.ts hold it to what the later steps expect.
 */
import * as z from 'zod';
import { MEMO_KINDS } from '../../model/music/arrangement.ts';
import { STYLES } from '../../model/music/style.ts';
import { RULE_NAMES, RULES_WITHOUT_LIMIT } from '../../model/readings/rule-names.ts';
import { listed, plain, row, schemaOf } from './settings-rows.ts';
import type { Rows, RowsOf, SettingsTableRow } from './settings-rows.ts';
import type { RawMemo } from '../raw.ts';
import type { AcceptedSetting, BarSpan, PartSettings, Settings, StageSettings } from './settings.ts';
import * as values from './settings-values.ts';
import type { ValueKind } from './settings-values.ts';

const PART: RowsOf<PartSettings> = {
  instrument: row(
    values.text,
    'Instrument, by its name in any of the languages that are read or its id in the catalogue.',
    'recognised from the track name, then from the program number',
    'double bass',
  ),
  name: row(values.text, 'Name to show.', 'the track name', 'Violin I'),
  players: row(
    values.wholeNumber(1, 500),
    'How many play the part.',
    'one, or the usual size of the section where the name says that it is one',
    '8',
  ),
  ignore: row(values.yesOrNo, 'Leave this track out of the dossier.', 'false', 'true'),
  join: row(
    values.text,
    'Name of another part that this track belongs to (an articulation of its own).',
    'joined where the names differ only in an articulation',
    'Violin I',
  ),
  trim: row(
    values.number(-60, 60, 'dB'),
    'Added to the estimated level; 0 says that it is right, as of a singer without a microphone.',
    '0',
    '-3',
  ),
  range: row(values.range, 'Sounding range of this player.', 'the range of the instrument', 'G3-E7'),
  dynamics: row(
    values.oneOf(['velocity', 'cc1', 'cc2', 'cc11']),
    'What shapes the loudness of a note.',
    'velocity for struck and plucked instruments; for others the first of controllers 1, 11 and 2 that moves, else velocity',
    'cc1',
  ),
};

const STAGE: RowsOf<StageSettings> = {
  title: row(values.text, 'Title of the stage.', 'the file or folder name without its number', 'With strings'),
  order: row(
    values.number(-100_000, 100_000),
    'Place among the stages; the last is the current one.',
    'the order of the names',
    '3',
  ),
  remark: row(values.longText, 'What this stage is about.', 'none', 'First try with divided violas'),
  offset: row(
    values.number(-3600, 3600, 'seconds'),
    'Where in the audio beside the stage, and in recordings of its parts, the first bar begins; negative where the audio begins later than the music.',
    'found by the onsets; where they do not tell, as in the MIDI file, and it is asked',
    '2.5',
  ),
  ignore: row(
    values.yesOrNo,
    'Leave this stage out of the dossier, also one whose export is gone and that the archive still has.',
    'false',
    'true',
  ),
};

const SPAN = 'Bars as a musician counts; a pickup is bar 0.';

const SECTION: RowsOf<{ readonly name: string; readonly bars: BarSpan }> = {
  name: row(values.text, 'Name of the section.', '', 'Verse'),
  bars: row(values.bars, SPAN, '', '9-16'),
};

const FOREGROUND: RowsOf<{ readonly part: string; readonly bars?: BarSpan }> = {
  part: row(values.text, 'The part that has the foreground.', '', 'Guitar'),
  bars: row(values.bars, SPAN, 'all bars', '9-16'),
};

const ruleName: ValueKind<(typeof RULE_NAMES)[number]> = {
  ...values.oneOf(RULE_NAMES),
  type: 'name of a check',
  allowed: 'the name of a check',
};

const ACCEPTED: RowsOf<AcceptedSetting> = {
  rule: row(ruleName, 'Check of the finding.', '', 'crossing'),
  bars: row(values.bars, 'Bars of the finding.', 'all bars', '9-12'),
  parts: row(values.names, 'Parts of the finding.', 'all parts', '[Viola, Horn]'),
  stage: row(values.text, 'Stage of the finding.', 'all stages', '02 strings'),
  reason: row(
    values.longText,
    'Why it is meant to be so; printed with the finding.',
    '',
    'The horn is meant to lie above',
  ),
};

/** Stands for a rule without a threshold, so that setting one is refused with the reason. */
function noLimit(): Rows[string] {
  const instead =
    'no threshold, as this check measures against the instrument (“range” and “players” of the part say more)';
  return row({ schema: z.never(), type: 'none', allowed: instead }, 'Has no threshold.', 'none', 'none');
}

function limitsRows(): Rows {
  return Object.fromEntries(
    RULE_NAMES.map((rule) => [
      rule,
      RULES_WITHOUT_LIMIT.includes(rule)
        ? noLimit()
        : row(values.number(-1_000_000, 1_000_000), `Threshold of the check ${rule}.`, 'that of the check', '60'),
    ]),
  );
}

const limitRows = limitsRows();

const limitsSchema: z.ZodType<Readonly<Record<string, number>>> = schemaOf(limitRows as RowsOf<Record<string, number>>);

function listOf<Item>(rows: RowsOf<Item>, what: string): ValueKind<readonly Item[]> {
  return { schema: z.array(schemaOf(rows)), type: `list of ${what}`, allowed: `a list of ${what}` };
}

function byName<Item>(rows: RowsOf<Item>, what: string): ValueKind<Readonly<Record<string, Item>>> {
  return {
    schema: z.record(z.string(), schemaOf(rows)),
    type: `map by ${what}`,
    allowed: `a map from ${what} to its settings`,
  };
}

const foreground: ValueKind<NonNullable<Settings['foreground']>> = {
  schema: z
    .union([values.text.schema, z.array(z.union([values.text.schema, schemaOf(FOREGROUND)]))])
    .transform((written) =>
      (typeof written === 'string' ? [written] : written).map((item) =>
        typeof item === 'string' ? { part: item } : item,
      ),
    ),
  type: 'name, or list of {part, bars}',
  allowed: 'the name of a part, or a list of {part, bars}',
};

const SETTINGS: RowsOf<Settings> = {
  title: row(values.text, 'Title of the piece.', 'the name of the folder', 'Harbour lights'),
  subtitle: row(values.text, 'Below the title.', 'none', 'for guitar and strings'),
  arranger: row(values.text, 'Who arranges.', 'none', 'A. N. Other'),
  for: row(values.text, 'For whom the dossier is.', 'none', 'first reading'),
  date: row(values.text, 'Date to print, as written; the tool reads no clock.', 'none', '2026-11-25'),
  foreground: {
    ...row(
      foreground,
      'Who has the foreground, throughout or span by span.',
      'the only part of the first stage and whoever was given its tune, else a guess that the dossier owns up to',
      '[{part: Guitar, bars: 1-8}, {part: Flute, bars: 9-16}]',
    ),
    inside: { kind: 'list', rows: plain(FOREGROUND) },
  },
  sections: {
    ...row(
      listOf(SECTION, '{name, bars}'),
      'Sections of the piece.',
      'the markers in the MIDI, else one section',
      '[{name: Verse, bars: 1-8}]',
    ),
    inside: { kind: 'list', rows: plain(SECTION) },
  },
  key: row(values.key, 'Key of the piece.', 'key signatures in the MIDI, else an estimate', 'F# minor'),
  bars: row(
    values.bars,
    'Bars of the files that are the piece; what begins outside of them is left out.',
    'all of them; where some music stands more than 200 silent bars from most of it, that is left out and asked about',
    '1-64',
  ),
  style: row(
    values.oneOf(STYLES),
    'What kind of music it is, as far as its harmony goes: textbook harmony; songs with their modes and lead-sheet chords; jazz over a bass player; scores for pictures and the stage, modal as they often are.',
    'a guess by players, rhythm and cadences that the dossier owns up to',
    'jazz',
  ),
  staves: row(
    values.staves,
    'How many staves the reduced score may have: from four on, choirs (woodwind, brass, rhythm section, voices, strings) have staves of their own. The left hand of a keyboard that leads in some bars only is not counted.',
    'auto: two for the ensemble, or more where it has over five parts, up to 80 bars, and two would be crowded',
    '5',
  ),
  pickup: row(values.quarters, 'Length of the pickup in quarter notes.', 'seen from the MIDI', '1/2'),
  parts: {
    ...row(
      byName(PART, 'track name'),
      'Settings of parts, by track name.',
      'as recognised',
      '{Vln1: {instrument: violin, players: 8}}',
    ),
    inside: { kind: 'by-name', rows: plain(PART) },
  },
  stages: {
    ...row(
      byName(STAGE, 'file or folder name'),
      'Settings of stages, by file or folder name.',
      'in natural order of name',
      '{02 strings: {title: With strings}}',
    ),
    inside: { kind: 'by-name', rows: plain(STAGE) },
  },
  paper: row(values.paper, 'Paper size for printing.', 'a4', 'letter'),
  limits: {
    ...row(
      {
        schema: limitsSchema,
        type: 'map from check to number',
        allowed: 'a map from names of checks to numbers',
      },
      'Threshold of any check, by its name.',
      'the threshold of each check',
      '{late-part: 60}',
    ),
    inside: { kind: 'map', rows: limitRows },
  },
  accepted: {
    ...row(
      listOf(ACCEPTED, '{rule, reason, …}'),
      'Findings judged and accepted, each with a reason; still listed, as accepted.',
      'none',
      '[{rule: crossing, bars: 9-12, reason: meant}]',
    ),
    inside: { kind: 'list', rows: plain(ACCEPTED) },
  },
};

/** What the front matter of a note may say. */
export interface FrontMatter {
  readonly stage?: string;
  readonly bars?: BarSpan;
  readonly parts?: readonly string[];
  readonly kind?: RawMemo['kind'];
  readonly date?: string;
  readonly from?: string;
  readonly about?: string;
  readonly music?: string;
  readonly question?: string;
  readonly finding?: string;
}

const FRONT_MATTER: RowsOf<FrontMatter> = {
  stage: row(
    values.text,
    'File or folder name of the stage that the note is about.',
    'the folder of the note, else all stages',
    '02 strings',
  ),
  bars: row(values.bars, SPAN, 'all bars', '9-12'),
  parts: row(values.names, 'Parts that the note is about.', 'all parts', '[Viola, Horn]'),
  kind: row(values.oneOf(MEMO_KINDS), 'What the note is.', 'remark', 'question'),
  date: row(values.text, 'Date of the note, as written; the tool reads no clock.', 'none', '2026-11-25'),
  from: row(values.text, 'Who wrote it, of an answer.', 'nobody', 'A. N. Other'),
  about: row(values.hash, 'Hash of the dossier that it answers, at the foot of its pages.', 'none', '0a1b2c3d4e5f'),
  music: row(values.hash, 'Hash of the music of the stage that it answers.', 'none', '0a1b2c3d4e5f'),
  question: row(values.text, 'Name of the question that it answers.', 'none', 'How long is the last chord?'),
  finding: row(ruleName, 'Check of the finding that it answers.', 'none', 'crossing'),
};

export const frontMatterRows: Rows = plain(FRONT_MATTER);

export const frontMatterSchema: z.ZodType<FrontMatter> = schemaOf(FRONT_MATTER);

/** The table as `read` walks it. */
export const settingsRows: Rows = plain(SETTINGS);

/** Checks what a settings file holds and gives it in the form of `Settings`. */
export const settingsSchema: z.ZodType<Settings> = schemaOf(SETTINGS);

/** Every key of `dossier.yaml` on one line, for the README and for `start`. */
export const settingsTable: readonly SettingsTableRow[] = listed(settingsRows, '');

/** JSON Schema (draft 2020-12) of what may be written in `dossier.yaml`. */
export function settingsJsonSchema(): Readonly<Record<string, unknown>> {
  const schema = z.toJSONSchema(settingsSchema, { io: 'input', target: 'draft-2020-12', reused: 'inline' });
  const { $schema, ...rest } = schema;
  return { $schema, title: 'dossier.yaml', description: 'Settings of a folder of MIDI sketches and notes.', ...rest };
}
