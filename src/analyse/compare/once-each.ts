/** What is made of a list that many comparisons share is made once: a stage is compared with all others. */

/** The same function, which remembers what it made of each list for as long as somebody has the list. */
export function onceEach<List extends object, Made>(make: (list: List) => Made): (list: List) => Made {
  const known = new WeakMap<List, { readonly made: Made }>();
  return (list) => {
    const found = known.get(list);
    if (found !== undefined) return found.made;
    const made = make(list);
    known.set(list, { made });
    return made;
  };
}
