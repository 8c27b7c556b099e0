import type { Room } from '@jarfold/contracts';
import {
  type Carrier,
  type ContainerForm,
  speciesCatalogue,
  strainCodeProblem,
  volumeInWords,
  type WordMeaning,
} from '@jarfold/domain';
import { useState } from 'react';
import { useSpecies } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { SelectField, TextField } from '../../ui/Field.js';
import { readNumber } from '../../ui/read-number.js';
import { CARRIER_WORDS, CONTAINER_WORDS } from '../farm/size-words.js';
import { ROOM_KIND_WORDS } from '../rooms/room-kind-words.js';

interface NewProps {
  readonly word: string;
  readonly onMake: (meaning: WordMeaning) => void;
}

/** A strain, size or room that is made with the file. */
export function NewThing({ field, ...props }: NewProps & { readonly field: 'strain' | 'size' | 'place' }) {
  if (field === 'strain') return <NewStrain {...props} />;
  return field === 'size' ? <NewSize {...props} /> : <NewRoom {...props} />;
}

/** What the contract takes for the volume of one container. */
const LEAST_ML = 20;
const MOST_ML = 50_000;

function NewStrain({ word, onMake }: NewProps) {
  const species = useSpecies();
  const [name, setName] = useState(word);
  const [code, setCode] = useState('');
  const [speciesKey, setSpecies] = useState('');
  const plain = code.trim().toUpperCase();
  const wrongCode = strainCodeProblem(plain) !== null;
  const ready = name.trim() !== '' && speciesKey !== '' && !wrongCode;
  const choose = (key: string) => {
    setSpecies(key);
    const hint = speciesCatalogue.find((each) => each.key === key)?.codeHint;
    if (code === '' && hint !== undefined) setCode(`${hint}1`);
  };
  return (
    <div className="old-sheets__new">
      <TextField label={t('field.newName')} value={name} onChange={({ target }) => setName(target.value)} />
      <SelectField label={t('field.newSpecies')} value={speciesKey} onChange={({ target }) => choose(target.value)}>
        <option value="">{t('text.choose')}</option>
        {species.data?.items.map(({ key, latinName, commonName }) => (
          <option key={key} value={key}>
            {commonName === latinName ? latinName : `${commonName} (${latinName})`}
          </option>
        ))}
      </SelectField>
      <TextField
        label={t('field.newStrainCode')}
        error={plain !== '' && wrongCode ? t('oldSheets.wrongCode') : undefined}
        value={code}
        onChange={({ target }) => setCode(target.value)}
      />
      <Use ready={ready} onUse={() => onMake({ to: 'new-strain', code: plain, name: name.trim(), speciesKey })} />
    </div>
  );
}

function NewSize({ word, onMake }: NewProps) {
  const [name, setName] = useState(word);
  const [container, setContainer] = useState<ContainerForm>('jar');
  const [carrier, setCarrier] = useState<Carrier>('grain');
  const [volume, setVolume] = useState(String(volumeInWords(word) ?? ''));
  const read = readNumber(volume);
  const volumeMl = read !== null && read >= LEAST_ML && read <= MOST_ML ? read : null;
  return (
    <div className="old-sheets__new">
      <TextField label={t('field.newName')} value={name} onChange={({ target }) => setName(target.value)} />
      <TextField
        label={t('field.newVolume')}
        unit={t('unit.ml')}
        error={
          volume.trim() !== '' && volumeMl === null
            ? t('oldSheets.wrongVolume', { least: LEAST_ML, most: MOST_ML })
            : undefined
        }
        inputMode="decimal"
        value={volume}
        onChange={({ target }) => setVolume(target.value)}
      />
      <SelectField
        label={t('field.container')}
        value={container}
        onChange={({ target }) => setContainer(target.value as ContainerForm)}
      >
        {Object.entries(CONTAINER_WORDS).map(([value, key]) => (
          <option key={value} value={value}>
            {t(key)}
          </option>
        ))}
      </SelectField>
      <SelectField
        label={t('field.carrier')}
        value={carrier}
        onChange={({ target }) => setCarrier(target.value as Carrier)}
      >
        {Object.entries(CARRIER_WORDS).map(([value, key]) => (
          <option key={value} value={value}>
            {t(key)}
          </option>
        ))}
      </SelectField>
      <Use
        ready={name.trim() !== '' && volumeMl !== null}
        onUse={() => volumeMl !== null && onMake({ to: 'new-size', name: name.trim(), volumeMl, container, carrier })}
      />
    </div>
  );
}

function NewRoom({ word, onMake }: NewProps) {
  const [name, setName] = useState(word);
  const [kind, setKind] = useState<Room['kind'] | ''>('');
  return (
    <div className="old-sheets__new">
      <TextField label={t('field.newName')} value={name} onChange={({ target }) => setName(target.value)} />
      <SelectField
        label={t('field.newRoomKind')}
        value={kind}
        onChange={({ target }) => setKind(target.value as Room['kind'])}
      >
        <option value="">{t('text.choose')}</option>
        {Object.entries(ROOM_KIND_WORDS).map(([value, key]) => (
          <option key={value} value={value}>
            {t(key)}
          </option>
        ))}
      </SelectField>
      <Use
        ready={name.trim() !== '' && kind !== ''}
        onUse={() => kind !== '' && onMake({ to: 'new-room', name: name.trim(), kind })}
      />
    </div>
  );
}

function Use({ ready, onUse }: { readonly ready: boolean; readonly onUse: () => void }) {
  return (
    <Button look="main" disabled={!ready} onClick={onUse}>
      {t('command.useThis')}
    </Button>
  );
}
