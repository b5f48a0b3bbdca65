/** What must be checked from time to time. */
export const CHECK_KINDS = [
  'counter',
  'spark tester',
  'high-voltage tester',
  'tape',
  'scale',
  'analyser kit',
  'die',
  'wrench',
  'other tool',
] as const

export type CheckKind = (typeof CHECK_KINDS)[number]
