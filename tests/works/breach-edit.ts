import { encoded } from './kelderwick-files.ts'

/** One change to a file of the demo works; each key but `file` says what is done. Rows count the header as 1. */
export interface Edit {
  file: string
  remove?: true
  text?: string
  append?: string
  replace?: [find: string, by: string]
  row?: number
  column?: string
  /** Content of the cell; quoted where needed. */
  value?: unknown
  /** Content of the cell exactly as it shall stand in the file. */
  raw?: string
  removeRow?: number
  copyRow?: number
  /** How often what is appended or copied is added. */
  times?: number
  removeCable?: string
  /** Path of a JSON value that is set, copied from elsewhere or dropped. */
  json?: (string | number)[]
  copyOf?: (string | number)[]
  drop?: true
  encode?: 'utf-16le' | 'latin1'
  /** With a byte-order mark. */
  mark?: boolean
}

export function applyEdit(files: Map<string, Uint8Array>, edit: Edit): void {
  const bytes = files.get(edit.file)
  if (!bytes) throw new Error(`${edit.file} is not there`)
  if (edit.remove) {
    files.delete(edit.file)
    return
  }
  const text = edited(new TextDecoder().decode(bytes), edit)
  files.set(edit.file, edit.encode ? inEncoding(text, edit) : encoded(text))
}

function edited(text: string, edit: Edit): string {
  if (edit.text !== undefined) return edit.text
  if (edit.replace) {
    if (!text.includes(edit.replace[0])) throw new Error(`${edit.file} has no ${edit.replace[0]}`)
    return text.replace(edit.replace[0], () => edit.replace![1])
  }
  if (edit.append !== undefined) return text + edit.append.repeat(edit.times ?? 1)
  if (edit.json) return editedJson(text, edit, edit.json)
  return edit.encode ? text : editedRows(text, edit)
}

/** The demo files have no line end within a cell, so that a line is a row. */
function editedRows(text: string, edit: Edit): string {
  const lines = text.trimEnd().split('\r\n')
  if (edit.removeRow) lines.splice(edit.removeRow - 1, 1)
  else if (edit.removeCable) return lines.filter((l) => !l.startsWith(`${edit.removeCable},`)).join('\r\n')
  else if (edit.copyRow) {
    const copy = lines[edit.copyRow - 1]!
    for (let i = 0; i < (edit.times ?? 1); i++) lines.push(copy)
  } else {
    const at = lines[0]!.split(',').indexOf(edit.column!)
    if (at < 0) throw new Error(`${edit.file} has no column ${edit.column}`)
    // a comma that an even number of quotes follows stands between cells
    const cells = lines[edit.row! - 1]!.split(/,(?=(?:[^"]*"[^"]*")*[^"]*$)/)
    const value = String(edit.value)
    cells[at] = edit.raw ?? (/[",\r\n]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value)
    lines[edit.row! - 1] = cells.join(',')
  }
  return `${lines.join('\r\n')}\r\n`
}

type Json = { [key: string | number]: Json }

function editedJson(text: string, edit: Edit, path: (string | number)[]): string {
  const root = JSON.parse(text) as Json
  const parent = path.slice(0, -1).reduce((value, key) => value[key]!, root)
  const last = path.at(-1)!
  if (edit.drop) delete parent[last]
  else
    parent[last] = edit.copyOf ? edit.copyOf.reduce((value, key) => value[key]!, root) : (edit.value as Json)
  return JSON.stringify(root, null, 1)
}

function inEncoding(text: string, edit: Edit): Uint8Array {
  const buffer = Buffer.from(text, edit.encode)
  return new Uint8Array(edit.mark ? Buffer.concat([Buffer.from([0xff, 0xfe]), buffer]) : buffer)
}
