/** Where classical equivalences and measured powers disagree, side by side; only for players who are on the stage. */
import type { Part } from '../../../model/music/arrangement.ts';
import { instrumentById } from '../../../model/music/catalogue.ts';

/** Loudness doubles with about 10 dB (sone scale; E. Zwicker, from memory). */
function timesAsLoud(db: number): string {
  return (2 ** (db / 10)).toFixed(1);
}

function forteDb(instrumentId: string): number {
  return instrumentById(instrumentId)?.soundPowerDb?.forte ?? Number.NaN;
}

interface Equivalence {
  readonly needs: readonly [readonly string[], readonly string[]];
  readonly text: () => string;
}

const WOOD = ['flute', 'oboe', 'clarinet-bflat', 'bassoon'];
const TRUMPETS = ['trumpet-bflat', 'trumpet-c'];

const EQUIVALENCES: readonly Equivalence[] = [
  {
    needs: [TRUMPETS, ['horn-f']],
    text: () =>
      `Trumpet and horn in forte: after Rimsky-Korsakov one trumpet is worth two horns; measured powers are ${String(forteDb('trumpet-c'))} and ${String(forteDb('horn-f'))} dB, hardly a difference (J. Meyer, from memory). The estimate follows the measurement.`,
  },
  {
    needs: [['horn-f'], WOOD],
    text: () => {
      const difference = forteDb('horn-f') - forteDb('oboe');
      return `Horn and woodwind in forte: after Rimsky-Korsakov one horn is worth two of the woodwind; measured, a horn has ${String(difference)} dB more, which is ${timesAsLoud(difference)} times as loud (J. Meyer, from memory). Both agree.`;
    },
  },
  {
    needs: [['violin'], WOOD],
    text: () => {
      const [violins, winds] = [forteDb('violin') + 10 * Math.log10(12), forteDb('flute') + 10 * Math.log10(2)];
      return `Violins and woodwind in forte: after Rimsky-Korsakov twelve first violins are worth two flutes; measured powers give twelve violins ${violins.toFixed(0)} and two flutes ${winds.toFixed(0)} dB (J. Meyer, from memory). The estimate follows the measurement.`;
    },
  },
];

/** One sentence for each pair of kinds that both play. Rimsky-Korsakov: Principles of Orchestration, ch. I. */
export function whereSourcesDisagree(parts: readonly Part[]): readonly string[] {
  const playing = new Set(parts.flatMap(({ instrument, notes }) => (notes.length > 0 ? [instrument] : [])));
  return EQUIVALENCES.filter(({ needs }) => needs.every((kinds) => kinds.some((kind) => playing.has(kind)))).map(
    ({ text }) => text(),
  );
}
