import { paintSquare, QR_QUIET, qrCode } from './barcode.ts'
import { A4_PT, Pen, PT_PER_MM } from './pen.ts'

export interface TrustSheet {
  /** Address of the page that gives out the certificate. */
  trustPage: string
  /** Address of the screens. */
  screens: string
  /** SHA-256 of the authority's certificate. */
  fingerprint: string
  /** YYYY-MM-DD. */
  until: string
}

const LEFT = 20 * PT_PER_MM
const CODE_MM = 60
const LINE_PT = 17
const TEXT_PT = 12

/** One A4 sheet to hang up in the hall: the code that a tablet scans, and the fingerprint to compare. */
export async function trustSheetPdf(sheet: TrustSheet): Promise<Uint8Array> {
  const pen = new Pen('Trust the hall’s server', A4_PT)
  const width = A4_PT[0] - 2 * LEFT
  pen.page()
  let y = LEFT + 24
  const put = (text: string, size = TEXT_PT, weight: 400 | 600 = 400) => {
    for (const line of pen.wrap(text, width, size, weight)) {
      pen.text(line, LEFT, y, { size, weight })
      y += size * 1.42
    }
  }
  put('Make a tablet trust the hall’s server', 22, 600)
  y += LINE_PT
  put('1. Join the hall’s network. Scan this code, or type the address below it.')
  y += LINE_PT / 2
  y = paintCode(pen, sheet.trustPage, y)
  put(sheet.trustPage, 16, 600)
  y += LINE_PT
  put('2. Download the certificate there. Compare its fingerprint (SHA-256) with this one:')
  y += 4
  for (const half of halves(sheet.fingerprint)) put(half, 13, 600)
  y += 4
  put(
    'If they differ, do not install it, and tell the owner: somebody else answers in the network.',
    TEXT_PT,
    600,
  )
  y += LINE_PT
  put('3. Install it as the page says for your device. Then open:')
  y += 4
  put(sheet.screens, 16, 600)
  y += LINE_PT
  put(
    `Once a device, good until ${sheet.until}. The authority vouches for names of this hall and addresses in private networks only.`,
  )
  return pen.bytes()
}

function paintCode(pen: Pen, text: string, top: number): number {
  const symbol = qrCode(text)
  const module = (CODE_MM * PT_PER_MM) / (symbol.modules + 2 * QR_QUIET)
  paintSquare(pen, symbol, LEFT + QR_QUIET * module, top + QR_QUIET * module, module)
  return top + CODE_MM * PT_PER_MM + LINE_PT
}

/** Sixteen bytes a line. */
function halves(fingerprint: string): string[] {
  const bytes = fingerprint.split(':')
  return [bytes.slice(0, 16).join(' '), bytes.slice(16).join(' ')]
}
