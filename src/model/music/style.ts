/** What kind of music a stage is, as far as its harmony goes: which chords are usual, how a bass is meant, how symbols are written. */

export const STYLES = ['classical', 'song', 'jazz', 'score'] as const;

export type Style = (typeof STYLES)[number];

export interface StyleReading {
  readonly style: Style;
  readonly by: 'settings' | 'guess';
  /** False where another style is about as likely. */
  readonly sure: boolean;
  /** Why, after "because": `a bass player walks in quarters`; '' where the settings say it. */
  readonly because: string;
}

/** What each is called in a sentence: `read as jazz`. */
export const STYLE_WORDS: Readonly<Record<Style, string>> = {
  classical: 'classical music: textbook harmony',
  song: 'a song: modes beside major and minor, sevenths at rest, lead-sheet chords',
  jazz: 'jazz: sixths and sevenths at rest, voicings without their root over the bass player, one chord a bar or half bar over a walking bass',
  score: 'a score for pictures or the stage: modes beside major and minor, suspensions at rest',
};
