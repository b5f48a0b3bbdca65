import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { prepareZXingModule, readBarcodes } from 'zxing-wasm/reader'

const require = createRequire(import.meta.url)
prepareZXingModule({
  overrides: {
    wasmBinary: readFileSync(require.resolve('zxing-wasm/reader/zxing_reader.wasm')).buffer as ArrayBuffer,
  },
})

export interface Raster {
  width: number
  height: number
  /** One byte a dot, 0 black. */
  dots: Uint8Array
}

/** Texts of all symbols that an independent decoder finds. */
export async function decode({ width, height, dots }: Raster): Promise<string[]> {
  const data = new Uint8ClampedArray(width * height * 4)
  for (const [i, dot] of dots.entries()) data.set([dot, dot, dot, 255], i * 4)
  const found = await readBarcodes({ width, height, data } as ImageData, {
    formats: ['Code128', 'QRCode'],
    tryHarder: true,
    maxNumberOfSymbols: 4,
  })
  return found.filter((symbol) => symbol.isValid).map((symbol) => symbol.text)
}

/** Boxes in points as a printer of so many dots per inch sets them: each edge on the nearest dot. */
export function rasterOf(
  boxes: [x: number, y: number, width: number, height: number][],
  widthPt: number,
  heightPt: number,
  dpi: number,
): Raster {
  const dot = (pt: number) => Math.round((pt / 72) * dpi)
  const width = dot(widthPt)
  const height = dot(heightPt)
  const dots = new Uint8Array(width * height).fill(255)
  for (const [x, y, w, h] of boxes)
    for (let row = dot(y); row < dot(y + h); row++)
      dots.fill(0, row * width + dot(x), row * width + dot(x + w))
  return { width, height, dots }
}

/** A page as pdftoppm writes it with -gray: P5, one byte a dot. */
export function rasterOfPgm(file: Uint8Array): Raster {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(new TextDecoder('latin1').decode(file.subarray(0, 40)))
  if (!head) throw new Error('not a grey map')
  return { width: Number(head[1]), height: Number(head[2]), dots: file.subarray(head[0].length) }
}
