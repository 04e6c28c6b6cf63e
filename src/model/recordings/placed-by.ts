/** How it is known where a recording lies on the notes: stated, by its onsets, or taken to begin with the MIDI. */
export type PlacedBy = 'settings' | 'onsets' | 'midi';

/** The same in words, of one recording (`its`) or of several. */
export function placedText(by: PlacedBy, whose: 'its' | 'their'): string {
  return { settings: 'as the settings say', onsets: `by ${whose} onsets`, midi: 'as in the MIDI file' }[by];
}
