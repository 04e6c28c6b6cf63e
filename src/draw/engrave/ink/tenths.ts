/** A coordinate with one decimal. A score holds many thousand of them, and printing whole numbers is several times faster. */
export function tenths(value: number): string {
  const count = Math.round(value * 10);
  if (!Number.isSafeInteger(count)) return '0';
  const rest = Math.abs(count % 10);
  if (rest === 0) return String(count / 10 + 0);
  const whole = Math.trunc(Math.abs(count) / 10);
  return `${count < 0 ? '-' : ''}${String(whole)}.${String(rest)}`;
}
