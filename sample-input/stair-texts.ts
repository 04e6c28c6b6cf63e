/** The settings and the notes of *The Salt Stair*. Place, people and occasion are invented. */

const SETTINGS = `# Who is in front changes with the sections, and no MIDI file says so.
title: The Salt Stair
subtitle: Nocturne for clarinet, harp and string quartet
arranger: Odile Marrash
for: Evening of the Low Tide, Merrowby salt works
date: 2033-04-02
foreground:
  - {part: Clarinetto in La, bars: 0-16}
  - {part: Viola, bars: 17-24}
  - {part: Clarinetto in La, bars: 25-40}
sections:
  - {name: Waltz, bars: 0-16}
  - {name: Under the stair, bars: 17-24}
  - {name: Dance, bars: 25-36}
  - {name: Close, bars: 37-40}
pickup: 1

parts:
  Clarinetto in La:
    name: Clarinet in A
  Arpa:
    name: Harp
  Violino I:
    name: Violin I
    players: 1
  Violino II:
    name: Violin II
    players: 1
  Viola:
    players: 1
  Violoncello:
    name: Cello
    players: 1

stages:
  1 Sketch:
    remark: The tune, who has it, and the harp. Played in on two evenings.
  2 Quartet:
    remark: Cello from bar 5, the others from bar 9. All of them lie still, so that the harmony can be heard.
  3 First reading:
    remark: The middle strings leave the beat in the dance, and the first violin answers the tune in bars 29-32.
  4 Second reading:
    remark: What the first reading showed is mended. The parts can be copied.
`;

const NOTES = `# Working notes

The stair of the salt works is dry for two hours at low tide. The piece goes down, listens, and comes up again.

## Bars 0-4, clarinet and harp

The pickup is the first step down: never louder than the bar that follows.

## Bars 17-24, viola

One player, low light. The violins stay under her, on their lower strings.

## Bar 25

An eighth of the old bar is not an eighth of the new one: the dance has its own tempo, and the clarinet sets it.

## Bar 38, viola

B flat, for this one bar: the water comes back.
`;

const DECISION_VIOLA = `---
kind: decision
bars: 17-24
parts: [Viola, Clarinetto in La]
---
# The viola has the middle section

Tried with the clarinet an octave higher: too bright. The clarinet rests until the last eighth of bar 24.
`;

const DECISION_BREATH = `---
kind: decision
stage: 4 Second reading
bars: 25-36
parts: [Clarinetto in La]
---
# The breaths are back

Bars 28, 32 and 36 end with a short rest again. At the first reading the player came to bar 40 without air.
`;

const DECISION_DANCE = `---
kind: decision
stage: 3 First reading
bars: 25-35
parts: [Violino II, Viola]
---
# Off the beat

Seconds and viola leave the beats to harp and cello, and the dance stands on its feet.
`;

const QUESTION_PEDALS = `---
kind: question
bars: 20-24
parts: [Arpa]
---
# Is there time for the A pedal?

A sharp in bar 20, A natural in bar 21, A sharp in the second half of bar 23, A natural in the second half of bar 24.
At this tempo it should be no trouble; the player has the last word.
`;

const QUESTION_LEAVING = `---
kind: question
bars: 36-37
---
# Who leads out of the dance?

The tempo falls back within one bar. Does the harp give the new quarter, or does everybody follow the clarinet?
`;

export const STAIR_TEXTS: Readonly<Record<string, string>> = {
  'dossier.yaml': SETTINGS,
  'notes.md': NOTES,
  'decision-breath.md': DECISION_BREATH,
  'decision-dance.md': DECISION_DANCE,
  'decision-viola.md': DECISION_VIOLA,
  'question-leaving.md': QUESTION_LEAVING,
  'question-pedals.md': QUESTION_PEDALS,
};
