/** What the works folder says of a counter that is verified for trade; null where it says nothing. */
export interface CounterSeal {
  verifiedDate: string | null
  verificationDueDate: string | null
}

export interface SealState {
  sealed: boolean | null
  verificationDueDate: string | null
  overdue: boolean | null
  /** How the error may be taken out, in words. */
  correctBy: string
}

/** A sealed counter is corrected through its preset only: adjusting it breaks the seal and needs verification anew (common practice; the national law decides). */
export function sealState(seal: CounterSeal | null, today: string): SealState {
  if (!seal)
    return {
      sealed: null,
      verificationDueDate: null,
      overdue: null,
      correctBy:
        'Not recorded whether this counter is verified and sealed for trade. Correct through the preset: that is right in both cases.',
    }
  const { verificationDueDate } = seal
  const overdue = verificationDueDate === null ? null : verificationDueDate < today
  const due =
    verificationDueDate === null
      ? 'When verification falls due is not recorded.'
      : overdue
        ? `Verification was due on ${verificationDueDate}: it is overdue, and nothing may be sold by this counter until it is done.`
        : `Verification is due on ${verificationDueDate}.`
  return {
    sealed: true,
    verificationDueDate,
    overdue,
    correctBy: `Sealed: correct through the preset only. Adjusting the counter breaks the seal and needs verification anew. ${due}`,
  }
}
