import { expect, it } from 'vitest';
import { RULE_NAMES, RULE_SUBJECTS } from '../../src/model/readings/rule-names.ts';

it('every rule is explained under one subject, and once', () => {
  const named = RULE_SUBJECTS.flatMap(({ rules }) => rules);
  expect([...named].sort()).toEqual([...RULE_NAMES].sort());
});
