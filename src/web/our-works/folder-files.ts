/** A file of a chosen or dropped folder. */
export interface FolderFile {
  /** Its name within the folder; a file of a folder within is `more/…`. */
  name: string
  file: File
}

export interface ChosenFolder {
  folder: string
  files: FolderFile[]
}

/** Files of an <input webkitdirectory>: their paths begin with the name of the folder. */
export function filesOfInput(list: FileList): ChosenFolder {
  const files = [...list].map((file) => ({ path: file.webkitRelativePath || file.name, file }))
  const folder = files[0]?.path.split('/')[0] ?? ''
  return {
    folder,
    files: files.map(({ path, file }) => ({ name: path.split('/').slice(1).join('/'), file })),
  }
}

/** Files of a dropped folder and of the folder `more` within it. */
export async function filesOfDrop(items: DataTransferItemList): Promise<ChosenFolder | null> {
  const entry = [...items].map((item) => item.webkitGetAsEntry()).find((e) => e?.isDirectory)
  if (!entry) return null
  const entries = await entriesOf(entry as FileSystemDirectoryEntry)
  const more = entries.find((e) => e.isDirectory && e.name === 'more')
  return {
    folder: entry.name,
    files: [
      ...(await filesAmong(entries, '')),
      ...(more ? await filesAmong(await entriesOf(more as FileSystemDirectoryEntry), 'more/') : []),
    ],
  }
}

function filesAmong(entries: FileSystemEntry[], within: string): Promise<FolderFile[]> {
  return Promise.all(
    entries
      .filter((e) => e.isFile)
      .map(async (e) => ({ name: `${within}${e.name}`, file: await fileOf(e as FileSystemFileEntry) })),
  )
}

function fileOf(entry: FileSystemFileEntry): Promise<File> {
  return new Promise((resolve, reject) => entry.file(resolve, reject))
}

/** A reader hands out at most a hundred entries at a time. */
async function entriesOf(directory: FileSystemDirectoryEntry): Promise<FileSystemEntry[]> {
  const reader = directory.createReader()
  const all: FileSystemEntry[] = []
  for (;;) {
    const some = await new Promise<FileSystemEntry[]>((resolve, reject) =>
      reader.readEntries(resolve, reject),
    )
    if (some.length === 0) return all
    all.push(...some)
  }
}
