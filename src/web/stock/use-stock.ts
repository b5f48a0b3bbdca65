import { useCallback, useEffect, useState } from 'react'
import type { StockAnswer } from '../../works/stock-api.ts'
import { ask } from '../api.ts'

/** Store and shelf as they are now, asked anew with each version of the works and whenever something was booked. */
export function useStock(version: number): {
  stock: StockAnswer | null
  error: Error | null
  reload: () => Promise<void>
} {
  const [stock, setStock] = useState<StockAnswer | null>(null)
  const [error, setError] = useState<Error | null>(null)
  const reload = useCallback(async () => {
    try {
      setStock(await ask<StockAnswer>('/api/stock'))
      setError(null)
    } catch (failure) {
      setError(failure as Error)
    }
  }, [])
  // biome-ignore lint/correctness/useExhaustiveDependencies: another version is another stock
  useEffect(() => {
    void reload()
  }, [reload, version])
  return { stock, error, reload }
}
