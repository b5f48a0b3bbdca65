/** What a JSON pointer (RFC 6901) names within a value; undefined where nothing is there. */
export function atPointer(value: unknown, pointer: string): unknown {
  let at = value
  for (const part of partsOf(pointer)) {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, part)) return undefined
    if (Array.isArray(at) && !/^(?:0|[1-9]\d*)$/.test(part)) return undefined
    at = (at as Record<string, unknown>)[part]
  }
  return at
}

/** The value with something put where a pointer says, objects made on the way; for the simulator. */
export function withPointer(value: unknown, pointer: string, put: unknown): unknown {
  const parts = partsOf(pointer)
  if (parts.length === 0) return put
  const root: Record<string, unknown> = isObject(value) ? { ...value } : {}
  let at = root
  for (const part of parts.slice(0, -1)) {
    const next = Object.hasOwn(at, part) && isObject(at[part]) ? { ...at[part] } : {}
    define(at, part, next)
    at = next
  }
  define(at, parts.at(-1)!, put)
  return root
}

function partsOf(pointer: string): string[] {
  return pointer
    .split('/')
    .slice(1)
    .map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'))
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** A member of that name, whatever the name is. */
function define(object: Record<string, unknown>, name: string, value: unknown): void {
  Object.defineProperty(object, name, { value, enumerable: true, configurable: true, writable: true })
}
