/** The parts of verovio 6.3.0 (no types of its own) that the tests call. */
declare module 'verovio/wasm' {
  function createVerovioModule(): Promise<object>;
  export { createVerovioModule as default };
}

declare module 'verovio/esm' {
  export class VerovioToolkit {
    constructor(module: object);
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(data: string): boolean;
    /** Base64 of a MIDI file. */
    renderToMIDI(): string;
    getMEI(options: Readonly<Record<string, unknown>>): string;
  }
}
