import { useState } from 'react'
import type { PlanInput } from '../../plan/plan-input.ts'

interface Props {
  input: PlanInput
  line: string
  onCheck: (csv: string) => void
}

const FIELDS = [
  { name: 'date', label: 'Date', placeholder: 'YYYY-MM-DD' },
  { name: 'counter_m', label: 'Counter showed, m', placeholder: '50.012' },
  { name: 'tape_m', label: 'Tape says, m', placeholder: '50.000' },
  { name: 'temp_c', label: 'Temperature, °C', placeholder: '' },
  { name: 'tension_n', label: 'Tension, N', placeholder: '' },
  { name: 'speed_m_min', label: 'Speed, m/min', placeholder: '' },
] as const

type Cells = Record<string, string>

/** A cell that would break a row of the table stands in quotes. */
const quoted = (cell: string) => (/[";\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)

/** One check of the counter against the tape. What is typed is shown as understood before it is stored. */
export function CheckForm({ input, line, onCheck }: Props) {
  const { lines, works } = input.site
  const at = lines.find((l) => l.id === line)
  const cables = input.cables.filter((c) => !at || (c.odMm >= at.odMinMm && c.odMm <= at.odMaxMm))
  const [cells, setCells] = useState<Cells>(() => ({
    date: works.todayDate,
    cable: cables[0]?.cable ?? '',
    person: input.benchHall.people[0]?.id ?? '',
    temp_c: '20',
    tension_n: String(cables[0]?.lineTensionN ?? ''),
    speed_m_min: String(at?.vMaxMMin ?? ''),
  }))
  const change = (name: string, value: string) => setCells((before) => ({ ...before, [name]: value }))
  const choices: [name: string, label: string, options: string[]][] = [
    ['cable', 'Cable', cables.map((c) => c.cable)],
    ['person', 'By', input.benchHall.people.map((p) => p.id)],
  ]
  return (
    <form
      className="inputs"
      aria-label={`A tape check of ${line}`}
      onSubmit={(event) => {
        event.preventDefault()
        const row = { line, ...cells } as Cells
        // a semicolon, since a comma may be someone's decimal mark
        onCheck(`${Object.keys(row).join(';')}\n${Object.values(row).map(quoted).join(';')}\n`)
      }}
    >
      {FIELDS.map(({ name, label, placeholder }) => (
        <div className="field" key={name}>
          <label htmlFor={`check-${name}`}>{label}</label>
          <input
            id={`check-${name}`}
            value={cells[name] ?? ''}
            placeholder={placeholder}
            required
            maxLength={40}
            autoComplete="off"
            inputMode={name === 'date' ? 'text' : 'decimal'}
            onChange={(event) => change(name, event.target.value)}
          />
        </div>
      ))}
      {choices.map(([name, label, options]) => (
        <div className="field" key={name}>
          <label htmlFor={`check-${name}`}>{label}</label>
          <select
            id={`check-${name}`}
            value={cells[name] ?? ''}
            onChange={(event) => change(name, event.target.value)}
          >
            {options.map((option) => (
              <option key={option} value={option}>
                {option}
              </option>
            ))}
          </select>
        </div>
      ))}
      <button type="submit" className="button strong">
        Read this check of {line}
      </button>
    </form>
  )
}
