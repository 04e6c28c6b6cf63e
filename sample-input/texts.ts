/** The settings and the notes of the sample. Place, people and occasion are invented. */

const SETTINGS = `# Settings of the dossier. All of it may be left out; what is said here is said in no MIDI file.
title: Ferry Lights
subtitle: Barcarolle for piano and small orchestra
arranger: Ilse Corvane
for: Quillhaven Lantern Night, for the soloist Tam Oderwick
date: 2031-09-14
foreground: Piano solo
pickup: 1.5

parts:
  Piano solo:
    instrument: piano
    players: 1
  Violin I legato:
    name: Violin I
    players: 4
  Violin I pizz:
    join: Violin I legato
  Violin II:
    players: 3
  Vla.:
    name: Viola
    players: 2
  Violoncello:
    name: Cello
    players: 2
  Kontrabass:
    name: Double bass
    players: 1
  Flöte:
    name: Flute
    players: 1
  Clarinet in Bb:
    instrument: clarinet-bflat
    name: Clarinet
    players: 1
  Fagott:
    name: Bassoon
    players: 1
  Horn in F:
    name: Horn
    players: 1
  Timpani:
    players: 1

stages:
  01 Solo sketch:
    title: Solo sketch
    remark: As played in the harbour office on the evening the commission came.
  02 Strings:
    title: Strings
    remark: One file a part, from the second evening. The tempo map is in the file of the soloist only.
  03 Winds:
    title: Winds
    remark: Flute, clarinet and bassoon. The flute still tells the pickup before the soloist does.
  04 Complete:
    title: Complete
    remark: Horn and timpani, the bass handed over in bars 37-40, new second violins in bars 33-35.

accepted:
  - rule: background-above-melody
    bars: 29-40
    parts: [Flöte]
    reason: The flute doubles the tune an octave higher and then sings above it; that is the light on the water.
`;

const NOTES = `# Working notes

The ferry of Quillhaven runs without engine on Lantern Night. The piece should rock, and it should never hurry.

## Bars 1-4, Piano solo

Nobody else. The room must hear what the piano is before anybody joins it.

## Bars 5-8, strings

They come from nothing, muted in spirit if not in fact. No basses before bar 9.

## Bar 16

The 9/8 bar is one breath more, not a mistake of the tempo map.

## Bars 17-28, strings

E flat major, slower, in five. The strings keep still while the piano speaks; the clarinet moves where the piano holds.
The change from A flat major to A flat minor in bar 21 is the heart of the section: no swell before bar 25.

## Bars 33-35, Violin II

New: seconds rock in thirds instead of lying on one note.

## Bars 47-48

G major, very soft. The soloist has the last word.
`;

const DECISION_BASS = `---
kind: decision
stage: 04 Complete
bars: 37-40
parts: [Kontrabass, Fagott, Violoncello, Piano solo]
---
# The bass changes hands

Double basses and bassoon take the bass in octaves, the left hand leaves its low notes out, and the cellos sing above.
Agreed with the soloist at the second reading.
`;

const DECISION_FLUTE = `---
kind: decision
stage: 04 Complete
bars: 16-17
parts: [Flöte]
---
# The flute waits

In the third stage the flute gave the pickup away before the soloist played it. Taken out.
`;

const QUESTION_TIMPANI = `---
kind: question
bars: 27-47
parts: [Timpani]
---
# Are there two drums on the pontoon?

The part needs G and D only and no retuning. If there is no room for drums, it can go without loss of harmony.
`;

const QUESTION_ENDING = `---
kind: question
bars: 47-48
parts: [Piano solo]
---
# How long is the last chord?

Does the soloist lift with the orchestra, or let the chord ring into the lanterns? The sketch holds it for two bars.
`;

export const TEXTS: Readonly<Record<string, string>> = {
  'dossier.yaml': SETTINGS,
  'notes.md': NOTES,
  'decision-bass.md': DECISION_BASS,
  'decision-flute.md': DECISION_FLUTE,
  'question-ending.md': QUESTION_ENDING,
  'question-timpani.md': QUESTION_TIMPANI,
};
