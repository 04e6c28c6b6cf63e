/** What axe finds on a page that is open in a browser. */
import { createRequire } from 'node:module';
import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';

const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Asked {
  /** One rule alone, or all but one. */
  readonly only?: string;
  readonly but?: string;
  /** Selectors of what is looked at; absent for all of the page. */
  readonly within?: readonly string[];
}

/** A line for each rule that is broken; one that says so where nothing was looked at. */
export async function axeFaults(page: Page, asked: Asked): Promise<string[]> {
  // The page's own policy forbids foreign script; the check runs through the debugger, which it does not bind.
  await page.evaluate(axeSource);
  return page.evaluate(async ({ only, but, within }) => {
    const { axe } = globalThis as unknown as {
      axe: {
        run: (
          context: object,
          options: object,
        ) => Promise<{
          violations: { id: string; nodes: { html: string; failureSummary?: string }[] }[];
          passes: unknown[];
        }>;
      };
    };
    const { violations, passes } = await axe.run(within === undefined ? document : { include: within }, {
      ...(only === undefined ? {} : { runOnly: [only] }),
      ...(but === undefined ? {} : { rules: { [but]: { enabled: false } } }),
    });
    const first = violations.map(
      ({ id, nodes }) =>
        `${id}: ${String(nodes.length)} × ${(nodes[0]?.html ?? '').slice(0, 200)} ${nodes[0]?.failureSummary ?? ''}`,
    );
    return passes.length === 0 ? ['nothing was looked at'] : first;
  }, asked);
}
