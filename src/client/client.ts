/** The page's one script. Every page is complete without it. */
import { installAnswers } from './answers/answers.ts';
import { installBarCrosshair } from './bar-crosshair.ts';
import { installBarKeys } from './bar-keys.ts';
import { installBarReadOut } from './bar-read-out.ts';
import { installFindingChoice } from './choose-findings.ts';
import { attempt } from './feature.ts';
import { installListening } from './listen/listen.ts';
import { installNamedPlaces } from './named-places.ts';
import { installPrinting } from './print.ts';
import { installFindingKeys } from './finding-keys.ts';
import { installStay } from './stay.ts';
import { installTables } from './tables.ts';
import { installTheme } from './theme.ts';

document.documentElement.classList.add('has-script');
for (const feature of [
  installTheme,
  installBarCrosshair,
  installNamedPlaces,
  installBarReadOut,
  installBarKeys,
  installListening,
  installStay,
  installFindingKeys,
  installFindingChoice,
  installTables,
  installPrinting,
  installAnswers,
])
  attempt(feature);
