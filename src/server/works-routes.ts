import type { MultipartFile } from '@fastify/multipart'
import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { InputAnswer } from '../works/api.ts'
import type { Works } from '../works/works.ts'
import { MAX_FILE_BYTES, WORKS_FILES } from '../works/works-files.ts'
import { ALL_MORE_FILES, readWholeFolder } from './kept-more.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { DEMO_FOLDER } from './project.ts'
import type { FolderContent } from './read-works-folder.ts'
import { errorShape, inputQuery, openBody, worksShape } from './schemas.ts'
import type { WorksDesk } from './works-desk.ts'

/** A dropped folder may hold other files as well; they are passed over, up to a number. */
const MAX_UPLOADED_FILES = 200
const ANSWERS = { 200: worksShape, '4xx': errorShape }

/** Opening a works, and what is open. */
export function worksRoutes(works: WorksDesk, planning: PlanningDesk): FastifyPluginAsyncZod {
  const open = async (content: FolderContent) => {
    const before = works.isOpen() ? works.current().row.version : null
    const opened = await works.open(content)
    // What is being made for the works before helps nobody any more.
    if (opened.row.version !== before) planning.stop()
    return works.summary()
  }
  return async (app) => {
    app.get('/api/works', { schema: { summary: 'The works that is open', response: ANSWERS } }, async () =>
      works.summary(),
    )
    app.post(
      '/api/works/open',
      {
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
      { schema: { summary: 'Opens the demo works', response: ANSWERS } },
      async () => open(await readWholeFolder(DEMO_FOLDER)),
    )
    app.post(
      '/api/works/upload',
      {
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
        schema: {
          summary: 'The checked works: { version, input }; of an earlier version where one is asked for',
          querystring: inputQuery,
        },
      },
      async (request): Promise<InputAnswer> => {
        const { row, works: checked } =
          request.query.version === undefined ? works.current() : await works.version(request.query.version)
        return { version: row.version, input: planInputOf(checked) }
      },
    )
  }
}

/** What planning looks at, without the records that it does not. */
function planInputOf(works: Works): PlanInput {
  const {
    attenuation: _attenuation,
    leadTests: _leadTests,
    lineRun: _lineRun,
    monthLedger: _month,
    ...input
  } = works
  return input
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
