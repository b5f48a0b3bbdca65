interface Malformed {
  name: string
  file: string
  content: string | Uint8Array
  /** Line that must be named; null: the whole file. */
  line: number | null
  says: RegExp
}

const ROW = '100 0.1 0 0.9 0 0.9 0 0.1 0'
const TWO = (f: number) => `${f} 0.1 0 0.9 0 0.9 0 0.1 0`
const V1 = `# MHz S RI R 50\n${TWO(100)}\n${TWO(200)}\n`
const V2 = [
  '[Version] 2.0',
  '# MHz S RI R 50',
  '[Number of Ports] 2',
  '[Two-Port Data Order] 21_12',
  '[Number of Frequencies] 2',
  '[Network Data]',
  TWO(100),
  TWO(200),
  '[End]',
]

const of =
  (file: string) => (name: string, content: string | Uint8Array, line: number | null, says: RegExp) => ({
    name,
    file,
    content,
    line,
    says,
  })
const two = of('x.s2p')
const one = of('x.s1p')
/** Version 2 with one of its lines changed, or taken out. */
const v2 = (name: string, at: number, text: string | null, line: number | null, says: RegExp): Malformed => {
  const lines = V2.flatMap((whole, i) => (i !== at ? [whole] : text === null ? [] : text.split('\n')))
  return two(`version 2: ${name}`, `${lines.join('\n')}\n`, line, says)
}
const option = (text: string, says: RegExp) => two(`option line ${text}`, `${text}\n${ROW}\n`, 1, says)
const number = (token: string, says: RegExp) =>
  two(`number ${token.slice(0, 20)}`, `# MHz S RI R 50\n100 ${token} 0 0.9 0 0.9 0 0.1 0\n`, 2, says)

const WHOLE: Malformed[] = [
  two('empty', '', null, /empty/),
  two('comments alone', '! nothing\n! here\n', null, /nothing but comments/),
  two('blank lines alone', '\n\n  \n', null, /nothing but comments/),
  two('option line alone', '# MHz S RI R 50\n', null, /no data/),
  two('no option line', `${ROW}\n`, 1, /option line.*missing/),
  two('no option line behind comments', `! a\n! b\n${ROW}\n`, 3, /option line.*missing/),
  two('binary', new Uint8Array([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0]), 3, /control character/),
  two('NUL in a line', `# MHz S RI R 50\n100 0.1\u0000 0\n`, 2, /control character/),
  two('escape in a line', `# MHz S RI R 50\n100 \u001b[2J\n`, 2, /control character/),
  two('UTF-16 little', new Uint8Array([0xff, 0xfe, 0x23, 0]), 1, /UTF-16/),
  two('UTF-16 big', new Uint8Array([0xfe, 0xff, 0, 0x23]), 1, /UTF-16/),
  two('huge', new Uint8Array(20_000_001).fill(33), null, /20 MB/),
  two(
    'too many points',
    `# Hz S RI R 50\n${Array.from({ length: 200_002 }, (_, i) => `${i} 0 0 0 0 0 0 0 0`).join('\n')}`,
    200_003,
    /more than 200001/,
  ),
  two('spreadsheet', 'PK\u0003\u0004', 1, /control character/),
  two('a web page', '<html><body>404</body></html>\n', 1, /option line.*missing/),
  of('x.s3p')('three ports', V1, null, /3 ports/),
  of('x.s16p')('sixteen ports', V1, null, /16 ports/),
  of('x.s0p')('no ports', V1, null, /0 ports/),
  of('x.txt')('another ending', V1, null, /\.s1p or \.s2p/),
  of('x.ts')('version 1 in .ts', V1, null, /\.s1p or \.s2p/),
  one('two ports in .s1p', V1, 2, /is it a \.s2p file\?/),
  two('one port in .s2p', '# MHz S RI R 50\n100 0.1 0\n', 2, /is it a \.s1p file\?/),
  one('hybrid of one port in version 1', '# MHz H RI R 50\n100 0.1 0\n', 1, /two ports/),
]

const OPTIONS: Malformed[] = [
  option('# MHz S RI R', /no ohms/),
  option('# MHz S RI R fifty', /not a number/),
  option('# MHz S RI R 0', /above 0/),
  option('# MHz S RI R -50', /above 0/),
  option('# MHz S RI R NaN', /no number/),
  option('# MHz S RI R 50 75', /"75".*not known/),
  option('# MHz S RI 50', /"50".*not known/),
  option('# THz S RI R 50', /"THz".*not known/),
  option('# MHz T RI R 50', /"T".*not known/),
  option('# MHz S XY R 50', /"XY".*not known/),
  option('# MHz GHz S RI R 50', /unit twice/),
  option('# MHz S Z RI R 50', /parameter twice/),
  option('# MHz S RI MA R 50', /format twice/),
  option('# MHz S RI R 50 R 75', /reference twice/),
  option(`# ${'long'.repeat(30)}`, /…".*not known/),
]

const NUMBERS: Malformed[] = [
  number('NaN', /no number/),
  number('-nan', /no number/),
  number('inf', /no number/),
  number('Infinity', /no number/),
  number('1.#INF', /not a number/),
  number('0,1', /comma/),
  number('0x1F', /not a number/),
  number('0b1', /not a number/),
  number('1_000', /not a number/),
  number('1e', /not a number/),
  number('--1', /not a number/),
  number('abc', /not a number/),
  number('0.1j', /not a number/),
  number('1e400', /not a number/),
  number('1e200', /too large/),
  number('5000', /no measurement of a lead/),
  number('=1+1', /not a number/),
]

const ROWS: Malformed[] = [
  two('a column short', `# MHz S RI R 50\n${ROW}\n200 0.1 0 0.9 0 0.9 0 0.1\n`, 3, /8 numbers.*9/),
  two('a column more', `# MHz S RI R 50\n${ROW} 1\n`, 2, /10 numbers.*9/),
  two('a row broken in two', '# MHz S RI R 50\n100 0.1 0 0.9 0\n0.9 0 0.1 0\n', 2, /5 numbers.*9/),
  one('two columns', '# MHz S RI R 50\n100 0.1\n', 2, /2 numbers.*3/),
  two('frequency falls', `# MHz S RI R 50\n${TWO(200)}\n${TWO(100)}\n`, 3, /does not rise/),
  two('frequency twice', `# MHz S RI R 50\n${TWO(200)}\n${TWO(200)}\n`, 3, /does not rise/),
  two('frequency below 0', `# MHz S RI R 50\n${TWO(-1)}\n`, 2, /below 0/),
  two('noise with four columns', `${V1}100 0.7 0.6 69\n`, 4, /4 numbers/),
  two('noise falls back', `${V1}100 0.7 0.6 69 0.4\n50 0.7 0.6 69 0.4\n`, 5, /does not rise/),
  two('data behind noise', `${V1}100 0.7 0.6 69 0.4\n${TWO(300)}\n`, 5, /9 numbers; a noise line/),
  two('keyword in version 1', `# MHz S RI R 50\n[Number of Ports] 2\n${ROW}\n`, 2, /belong to version 2/),
  two('impedance that reflects all', '# MHz Z RI R 50\n100 -1 0 0 0 0 0 -1 0\n', 2, /no measurement/),
]

const VERSION_2: Malformed[] = [
  v2('unknown version', 0, '[Version] 3.0', 1, /"3\.0"/),
  v2('no number of the version', 0, '[Version]', 1, /version/),
  v2('another keyword first', 0, '[Number of Ports] 2', 1, /\[Version\] must be the first/),
  v2('bracket not closed', 0, '[Version 2.0', 1, /not closed/),
  v2('no option line', 1, null, 2, /option line.*missing/),
  v2('no number of ports', 2, null, 5, /\[Number of Ports\] is missing/),
  v2('ports in words', 2, '[Number of Ports] two', 3, /whole number/),
  v2('no ports', 2, '[Number of Ports] 0', 3, /whole number/),
  v2('four ports', 2, '[Number of Ports] 4', 3, /4 ports/),
  v2('ports against the name', 2, '[Number of Ports] 1', 4, /is for two ports/),
  v2('ports twice', 2, '[Number of Ports] 2\n[Number of Ports] 2', 4, /twice/),
  v2('no data order', 3, null, 5, /Two-Port Data Order\] is missing/),
  v2('odd data order', 3, '[Two-Port Data Order] 11_22', 4, /12_21 or 21_12/),
  v2('no number of frequencies', 4, null, 5, /\[Number of Frequencies\] is missing/),
  v2('too few frequencies', 4, '[Number of Frequencies] 3', 9, /says 3, there are 2/),
  v2('too many frequencies', 4, '[Number of Frequencies] 1', 9, /says 1, there are 2/),
  v2('unknown keyword', 4, '[Number of Frequencies] 2\n[Colour] red', 6, /\[Colour\].*not known/),
  v2('one reference of two', 4, '[Number of Frequencies] 2\n[Reference] 50', 6, /1 impedances for 2/),
  v2('reference of 0', 4, '[Number of Frequencies] 2\n[Reference] 50 0', 6, /above 0/),
  v2('odd matrix format', 4, '[Number of Frequencies] 2\n[Matrix Format] Round', 6, /Full, Lower or Upper/),
  v2('mixed mode', 4, '[Number of Frequencies] 2\n[Mixed-Mode Order] D1,2 C1,2', 6, /mixed-mode/),
  v2(
    'information not closed',
    4,
    '[Number of Frequencies] 2\n[Begin Information]',
    6,
    /no \[End Information\]/,
  ),
  v2('no network data', 5, null, 6, /before \[Network Data\]/),
  v2('lower matrix with full rows', 5, '[Matrix Format] Lower\n[Network Data]', 8, /9 numbers.*7/),
  v2('frequency falls', 7, TWO(50), 8, /does not rise/),
  v2('cut off', 7, null, 8, /says 2, there are 1/),
  v2('words behind the end', 8, '[End]\nmore', 10, /behind \[End\]/),
  v2('keyword for the end', 8, '[Network Data]', 9, /\[End\] is missing/),
  v2('noise not announced', 8, '[Noise Data]\n100 1 1 1 1\n[End]', 9, /says nothing, there are 1/),
  v2(
    'noise announced and missing',
    4,
    '[Number of Frequencies] 2\n[Number of Noise Frequencies] 1',
    10,
    /announced and missing/,
  ),
]

export const MALFORMED: Malformed[] = [...WHOLE, ...OPTIONS, ...NUMBERS, ...ROWS, ...VERSION_2]
