/** Written music that many tests ask for is worked out once: the files of tests that share a process share it. */
import type { Stage } from '../../src/model/music/arrangement.ts';
import { onceEach } from '../../src/model/once-each.ts';
import type { WrittenStage } from '../../src/model/music/written.ts';
import { notateStage } from '../../src/notate/notate-stage.ts';

/** A stage as it is notated, the same object for the same stage. */
export const notated: (stage: Stage) => WrittenStage = onceEach((stage: Stage) => notateStage(stage));
