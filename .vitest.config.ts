import { configDefaults, defineConfig } from 'vitest/config';
import { saySkipped } from './tests/support/say-skipped.ts';

/** Only against what hangs: no test is judged by the clock, as the machine may be slow or busy. */
const HANGS_MS = 15 * 60_000;

/** Files that take more than some four seconds each where the whole runs on two quiet processors. `npm run everyday` leaves them out. */
const LONG = [
  'tests/advise/planted-flaws.test.ts',
  'tests/analyse/compare/edits-by-chance.test.ts',
  'tests/analyse/compare/take-pairs.test.ts',
  'tests/analyse/resolutions.test.ts',
  'tests/assemble/hostile.test.ts',
  'tests/assemble/stems.test.ts',
  'tests/bounds.test.ts',
  'tests/browser/accessible.test.ts',
  'tests/browser/answering.test.ts',
  'tests/browser/audio.test.ts',
  'tests/browser/choir-staves.test.ts',
  'tests/browser/listening.test.ts',
  'tests/browser/long-pages.test.ts',
  'tests/browser/pages.test.ts',
  'tests/browser/print.test.ts',
  'tests/browser/widths.test.ts',
  'tests/cli/archive.test.ts',
  'tests/cli/at-once.test.ts',
  'tests/cli/hostile-input.test.ts',
  'tests/cli/interruption.test.ts',
  'tests/cli/kept-results.test.ts',
  'tests/cli/known-folder.test.ts',
  'tests/cli/package.test.ts',
  'tests/cli/places.test.ts',
  'tests/cli/reproducible.test.ts',
  'tests/cli/shelf.test.ts',
  'tests/cli/start.test.ts',
  'tests/cli/watch.test.ts',
  'tests/edits/edits.test.ts',
  'tests/edits/stories.test.ts',
  'tests/notate/choir-staves.test.ts',
  'tests/notate/notate-stage.test.ts',
  'tests/notate/runs.test.ts',
  'tests/outside/comparison-open-scores.test.ts',
  'tests/outside/engraving-open-scores.test.ts',
  'tests/outside/engraving-second-engraver.test.ts',
  'tests/outside/musicxml-sample.test.ts',
  'tests/outside/musicxml-second-reader.test.ts',
  'tests/outside/notation-open-scores.test.ts',
  'tests/outside/practice-scores.test.ts',
  'tests/outside/without-open-data.test.ts',
  'tests/publish/dossier-names.test.ts',
  'tests/publish/faults.test.ts',
  'tests/publish/pages.test.ts',
  'tests/publish/render-faults.test.ts',
  'tests/read/audio/packed-sound.test.ts',
  'tests/sample/sample-pictures.test.ts',
  'tests/sound/heard-balance.test.ts',
  'tests/sound/measure/loudness-vectors.test.ts',
  'tests/spoilt-folders.test.ts',
];

export default defineConfig(({ mode }) => ({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: mode === 'everyday' ? [...configDefaults.exclude, ...LONG] : configDefaults.exclude,
    // The files of a worker share its modules, loaded once, and its code, compiled once: a file puts back what it changes of the process.
    isolate: false,
    globalSetup: ['tests/global-setup.ts'],
    setupFiles: ['tests/support/each-file.ts'],
    reporters: ['default', saySkipped],
    testTimeout: HANGS_MS,
    hookTimeout: HANGS_MS,
    teardownTimeout: HANGS_MS,
    // Browser tests each start a browser; more than two workers make them wait for one another.
    maxWorkers: 2,
  },
}));
