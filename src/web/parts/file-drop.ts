import { useEffect, useRef, useState } from 'react'

/** The whole page takes what is dropped, so that a near miss does not lead the browser away from it. True while something hangs over it. */
export function useFileDrop(onDrop: (data: DataTransfer) => void): boolean {
  const [over, setOver] = useState(false)
  const latest = useRef(onDrop)
  useEffect(() => {
    latest.current = onDrop
  })

  useEffect(() => {
    const hold = (event: DragEvent) => {
      if (!event.dataTransfer?.types.includes('Files')) return
      event.preventDefault()
      setOver(true)
    }
    // leaving an element for one within it is not leaving the page
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false)
    }
    const drop = (event: DragEvent) => {
      setOver(false)
      if (!event.dataTransfer?.types.includes('Files')) return
      event.preventDefault()
      latest.current(event.dataTransfer)
    }
    window.addEventListener('dragover', hold)
    window.addEventListener('dragleave', leave)
    window.addEventListener('drop', drop)
    return () => {
      window.removeEventListener('dragover', hold)
      window.removeEventListener('dragleave', leave)
      window.removeEventListener('drop', drop)
    }
  }, [])
  return over
}
