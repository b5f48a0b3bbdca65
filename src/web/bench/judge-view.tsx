import { useMemo, useState } from 'react'
import { MAX_FILE_BYTES } from '../../works/works-files.ts'
import { FileButton } from '../parts/file-button.tsx'
import { useFileDrop } from '../parts/file-drop.ts'
import type { BenchWorks } from './bench-works.ts'
import { JudgeAnswer } from './judge-answer.tsx'
import { FIRST_JUDGE, judgeWords, leadOfFile } from './judge-question.ts'
import { JudgeSentence } from './judge-sentence.tsx'
import { useKept } from './kept.ts'

const ENDINGS = '.s1p,.s2p,.ts,.csv'

/** A measured file against the limits computed for this lead. */
export function JudgeView({ bench }: { bench: BenchWorks }) {
  const [words, keep] = useKept('judge', FIRST_JUDGE)
  const [refused, setRefused] = useState<string | null>(null)
  const outcome = useMemo(() => judgeWords(bench, words), [bench, words])

  async function take(file: File | undefined) {
    if (!file) return
    if (file.size > MAX_FILE_BYTES) {
      setRefused(`${file.name} is larger than 20 MB; save fewer frequencies.`)
      return
    }
    setRefused(null)
    const bytes = new Uint8Array(await file.arrayBuffer())
    const lead = leadOfFile(bench, file.name) || words.lead
    keep({ ...words, file: { name: file.name, bytes }, lead })
  }
  const over = useFileDrop((data) => void take(data.files[0]))

  return (
    <>
      <section className="stack" aria-labelledby="place-name">
        {words.file ? (
          <JudgeSentence bench={bench} words={words} onWords={keep} />
        ) : (
          <p className="sentence">
            <strong>Nothing is measured yet.</strong> Drop a Touchstone file or the CSV of an analyser
            anywhere on this page.
          </p>
        )}
        <div className={`drop row${over ? ' over' : ''}`}>
          <p className="grow">
            {words.file
              ? 'Another file: drop it here, or choose it.'
              : 'Drop .s1p, .s2p, .ts or .csv here, or choose it.'}{' '}
            It is read and judged on this machine.
          </p>
          <FileButton word="Choose a measurement" accept={ENDINGS} onFiles={(files) => void take(files[0])} />
        </div>
        {(refused ?? outcome.wrong) && (
          <div className="banner bad" role="alert">
            <p className="wraps">{refused ?? outcome.wrong}</p>
          </div>
        )}
      </section>
      {outcome.judged && words.file && (
        <JudgeAnswer judged={outcome.judged} asked={outcome.asked} file={words.file} />
      )}
    </>
  )
}
