/** The style of music that a test makes up without saying more. */
import type { StyleReading } from '../../src/model/music/style.ts';

export const TEXTBOOK_STYLE: StyleReading = { style: 'classical', by: 'guess', sure: true, because: 'a test says so' };
