declare module 'fft.js' {
  /** Of `size` complex numbers, a power of two; arrays hold real and imaginary parts in turn. */
  class FFT {
    constructor(size: number);
    transform(out: Float64Array, from: Float64Array): void;
    inverseTransform(out: Float64Array, from: Float64Array): void;
  }
  export { FFT as default };
}
