import type { DiscardReason, Jar } from '@jarfold/domain';
import { useCallback, useState } from 'react';
import { type MessageKey, t } from '../../messages/translate.js';
import { Caution } from '../../ui/Caution.js';
import { BenchScreen } from './BenchScreen.js';
import { Choices } from './BigButton.js';
import { useBench } from './bench-context.js';
import { FindingGuide } from './FindingGuide.js';
import { JarPicker } from './JarPicker.js';
import { ACTS, type ActValues, type JarAct, shelvesFor } from './jar-acts.js';
import { SaveBar } from './SaveBar.js';
import { Stepper } from './Stepper.js';
import { useChosenJars } from './use-chosen-jars.js';

const NOTHING_ASKED: ActValues = { shelfId: null, reason: null, finding: null, sure: true, days: 4, regrew: null };
const REASONS = [
  { value: 'contaminated', label: 'reason.contaminated' },
  { value: 'aged_out', label: 'reason.agedOut' },
  { value: 'stalled', label: 'reason.stalled' },
  { value: 'surplus', label: 'reason.surplus' },
  { value: 'other', label: 'reason.other' },
] as const satisfies readonly { value: DiscardReason; label: string }[];

/** One thing done to some jars: choose them, say what little there is to say, save. */
export function ActScreen({ act }: { readonly act: JarAct }) {
  const bench = useBench();
  const spec = ACTS[act];
  const [chosen, setChosen] = useChosenJars();
  const shelves = spec.asks.includes('shelf') ? shelvesFor(act, { ...bench, view: bench.core.view }) : [];
  const [values, setValues] = useState<ActValues>({
    ...NOTHING_ASKED,
    shelfId: act === 'move' ? null : (shelves[0]?.shelf.id ?? null),
  });
  const fits = useCallback((jar: Jar) => spec.fits(jar), [spec]);
  const jars = [...chosen].flatMap((id) => bench.core.view.thing('jar', id) ?? []);
  const action = jars.length > 0 ? spec.action(jars, values, { ...bench, view: bench.core.view }) : null;
  const save = async () => {
    if (!action || !(await bench.act(action))) return;
    setChosen(new Set());
  };
  return (
    <BenchScreen title={t(spec.title)}>
      <JarPicker chosen={chosen} onChange={setChosen} fits={fits} />
      {jars.length > 0 && (
        <>
          {shelves.length > 0 && (
            <Choices
              label={t('bench.ask.shelf')}
              value={values.shelfId}
              choices={shelves.map(({ shelf, free }) => ({
                value: shelf.id,
                label: shelf.name,
                hint: t('bench.shelf.free', { free: Math.max(0, free) }),
              }))}
              onChoose={(shelfId) => setValues({ ...values, shelfId })}
            />
          )}
          {spec.asks.includes('reason') && (
            <Choices
              label={t('bench.ask.reason')}
              value={values.reason}
              choices={REASONS.map(({ value, label }) => ({ value, label: t(label) }))}
              onChoose={(reason) => setValues({ ...values, reason })}
            />
          )}
          {spec.asks.includes('finding') && (
            <>
              <FindingGuide value={values.finding} onChoose={(finding) => setValues({ ...values, finding })} />
              <Choices
                label={t('bench.ask.sure')}
                value={values.sure}
                choices={[
                  { value: true, label: t('bench.sure.yes') },
                  { value: false, label: t('bench.sure.no') },
                ]}
                onChoose={(sure) => setValues({ ...values, sure })}
              />
            </>
          )}
          {spec.asks.includes('regrowth') && (
            <>
              <Stepper
                label={t('bench.ask.regrowthDays')}
                unit={t('unit.days')}
                value={values.days}
                min={1}
                max={60}
                onChange={(days) => setValues({ ...values, days: Math.round(days) })}
              />
              <Choices
                label={t('bench.ask.regrew')}
                value={values.regrew}
                choices={[
                  { value: true, label: t('text.yes') },
                  { value: false, label: t('text.no') },
                ]}
                onChoose={(regrew) => setValues({ ...values, regrew })}
              />
            </>
          )}
        </>
      )}
      {spec.hazards.length > 0 && <Caution hazards={spec.hazards} />}
      <SaveBar
        jars={jars}
        onClear={() => setChosen(new Set())}
        label={t(spec.doing, { count: jars.length })}
        ready={action !== null}
        missing={t(missingOf(act, jars.length, values))}
        onSave={save}
      />
    </BenchScreen>
  );
}

/** The first question that is still open, in the words it is asked in. */
function missingOf(act: JarAct, jars: number, { shelfId, reason, finding }: ActValues): MessageKey {
  const { asks } = ACTS[act];
  if (jars === 0) return 'bench.save.noJars';
  if (asks.includes('shelf') && shelfId === null) return 'bench.ask.shelf';
  if (asks.includes('reason') && reason === null) return 'bench.ask.reason';
  if (asks.includes('finding') && finding === null) return 'bench.finding.what';
  if (asks.includes('regrowth')) return jars > 1 ? 'bench.save.oneJar' : 'bench.ask.regrew';
  return 'bench.save.missing';
}
