import { PROBLEMS } from '@jarfold/contracts';
import { RequestFailure } from '../api/failure.js';
import { t } from '../messages/translate.js';
import { Button } from './Button.js';
import { formatCount } from './format/index.js';
import { Notice } from './Notice.js';

/** A failed request, said as what happened, where, and what to do; with another try where that can help. */
export function Failure({ error, onRetry }: { readonly error: unknown; readonly onRetry?: () => void }) {
  const words = failureWords(error);
  return (
    <Notice tone="alarm" title={words.title} live>
      <p>{words.detail}</p>
      <p>{words.advice}</p>
      {words.fields.length > 0 && (
        <ul>
          {words.fields.map((field) => (
            <li key={field}>{field}</li>
          ))}
        </ul>
      )}
      <p className="small soft">{words.where}</p>
      {onRetry && (
        <div>
          <Button onClick={onRetry}>{t('command.tryAgain')}</Button>
        </div>
      )}
    </Notice>
  );
}

interface FailureWords {
  readonly title: string;
  readonly detail: string;
  readonly advice: string;
  readonly fields: readonly string[];
  readonly where: string;
}

function failureWords(error: unknown): FailureWords {
  if (!(error instanceof RequestFailure)) {
    return {
      title: t('failure.page.title'),
      detail: error instanceof Error ? error.message : String(error),
      advice: t('failure.page.advice'),
      fields: [],
      where: t('failure.page.where'),
    };
  }
  const { reason, where } = error;
  if (reason.kind === 'problem') {
    const { problem } = reason;
    return {
      title: problem.title,
      detail: problem.detail,
      advice: [
        PROBLEMS[problem.code].advice,
        problem.retryAfterS === undefined ? '' : t('failure.wait', { seconds: formatCount(problem.retryAfterS) }),
      ].join(' '),
      fields: (problem.errors ?? []).map(({ pointer, detail }) =>
        t('failure.field', { pointer: pointer || '/', detail }),
      ),
      where: t('failure.where', { where, id: problem.correlationId }),
    };
  }
  return reason.kind === 'unreachable'
    ? {
        title: t('failure.unreachable.title'),
        detail: t('failure.unreachable.detail'),
        advice: t('failure.unreachable.advice'),
        fields: [],
        where,
      }
    : {
        title: t('failure.unreadable.title'),
        detail: t('failure.unreadable.detail', { status: reason.status }),
        advice: t('failure.unreadable.advice'),
        fields: [],
        where,
      };
}
