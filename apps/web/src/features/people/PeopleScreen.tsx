import type { Device, StaffMember } from '@jarfold/contracts';
import { useState } from 'react';
import { useFarm } from '../../api/farm.js';
import { useDevices, useRevokeDevice, useStaff } from '../../api/people.js';
import { useIsLead, useIsOwner } from '../../api/session.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { BenchTimeSheet } from './BenchTimeSheet.js';
import { benchTimeWords } from './bench-time-words.js';
import { EnrolmentSheet } from './EnrolmentSheet.js';
import { PersonSheet } from './PersonSheet.js';
import { ROLE_WORDS } from './role-words.js';

/** Who works on the farm with which PIN, and which tablets are its own. */
export default function PeopleScreen() {
  const staff = useStaff();
  const devices = useDevices();
  const farm = useFarm();
  const mayChange = useIsOwner();
  const mayPlan = useIsLead();
  const [timeOf, setTimeOf] = useState<StaffMember | null>(null);
  const [person, setPerson] = useState<StaffMember | 'new' | null>(null);
  const [enrolling, setEnrolling] = useState(false);
  return (
    <div className="stack">
      <h1>{t('screen.people')}</h1>
      <Panel
        title={t('people.staff')}
        aside={mayChange && <Button onClick={() => setPerson('new')}>{t('command.addPerson')}</Button>}
      >
        <QueryStates query={staff}>
          {({ items }) => (
            <ul className="plain stack stack--tight">
              {items.map((member) => (
                <li key={member.staffId} className="row row--apart">
                  <p>
                    <strong>{member.name ?? t('people.nameForgotten')}</strong>{' '}
                    <span>
                      {[
                        standingWords(member),
                        ...(farm.data
                          ? benchTimeWords(member, { today: farm.data.today, anybodySaid: haveSaid(items) })
                          : []),
                      ].join(' · ')}
                    </span>
                  </p>
                  <div className="row">
                    {mayPlan && member.active && (
                      <Button
                        aria-label={t('people.benchTimeOf', { name: member.name ?? '' })}
                        onClick={() => setTimeOf(member)}
                      >
                        {t('command.benchTime')}
                      </Button>
                    )}
                    {mayChange && (
                      <Button
                        aria-label={t('people.editNamed', { name: member.name ?? '' })}
                        onClick={() => setPerson(member)}
                      >
                        {t('command.edit')}
                      </Button>
                    )}
                  </div>
                </li>
              ))}
            </ul>
          )}
        </QueryStates>
      </Panel>
      <Panel
        title={t('people.tablets')}
        aside={mayChange && <Button onClick={() => setEnrolling(true)}>{t('command.addTablet')}</Button>}
      >
        <p>{t('people.tabletsHint')}</p>
        <QueryStates query={devices}>
          {({ items }) => {
            const tablets = items.filter(({ enrolled }) => enrolled);
            return tablets.length === 0 ? (
              <p>{t('people.noTablets')}</p>
            ) : (
              <ul className="plain stack stack--tight">
                {tablets.map((device) => (
                  <TabletRow key={device.deviceId} device={device} />
                ))}
              </ul>
            );
          }}
        </QueryStates>
      </Panel>
      {person && <PersonSheet member={person === 'new' ? null : person} onClose={() => setPerson(null)} />}
      {timeOf && <BenchTimeSheet member={timeOf} onClose={() => setTimeOf(null)} />}
      {enrolling && (
        <EnrolmentSheet
          onClose={() => {
            setEnrolling(false);
            void devices.refetch();
          }}
        />
      )}
    </div>
  );
}

const haveSaid = (staff: readonly StaffMember[]): boolean =>
  staff.some(({ active, benchMinutes }) => active && benchMinutes !== null);

function TabletRow({ device }: { readonly device: Device }) {
  const revoke = useRevokeDevice();
  const mayRevoke = useIsOwner();
  const { deviceId, name, revokedAt, lastSequence } = device;
  return (
    <li className="row row--apart">
      <p>
        <strong>{name}</strong>{' '}
        <span>{revokedAt ? t('people.tabletRevoked') : t('people.tabletEntries', { count: lastSequence })}</span>
      </p>
      {mayRevoke && !revokedAt && (
        <Button
          look="danger"
          busy={revoke.isPending}
          aria-label={t('people.revokeNamed', { name })}
          onClick={() => revoke.mutate(deviceId)}
        >
          {t('command.revoke')}
        </Button>
      )}
      {revoke.error && <Failure error={revoke.error} />}
    </li>
  );
}

function standingWords({ role, active, pinSetAt }: StaffMember): string {
  if (!active) return t('people.left');
  return t(pinSetAt ? 'people.withPin' : 'people.withoutPin', { role: t(ROLE_WORDS[role]) });
}
