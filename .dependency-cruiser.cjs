// The rooms of the design, top to bottom. A room may import from rooms on lines above its own, never from
// below; rooms on one line do not know each other. No exceptions list.
const lines = [
  ['quantity'],
  ['cable', 'strip'],
  ['putup'],
  ['measure'],
  ['hall', 'order'],
  ['lead', 'line'],
  ['plan'],
  ['dispatch'],
  ['quote'],
  ['ledger'],
  ['drawing'],
  ['works'],
  ['store', 'solver', 'documents', 'signals'],
  ['server'],
  ['cli', 'web'],
]
const room = (names) => `^src/(${names.join('|')})/`
const rules = []
for (let i = 0; i < lines.length; i++) {
  const below = lines.slice(i + 1).flat()
  for (const name of lines[i]) {
    const others = [...lines[i].filter((x) => x !== name), ...below]
    if (others.length)
      rules.push({
        name: `${name}-imports-only-from-above`,
        severity: 'error',
        from: { path: room([name]) },
        to: { path: room(others) },
      })
  }
}
const pure = [
  'quantity',
  'cable',
  'strip',
  'putup',
  'measure',
  'hall',
  'order',
  'lead',
  'line',
  'plan',
  'dispatch',
  'quote',
  'ledger',
  'drawing',
  'works',
]
module.exports = {
  forbidden: [
    ...rules,
    { name: 'no-circular', severity: 'error', from: {}, to: { circular: true } },
    {
      name: 'pure-rooms-do-no-io',
      severity: 'error',
      from: { path: room(pure) },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'pure-rooms-take-no-package',
      comment: 'works may use zod: the schema of what crosses a boundary is written once',
      severity: 'error',
      from: { path: room(pure.filter((x) => x !== 'works')) },
      to: { dependencyTypes: ['npm', 'npm-dev', 'npm-optional', 'npm-peer'] },
    },
    {
      name: 'web-knows-only-pure-rooms',
      severity: 'error',
      from: { path: '^src/web/' },
      to: { path: room(['store', 'solver', 'documents', 'signals', 'server', 'cli']) },
    },
    {
      name: 'only-server-joins-store-with-solver',
      severity: 'error',
      from: { path: '^src/cli/' },
      to: { path: room(['store']) },
    },
    { name: 'not-to-unresolvable', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
    },
  },
}
