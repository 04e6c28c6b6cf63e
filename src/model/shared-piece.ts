/** Pieces of work that two threads share out among themselves: whoever begins a piece first does it. */

/** Which pieces are begun, in memory that both threads see: a number for each, 0 until one of them begins it. */
export type Begun = SharedArrayBuffer;

export function noneBegun(count: number): Begun {
  return new SharedArrayBuffer(count * Int32Array.BYTES_PER_ELEMENT);
}

/** True for the one who begins this piece; false where the other thread has begun it, or this one before. */
export function begins(begun: Begun, piece: number): boolean {
  return Atomics.compareExchange(new Int32Array(begun), piece, 0, 1) === 0;
}

export interface Piece<Made> {
  readonly made: () => Promise<Made>;
  /** Makes it here and now unless the other thread has begun it; without another thread it is made when it is asked for. */
  readonly takeOver: () => void;
}

/** The other thread's part in a piece: what it gives, undefined where nothing comes from there, and whether this thread begins first. */
export interface Beside<Made> {
  readonly given: Promise<Made | undefined>;
  readonly begin: () => boolean;
}

/** A piece that `make` makes here, once, where it does not come from beside this thread. */
export function pieceOf<Made>(make: () => Made, beside?: Beside<Made>): Piece<Made> {
  let here: { readonly made: Made } | { readonly error: unknown } | undefined;
  let tell = (): void => undefined;
  const madeHere = new Promise<undefined>((done) => {
    tell = () => {
      done(undefined);
    };
  });
  const makeHere = (): void => {
    try {
      here ??= { made: make() };
    } catch (error) {
      here = { error };
    }
    tell();
  };
  return {
    takeOver: () => {
      if (beside?.begin() === true) makeHere();
    },
    made: async () => {
      const given = await (beside === undefined ? undefined : Promise.race([madeHere, beside.given]));
      if (given !== undefined) return given;
      makeHere();
      if (here !== undefined && 'made' in here) return here.made;
      throw here?.error;
    },
  };
}
