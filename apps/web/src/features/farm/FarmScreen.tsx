import './farm.css';
import type { ContainerSizeJson, Farm, Strain } from '@jarfold/contracts';
import { type ReactNode, useState } from 'react';
import { useIsLead } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { type Column, DataTable } from '../../ui/DataTable.js';
import { formatMass, formatShare, formatVolume } from '../../ui/format/index.js';
import { Panel } from '../../ui/Panel.js';
import { Tape } from '../../ui/Tape.js';
import { LabelSettings } from '../labels/LabelSettings.js';
import { Account } from './Account.js';
import { FailedJobs } from './FailedJobs.js';
import { Settings } from './SettingsForm.js';
import { SizeSheet } from './SizeSheet.js';
import { StrainSheet } from './StrainSheet.js';
import { CARRIER_WORDS, CONTAINER_WORDS } from './size-words.js';

type Open =
  | { readonly kind: 'strain'; readonly strain: Strain | null }
  | { readonly kind: 'size'; readonly size: ContainerSizeJson | null }
  | null;

export default function FarmScreen({ farm }: { readonly farm: Farm }) {
  const [open, setOpen] = useState<Open>(null);
  const mayChange = useIsLead();
  const close = () => setOpen(null);
  return (
    <>
      <header className="screen__head">
        <h1>{t('screen.farm')}</h1>
      </header>
      <Panel
        title={t('farm.strains')}
        aside={
          mayChange && (
            <Button onClick={() => setOpen({ kind: 'strain', strain: null })}>{t('command.addStrain')}</Button>
          )
        }
      >
        <Strains strains={farm.strains} onEdit={mayChange ? (strain) => setOpen({ kind: 'strain', strain }) : null} />
      </Panel>
      <Panel
        title={t('farm.sizes')}
        aside={
          mayChange && <Button onClick={() => setOpen({ kind: 'size', size: null })}>{t('command.addSize')}</Button>
        }
      >
        <Sizes sizes={farm.sizes} onEdit={mayChange ? (size) => setOpen({ kind: 'size', size }) : null} />
      </Panel>
      {mayChange && (
        <>
          <Panel title={t('farm.settings')}>
            <Settings farm={farm} />
          </Panel>
          <Panel title={t('labels.title')}>
            <LabelSettings />
          </Panel>
        </>
      )}
      <Panel title={t('farm.account')}>
        <Account />
      </Panel>
      <FailedJobs />
      {open?.kind === 'strain' && <StrainSheet strain={open.strain} onClose={close} />}
      {open?.kind === 'size' && <SizeSheet size={open.size} onClose={close} />}
    </>
  );
}

function InUse({ archived, children }: { readonly archived: boolean; readonly children: ReactNode }) {
  return archived ? (
    <>
      {children} <span className="soft small">{t('state.outOfUse')}</span>
    </>
  ) : (
    children
  );
}

/** The way to change a thing, for whoever may. */
function editColumn<Thing extends { readonly name: string }>(
  onEdit: ((thing: Thing) => void) | null,
): readonly Column<Thing>[] {
  if (onEdit === null) return [];
  return [
    {
      key: 'edit',
      head: t('column.command'),
      cell: (thing) => (
        <Button aria-label={t('rooms.editNamed', { name: thing.name })} onClick={() => onEdit(thing)}>
          {t('command.edit')}
        </Button>
      ),
    },
  ];
}

function Strains({
  strains,
  onEdit,
}: {
  readonly strains: readonly Strain[];
  /** Null for whoever may look only. */
  readonly onEdit: ((strain: Strain) => void) | null;
}) {
  return (
    <DataTable
      caption={t('farm.strains')}
      rows={strains}
      rowKey={(strain) => strain.id}
      columns={[
        {
          key: 'code',
          head: t('column.strain'),
          cell: (strain) => (
            <InUse archived={strain.archived}>
              <Tape>{strain.code}</Tape> {strain.name}
            </InUse>
          ),
        },
        { key: 'species', head: t('column.species'), cell: (strain) => <i>{strain.speciesName}</i> },
        { key: 'ripe', head: t('column.daysToRipe'), numeric: true, cell: (strain) => strain.daysToRipe.value },
        { key: 'loss', head: t('column.loss'), numeric: true, cell: (strain) => formatShare(strain.lossRate.value) },
        {
          key: 'cold',
          head: t('column.coldLife'),
          numeric: true,
          cell: (strain) =>
            strain.mayBeChilled.value ? t('format.days', { days: strain.coldLifeDays.value }) : t('farm.neverChilled'),
        },
        {
          key: 'last',
          head: t('column.lastGeneration'),
          cell: (strain) => t('format.generation', { generation: strain.lastGeneration.value }),
        },
        ...editColumn(onEdit),
      ]}
    />
  );
}

function Sizes({
  sizes,
  onEdit,
}: {
  readonly sizes: readonly ContainerSizeJson[];
  /** Null for whoever may look only. */
  readonly onEdit: ((size: ContainerSizeJson) => void) | null;
}) {
  return (
    <DataTable
      caption={t('farm.sizes')}
      rows={sizes}
      rowKey={(size) => size.id}
      columns={[
        {
          key: 'name',
          head: t('column.size'),
          cell: (size) => (
            <InUse archived={size.archived}>
              {size.name}
              <br />
              <span className="soft small">
                {t('farm.holds', {
                  container: t(CONTAINER_WORDS[size.container]),
                  carrier: t(CARRIER_WORDS[size.carrier]),
                })}
              </span>
            </InUse>
          ),
        },
        { key: 'volume', head: t('column.volume'), numeric: true, cell: (size) => formatVolume(size.volumeMl) },
        { key: 'ripe', head: t('column.ripeMass'), numeric: true, cell: (size) => formatMass(size.ripeGrams.value) },
        {
          key: 'grain',
          head: t('column.dryGrain'),
          numeric: true,
          cell: (size) => (size.carrier === 'grain' ? formatMass(size.dryGrainG.value) : t('text.none')),
        },
        {
          key: 'clean',
          head: t('column.cleanEmpty'),
          numeric: true,
          cell: (size) => size.cleanEmpty ?? t('farm.enough'),
        },
        ...editColumn(onEdit),
      ]}
    />
  );
}
