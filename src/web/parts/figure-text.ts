/** Whether it is a figure or the beginning of one: a sign, digits, a decimal mark of either kind. */
function isFigureText(text: string): boolean {
  return /^-?\d*([.,]\d*)?$/.test(text)
}

/**
 * What stands in a number field after it was typed, pasted or scanned into: letters never land there, a letter key that calls a
 * button as little as a code without an end. `before`: what stood there.
 */
export function figureTyped(before: string, text: string): string {
  const bare = text.trim()
  return isFigureText(bare) ? bare : before
}
