/** Where one listens, kept from page to page of a dossier as long as its window is open. */

export interface KeptPlace {
  readonly stageId: string;
  readonly second: number;
  /** What is to be heard, as it stands in the list. */
  readonly heard: string;
  readonly otherId: string | undefined;
  readonly span: { readonly from: number; readonly to: number } | undefined;
  readonly volumeDb: number;
}

/** All pages of a dossier lie in one folder. */
const KEY = `listening ${location.pathname.replace(/[^/]*$/, '')}`;

/** What was kept; undefined for nothing, or where the browser keeps nothing. */
export function keptPlace(): KeptPlace | undefined {
  try {
    const text = sessionStorage.getItem(KEY);
    return text === null ? undefined : (JSON.parse(text) as KeptPlace);
  } catch {
    return undefined;
  }
}

/** Keeps a place for the next page, or none. */
export function keepPlace(place: KeptPlace | undefined): void {
  try {
    if (place === undefined) sessionStorage.removeItem(KEY);
    else sessionStorage.setItem(KEY, JSON.stringify(place));
  } catch {
    // The next page begins anew.
  }
}
