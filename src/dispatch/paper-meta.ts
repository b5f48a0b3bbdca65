import { fourDigits } from './piece-number.ts'

/** What every paper says of the plan it belongs to. */
export interface PaperMeta {
  /** As printed and as part of each piece's name: letters, digits and hyphens. */
  planNumber: string
  /** When the plan was made, as it is to be printed. */
  madeAt: string
  /** State of the works that it was made from; absent where nobody counts them. */
  worksVersion?: number
}

export function planText(meta: PaperMeta): string {
  const version = meta.worksVersion === undefined ? '' : `, works version ${meta.worksVersion}`
  return `Plan ${meta.planNumber}${version}, ${meta.madeAt}`
}

/** A stored plan as it is named on sheets and labels. */
export function planNumber(planId: number): string {
  return `P${fourDigits(planId)}`
}
