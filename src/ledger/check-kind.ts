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

/** What measures a cable type, too: a tape its mark scale, a scale its mass per metre. */
export const TYPE_MEASURES = ['tape', 'scale'] as const satisfies readonly CheckKind[]

export type TypeMeasure = (typeof TYPE_MEASURES)[number]

export function measuresType(what: CheckKind): what is TypeMeasure {
  return TYPE_MEASURES.some((measure) => measure === what)
}
