import { useEffect, useRef, useState } from 'react'
import { emptyDraft, type OrdersDraft } from './orders/orders-draft.ts'
import { OrdersPlace } from './orders/orders-place.tsx'
import { OurWorksPlace } from './our-works/our-works-place.tsx'
import { GoneBanner } from './parts/gone-banner.tsx'
import { Skeleton } from './parts/skeleton.tsx'
import { TopLine } from './parts/top-line.tsx'
import { PlanPlace } from './plan/plan-place.tsx'
import { PLACES, usePlace } from './route.ts'
import { StockPlace } from './stock/stock-place.tsx'
import { useWorks } from './works-state.tsx'

export function App() {
  const { ready, works, input, gone } = useWorks()
  const place = usePlace()
  // kept here, so that going to another place and back loses nothing that was pasted
  const [draft, setDraft] = useState<OrdersDraft>(emptyDraft)
  const main = useRef<HTMLElement>(null)
  const shown = useRef(place)

  useEffect(() => {
    const word = PLACES.find((p) => p.path === place)?.word
    document.title = works ? `${word} · ${works.name} · Lastmetre` : `${word} · Lastmetre`
    if (shown.current === place) return
    shown.current = place
    window.scrollTo(0, 0)
    main.current?.focus({ preventScroll: true })
  }, [place, works])

  return (
    <>
      <a className="skip" href="#main">
        Go to the content
      </a>
      <TopLine place={place} works={works} />
      <main className="main" id="main" ref={main} tabIndex={-1}>
        <GoneBanner />
        {!ready && !gone && <Skeleton />}
        {ready && place === '/our-works' && <OurWorksPlace />}
        {ready && place !== '/our-works' && !(works && input) && <OurWorksPlace />}
        {works && input && place === '/orders' && (
          <OrdersPlace input={input} draft={draft} onDraft={setDraft} />
        )}
        {works && input && place === '/stock' && <StockPlace input={input} works={works} />}
        {works && input && place === '/plan' && <PlanPlace input={input} />}
      </main>
    </>
  )
}
