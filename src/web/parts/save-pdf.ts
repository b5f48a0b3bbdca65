/** Hands a paper to the browser to be kept. */
export function savePdf(pdf: Blob, name: string): void {
  const address = URL.createObjectURL(pdf)
  const link = document.createElement('a')
  link.href = address
  link.download = name
  link.click()
  // the browser takes the address up in its own time
  setTimeout(() => URL.revokeObjectURL(address), 60_000)
}

/** A name that every file system takes. */
export function fileNameOf(text: string): string {
  return (
    text
      .replace(/[^\p{L}\p{N}._-]+/gu, '-')
      .replace(/^[.-]+/, '')
      .slice(0, 80) || 'lead'
  )
}
