import { useWorks } from '../works-state.tsx'

/** Shown while the server does not answer; what is on the screen stays. */
export function GoneBanner() {
  const { gone, refresh, ready } = useWorks()
  return (
    <div role="alert">
      {gone && (
        <div className="banner bad row">
          <p className="grow">
            <strong>The server does not answer.</strong> Start it again with <code>npm start</code> in its
            folder. {ready ? 'What you see is the last that was heard; nothing typed is lost. ' : ''}
            This page asks again every three seconds.
          </p>
          <button type="button" className="button" onClick={() => void refresh()}>
            Ask now
          </button>
        </div>
      )}
    </div>
  )
}
