import { useState } from 'react';
import { t } from '../../messages/translate.js';
import { BenchScreen } from './BenchScreen.js';
import { BigButton } from './BigButton.js';
import { useBench } from './bench-context.js';
import { JarPicker } from './JarPicker.js';
import { SaveBar } from './SaveBar.js';
import { smallPhoto } from './small-photo.js';
import { useChosenJars } from './use-chosen-jars.js';

/** Pictures that wait on the tablet; more would fill it. */
export const MOST_PHOTOS = 60;

/** A note in words, with a picture when one says more; about some jars or about the bench. */
export default function NoteScreen() {
  const { core, store, act } = useBench();
  const [text, setText] = useState('');
  const [photo, setPhoto] = useState<string | null>(null);
  const [problem, setProblem] = useState<'not-a-picture' | 'too-many' | null>(null);
  const [about, setAbout] = useState(false);
  const [chosen, setChosen] = useChosenJars();
  const jars = [...chosen].flatMap((id) => core.view.thing('jar', id) ?? []);
  const ready = text.trim() !== '' || photo !== null;

  const choose = async (file: File | undefined) => {
    if (!file) return;
    setProblem(null);
    if ((await store.countPhotos()) >= MOST_PHOTOS) return setProblem('too-many');
    try {
      setPhoto(await smallPhoto(file));
    } catch {
      setProblem('not-a-picture');
    }
  };
  const save = async () => {
    const words = text.trim() === '' ? t('bench.note.picture') : text.trim().slice(0, 2000);
    const payload = jars.length > 0 ? { text: words, jarIds: jars.map(({ id }) => id) } : { text: words };
    const entry = await act({ kind: 'noted', payload });
    if (!entry) return;
    if (photo) await store.keepPhoto({ id: core.newId(), entryId: entry.id, jpegBase64: photo });
    setText('');
    setPhoto(null);
    setChosen(new Set());
  };
  return (
    <BenchScreen title={t('command.note')}>
      <label className="bench-field">
        {t('field.note')}
        <textarea rows={3} value={text} onChange={(event) => setText(event.target.value)} maxLength={2000} />
      </label>
      <label className="big big--plain photo-button">
        <span className="big__words">
          {t(photo ? 'command.otherPhoto' : 'command.photo')}
          <span className="big__hint">{t('bench.note.kept')}</span>
        </span>
        <input
          type="file"
          accept="image/*"
          capture="environment"
          className="photo-button__input"
          onChange={(event) => void choose(event.target.files?.[0])}
        />
      </label>
      {problem && (
        <p className="wrong" role="alert">
          {t(problem === 'too-many' ? 'bench.note.tooMany' : 'bench.note.notPicture', { most: MOST_PHOTOS })}
        </p>
      )}
      {photo && <img className="photo" src={`data:image/jpeg;base64,${photo}`} alt={t('bench.note.pictureOf')} />}
      <BigButton chosen={about} onClick={() => setAbout(!about)}>
        {t('bench.note.about')}
      </BigButton>
      {about && <JarPicker chosen={chosen} onChange={setChosen} />}
      <SaveBar
        jars={jars}
        onClear={() => setChosen(new Set())}
        label={t('bench.do.note')}
        ready={ready}
        missing={t('bench.note.empty')}
        onSave={save}
      />
    </BenchScreen>
  );
}
