import { Progress, Stopped } from '@jarfold/server';

const SHOW_EVERY_MS = 250;

/** Where progress is shown: a line that is written over on a terminal; nothing elsewhere, unless it was asked for. */
export interface ProgressLine {
  readonly show: (done: number, total: number) => void;
  readonly end: () => void;
}

export function progressLine(label: string, asked: boolean): ProgressLine {
  const { stderr } = process;
  let shown = '';
  const show = (done: number, total: number) => {
    const text = `${label}: ${done} of ${total} rows`;
    if (total === 0 || text === shown || !(stderr.isTTY || asked)) return;
    shown = text;
    stderr.write(stderr.isTTY ? `\r\x1b[K${text}` : `${text}\n`);
  };
  const end = () => {
    if (shown !== '' && stderr.isTTY) stderr.write('\r\x1b[K');
  };
  return { show, end };
}

/**
 * Does long work with its progress shown. Ctrl-C stops it: whatever it did is undone by the transaction it is in.
 * @throws Stopped after Ctrl-C
 */
export async function withProgress<T>(line: ProgressLine, work: (progress: Progress) => Promise<T>): Promise<T> {
  const progress = new Progress();
  const show = () => line.show(progress.now.done, progress.now.total);
  const timer = setInterval(show, SHOW_EVERY_MS);
  const stop = () => progress.stop();
  process.once('SIGINT', stop);
  process.once('SIGTERM', stop);
  try {
    const result = await work(progress);
    show();
    return result;
  } catch (error) {
    // Ctrl-C also reaches a database that was started for the command: what it says then is no news.
    throw progress.isStopped ? new Stopped() : error;
  } finally {
    clearInterval(timer);
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    line.end();
  }
}
