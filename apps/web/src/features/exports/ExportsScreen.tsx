import './exports.css';
import { useIsLead, useIsOwner } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { LinkButton } from '../../ui/Button.js';
import { CalendarPanel } from './CalendarPanel.js';
import { FileUnitsPanel } from './FileUnitsPanel.js';
import { LotRecordsPanel } from './LotRecordsPanel.js';
import { WholeFarmPanel } from './WholeFarmPanel.js';

/** What leaves the farm besides the weekly workbook. */
export default function ExportsScreen() {
  const mayChange = useIsLead();
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.exports')}</h1>
        <LinkButton href="/workbooks">{t('screen.workbooks')}</LinkButton>
      </header>
      <LotRecordsPanel />
      <CalendarPanel mayMakeForFarm={mayChange} />
      {mayChange && <FileUnitsPanel />}
      <WholeFarmPanel mayTakeOut={useIsOwner()} />
    </>
  );
}
