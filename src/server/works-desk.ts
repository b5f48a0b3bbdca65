import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { refuseOtherWorks } from '../store/ledger-opening.ts'
import type { WorksCause, WorksChange, WorksVersionRow } from '../store/tables.ts'
import {
  addWorksVersion,
  latestVersion,
  latestWorksVersion,
  openedInVersion,
  worksFiles,
  worksVersion,
} from '../store/works-versions.ts'
import type { WorksSummary } from '../works/api.ts'
import type { WorksFile } from '../works/works-files.ts'
import { isMoreFile, type LoadedMore, loadWithMore } from './kept-more.ts'
import type { FolderContent } from './read-works-folder.ts'

export interface CurrentWorks extends LoadedMore {
  row: WorksVersionRow
  files: Map<string, Uint8Array>
}

/** The works that is open: kept checked in memory, every version of it in the store. */
export interface WorksDesk {
  /** Throws 'no-works' where none is open. */
  current(): CurrentWorks
  isOpen(): boolean
  /** The works as it was in an earlier version. */
  version(version: number): Promise<LoadedMore & { row: WorksVersionRow }>
  /** Stores and opens what was read; the same bytes again make no new version. */
  open(content: FolderContent): Promise<CurrentWorks>
  /** At start: as open(), but what was changed since stays while the sixteen files of the folder are unchanged. */
  reopen(content: FolderContent): Promise<CurrentWorks>
  changeOrders(ordersCsv: Uint8Array): Promise<CurrentWorks>
  changeFile(change: WorksChange, file: WorksFile, bytes: Uint8Array): Promise<CurrentWorks>
  /** Takes over a newer version that another server has stored. */
  refresh(): Promise<void>
  summary(): WorksSummary
}

export async function openWorksDesk(db: Store): Promise<WorksDesk> {
  let current = await loadLatest(db)
  const earlier = earlierVersions(db)

  const store = async (
    content: FolderContent,
    cause: WorksCause,
    change: WorksChange | null = null,
  ): Promise<CurrentWorks> => {
    const loaded = loadWithMore(content)
    await refuseOtherWorks(db, loaded.works.site.works.name)
    const row = {
      folder: content.path,
      name: content.name,
      opened_at: new Date().toISOString(),
      cause,
      change,
    }
    const after = cause === 'opened' ? null : requireOpen(current).row.version
    const version = await db
      .transaction()
      .execute((trx) =>
        addWorksVersion(trx, { ...row, openedAt: row.opened_at, files: content.files, after }),
      )
    current = { ...loaded, row: { ...row, version }, files: content.files }
    return current
  }
  const changed = (files: Map<string, Uint8Array>, change: WorksChange | null) => {
    const { row } = requireOpen(current)
    return store({ name: row.name, path: row.folder, files, problems: [] }, 'orders', change)
  }

  return {
    current: () => requireOpen(current),
    isOpen: () => current !== null,
    async version(version) {
      if (current?.row.version === version) return current
      return earlier(version)
    },
    async open(content) {
      if (current !== null && isSame(content, current.row, current.files)) return current
      return store(content, 'opened')
    },
    async reopen(content) {
      if (current !== null) {
        const version = await openedInVersion(db, current.row.version)
        const opened = await worksFiles(db, version)
        if (isSame(sixteenOf(content), current.row, sixteen(opened))) {
          const more = moreOf(content.files)
          if (sameFiles(more, moreOf(current.files))) return current
          return changed(new Map([...sixteen(current.files), ...more]), 'more files')
        }
      }
      return store(content, 'opened')
    },
    changeOrders: async (ordersCsv) =>
      changed(new Map(requireOpen(current).files).set('orders.csv', ordersCsv), null),
    changeFile: async (change, file, bytes) =>
      changed(new Map(requireOpen(current).files).set(file, bytes), change),
    async refresh() {
      const version = current?.row.version ?? 0
      if ((await latestVersion(db)) <= version) return
      const latest = await loadLatest(db)
      if (latest && latest.row.version > (current?.row.version ?? 0)) current = latest
    },
    summary: () => summaryOf(requireOpen(current)),
  }
}

function isSame(content: FolderContent, row: WorksVersionRow, files: Map<string, Uint8Array>): boolean {
  return content.problems.length === 0 && row.folder === content.path && sameFiles(content.files, files)
}

/** Keeps the one that was asked for last: of a plan that is older than the orders of today it is asked for again and again. */
function earlierVersions(db: Store): (version: number) => Promise<LoadedMore & { row: WorksVersionRow }> {
  let last: (LoadedMore & { row: WorksVersionRow }) | null = null
  return async (version) => {
    if (last?.row.version === version) return last
    const row = await worksVersion(db, version)
    if (row === null) throw new LastmetreError('not-found', `There is no version ${version} of the works.`)
    const files = await worksFiles(db, version)
    last = { row, ...loadWithMore({ name: row.name, files, problems: [] }) }
    return last
  }
}

/** Null where none was stored, or where a later contract no longer takes what was. */
async function loadLatest(db: Store): Promise<CurrentWorks | null> {
  const row = await latestWorksVersion(db)
  if (row === null) return null
  const files = await worksFiles(db, row.version)
  try {
    return { row, files, ...loadWithMore({ name: row.name, files, problems: [] }) }
  } catch (error) {
    if (error instanceof LastmetreError) return null
    throw error
  }
}

function requireOpen(current: CurrentWorks | null): CurrentWorks {
  if (current === null) throw new LastmetreError('no-works', 'No works is open.')
  return current
}

function sixteenOf(content: FolderContent): FolderContent {
  return { ...content, files: sixteen(content.files) }
}

function sixteen(files: Map<string, Uint8Array>): Map<string, Uint8Array> {
  return new Map([...files].filter(([name]) => !isMoreFile(name)))
}

function moreOf(files: Map<string, Uint8Array>): Map<string, Uint8Array> {
  return new Map([...files].filter(([name]) => isMoreFile(name)))
}

function sameFiles(a: Map<string, Uint8Array>, b: Map<string, Uint8Array>): boolean {
  if (a.size !== b.size) return false
  for (const [name, bytes] of a) {
    const other = b.get(name)
    if (other === undefined || Buffer.compare(bytes, other) !== 0) return false
  }
  return true
}

function summaryOf({ row, works, notices }: CurrentWorks): WorksSummary {
  return {
    version: row.version,
    folder: row.folder,
    name: works.site.works.name,
    town: works.site.works.town,
    todayDate: works.site.works.todayDate,
    openedAt: row.opened_at,
    counts: {
      cables: works.cables.length,
      drums: works.drums.length,
      faults: works.faults.length,
      orders: works.orders.length,
    },
    notices,
  }
}
