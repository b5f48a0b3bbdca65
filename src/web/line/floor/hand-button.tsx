import type { ReactNode } from 'react'

interface Props {
  /** The key that presses it; a letter, so that no scan and no figure does. */
  letter?: string
  main?: boolean
  disabled?: boolean
  onPress: () => void
  children: ReactNode
}

/** A button for a gloved hand, with its key on it. */
export function HandButton({ letter, main, disabled, onPress, children }: Props) {
  return (
    <button
      type="button"
      className={`${main ? 'main-action' : 'button'} hand`}
      data-letter={letter}
      aria-keyshortcuts={letter}
      aria-disabled={disabled || undefined}
      onClick={() => !disabled && onPress()}
    >
      <span>{children}</span>
      {letter && (
        <span className="hand-key" aria-hidden="true">
          {letter}
        </span>
      )}
    </button>
  )
}

/** Presses the button of a letter: in the open panel first, then in the whole view. Answers whether there is one. */
export function pressLetter(root: HTMLElement, letter: string): boolean {
  const named = `button[data-letter="${CSS.escape(letter.toUpperCase())}"]`
  const button =
    root.querySelector<HTMLElement>(`.floor-panel ${named}`) ?? root.querySelector<HTMLElement>(named)
  button?.click()
  return button !== null
}
