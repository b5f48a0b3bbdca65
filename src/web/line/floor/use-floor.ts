import { useCallback, useEffect, useState, useSyncExternalStore } from 'react'
import { outbox } from '../../outbox/use-outbox.ts'
import { type FloorState, FloorStation } from './floor-station.ts'

const NOTHING: FloorState = {
  ...{ view: null, cut: null, wanted: null, history: null, signals: null },
  ...{ offline: false, heardAt: null, refused: null },
}

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
  const read = useCallback(() => station?.state ?? NOTHING, [station])
  return { station, state: useSyncExternalStore(station?.subscribe ?? NO_LISTENER, read) }
}
