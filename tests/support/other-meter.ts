/** Another meter by EBU R 128 and ITU-R BS.1770: libebur128 as `ebur128-wasm` has it, called without the loader that only bundlers understand. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

interface MeterExports {
  readonly memory: WebAssembly.Memory;
  readonly __wbindgen_malloc: (bytes: number) => number;
  readonly ebur128_integrated_stereo: (
    rateHz: number,
    left: number,
    leftLength: number,
    right: number,
    rightLength: number,
  ) => number;
}

const require = createRequire(import.meta.url);
const file = require.resolve('ebur128-wasm/ebur128_wasm_bg.wasm');

/** Integrated loudness in LUFS of what both loudspeakers play alike. */
export function otherIntegratedLufs(samples: Float32Array, rateHz: number): number {
  const compiled = new WebAssembly.Module(readFileSync(file));
  const imports: Record<string, Record<string, () => never>> = {};
  for (const { module, name } of WebAssembly.Module.imports(compiled))
    (imports[module] ??= {})[name] = () => {
      throw new Error(`the other meter failed in ${name}`);
    };
  const meter = new WebAssembly.Instance(compiled, imports).exports as unknown as MeterExports;
  const placed = (): number => {
    const address = meter.__wbindgen_malloc(samples.byteLength);
    new Float32Array(meter.memory.buffer, address, samples.length).set(samples);
    return address;
  };
  const [left, right] = [placed(), placed()];
  return meter.ebur128_integrated_stereo(rateHz, left, samples.length, right, samples.length);
}
