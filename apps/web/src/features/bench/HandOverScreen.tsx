import type { Jar } from '@jarfold/domain';
import { useCallback, useState } from 'react';
import { useSearch } from 'wouter';
import { t } from '../../messages/translate.js';
import { formatDay } from '../../ui/format/index.js';
import { BenchScreen } from './BenchScreen.js';
import { Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { JarPicker } from './JarPicker.js';
import { entriesSince, jarsGivenSince } from './jobs.js';
import { type OpenOrder, openOrders } from './open-orders.js';
import { Proposal } from './Proposal.js';
import { SaveBar } from './SaveBar.js';
import { useChosenJars } from './use-chosen-jars.js';
import { fitsOrder, proposeForOrder } from './which-jars.js';

/** Whole jars leave the farm for an order. In the log each is drawn for it with everything it holds. */
export default function HandOverScreen() {
  const { farm, core, status } = useBench();
  const since = entriesSince(core.own(), status.cursor);
  // What this tablet gave counts at once, network or not.
  const orders = openOrders(farm.runs).map((run) => {
    const handedOver = run.order.handedOver + jarsGivenSince(run.id, since);
    return { ...run, order: { ...run.order, handedOver } };
  });
  const [orderId, setOrderId] = useState(new URLSearchParams(useSearch()).get('run') ?? orders[0]?.id ?? null);
  const order = orders.find(({ id }) => id === orderId);
  return (
    <BenchScreen title={t('command.handOver')}>
      {orders.length === 0 && <p>{t('bench.handOver.noOrder')}</p>}
      {orders.length > 0 && (
        <Choices
          label={t('bench.ask.order')}
          value={orderId}
          choices={orders.slice(0, ORDERS_SHOWN).map((one) => ({ value: one.id, label: one.name, hint: hintOf(one) }))}
          onChoose={setOrderId}
        />
      )}
      {order && <HandOver key={order.id} order={order} />}
    </BenchScreen>
  );
}

const ORDERS_SHOWN = 8;

const hintOf = ({ order, day }: OpenOrder) =>
  t('bench.handOver.hint', { count: Math.max(0, order.jars - order.handedOver), day: formatDay(day) });

function HandOver({ order }: { readonly order: OpenOrder }) {
  const { farm, core, today, act } = useBench();
  const [chosen, setChosen] = useChosenJars();
  const [own, setOwn] = useState(false);
  const { sizeId } = order.order;
  const fits = useCallback((jar: Jar) => fitsOrder(jar, { sizeId }), [sizeId]);
  const proposed = proposeForOrder(farm, core.view, order, today);
  const jars = [...chosen].flatMap((id) => core.view.thing('jar', id) ?? []).filter(fits);
  const toggle = (id: string) => {
    const next = new Set(chosen);
    if (!next.delete(id)) next.add(id);
    setChosen(next);
  };
  const save = async () => {
    const draws = jars.map(({ id }) => ({ jarId: id, amount: { by: 'all' as const } }));
    if (!(await act({ kind: 'drawn_for_run', payload: { runId: order.id, draws } }))) return;
    setChosen(new Set());
    setOwn(false);
  };
  return (
    <>
      {proposed.length === 0 && <p>{nothingProposed(order, farm.sizes.find(({ id }) => id === sizeId)?.name ?? '')}</p>}
      {proposed.length > 0 && (
        <Proposal
          title={t('bench.handOver.proposed', { count: proposed.length })}
          why={t('bench.handOver.why')}
          jars={proposed.map(({ jar, life }) => ({
            jar,
            words: t('bench.handOver.daysLeft', { days: life?.daysLeft ?? 0 }),
          }))}
          chosen={chosen}
          onTap={toggle}
          onTakeAll={() => setChosen(new Set(proposed.map(({ jar }) => jar.id)))}
          own={own}
          onOwn={setOwn}
        />
      )}
      {(own || proposed.length === 0) && <JarPicker chosen={chosen} onChange={setChosen} fits={fits} />}
      <SaveBar
        jars={jars}
        onClear={() => setChosen(new Set())}
        label={t('bench.do.handOver', { count: jars.length, run: order.name })}
        ready={jars.length > 0}
        missing={t('bench.save.noJars')}
        onSave={save}
      />
    </>
  );
}

function nothingProposed({ order }: OpenOrder, size: string): string {
  return order.handedOver >= order.jars ? t('bench.handOver.done') : t('bench.handOver.none', { size });
}
