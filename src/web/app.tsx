import { lazy, Suspense, useEffect, useRef, useState } from 'react'
import { LinePlace } from './line/line-place.tsx'
import { useLineAddress } from './line/line-view.tsx'
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

/** Fetched when first gone to: what leads are computed with is as large as all the rest. */
const BenchPlace = lazy(async () => ({ default: (await import('./bench/bench-place.tsx')).BenchPlace }))

const RecordsPlace = lazy(async () => ({
  default: (await import('./records/records-place.tsx')).RecordsPlace,
}))

export function App() {
  const { ready, works, input, gone } = useWorks()
  const place = usePlace()
  // the tablet at a line says by itself what goes on without the server
  const onFloor = useLineAddress().view === 'now' && place === '/line'
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
        {!onFloor && <GoneBanner />}
        {!ready && !gone && !onFloor && <Skeleton />}
        {ready && place === '/our-works' && <OurWorksPlace />}
        {ready && place !== '/our-works' && !(works && input) && <OurWorksPlace />}
        {works && input && place === '/orders' && (
          <OrdersPlace input={input} draft={draft} onDraft={setDraft} />
        )}
        {works && input && place === '/stock' && <StockPlace input={input} works={works} />}
        {works && input && place === '/bench' && (
          <Suspense fallback={<Skeleton />}>
            <BenchPlace input={input} works={works} />
          </Suspense>
        )}
        {place === '/line' && (!ready || (works && input)) && <LinePlace input={input} works={works} />}
        {works && input && place === '/records' && (
          <Suspense fallback={<Skeleton />}>
            <RecordsPlace input={input} />
          </Suspense>
        )}
        {works && input && place === '/plan' && <PlanPlace input={input} />}
      </main>
    </>
  )
}
