import type { UseQueryResult } from '@tanstack/react-query';
import type { ReactNode } from 'react';
import { t } from '../messages/translate.js';
import { Failure } from './Failure.js';
import { Waiting } from './Waiting.js';

/** Draws what a request stands at: on its way, failed (with another try), or its answer. */
export function QueryStates<T>({
  query,
  children,
}: {
  readonly query: UseQueryResult<T>;
  readonly children: (data: T) => ReactNode;
}) {
  if (query.data !== undefined) {
    return (
      <>
        {query.error && <Failure error={query.error} onRetry={() => void query.refetch()} />}
        {children(query.data)}
      </>
    );
  }
  if (query.error) return <Failure error={query.error} onRetry={() => void query.refetch()} />;
  return <Waiting label={t('text.fetching')} />;
}
