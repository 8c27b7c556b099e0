import './workbooks.css';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { Panel } from '../../ui/Panel.js';
import { ReturnedWorkbook } from './ReturnedWorkbook.js';
import { WeeklyWorkbooks } from './WeeklyWorkbooks.js';

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
