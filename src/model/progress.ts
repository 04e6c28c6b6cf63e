/** How far long work is: told before each step of it. `share`: how much of the whole is done by then, an estimate from 0 to 1 that never falls. */
export type OnProgress = (text: string, share: number) => void;
