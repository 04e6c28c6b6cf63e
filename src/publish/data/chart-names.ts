/** Names of what is made of a stage: its charts and its tables. */
import type { ChartDrawing } from '../../model/drawing.ts';
import type { PublishedStage } from '../dossier-input.ts';

/** The chart of a subject: its id is the name, or begins with it (`register-stage-02-strings`). */
export function chartNamed(published: PublishedStage, name: string): ChartDrawing | undefined {
  return published.charts.find((chart) => chart.id === name || chart.id.startsWith(`${name}-`));
}

/** Path of a stage's CSV file inside the output folder. */
export function tablePath(stageId: string, name: string): string {
  return `tables/${stageId}-${name}.csv`;
}
