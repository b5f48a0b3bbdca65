import { useState } from 'react'
import { LOT_QUANTITIES, LOT_QUANTITY_NAMES, type LotQuantity, type LotTest } from '../../ledger/lot-test.ts'
import { isId } from '../../works/column.ts'
import { typedFigure } from '../../works/receipt-text.ts'
import { SelectField } from '../parts/select-field.tsx'
import { TextField } from '../parts/text-field.tsx'
import type { StockViewProps } from './stock-view.tsx'

type Props = Pick<StockViewProps, 'input' | 'stock'> & { onTest: (test: LotTest) => void }

/** One figure of a lot, typed; it stands with the lot's others until they are booked. */
export function LotEntry(props: Props) {
  const { input, stock } = props
  const { cable, lot, quantity, f, value, instrument, wrong, ...entry } = useLotEntry(props)
  const { byFrequency, unit, word } = LOT_QUANTITIES[quantity]
  return (
    <form
      className="inputs lot-entry"
      aria-label="A figure of a lot"
      onSubmit={(event) => {
        event.preventDefault()
        entry.add()
      }}
    >
      <SelectField
        label="Cable"
        value={cable}
        options={input.cables.map((c) => [c.cable, c.cable])}
        onValue={entry.setCable}
      />
      <TextField
        label="Lot"
        value={lot}
        wrong={wrong.lot}
        options={[...new Set(stock.drums.filter((d) => d.cable === cable).map((d) => d.lot))]}
        onValue={(v) => entry.setLot(v.trim())}
      />
      <SelectField
        label="Measured at 20 °C"
        value={quantity}
        options={LOT_QUANTITY_NAMES.map((q) => [q, LOT_QUANTITIES[q].word])}
        onValue={entry.setQuantity}
      />
      {byFrequency && <TextField label="At, MHz" value={f} wrong={wrong.f} decimal onValue={entry.setF} />}
      <TextField
        label={`${word}, ${unit}`}
        value={value}
        wrong={wrong.value}
        decimal
        onValue={entry.setValue}
      />
      <TextField
        label="Instrument"
        value={instrument}
        wrong={wrong.instrument}
        hint="may stay empty"
        onValue={(v) => entry.setInstrument(v.trim())}
      />
      <button type="submit" className="button strong">
        Add the figure
      </button>
    </form>
  )
}

/** What is typed of a figure; what is wrong with it is said once it was to be added. */
function useLotEntry({ input, stock, onTest }: Props) {
  const [cable, setCable] = useState(input.cables[0]?.cable ?? '')
  const [lot, setLot] = useState('')
  const [quantity, setQuantity] = useState<LotQuantity>('attenuation')
  const [f, setF] = useState('')
  const [value, setValue] = useState('')
  const [instrument, setInstrument] = useState('')
  const [tried, setTried] = useState(false)
  const { byFrequency } = LOT_QUANTITIES[quantity]
  const [fMhz, figure] = [typedFigure(f), typedFigure(value)]
  const other = stock.drums.find((d) => d.lot === lot && d.cable !== cable)?.cable
  const wrong = {
    lot: !isId(lot) ? 'Name the lot.' : other ? `This lot is of ${other}.` : null,
    f: byFrequency && fMhz === null ? 'At which frequency?' : null,
    value: figure === null || figure <= 0 ? 'A figure above nought, such as 12.4.' : null,
    instrument: instrument !== '' && !isId(instrument) ? 'The number of an instrument.' : null,
  }

  function add() {
    setTried(true)
    if (Object.values(wrong).some((w) => w !== null) || figure === null) return
    const testedDate = input.site.works.todayDate
    onTest({
      ...{ lot, cable, testedDate, quantity, value: figure, instrument: instrument || null },
      fMhz: byFrequency ? fMhz : null,
    })
    setValue('')
    setTried(false)
  }

  return {
    ...{ cable, setCable, lot, setLot, quantity, setQuantity },
    ...{ f, setF, value, setValue, instrument, setInstrument },
    ...{ wrong: tried ? wrong : NOTHING_WRONG, add },
  }
}

const NOTHING_WRONG = { lot: null, f: null, value: null, instrument: null }
