import { useState } from 'react'
import { LOT_QUANTITIES, LOT_QUANTITY_NAMES, type LotQuantity, type LotTest } from '../../ledger/lot-test.ts'
import { isId } from '../../works/column.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import { SelectField } from './select-field.tsx'
import type { StockViewProps } from './stock-view.tsx'
import { TextField } from './text-field.tsx'

/** One figure of a lot, typed; it stands with the lot's others until they are booked. */
export function LotEntry(
  props: Pick<StockViewProps, 'input' | 'stock'> & { onTest: (test: LotTest) => void },
) {
  const { input, stock } = props
  const [cable, setCable] = useState(input.cables[0]?.cable ?? '')
  const [lot, setLot] = useState('')
  const [quantity, setQuantity] = useState<LotQuantity>('attenuation')
  const [f, setF] = useState('')
  const [value, setValue] = useState('')
  const [instrument, setInstrument] = useState('')
  const [tried, setTried] = useState(false)
  const { byFrequency, unit, word } = LOT_QUANTITIES[quantity]
  const [fMhz, figure] = [typedFigure(f), typedFigure(value)]
  const other = stock.drums.find((d) => d.lot === lot && d.cable !== cable)?.cable
  const wrong = {
    lot: !isId(lot) ? 'Name the lot.' : other ? `This lot is of ${other}.` : null,
    f: byFrequency && fMhz === null ? 'At which frequency?' : null,
    value: figure === null || figure <= 0 ? 'A figure above nought, such as 12.4.' : null,
    instrument: instrument !== '' && !isId(instrument) ? 'The number of an instrument.' : null,
  }
  return (
    <form
      className="inputs lot-entry"
      aria-label="A figure of a lot"
      onSubmit={(event) => {
        event.preventDefault()
        setTried(true)
        if (Object.values(wrong).some((w) => w !== null) || figure === null) return
        const testedDate = input.site.works.todayDate
        props.onTest({
          ...{ lot, cable, testedDate, quantity, value: figure, instrument: instrument || null },
          fMhz: byFrequency ? fMhz : null,
        })
        setValue('')
        setTried(false)
      }}
    >
      <SelectField
        label="Cable"
        value={cable}
        options={input.cables.map((c) => [c.cable, c.cable])}
        onValue={setCable}
      />
      <TextField
        label="Lot"
        value={lot}
        wrong={tried ? wrong.lot : null}
        options={[...new Set(stock.drums.filter((d) => d.cable === cable).map((d) => d.lot))]}
        onValue={(v) => setLot(v.trim())}
      />
      <SelectField
        label="Measured at 20 °C"
        value={quantity}
        options={LOT_QUANTITY_NAMES.map((q) => [q, LOT_QUANTITIES[q].word])}
        onValue={setQuantity}
      />
      {byFrequency && (
        <TextField label="At, MHz" value={f} wrong={tried ? wrong.f : null} decimal onValue={setF} />
      )}
      <TextField
        label={`${word}, ${unit}`}
        value={value}
        wrong={tried ? wrong.value : null}
        decimal
        onValue={setValue}
      />
      <TextField
        label="Instrument"
        value={instrument}
        wrong={tried ? wrong.instrument : null}
        hint="may stay empty"
        onValue={(v) => setInstrument(v.trim())}
      />
      <button type="submit" className="button strong">
        Add the figure
      </button>
    </form>
  )
}
