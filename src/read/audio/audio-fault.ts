/** Why an audio file cannot be used, or what was odd about it. */
import type { Problem } from '../../problems/problem.ts';
import { InputError } from '../../problems/problem.ts';

/** An error that carries the one sentence why this file is of no use. */
export function audioFault(file: string, code: string, message: string): InputError {
  return new InputError([{ kind: 'refused', code, file, message }]);
}

export function audioRemark(file: string, code: string, message: string): Problem {
  return { kind: 'remark', code, file, message };
}
