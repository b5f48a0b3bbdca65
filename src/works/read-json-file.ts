import type { z } from 'zod'
import { readJson } from './json-text.ts'
import type { Notice } from './problem.ts'
import { type ProblemList, shown } from './problem-list.ts'

/** A JSON file as far as it could be read. */
export interface JsonFile<T> {
  /** What stands in the file; undefined where it is no JSON. Checks across files read ids from it with care. */
  raw: unknown
  /** undefined where something is wrong. */
  value: T | undefined
}

/** So many unknown keys are shown for one file. */
const MAX_UNKNOWN = 50

export function readJsonFile<T>(
  file: string,
  text: string,
  shape: z.ZodType<T>,
  problems: ProblemList,
  notices: Notice[],
): JsonFile<T> {
  const json = readJson(text)
  for (const fault of json.faults) problems.add(file, fault.line, fault.path, fault.wrong, fault.right)
  if (json.value === undefined) return { raw: undefined, value: undefined }
  const parsed = shape.safeParse(json.value)
  if (!parsed.success) {
    addIssues(file, json.value, parsed.error.issues, problems)
    return { raw: json.value, value: undefined }
  }
  const unknown: string[] = []
  gatherUnknown(json.value, parsed.data, '', unknown)
  for (const path of unknown) {
    const text = `The key ${shown(path)} is not known here and is ignored.`
    notices.push({ file, row: null, column: path, text, kind: 'unknown-column' })
  }
  return { raw: json.value, value: parsed.data }
}

function addIssues(
  file: string,
  raw: unknown,
  issues: readonly z.core.$ZodIssue[],
  problems: ProblemList,
): void {
  const seen = new Set<string>()
  for (const issue of issues) {
    const path = pathText(issue.path)
    if (seen.has(path)) continue
    seen.add(path)
    if (issue.code === 'invalid_key') {
      const key = String(issue.path.at(-1))
      problems.add(file, null, path, `the key ${shown(key)} is no id`, issue.issues[0]?.message ?? 'an id')
    } else problems.add(file, null, path === '' ? null : path, foundAt(raw, issue.path), issue.message)
  }
}

export function pathText(path: readonly PropertyKey[]): string {
  let text = ''
  for (const part of path)
    text += typeof part === 'number' ? `[${part}]` : `${text === '' ? '' : '.'}${String(part).slice(0, 80)}`
  return text
}

function foundAt(raw: unknown, path: readonly PropertyKey[]): string {
  let value = raw
  for (const part of path) value = memberOf(value, part)
  if (value === undefined) return 'is missing'
  if (Array.isArray(value)) return 'is a list'
  if (value !== null && typeof value === 'object') return 'is an object'
  return `is ${typeof value === 'string' ? shown(value) : String(value)}`
}

/** A member of something that came out of a file; undefined where there is none. */
export function memberOf(value: unknown, key: PropertyKey): unknown {
  if (value === null || typeof value !== 'object' || !Object.hasOwn(value, key)) return undefined
  return (value as Record<PropertyKey, unknown>)[key]
}

/** The schemas drop what they do not know: what the file has and the value has not is unknown. */
function gatherUnknown(raw: unknown, value: unknown, path: string, unknown: string[]): void {
  if (raw === null || typeof raw !== 'object' || value === null || typeof value !== 'object') return
  for (const key of Object.keys(raw)) {
    if (unknown.length >= MAX_UNKNOWN) return
    const at = Array.isArray(raw) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`
    if (Object.hasOwn(value, key)) gatherUnknown(memberOf(raw, key), memberOf(value, key), at, unknown)
    else unknown.push(at.slice(0, 120))
  }
}
