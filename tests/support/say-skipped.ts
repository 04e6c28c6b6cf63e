/** Lists at the end of a run what was skipped; the reason stands in the name of the test or of its group. */
import type { Reporter, TestModule } from 'vitest/node';

export const saySkipped: Reporter = {
  onTestRunEnd: (modules: readonly TestModule[]): void => {
    const skipped = modules.flatMap((module) =>
      [...module.children.allTests('skipped')].map((test) => `  ${module.relativeModuleId}: ${test.fullName}`),
    );
    if (skipped.length > 0) console.log(`Skipped:\n${skipped.join('\n')}\n`);
  },
};
