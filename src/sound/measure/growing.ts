/** A list of numbers that grows by doubling. */
export function growing(): { readonly push: (value: number) => void; readonly taken: () => Float32Array } {
  let room = new Float32Array(1024);
  let length = 0;
  return {
    push: (value) => {
      if (length === room.length) {
        const more = new Float32Array(2 * length);
        more.set(room);
        room = more;
      }
      room[length++] = value;
    },
    taken: () => room.slice(0, length),
  };
}
