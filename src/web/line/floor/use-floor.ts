import { useCallback, useEffect, useState, useSyncExternalStore } from 'react'
import { outbox } from '../../outbox/use-outbox.ts'
import { type FloorState, FloorStation, NOTHING_HEARD } from './floor-station.ts'

const NO_LISTENER = () => () => undefined

/** The line of this tablet; null until it is set up. */
export function useFloor(line: string): { station: FloorStation | null; state: FloorState } {
  const [station, setStation] = useState<FloorStation | null>(null)
  useEffect(() => {
    const made = new FloorStation(line, outbox())
    setStation(made)
    return () => {
      made.close()
      setStation(null)
    }
  }, [line])
  const read = useCallback(() => station?.state ?? NOTHING_HEARD, [station])
  return { station, state: useSyncExternalStore(station?.subscribe ?? NO_LISTENER, read) }
}
