/** A part of a sheet that is never broken over two pages. */
export interface Block {
  height: number
  paint: (y: number) => void
  /** The head of the table that this is a row of: painted above the first row, and again where a row begins a page. */
  head?: Block
}

export interface PlacedBlock {
  block: Block
  y: number
}

/** Places blocks one below the other from `top` to `bottom` of each page. A block taller than a page has one to itself. */
export function flow(blocks: Block[], top: number, bottom: number): PlacedBlock[][] {
  const pages: PlacedBlock[][] = [[]]
  let y = top
  let above: Block | undefined
  for (const block of blocks) {
    const head = block.head !== above?.head ? block.head : undefined
    let page = pages[pages.length - 1]!
    let group = head ? [head, block] : [block]
    if (page.length > 0 && y + group.reduce((sum, b) => sum + b.height, 0) > bottom) {
      page = []
      pages.push(page)
      y = top
      group = block.head ? [block.head, block] : [block]
    }
    for (const part of group) {
      page.push({ block: part, y })
      y += part.height
    }
    above = block
  }
  return pages
}
