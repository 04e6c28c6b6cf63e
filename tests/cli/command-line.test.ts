import { describe, expect, it } from 'vitest';
import { COMMANDS, EXIT_CODES, helpText, OPTIONS, parseCommandLine } from '../../src/command-line.ts';
import { nearestName } from '../../src/problems/nearest-name.ts';
import { InputError } from '../../src/problems/problem.ts';

function complaintOf(...args: string[]): string {
  try {
    parseCommandLine(args);
  } catch (error) {
    if (error instanceof InputError) return error.message;
    throw error;
  }
  return '';
}

describe('the command line', () => {
  it('reads a folder and its options in any order', () => {
    expect(parseCommandLine(['build', '--single-file', 'my piece', '--out=somewhere', '--stage', '2'])).toEqual({
      kind: 'build',
      folder: 'my piece',
      out: 'somewhere',
      singleFile: true,
      archive: false,
      anew: false,
      stage: '2',
      quiet: false,
      json: false,
    });
  });

  it('keeps an archive where it is asked to, and only with a build', () => {
    expect(parseCommandLine(['build', 'x', '--archive'])).toMatchObject({ archive: true });
    expect(complaintOf('check', 'x', '--archive')).toContain('does not go with “check”');
  });

  it('reads where the pages of a watched folder are shown, any free port where nothing is said', () => {
    expect(parseCommandLine(['watch', 'x', '--port', '8080', '--stage=2'])).toEqual({
      kind: 'watch',
      folder: 'x',
      stage: '2',
      port: 8080,
      anew: false,
      quiet: false,
    });
    expect(parseCommandLine(['watch', 'x'])).toMatchObject({ port: 0 });
  });

  it('reads a share of a shelf, and the shares that are to be joined', () => {
    expect(parseCommandLine(['shelf', 'x', '--share', '3/8', '--quiet'])).toEqual({
      kind: 'shelf',
      root: 'x',
      share: { number: 3, of: 8 },
      anew: false,
      quiet: true,
      json: false,
    });
    expect(parseCommandLine(['shelf', '--join', 'a', 'b', '--out', 'c'])).toEqual({
      kind: 'join',
      shares: ['a', 'b'],
      out: 'c',
      quiet: false,
      json: false,
    });
  });

  it('takes what follows two dashes as the folder, even where it looks like an option', () => {
    expect(parseCommandLine(['check', '--', '--odd']).kind).toBe('check');
  });

  it('asks for fix as the level where none is given', () => {
    expect(parseCommandLine(['check', 'x'])).toMatchObject({ level: 'fix' });
  });

  it.each([
    [['bild', 'x'], /no command “bild”.*“build”/],
    [['build'], /needs the folder/],
    [['build', 'a', 'b'], /one folder at a time; “b”/],
    [['build', 'x', '--singel-file'], /no option “--singel-file”.*“--single-file”/],
    [['build', 'x', '-q'], /no option “-q”/],
    [['build', 'x', '--out'], /--out needs a DIR/],
    [['shelf', 'x', '--share', '0/8'], /--share is the number.*“0\/8”/],
    [['shelf', 'x', '--share', '9/8'], /“9\/8”/],
    [['shelf', 'a', 'b'], /one folder at a time/],
    [['shelf', '--join', 'a', 'b'], /--join needs --out/],
    [['shelf', '--join', 'a', '--out', 'b', '--share', '1/2'], /--share makes a share/],
    [['build', 'x', '--kept', 'y', '--anew'], /--kept says where.*--anew keeps none/],
    [['build', 'x', '--out', '--json'], /--out needs a DIR/],
    [['build', 'x', '--out='], /--out needs a name/],
    [['build', 'x', '--json=yes'], /takes nothing after/],
    [['build', 'x', '--level', 'fix'], /does not go with “build”/],
    [['check', 'x', '--level', 'bad'], /fix, look or note, not “bad”/],
    [['watch', 'x', '--port', 'http'], /--port is a number from 0 to 65535, not “http”/],
    [['watch', 'x', '--port', '65536'], /--port is a number/],
    [['watch', 'x', '--single-file'], /does not go with “watch”, only with “build”/],
    [['start', 'x', '--out', 'y'], /does not go with “start”/],
    [['build', 'x', '--out', 'a', '--out=b'], /--out is there twice/],
    [['check', 'x', '--quiet', '--quiet'], /--quiet is there twice/],
  ])('answers %j with one sentence', (args, expected) => {
    const complaint = complaintOf(...args);
    expect(complaint).toMatch(expected);
    expect(complaint).not.toMatch(/\n/);
  });

  it('shows every command, option and exit code in the help', () => {
    const help = helpText();
    for (const command of Object.keys(COMMANDS))
      expect(help).toMatch(new RegExp(`arrangement-dossier ${command} (?:FOLDER|ROOT)`));
    for (const option of OPTIONS) expect(help).toContain(`--${option.name}`);
    for (const [code, text] of EXIT_CODES) expect(help).toMatch(new RegExp(`${code}\\s+${text.slice(0, 8)}`));
  });

  it.each([[], ['--help'], ['build', '--help'], ['-h'], ['help']])('gives help for %j', (...args) => {
    expect(parseCommandLine(args)).toEqual({ kind: 'help' });
  });
});

describe('the nearest name', () => {
  it.each([
    ['violn 1', 'Violin 1'],
    ['foregruond', 'foreground'],
    ['Floete', 'Flöte'],
    ['strin', 'strings'],
  ])('%s is taken for %s', (typed, meant) => {
    expect(nearestName(typed, ['Violin 2', 'Violin 1', 'foreground', 'Flöte', 'strings', 'Tuba'])).toBe(meant);
  });

  it('is none where nothing is near', () => {
    expect(nearestName('xylophone', ['Violin 1', 'Tuba'])).toBeUndefined();
    expect(nearestName('', [])).toBeUndefined();
  });
});
