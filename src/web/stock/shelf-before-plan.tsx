import { useWorks } from '../works-state.tsx'
import { ShelfFirst } from './shelf-first.tsx'
import { useStock } from './use-stock.ts'

/** Before anything is cut: what the shelf can serve. Nothing where it can serve nothing. */
export function ShelfBeforePlan({ version }: { version: number }) {
  const { refresh } = useWorks()
  const { stock, reload } = useStock(version)
  if (!stock) return null
  const onBooked = async () => {
    await Promise.all([reload(), refresh()])
  }
  return <ShelfFirst stock={stock} onBooked={onBooked} />
}
