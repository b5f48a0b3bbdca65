import { readMoreRecords } from '../../src/server/read-more-records.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import type { MoreRecords } from '../../src/works/more-records.ts'
import { parseWorks } from '../../src/works/parse-works.ts'
import type { Works } from '../../src/works/works.ts'

export const NOTHING_MORE: MoreRecords = { cuts: null, seals: null, lengthWitnesses: null }

/** The demo works with what stands in its folder `more/`. */
export async function demoWorks(): Promise<{ works: Works; more: MoreRecords }> {
  const { name, path, files } = await readWorksFolder('demo/kelderwick')
  const result = parseWorks(name, files)
  if (!result.ok) throw new Error(JSON.stringify(result.problems[0]))
  const { more } = await readMoreRecords(path, name, result.works)
  return { works: result.works, more }
}
