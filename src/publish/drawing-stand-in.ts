export function glyphDefs(_ids: readonly string[]): string {
  return '';
}
