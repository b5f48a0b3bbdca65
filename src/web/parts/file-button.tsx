interface Props {
  word: string
  accept?: string
  /** Chooses a whole folder. */
  folder?: boolean
  onFiles: (files: FileList) => void
}

/** A file field that looks as our buttons do; the field itself stays, for the keyboard and for what reads aloud. */
export function FileButton({ word, accept, folder = false, onFiles }: Props) {
  return (
    <label className="button file-button">
      {word}
      <input
        type="file"
        className="spoken"
        accept={accept}
        // React does not know the attribute
        ref={(element) => {
          if (folder) element?.setAttribute('webkitdirectory', '')
        }}
        onChange={(event) => {
          const { files } = event.target
          if (files && files.length > 0) onFiles(files)
          // so that the same file can be chosen again after it was mended
          event.target.value = ''
        }}
      />
    </label>
  )
}
