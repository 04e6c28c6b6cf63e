/** What is made of one thing and asked for in many places is made once. */

/** The same function, which remembers what it made of each thing (by identity) for as long as somebody has the thing. */
export function onceEach<From extends object, Made>(make: (from: From) => Made): (from: From) => Made {
  const known = new WeakMap<From, { readonly made: Made }>();
  return (from) => {
    const found = known.get(from);
    if (found !== undefined) return found.made;
    const made = make(from);
    known.set(from, { made });
    return made;
  };
}
