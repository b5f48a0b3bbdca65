const STEPS = [1, 2, 4, 8]

/** How large the strips are drawn; what no longer fits scrolls sideways. */
export function ZoomButtons({ zoom, onZoom }: { zoom: number; onZoom: (zoom: number) => void }) {
  return (
    <fieldset className="zoom">
      <legend>Drawn</legend>
      {STEPS.map((step) => (
        <button
          key={step}
          type="button"
          className="button"
          aria-pressed={zoom === step}
          onClick={() => onZoom(step)}
        >
          {step === 1 ? 'to fit' : `${step} × as large`}
        </button>
      ))}
    </fieldset>
  )
}
