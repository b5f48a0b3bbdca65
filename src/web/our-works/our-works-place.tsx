import { useState } from 'react'
import { AccountsSection } from '../access/accounts-section.tsx'
import { Allowed } from '../access/allowed.tsx'
import { postFiles, postJson } from '../api.ts'
import { FileButton } from '../parts/file-button.tsx'
import { useFileDrop } from '../parts/file-drop.ts'
import { Refusal } from '../parts/refusal.tsx'
import { useWorks } from '../works-state.tsx'
import { type ChosenFolder, filesOfDrop, filesOfInput } from './folder-files.ts'
import { NoticeTable } from './notice-table.tsx'
import { WorksFacts } from './works-facts.tsx'

/** Opens another works; what is open stays open when the new one is refused. */
function useOpening() {
  const { refresh } = useWorks()
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)
  const [opened, setOpened] = useState(false)

  async function open(work: () => Promise<unknown>) {
    setBusy(true)
    setError(null)
    setOpened(false)
    try {
      await work()
      await refresh()
      setOpened(true)
    } catch (failure) {
      setError(failure as Error)
    }
    setBusy(false)
  }
  return { busy, error, opened, open }
}

function upload({ folder, files }: ChosenFolder): Promise<unknown> {
  // only what a works folder may hold is sent
  const wanted = files.filter(({ name }) => /^(more\/)?[a-z_]+\.(csv|json)$/.test(name))
  return postFiles('/api/works/upload', wanted, { folder })
}

/** Which works is open, and opening another. */
export function OurWorksPlace() {
  const { works } = useWorks()
  const opening = useOpening()
  return (
    <>
      <section className="stack" aria-labelledby="place-name">
        <h1 className="place-name" id="place-name">
          Our works: what do we work from?
        </h1>
        {works ? (
          <WorksFacts works={works} />
        ) : (
          <p className="sentence">
            <strong>No works is open.</strong> Open a works folder, or look around in the demo.
          </p>
        )}
      </section>
      <Allowed deed="change-works">
        <OpenAnother {...opening} />
      </Allowed>
      {works && works.notices.length > 0 && <NoticeTable notices={works.notices} />}
      <AccountsSection />
    </>
  )
}

function OpenAnother({ busy, error, opened, open }: ReturnType<typeof useOpening>) {
  const [path, setPath] = useState('')
  const over = useFileDrop((data) => {
    // the list of items is emptied as soon as the drop is over
    const chosen = filesOfDrop(data.items)
    void open(async () => {
      const folder = await chosen
      if (!folder) throw new Error('That was not a folder. Drop the folder that holds the sixteen files.')
      await upload(folder)
    })
  })

  return (
    <section className={`drop stack${over ? ' over' : ''}`} aria-labelledby="open-head">
      <h2 id="open-head">Open another works folder</h2>
      <form
        className="row filter"
        onSubmit={(event) => {
          event.preventDefault()
          if (!busy) void open(() => postJson('/api/works/open', { folder: path }))
        }}
      >
        <div className="field grow">
          <label htmlFor="folder-path">Path of the folder on this machine</label>
          <input
            id="folder-path"
            value={path}
            required
            spellCheck={false}
            autoComplete="off"
            onChange={(event) => setPath(event.target.value)}
          />
        </div>
        <button type="submit" className="button" disabled={busy}>
          Open it
        </button>
      </form>
      <div className="row">
        <p className="grow">
          Or drop the folder here, or choose it. Nothing is imported unless all of it is sound.
        </p>
        <FileButton
          word="Choose a folder"
          folder
          onFiles={(files) => {
            const chosen = filesOfInput(files)
            void open(() => upload(chosen))
          }}
        />
        <button
          type="button"
          className="button"
          disabled={busy}
          onClick={() => void open(() => postJson('/api/works/demo', {}))}
        >
          Open the demo
        </button>
      </div>
      <p role="status">{busy ? 'Reading and checking …' : opened && <strong>✓ Opened.</strong>}</p>
      {error && <Refusal error={error} />}
    </section>
  )
}
