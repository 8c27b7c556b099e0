import { type JobName, type JobPayload, jobPayloads } from '@jarfold/contracts';
import type { FileExporter, FileImporter, PlanService, WatchService, WorkbooksService } from '@jarfold/server';
import { AppError, type GrowerContext } from '@jarfold/server/platform';

/** The work of each job. A processor is a controller whose transport is a queue: it calls the same services. */
export type Processors = { readonly [Name in JobName]: (payload: JobPayload<Name>) => Promise<unknown> };

export function processors(
  plans: PlanService,
  watch: Pick<WatchService, 'look'>,
  workbooks: Pick<WorkbooksService, 'makeWeekly'>,
  imports: Pick<FileImporter, 'bringIn'>,
  exports: Pick<FileExporter, 'make'>,
): Processors {
  return {
    replan: async ({ growerId, reason }) => {
      const ctx = { growerId, staffId: null, role: null };
      const replanned = await replan(plans, ctx, reason === 'nightly' ? 'thorough' : 'quick');
      // Each night and after entries that matter flags are kept in step, whether there was anything to plan or not.
      return { ...replanned, watch: await watch.look(ctx) };
    },
    'weekly-workbook': ({ growerId }) => workbooks.makeWeekly({ growerId, staffId: null, role: null }),
    'file-import': async ({ growerId, importId }) => ({ became: await imports.bringIn(growerId, importId) }),
    'file-export': async ({ growerId, exportId }) => ({ became: await exports.make(growerId, exportId) }),
  };
}

/** A farm that has nothing to plan with yet is no failure: it was asked before it was ready. */
async function replan(plans: PlanService, ctx: GrowerContext, effort: 'quick' | 'thorough') {
  try {
    return await plans.replan(ctx, effort);
  } catch (error) {
    if (error instanceof AppError && error.code === 'rule-refused') return { nothingToPlan: error.message };
    throw error;
  }
}

/**
 * Makes sure that every job has a processor before the first one is taken.
 * @throws Error naming the jobs that nobody would do
 */
export function requireProcessors(
  found: Partial<Processors>,
  names: readonly string[] = Object.keys(jobPayloads),
): void {
  const missing = names.filter((name) => typeof found[name as JobName] !== 'function');
  if (missing.length === 0) return;
  throw new Error(
    `The worker does not start: no processor for ${missing.join(', ')}. Add one in apps/worker/src/processors.ts.`,
  );
}
