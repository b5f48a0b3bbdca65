import { useEffect, useRef } from 'react'
import { listenForScans } from '../line/floor/scan-keys.ts'

/** Hears a scan wherever the focus stands; it never falls into a field. */
export function useScan(onCode: (code: string) => void): void {
  const heard = useRef(onCode)
  useEffect(() => {
    heard.current = onCode
  })
  useEffect(
    () =>
      listenForScans({
        active: () => true,
        onScan: (code) => heard.current(code.trim()),
        onLetter: () => false,
      }),
    [],
  )
}
