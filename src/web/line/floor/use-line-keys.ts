import { type RefObject, useEffect, useRef, useState } from 'react'
import { pressLetter } from './hand-button.tsx'
import { listenForScans } from './scan-keys.ts'

const KEPT = 'lastmetre.letter-keys'

/**
 * Scans and letter keys of the line, wherever the focus stands. Letters can be switched off (WCAG 2.1.4): whoever
 * speaks to the machine would press buttons with words.
 */
export function useLineKeys(root: RefObject<HTMLElement | null>, onScan: (code: string) => void) {
  const [letters, setLetters] = useState(() => window.localStorage.getItem(KEPT) !== 'off')
  const heard = useRef({ onScan, letters })
  useEffect(() => {
    heard.current = { onScan, letters }
  })
  useEffect(
    () =>
      listenForScans({
        // hidden while somebody signs in: the keys are theirs
        active: () => root.current !== null && root.current.closest('[hidden]') === null,
        onScan: (code) => heard.current.onScan(code),
        onLetter: (letter) =>
          heard.current.letters && root.current !== null && pressLetter(root.current, letter),
      }),
    [root],
  )
  const toggle = () => {
    window.localStorage.setItem(KEPT, letters ? 'off' : 'on')
    setLetters(!letters)
  }
  return { letters, toggle }
}
