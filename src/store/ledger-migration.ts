import { type Kysely, type Migration, sql } from 'kysely'
import { NO_HASH } from '../ledger/state.ts'
import type { StoreDialect } from './dialect.ts'

type Kind = 'text' | 'whole' | 'double'

/** `?` behind the type: may be null. The first key is the primary one. */
interface TableShape {
  columns: Record<string, Kind | `${Kind}?`>
  key: string[]
  unique?: string[]
  indexes?: string[][]
}

const SHAPES: Record<string, TableShape> = {
  ledger_event: {
    columns: {
      seq: 'whole',
      key: 'text',
      at: 'text',
      booked_at: 'text',
      actor: 'text',
      station: 'text',
      plan_id: 'whole?',
      corrects: 'whole?',
      kind: 'text',
      body: 'text',
      previous_hash: 'text',
      hash: 'text',
      command_hash: 'text',
    },
    key: ['seq'],
    unique: ['key'],
    indexes: [['kind', 'seq'], ['corrects']],
  },
  ledger_head: {
    columns: {
      id: 'whole',
      seq: 'whole',
      hash: 'text',
      given: 'text',
      released_plan: 'whole?',
      released_seq: 'whole?',
      works: 'text?',
    },
    key: ['id'],
  },
  strip: {
    columns: { strip: 'text', cable: 'text', lot: 'text', row: 'text' },
    key: ['strip'],
    indexes: [['lot'], ['cable']],
  },
  stretch: {
    columns: {
      strip: 'text',
      from_um: 'whole',
      to_um: 'whole',
      use: 'text',
      ref: 'text?',
      cause: 'text?',
      ratio: 'double',
      seq: 'whole',
    },
    key: ['strip', 'from_um'],
  },
  drum: {
    columns: {
      drum: 'text',
      strip: 'text',
      from_um: 'whole',
      to_um: 'whole',
      mounted_on: 'text?',
      row: 'text',
    },
    key: ['drum'],
    indexes: [['strip'], ['mounted_on']],
  },
  fault: { columns: { fault: 'text', strip: 'text', row: 'text' }, key: ['fault'], indexes: [['strip']] },
  piece: {
    columns: {
      serial: 'text',
      cable: 'text',
      lot: 'text',
      strip: 'text',
      from_um: 'whole',
      to_um: 'whole',
      parent: 'text?',
      line: 'text',
      at: 'text',
      actor: 'text',
      order_id: 'text?',
      order_line: 'whole?',
      where_is: 'text',
      shipment: 'text?',
      row: 'text',
    },
    key: ['serial'],
    indexes: [
      ['strip', 'from_um'],
      ['lot'],
      ['parent'],
      ['line', 'at'],
      ['order_id', 'order_line'],
      ['where_is'],
      ['shipment'],
    ],
  },
  piece_tool: {
    columns: { tool: 'text', serial: 'text' },
    key: ['tool', 'serial'],
    indexes: [['serial']],
  },
  piece_event: { columns: { serial: 'text', seq: 'whole' }, key: ['serial', 'seq'], indexes: [['seq']] },
  lot_test: { columns: { lot: 'text', row: 'text' }, key: ['lot'] },
  check_record: {
    columns: { check_id: 'text', what: 'text', subject: 'text', at: 'text', passed: 'whole', row: 'text' },
    key: ['check_id'],
    indexes: [['what', 'subject', 'at']],
  },
  complaint: {
    columns: { complaint: 'text', serial: 'text', verdict: 'text', row: 'text' },
    key: ['complaint'],
    indexes: [['serial'], ['verdict']],
  },
  aside: { columns: { seq: 'whole', settled: 'whole', row: 'text' }, key: ['seq'], indexes: [['settled']] },
  movement: {
    columns: {
      seq: 'whole',
      n: 'whole',
      at: 'text',
      cable: 'text',
      lot: 'text',
      strip: 'text',
      line: 'text?',
      actor: 'text',
      what: 'text',
      um: 'whole',
      unc_um: 'double',
      cause: 'text?',
    },
    key: ['seq', 'n'],
    indexes: [['at'], ['cable', 'at'], ['strip']],
  },
}

/** The tables of the ledger and its head row. */
export function ledgerMigration(dialect: StoreDialect): Migration {
  return {
    async up(db: Kysely<unknown>) {
      for (const [table, shape] of Object.entries(SHAPES)) await createTable(db, dialect, table, shape)
      await sql`insert into ledger_head (id, seq, hash, given, released_plan, released_seq, works)
        values (1, 0, ${NO_HASH}, '{}', null, null, null)`.execute(db)
    },
  }
}

async function createTable(
  db: Kysely<unknown>,
  dialect: StoreDialect,
  table: string,
  { columns, key, unique, indexes = [] }: TableShape,
): Promise<void> {
  const types = { text: 'text', whole: dialect.wholeType, double: dialect.doubleType } as const
  let creation = db.schema.createTable(table).addPrimaryKeyConstraint(`${table}_pk`, key as never[])
  for (const [name, kind] of Object.entries(columns)) {
    const mayBeNull = kind.endsWith('?')
    creation = creation.addColumn(name, types[kind.replace('?', '') as Kind], (column) =>
      mayBeNull ? column : column.notNull(),
    )
  }
  if (unique !== undefined) creation = creation.addUniqueConstraint(`${table}_unique`, unique as never[])
  await creation.modifyEnd(sql.raw(dialect.tableSuffix)).execute()
  for (const over of indexes) {
    await db.schema
      .createIndex(`${table}_by_${over.join('_')}`)
      .on(table)
      .columns(over)
      .execute()
  }
}
