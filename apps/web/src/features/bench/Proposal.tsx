import type { Jar } from '@jarfold/domain';
import { t } from '../../messages/translate.js';
import { BigButton } from './BigButton.js';
import { JarTile } from './JarTile.js';

/** Jars the tablet proposes, with why: take them all, tap some, or say that others were taken. */
export function Proposal({
  title,
  why,
  jars,
  chosen,
  onTap,
  onTakeAll,
  own,
  onOwn,
}: {
  readonly title: string;
  readonly why: string;
  /** Each with the reason it is named for. */
  readonly jars: readonly { readonly jar: Jar; readonly words: string }[];
  readonly chosen: ReadonlySet<string>;
  readonly onTap: (id: string) => void;
  readonly onTakeAll: () => void;
  /** Whether a person looks for other jars. */
  readonly own: boolean;
  readonly onOwn: (own: boolean) => void;
}) {
  return (
    <section className="proposal">
      <h2>{title}</h2>
      <p>{why}</p>
      <div className="row">
        <BigButton look="main" onClick={onTakeAll}>
          {t('command.takeThese')}
        </BigButton>
        <BigButton chosen={own} onClick={() => onOwn(!own)}>
          {t('command.takeOthers')}
        </BigButton>
      </div>
      <div className="tiles">
        {jars.map(({ jar, words }) => (
          <figure key={jar.id} className="tiles__named">
            <JarTile jar={jar} chosen={chosen.has(jar.id)} onTap={() => onTap(jar.id)} />
            <figcaption>{words}</figcaption>
          </figure>
        ))}
      </div>
    </section>
  );
}
