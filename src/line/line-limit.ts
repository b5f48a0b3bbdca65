/** One limit of a run, with how much of it is used. */
export interface LineLimit {
  name: string
  /** What it limits. */
  on: 'speed' | 'ramp' | 'slow-down' | 'tension' | 'put-up' | 'spark' | 'stop'
  /** Whether the used figure must not exceed the value, or not fall below it. */
  sense: 'most' | 'least'
  /** null: not known. */
  value: number | null
  unit: string
  used: number | null
  /** True where this limit sets the figure on the sheet. */
  binding: boolean
  /** True where the used figure breaks it: to be said, never hidden. */
  broken: boolean
  source: string
}

export type LimitRule = Omit<LineLimit, 'used' | 'binding' | 'broken'>

/** Room for rounding in the last digits, as a share of the limit. */
const SLACK_RATIO = 1e-9

/** A limit with what is used of it. */
export function usedLimit(rule: LimitRule, used: number | null, binding = false): LineLimit {
  const { value, sense } = rule
  const broken =
    value !== null &&
    used !== null &&
    (sense === 'most'
      ? used > value + Math.abs(value) * SLACK_RATIO
      : used < value - Math.abs(value) * SLACK_RATIO)
  return { ...rule, used, binding, broken }
}

/** The rule that leaves least; null where no value is known. */
export function tightest(rules: LimitRule[]): LimitRule | null {
  let found: LimitRule | null = null
  for (const rule of rules)
    if (rule.value !== null && (found === null || rule.value < found.value!)) found = rule
  return found
}
