import { type GrainStockItem, newGrainStockEntrySchema } from '@jarfold/contracts';
import { kilogramsToGrams } from '@jarfold/domain';
import { type FormEvent, useState } from 'react';
import { useGrainEntry, useGrainStock } from '../../api/preparation.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { checkedBody } from '../../ui/checked-body.js';
import { Failure } from '../../ui/Failure.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { accountWords, needWords, onHandWords, reachWords } from '../../ui/grain-words.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';
import { QueryStates } from '../../ui/QueryStates.js';
import { readNumber } from '../../ui/read-number.js';
import { useForm } from '../../ui/use-form.js';

interface GrainChoice {
  readonly key: string;
  readonly name: string;
}

/** What grain there is, how that is known, how far it reaches, and a box for what was counted or bought. */
export function GrainStock({ grains, usual }: { readonly grains: readonly GrainChoice[]; readonly usual: string }) {
  const stock = useGrainStock();
  return (
    <Panel title={t('grain.stock')}>
      <QueryStates query={stock}>
        {({ items }) => (
          <div className="stack">
            <ul className="plain stack stack--tight" aria-live="polite">
              {items.map((item) => (
                <li key={item.grain.key}>
                  <Item item={item} />
                </li>
              ))}
            </ul>
            <EntryForm grains={grains} usual={usual} />
          </div>
        )}
      </QueryStates>
    </Panel>
  );
}

function Item({ item }: { readonly item: GrainStockItem }) {
  const [account, need, reach] = [accountWords(item), needWords(item), reachWords(item)];
  return (
    <div className="stack stack--tight">
      {item.state === 'out-of-date' ? (
        <Notice tone="care" title={onHandWords(item)} />
      ) : (
        <p>
          <strong>{onHandWords(item)}</strong>
        </p>
      )}
      {account && <p className="soft small">{account}</p>}
      {need && <p>{need}</p>}
      {reach && <p>{reach}</p>}
    </div>
  );
}

function EntryForm({ grains, usual }: { readonly grains: readonly GrainChoice[]; readonly usual: string }) {
  const save = useGrainEntry();
  // Kept until it is taken: sent again after a lost answer it is the same entry.
  const [id, setId] = useState(() => crypto.randomUUID());
  const form = useForm(() => ({ grain: usual, kilograms: '' }), save.error);
  const send = (kind: 'counted' | 'bought') => {
    const kilograms = readNumber(form.values.kilograms);
    const massG = kilograms === null || Number.isNaN(kilograms) ? kilograms : kilogramsToGrams(kilograms);
    form.check(checkedBody(newGrainStockEntrySchema, { id, grain: form.values.grain, kind, massG }), (body) =>
      save.mutate(body, {
        onSuccess: () => {
          setId(crypto.randomUUID());
          form.set({ kilograms: '' });
        },
      }),
    );
  };
  const submit = (event: FormEvent) => {
    event.preventDefault();
    send('counted');
  };
  return (
    <form className="stack stack--tight" onSubmit={submit} noValidate>
      {save.error && <Failure error={save.error} />}
      <div className="field-grid">
        <SelectField
          label={t('field.stockedGrain')}
          value={form.values.grain}
          error={form.error('/grain')}
          onChange={(event) => form.set({ grain: event.target.value })}
        >
          {grains.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </SelectField>
        <TextField
          label={t('field.stockedMass')}
          unit={t('unit.kg')}
          inputMode="decimal"
          {...form.box('kilograms', '/massG')}
        />
      </div>
      <div className="row">
        <Button look="main" type="submit" busy={save.isPending}>
          {t('command.grainCounted')}
        </Button>
        <Button busy={save.isPending} onClick={() => send('bought')}>
          {t('command.grainBought')}
        </Button>
      </div>
      <p className="soft small">{t('grain.how')}</p>
    </form>
  );
}
