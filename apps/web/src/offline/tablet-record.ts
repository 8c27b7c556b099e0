import type { OwnDevice, Role } from '@jarfold/contracts';
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';

/** Whoever works on the tablet now. Named by a PIN checked offline, the server has not seen them yet. */
export interface Person {
  readonly staffId: string;
  readonly name: string;
  readonly role: Role;
}

/** Wrong PINs in a row, kept so that switching the tablet off does not forgive them. */
export interface PinTries {
  readonly wrong: number;
  readonly lastMs: number;
}

interface Records {
  growerId: string;
  device: OwnDevice;
  person: Person;
  tries: Readonly<Record<string, PinTries>>;
}

interface TabletDb extends DBSchema {
  records: { key: keyof Records; value: Records[keyof Records] };
}

/** What the tablet knows about itself before it knows which farm's data to open. No data of the farm stands here. */
export class TabletRecord {
  readonly #db: IDBPDatabase<TabletDb>;

  private constructor(db: IDBPDatabase<TabletDb>) {
    this.#db = db;
  }

  static async open(): Promise<TabletRecord> {
    const db = await openDB<TabletDb>('jarfold-tablet', 1, {
      upgrade: (fresh) => {
        fresh.createObjectStore('records');
      },
    });
    return new TabletRecord(db);
  }

  async get<K extends keyof Records>(key: K): Promise<Records[K] | null> {
    return ((await this.#db.get('records', key)) as Records[K] | undefined) ?? null;
  }

  async set<K extends keyof Records>(key: K, value: Records[K] | null): Promise<void> {
    if (value === null) await this.#db.delete('records', key);
    else await this.#db.put('records', value, key);
  }
}
