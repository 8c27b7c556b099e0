import { useFailedJobs, useRetryJob } from '../../api/farm.js';
import { t } from '../../messages/translate.js';
import { Button } from '../../ui/Button.js';
import { Failure } from '../../ui/Failure.js';
import { formatMoment } from '../../ui/format/index.js';
import { Notice } from '../../ui/Notice.js';
import { Panel } from '../../ui/Panel.js';

/** Background work that failed stays visible until it was done after all. Nothing failed: nothing is shown. */
export function FailedJobs() {
  const jobs = useFailedJobs();
  const retry = useRetryJob();
  const items = jobs.data?.items ?? [];
  if (items.length === 0) return null;
  return (
    <Panel title={t('farm.failedJobs')}>
      {retry.error && <Failure error={retry.error} />}
      <ul className="plain stack stack--tight">
        {items.map((job) => (
          <li key={job.id}>
            <Notice tone="care" title={t('farm.failedJob', { job: job.name, when: formatMoment(job.failedAt) })}>
              <p>{job.reason}</p>
              <p className="small">
                {job.retriedAt
                  ? t('farm.triedAgain', { when: formatMoment(job.retriedAt) })
                  : t('farm.failedJobHint', { count: job.attempts })}
              </p>
              <div>
                <Button
                  aria-label={t('farm.tryJobAgain', { job: job.name })}
                  busy={retry.isPending}
                  onClick={() => retry.mutate(job.id)}
                >
                  {t('command.tryAgain')}
                </Button>
              </div>
            </Notice>
          </li>
        ))}
      </ul>
    </Panel>
  );
}
