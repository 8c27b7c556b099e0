import type { CalendarDay } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { Glass } from '../../ui/drawing/Glass.js';
import { CrateDrawing, MoveDrawing, PlateDrawing, PotDrawing, SackDrawing } from '../../ui/drawing/Objects.js';
import { formatDay } from '../../ui/format/index.js';
import { type DayOfWork, isQuiet, jarsStarted } from './days-of-work.js';
import { coveredShare } from './order-words.js';

/** The week as one shelf: what stands on each day is what is done on it. */
export function WeekShelf({ days, today }: { readonly days: readonly DayOfWork[]; readonly today: CalendarDay }) {
  return (
    <ol className="week-shelf plain">
      {days.map((work) => (
        <li key={work.day} className={work.day === today ? 'week-day week-day--today' : 'week-day'}>
          <p className="week-day__name">
            {formatDay(work.day)}
            {work.day === today && <span className="week-day__today">{t('format.today')}</span>}
          </p>
          <ul className="week-day__things board plain">
            {isQuiet(work) ? <li className="board__rest soft small">{t('week.nothing')}</li> : <Things work={work} />}
            {!isQuiet(work) && <li className="board__rest" aria-hidden="true" />}
          </ul>
        </li>
      ))}
    </ol>
  );
}

function Things({ work }: { readonly work: DayOfWork }) {
  const jars = jarsStarted(work);
  const cycles = work.preparations.reduce((sum, preparation) => sum + preparation.cycles, 0);
  const moved = (kind: 'chill' | 'warm') =>
    work.moves.filter((move) => move.kind === kind).reduce((sum, move) => sum + move.containers, 0);
  const chilled = moved('chill');
  const warmed = moved('warm');
  return (
    <>
      {cycles > 0 && <Thing picture={<PotDrawing />} words={t('week.thing.cycles', { count: cycles })} />}
      {jars > 0 && <Thing picture={<Glass colonised={0.08} />} words={t('week.thing.starts', { count: jars })} />}
      {work.runs.map((run) => (
        <Thing
          key={run.run.id}
          picture={
            run.run.order ? <CrateDrawing covered={coveredShare(run)} /> : <SackDrawing covered={coveredShare(run)} />
          }
          words={run.run.name}
        />
      ))}
      {chilled > 0 && (
        <Thing picture={<MoveDrawing kind="chill" />} words={t('week.thing.chill', { count: chilled })} />
      )}
      {warmed > 0 && <Thing picture={<MoveDrawing kind="warm" />} words={t('week.thing.warm', { count: warmed })} />}
      {work.cultures.map((culture) => (
        <Thing
          key={culture.id}
          picture={<PlateDrawing />}
          words={t('week.thing.culture', { strain: culture.strain.code })}
        />
      ))}
    </>
  );
}

function Thing({ picture, words }: { readonly picture: React.ReactNode; readonly words: string }) {
  return (
    <li className="thing">
      {picture}
      <span>{words}</span>
    </li>
  );
}
