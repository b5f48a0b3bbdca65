import type { MultipartFile } from '@fastify/multipart'
import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { planById } from '../store/plans.ts'
import type { InputAnswer } from '../works/api.ts'
import { MAX_FILE_BYTES, WORKS_FILES } from '../works/works-files.ts'
import type { FloorDesk } from './floor-desk.ts'
import { ALL_MORE_FILES, readWholeFolder } from './kept-more.ts'
import { worksOfPlan } from './plan-floors.ts'
import { planInputOf } from './plan-input-of.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { DEMO_FOLDER } from './project.ts'
import type { FolderContent } from './read-works-folder.ts'
import { errorShape, inputOrPlanQuery, openBody, worksShape } from './schemas.ts'
import type { WorksDesk } from './works-desk.ts'

/** A dropped folder may hold other files as well; they are passed over, up to a number. */
const MAX_UPLOADED_FILES = 200
const ANSWERS = { 200: worksShape, '4xx': errorShape }

/** Opening a works, and what is open. */
export function worksRoutes(
  db: Store,
  works: WorksDesk,
  planning: PlanningDesk,
  floor: FloorDesk,
): FastifyPluginAsyncZod {
  const open = async (content: FolderContent) => {
    const before = works.isOpen() ? works.current().row.version : null
    const opened = await works.open(content)
    // What is being made for the works before helps nobody any more.
    if (opened.row.version !== before) planning.stop()
    return works.summary()
  }
  return async (app) => {
    app.get(
      '/api/works',
      { config: { deed: 'look' }, schema: { summary: 'The works that is open', response: ANSWERS } },
      async () => works.summary(),
    )
    app.post(
      '/api/works/open',
      {
        config: { deed: 'change-works' },
        schema: {
          summary: 'Opens a works folder of this machine; a breach refuses it as a whole',
          body: openBody,
          response: ANSWERS,
        },
      },
      async (request) => open(await readWholeFolder(request.body.folder)),
    )
    app.post(
      '/api/works/demo',
      { config: { deed: 'change-works' }, schema: { summary: 'Opens the demo works', response: ANSWERS } },
      async () => open(await readWholeFolder(DEMO_FOLDER)),
    )
    app.post(
      '/api/works/upload',
      {
        config: { deed: 'change-works' },
        schema: {
          summary: 'Opens a works folder that is sent: multipart, one part per file, field `folder` its name',
          consumes: ['multipart/form-data'],
          response: ANSWERS,
        },
      },
      async (request) => open(await receivedFolder(request)),
    )
    app.get(
      '/api/input',
      {
        config: { deed: 'look' },
        schema: {
          summary:
            'The works as it is now: { version, seq, input }; of an earlier version or of a plan where one is asked for',
          querystring: inputOrPlanQuery,
        },
      },
      async (request): Promise<InputAnswer> => inputAnswer(db, works, floor, request.query),
    )
  }
}

async function inputAnswer(
  db: Store,
  works: WorksDesk,
  floor: FloorDesk,
  { version, plan }: z.infer<typeof inputOrPlanQuery>,
): Promise<InputAnswer> {
  if (plan !== undefined) {
    const row = await planById(db, plan)
    if (row === null) throw new LastmetreError('not-found', `There is no plan ${plan}.`)
    const planned = await worksOfPlan(db, works, row)
    return { version: row.works_version, seq: planned.seq, input: planInputOf(planned.works) }
  }
  if (version !== undefined && version !== works.current().row.version)
    return { version, seq: 0, input: planInputOf((await works.version(version)).works) }
  const now = await floor.now()
  return {
    version: now.current.row.version,
    seq: now.hasStock ? now.seq : 0,
    input: planInputOf(now.works),
  }
}

async function receivedFolder(request: FastifyRequest): Promise<FolderContent> {
  const files = new Map<string, Uint8Array>()
  let name = 'dropped folder'
  const options = {
    limits: { files: MAX_UPLOADED_FILES, fields: 4, fileSize: MAX_FILE_BYTES + 1 },
    // A file over the limit arrives cut one byte above it, which the parser reports with its name.
    throwFileSizeLimit: false,
  }
  for await (const part of request.parts(options)) {
    if (part.type === 'field') {
      if (part.fieldname === 'folder' && typeof part.value === 'string') name = folderName(part.value)
    } else await receiveFile(part, files)
  }
  if (files.size === 0) throw new LastmetreError('folder-missing', 'None of the sixteen files was sent.')
  return { name, path: name, files, problems: [] }
}

async function receiveFile(part: MultipartFile, files: Map<string, Uint8Array>): Promise<void> {
  const name = part.filename.split(/[/\\]/).at(-1) ?? ''
  const file = nameInFolder(name)
  if (file === null) {
    part.file.resume()
    return
  }
  if (files.has(file)) throw new LastmetreError('bad-request', `${name} was sent twice.`)
  const chunks: Uint8Array[] = []
  for await (const chunk of part.file) chunks.push(chunk as Uint8Array)
  files.set(file, Buffer.concat(chunks))
}

/** A browser leaves the folder out of a name, and no file of `more/` bears the name of one of the sixteen. */
function nameInFolder(name: string): string | null {
  if ((WORKS_FILES as readonly string[]).includes(name)) return name
  return ALL_MORE_FILES.find((file) => file === `more/${name}`) ?? null
}

/** A name only, never a path. */
function folderName(sent: string): string {
  const name = sent.split(/[/\\]/).filter(Boolean).at(-1) ?? ''
  return name.replace(/[^\p{L}\p{N}._ -]/gu, '').slice(0, 100) || 'dropped folder'
}
