import './workbooks.css';
import { useIsLead } from '../../api/session.js';
import { useMakeWorkbook, useWorkbooks, workbookAddress } from '../../api/workbooks.js';
import { t } from '../../messages/translate.js';
import { Button, LinkButton } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { NothingYet } from '../../ui/Waiting.js';
import { ReturnedWorkbook } from './ReturnedWorkbook.js';

/** Files in and out: the weekly workbook, and its way back. */
export default function WorkbooksScreen() {
  const mayChange = useIsLead();
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.workbooks')}</h1>
      </header>
      <WeeklyWorkbooks mayMake={mayChange} />
      {mayChange && <ReturnedWorkbook />}
      <WayToExports />
      {mayChange && <OldSpreadsheets />}
    </>
  );
}

function OldSpreadsheets() {
  return (
    <Panel title={t('screen.oldSheets')}>
      <p>{t('oldSheets.linkHint')}</p>
      <div>
        <LinkButton href="/old-spreadsheets">{t('command.openOldSheets')}</LinkButton>
      </div>
    </Panel>
  );
}

function WayToExports() {
  return (
    <Panel title={t('screen.exports')}>
      <p>{t('exports.link')}</p>
      <div>
        <LinkButton href="/exports">{t('command.openExports')}</LinkButton>
      </div>
    </Panel>
  );
}

function WeeklyWorkbooks({ mayMake }: { readonly mayMake: boolean }) {
  const workbooks = useWorkbooks();
  const make = useMakeWorkbook();
  return (
    <Panel
      title={t('workbooks.weekly')}
      aside={
        mayMake && (
          <Button look="main" busy={make.isPending} onClick={() => make.mutate()}>
            {t('command.makeWorkbook')}
          </Button>
        )
      }
    >
      <p>{t('workbooks.weeklyHint')}</p>
      {make.error && <Failure error={make.error} />}
      {make.data && <Notice title={t('workbooks.madeNow', { week: make.data.week })} live />}
      <QueryStates query={workbooks}>
        {({ items }) =>
          items.length === 0 ? (
            <NothingYet title={t('workbooks.none')} />
          ) : (
            <ul className="plain workbook-list">
              {items.map(({ id, week, madeAt, fileName }) => (
                <li key={id} className="workbook-list__item">
                  <span>{t('workbooks.made', { week, when: formatMoment(madeAt) })}</span>
                  <a
                    className="button button--plain"
                    href={workbookAddress(id)}
                    download={fileName}
                    aria-label={t('workbooks.downloadOf', { week, when: formatMoment(madeAt) })}
                  >
                    {t('command.download')}
                  </a>
                </li>
              ))}
            </ul>
          )
        }
      </QueryStates>
    </Panel>
  );
}
