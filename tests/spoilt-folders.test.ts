/** The first of the spoilt folders that `npm run mutate` takes through the whole flow by the thousand. */
import { describe, expect, it } from 'vitest';
import { testEffects } from './support/effects.ts';
import { throughTheFlow } from './support/flow-faults.ts';
import { spoiltFolder } from './support/spoilt-folders.ts';

const COUNT = 60;
/** Aim: 10. A busy machine makes the same work dearer. */
const MOST_SECONDS = 30;

describe('a folder with spoilt files', () => {
  it('gives a dossier or sentences, in seconds of processor, and no word of the machine’s', async () => {
    const kinds = new Set<string>();
    for (let number = 1; number <= COUNT; number++) {
      const before = process.cpuUsage();
      const { kind, faults } = await throughTheFlow(spoiltFolder(number), testEffects(), number === COUNT);
      const { user, system } = process.cpuUsage(before);
      expect(faults, `number ${String(number)}`).toEqual([]);
      expect((user + system) / 1e6, `number ${String(number)}`).toBeLessThan(MOST_SECONDS);
      kinds.add(kind);
    }
    expect(kinds).toEqual(new Set(['built', 'refused']));
  }); // prettier-ignore

  it('is looked through by eyes that see: a number that is none, and a word for what is not there', async () => {
    const midi = spoiltFolder(1)['/piece/02 more.mid']!;
    const titled = (title: string): ReturnType<typeof throughTheFlow> =>
      throughTheFlow({ '/piece/1.mid': midi, '/piece/dossier.yaml': `title: ${title}\n` }, testEffects(), true);
    expect((await titled('x is undefined')).faults.length).toBeGreaterThan(0);
    expect((await titled('NaN')).faults.length).toBeGreaterThan(0);
    expect(await titled('.nan')).toEqual({ kind: 'built', faults: [] });
  });
});
