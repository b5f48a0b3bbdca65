import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { build } from './build.mjs'
import { main, ROOT, Stop, say } from './lib/run.mjs'
import { setup } from './setup.mjs'

/** `node scripts/picture.mjs [drum]` plans the demo and draws one of its mountings into docs/strip.svg, for the README. */
const SECONDS = 10
const WIDTH = 1_000
const TEXT_SIZE = 13
const MARGIN = 8
/** Black and greys: the picture stands on white, in a light page and in a dark one. */
const TONES = { ink: '#1c1f23', quiet: '#5b636b', line: '#d9d5cc', plum: '#7a2e5d', amber: '#8a6100' }

const dist = (path) => import(`../dist/${path}`)

await main(async () => {
  await setup()
  await build()
  const { readWorksFolder } = await dist('server/read-works-folder.js')
  const { loadWorks } = await dist('server/load-works.js')
  const { startPlanning } = await dist('solver/start-planning.js')
  const { works } = loadWorks(await readWorksFolder(join(ROOT, 'demo', 'kelderwick')))
  const plan = await startPlanning(works, { seconds: SECONDS, seed: 1, onProgress: () => undefined }).result
  const drawings = await Promise.all(plan.mountings.map((mounting) => drawn(works, mounting)))
  const named = process.argv[2]
  const [chosen] = drawings
    .filter(({ mounting }) => (named ? mounting.drum === named : true))
    .sort((a, b) => worthShowing(b) - worthShowing(a))
  if (chosen === undefined) throw new Stop(`The plan does not mount ${named}.`)
  writeFileSync(join(ROOT, 'docs', 'strip.svg'), await svgOf(chosen.drawing))
  say(`docs/strip.svg shows ${chosen.drawing.title}`)
})

async function drawn(works, mounting) {
  const { usableDrum } = await dist('strip/usable.js')
  const { stripDrawing } = await dist('drawing/strip-drawing.js')
  const ofDrum = ({ drum }) => drum === mounting.drum
  const [drum] = works.drums.filter(ofDrum)
  const usable = usableDrum(
    drum,
    works.marks.filter(ofDrum),
    works.faults.filter(ofDrum),
    works.site.cutRules,
  )
  const unitOf = (order, line) => works.orders.find((o) => o.order === order && o.line === line)?.unit ?? 'm'
  const drawing = stripDrawing({ usable, mounting, width: WIDTH, textSize: TEXT_SIZE, unitOf })
  return { mounting, usable, drawing }
}

/** A fault, a rest and some pieces, both bulk and leads, and no crowd of labels. */
function worthShowing({ mounting, usable, drawing }) {
  const uses = mounting.intervals
  const pieces = uses.filter(({ use }) => use === 'piece')
  const kinds = new Set(pieces.map(({ count }) => count > 1))
  return (
    Math.min(2, usable.zones.length) * 2 +
    (uses.some(({ use, putup }) => use === 'remnant' && putup === null) ? 4 : 0) +
    kinds.size * 2 +
    Math.min(6, pieces.length) / 2 -
    drawing.height / 40
  )
}

async function svgOf({ width, height, shapes, title, list }) {
  const { DOT_RADIUS, PATTERN_PITCH: p } = await dist('drawing/pattern.js')
  const tile = (id, marks) =>
    `<pattern id="${id}" width="${p}" height="${p}" patternUnits="userSpaceOnUse">${marks}</pattern>`
  const line = (d) => `<path d="${d}" stroke="${TONES.quiet}" stroke-width="0.7" fill="none"/>`
  const rising = `M0 ${p}L${p} 0`
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${width + 2 * MARGIN}" height="${n(height + 2 * MARGIN)}" viewBox="${-MARGIN} ${-MARGIN} ${width + 2 * MARGIN} ${n(height + 2 * MARGIN)}" font-family="Source Sans 3, Arial, sans-serif" role="img">`,
    `<title>${escaped(title)}</title>`,
    `<desc>${escaped(list.map(({ text }) => text).join('; '))}</desc>`,
    '<defs>',
    tile('dots', `<circle cx="${p / 2}" cy="${p / 2}" r="${DOT_RADIUS}" fill="${TONES.quiet}"/>`),
    tile('diagonal', line(rising)),
    tile('crossed', line(`${rising}M0 0L${p} ${p}`)),
    '</defs>',
    `<rect x="${-MARGIN}" y="${-MARGIN}" width="100%" height="100%" fill="#ffffff"/>`,
    ...shapes.map(element),
    '</svg>',
    '',
  ].join('\n')
}

function element(shape) {
  const { kind } = shape
  if (kind === 'text') {
    const halo = shape.halo ? ' stroke="#ffffff" stroke-width="4" paint-order="stroke"' : ''
    const weight = shape.bold ? ' font-weight="600"' : ''
    return `<text x="${n(shape.x)}" y="${n(shape.y)}" font-size="${shape.size}" text-anchor="${shape.anchor}" textLength="${n(shape.width)}" lengthAdjust="spacingAndGlyphs"${weight} fill="${TONES[shape.tone]}"${halo}>${escaped(shape.text)}</text>`
  }
  const { stroke } = shape
  const outline = stroke
    ? ` stroke="${TONES[stroke.tone]}" stroke-width="${stroke.width}"${stroke.dash ? ` stroke-dasharray="${stroke.dash.join(' ')}"` : ''}`
    : ''
  if (kind === 'circle')
    return `<circle cx="${n(shape.x)}" cy="${n(shape.y)}" r="${n(shape.radius)}" fill="none"${outline}/>`
  const fill = ` fill="${fillOf(shape.fill)}"`
  if (kind === 'rect')
    return `<rect x="${n(shape.x)}" y="${n(shape.y)}" width="${n(Math.max(0, shape.width))}" height="${n(shape.height)}"${fill}${outline}/>`
  return `<${kind} points="${shape.points.map((point) => point.map(n).join(',')).join(' ')}"${fill}${outline}/>`
}

function fillOf(fill = 'none') {
  if (fill === 'none') return fill
  return fill === 'paper' ? '#ffffff' : `url(#${fill})`
}

function n(value) {
  return String(Math.round(value * 10) / 10)
}

function escaped(text) {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')
}
