import { type FormEvent, useEffect, useMemo, useRef, useState } from 'react'
import { useMe } from '../access/me-state.tsx'
import { emptyGoodsIn, GOODS_IN_STEPS, type GoodsInDraft, wrongWith } from './goods-in-draft.ts'
import type { StockViewProps } from './stock-view.tsx'
import { useBook } from './use-book.ts'
import { useReceipt } from './use-receipt.ts'
import { useScan } from './use-scan.ts'

/** Kept beside the screen, so that going elsewhere and back loses nothing that was typed. */
let kept: { draft: GoodsInDraft; step: number } | null = null

/** What is typed or scanned of a drum that arrives, at which question it stands, and the way on. */
export function useGoodsIn({ input, stock, onBooked }: StockViewProps) {
  const [draft, setDraft] = useState<GoodsInDraft>(() => kept?.draft ?? emptyGoodsIn(input))
  const [step, setStep] = useState(kept?.step ?? 0)
  const [tried, setTried] = useState(false)
  const [last, setLast] = useState<string | null>(null)
  const head = useRef<HTMLHeadingElement>(null)
  const { whyNot } = useMe()
  const why = whyNot('receive-drum')
  const booking = useBook(onBooked)
  const known = useMemo(() => ({ drums: new Set(stock.drums.map((d) => d.drum)) }), [stock.drums])
  const { id, question } = GOODS_IN_STEPS[step] ?? GOODS_IN_STEPS[0]
  const ready = useReceipt(draft, input)
  const wrong = [...wrongWith(id, draft, known), ...(id === 'length' ? ready.wrong : [])]
  useEffect(() => {
    kept = { draft, step }
  }, [draft, step])

  const goTo = (next: number) => {
    setTried(false)
    setStep(next)
    requestAnimationFrame(() => head.current?.focus())
  }
  const change = (part: Partial<GoodsInDraft>) => setDraft((before) => ({ ...before, ...part }))

  async function submit(event: FormEvent) {
    event.preventDefault()
    setTried(true)
    if (wrong.length > 0) return
    if (step < GOODS_IN_STEPS.length - 1) return goTo(step + 1)
    if (!ready.command || why) return
    const { drum } = draft
    const status = draft.status === 'free' ? 'free to be cut' : 'held'
    if (!(await booking.book([ready.command], `${drum} is in the store, ${status}.`))) return
    setLast(drum)
    setDraft(emptyGoodsIn(input))
    goTo(0)
  }

  function scanned(code: string) {
    if (id === 'drum') {
      change({ drum: code })
      if (wrongWith('drum', { ...draft, drum: code }, known).length === 0) goTo(1)
    } else if (id === 'cable') change({ lot: code })
    else if (id === 'place') change({ place: code })
  }

  useScan(scanned)

  return {
    ...{ draft, change, step, id, question, goTo, head, submit },
    ...{ ready, wrong: tried ? wrong : [], why, booking, last },
  }
}
