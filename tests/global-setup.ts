import { compile } from '../src/launch.mjs';

/** The command line and page tests run the compiled program, as a user does. */
export async function setup(): Promise<void> {
  await compile();
}
