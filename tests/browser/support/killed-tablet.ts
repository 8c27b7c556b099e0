import { readdir, readFile } from 'node:fs/promises';
import { setTimeout as sleep } from 'node:timers/promises';
import type { Jar, Lot, SeededRandom } from '@jarfold/domain';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import type { OwnEntry } from '../../../apps/web/src/offline/index.js';
import type { Attempted, TabletAtRest } from '../../faults/tablet-at-rest.js';
import { comeIn } from './bench-person.js';
import { chromiumOptions, SCREENS } from './chromium.js';
import { type FarmOnDisk, farmOnDisk } from './farm-on-disk.js';
import { type ToldEntry, tellWhatIsSaved } from './told-saved.js';

export interface KilledTabletOptions {
  readonly name: string;
  readonly growerId: string;
  readonly profile: string;
  /** Where this tablet reaches the farm: a wire of its own that can fail. */
  readonly origin: string;
  readonly person: { readonly name: string; readonly pin: string };
  readonly random: SeededRandom;
  /** A script that puts a defect into the page; null for none. */
  readonly plant: string | null;
}

/** Longest a tablet is given to show a screen, on a machine with other work. */
const PATIENCE_MS = 45_000;

/**
 * A tablet as a browser on a profile of its own, which is killed with all its processes, as when somebody pulls the
 * battery, and started again on what is on its disk. It keeps what the person was told is saved.
 */
export class KilledTablet {
  readonly attempted: Attempted[] = [];
  readonly breaches = new Set<string>();
  readonly faults: string[] = [];
  deviceId = '';
  kills = 0;
  signIns = 0;
  #context: BrowserContext | null = null;
  #page: Page | null = null;
  #gone = false;
  #cursor = -1;
  #killAfterSaved: number | null = null;
  readonly #known = new Set<string>();
  #onDisk: FarmOnDisk | null = null;

  constructor(readonly options: KilledTabletOptions) {}

  get page(): Page {
    if (!this.#page) throw new Error(`${this.options.name} is off.`);
    return this.#page;
  }

  /** Starts the browser; the page is not gone to anywhere yet. */
  async start(): Promise<void> {
    const { profile, plant } = this.options;
    this.#gone = false;
    this.#context = await chromium.launchPersistentContext(profile, {
      ...chromiumOptions(),
      viewport: SCREENS.desk,
      locale: 'en-GB',
    });
    this.#context.on('close', () => {
      this.#gone = true;
    });
    // Planted first, so that what is told wraps it and is told what a person would see.
    if (plant !== null) await this.#context.addInitScript(plant);
    await this.#context.exposeBinding('jarfoldTold', (_source, told: ToldEntry[]) => this.#told(told));
    await this.#context.addInitScript(tellWhatIsSaved);
    this.#page = this.#context.pages()[0] ?? (await this.#context.newPage());
    this.#page.setDefaultTimeout(PATIENCE_MS);
    this.#page.on('pageerror', (error) => this.faults.push(error.message));
  }

  /** Closed as one should: what the browser keeps, its cookies too, goes to its disk. */
  async close(): Promise<void> {
    await this.#context?.close();
    this.#context = null;
    this.#page = null;
  }

  async goTo(path: string): Promise<void> {
    await this.page.goto(this.options.origin + path);
    const bench = this.page.locator('.bench__rail');
    const door = this.page.getByRole('button', { name: new RegExp(`^${this.options.person.name}`) });
    await bench.or(door).first().waitFor();
    if (!(await bench.isVisible())) await this.comeIn();
  }

  /** Somebody types the PIN again where the tablet asks for it. Answers whether it did. */
  async signInIfAsked(): Promise<boolean> {
    const asked = this.page.getByRole('button', { name: /sign in to send/ });
    if (!(await asked.isVisible())) return false;
    await asked.click();
    await this.comeIn();
    return true;
  }

  /** Somebody types the PIN. */
  async comeIn(): Promise<void> {
    this.signIns += 1;
    await comeIn(this.page, this.options.person.name, this.options.person.pin);
  }

  /** Works, and is killed meanwhile if that is how it comes. Answers whether the work came to its end. */
  async survive(work: () => Promise<void>): Promise<boolean> {
    try {
      await work();
      return !this.#gone;
    } catch (error) {
      // A step that could not be done, such as on a jar another tablet has used up, is not done; killed is killed.
      if (!this.#gone && !/Timeout|not attached|detached/.test(String(error))) throw error;
      return false;
    }
  }

  /** Waits until the screen says that something more is saved, or for so long; a page may also say no. */
  async toldMoreThan(count: number, patienceMs: number): Promise<void> {
    const endMs = Date.now() + patienceMs;
    while (this.attempted.length <= count && !this.#gone && Date.now() < endMs) await sleep(20);
  }

  /** The next word "saved" is the last thing this browser shows, but for so many milliseconds. */
  killAfterSaved(afterMs: number): void {
    this.#killAfterSaved = afterMs;
  }

  async kill(): Promise<void> {
    this.#killAfterSaved = null;
    if (this.#gone) return;
    this.kills += 1;
    const closed = new Promise((resolve) => this.#context?.once('close', resolve));
    for (const pid of await processesOf(this.options.profile)) killProcess(pid);
    await closed;
  }

  get isGone(): boolean {
    return this.#gone;
  }

  /** After a kill: what was said to be saved must be there, and nothing goes back. */
  async comeBack(): Promise<void> {
    await this.start();
    await this.goTo('/bench');
    await this.look();
  }

  /** Reads what is on the tablet's disk and holds it against what the person was told. */
  async look(): Promise<FarmOnDisk> {
    const { name, growerId } = this.options;
    const disk = await farmOnDisk(this.page, growerId);
    const ids = new Set(disk.own.map(({ id }) => id));
    for (const { id } of this.attempted) {
      if (!ids.has(id)) this.breaches.add(`I3 ${name} said ${id} was saved, and it is not on its disk`);
    }
    for (const entry of disk.own) this.#know(entry);
    if ((disk.cursor ?? -1) < this.#cursor)
      this.breaches.add(`I6 ${name} went back from ${this.#cursor} to ${disk.cursor}`);
    this.#cursor = disk.cursor ?? this.#cursor;
    this.#onDisk = disk;
    return disk;
  }

  /** As the invariants look at any tablet. */
  atRest(): TabletAtRest {
    const disk = this.#onDisk;
    if (!disk) throw new Error(`${this.options.name} was never looked at.`);
    const { own, cursor, things } = disk;
    const acked = own.filter(({ state }) => state === 'applied' || state === 'refused').map(({ id }) => id);
    const unsent = own.filter(({ state }) => state === 'unsent').length;
    return {
      options: { name: this.options.name, deviceId: this.deviceId },
      ...{ attempted: this.attempted, acked: new Set(acked), faults: this.faults, breaches: this.breaches },
      core: {
        own: () => own,
        status: () => ({ unsent, cursor }),
        view: { all: (kind) => things.flatMap((thing) => (thing.kind === kind ? [thing.state as Jar | Lot] : [])) },
      },
    };
  }

  #told(told: readonly ToldEntry[]): void {
    for (const entry of told) this.#know(entry);
    const afterMs = this.#killAfterSaved;
    if (afterMs === null) return;
    this.#killAfterSaved = null;
    setTimeout(() => void this.kill(), afterMs);
  }

  /** What is saved and what is found saved after a kill count alike from then on. */
  #know({ id, sequence }: Pick<OwnEntry, 'id' | 'sequence'>): void {
    if (this.#known.has(id)) return;
    this.#known.add(id);
    this.attempted.push({ id, sequence, makes: [] });
  }
}

function killProcess(pid: number): void {
  try {
    process.kill(pid, 'SIGKILL');
  } catch {
    // It ended with its parent.
  }
}

/** The browser that runs on a profile and everything it started. */
async function processesOf(profile: string): Promise<number[]> {
  const parents = new Map<number, number>();
  const roots: number[] = [];
  for (const name of await readdir('/proc')) {
    if (!/^\d+$/.test(name)) continue;
    const [words, status] = await Promise.all(
      ['cmdline', 'stat'].map((file) => readFile(`/proc/${name}/${file}`, 'utf8').catch(() => '')),
    );
    parents.set(Number(name), Number(status?.slice(status.lastIndexOf(')') + 2).split(' ')[1]));
    if (words?.includes(`--user-data-dir=${profile}\0`) && !words.includes('--type=')) roots.push(Number(name));
  }
  const found = [...roots];
  for (const pid of found) for (const [child, parent] of parents) if (parent === pid) found.push(child);
  return found;
}
