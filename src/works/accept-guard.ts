import { decodeText } from './decode-text.ts'

/** lines.json with another length guard; everything else in it stays as it was. null where it is no JSON object. */
export function withLengthGuard(linesJson: Uint8Array, lengthGuardRatio: number): Uint8Array | null {
  const text = decodeText(linesJson)
  if (typeof text !== 'string') return null
  const site: unknown = JSON.parse(text)
  const rules = isObject(site) ? site.cut_rules : null
  if (!isObject(site) || !isObject(rules)) return null
  rules.length_guard_ratio = lengthGuardRatio
  return new TextEncoder().encode(`${JSON.stringify(site, null, 1)}\n`)
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}
