import type { LineWorks } from '../line/line-works.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreLine, readMoreRecords } from '../server/read-more-records.ts'
import type { FolderContent } from '../server/read-works-folder.ts'
import type { Works } from '../works/works.ts'

/** The checked works with what `more/` records of its lines. */
export async function recordedWorks(content: FolderContent): Promise<Works & LineWorks> {
  const { works } = loadWorks(content)
  const { more } = await readMoreLine(content.path, content.name, works)
  const { cuts } = (await readMoreRecords(content.path, content.name, works)).more
  const cutPieces = cuts?.map((cut) => ({ serial: cut.id, line: cut.line, at: cut.cutAt })) ?? []
  return { ...works, ...more, cutPieces }
}
