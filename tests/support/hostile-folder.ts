/** A folder whose names and notes try to be markup, templates, formulas and paths. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { writeMidi } from 'midi-file';

const NAMES = [
  '<script>stolen=1</script>',
  '"><img src=x onerror=stolen=1>',
  '{{ 7 * 7 }}',
  '../../../etc/passwd',
  '=cmd|calc!A1',
  '\u202egnirts\u202c',
  'V'.repeat(300),
  '</style><style>*{display:none}',
];

export function writeHostileFolder(folder: string): void {
  const header = { format: 1, numTracks: NAMES.length, ticksPerBeat: 480 } as const;
  const tracks = NAMES.map((name, index) => [
    { deltaTime: 0, meta: true, type: 'trackName', text: Buffer.from(name, 'utf8').toString('latin1') } as const,
    ...[60, 62, 64, 65].flatMap((key, place) => [
      { deltaTime: 0, type: 'noteOn', channel: index, noteNumber: key + index, velocity: 80 + place } as const,
      { deltaTime: 480, type: 'noteOff', channel: index, noteNumber: key + index, velocity: 0 } as const,
    ]),
    { deltaTime: 0, meta: true, type: 'endOfTrack' } as const,
  ]);
  const bytes = Uint8Array.from(writeMidi({ header, tracks }));
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, '01 <b>bold<b> {{ 7 * 7 }}.mid'), bytes);
  writeFileSync(
    join(folder, 'notes.md'),
    [
      '## Bar 1',
      '<script>stolen=1</script> <img src="https://example.invalid/a.png"> ![x](https://example.invalid/b.png)',
      '[link](javascript:stolen=1) {{ 7 * 7 }} {% raw %} <div style="position:fixed">',
      '',
    ].join('\n'),
  );
  writeFileSync(
    join(folder, 'dossier.yaml'),
    'title: "</title><script>stolen=1</script>"\narranger: "<b onmouseover=stolen=1>x</b>"\n',
  );
}
