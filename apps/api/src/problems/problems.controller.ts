import { PROBLEMS, type ProblemCode, problemCodes, problemKindListSchema, problemKindSchema } from '@jarfold/contracts';
import { AppError } from '@jarfold/server/platform';
import { Controller, Get, Param } from '@nestjs/common';
import { z } from 'zod';
import { Operation } from '../platform/index.js';

const codeSchema = z.string().max(100);

/** What the `type` of a problem points at: each problem explained. */
@Controller('problems')
export class ProblemsController {
  @Get()
  @Operation({ summary: 'Every problem this service answers with', response: problemKindListSchema, public: true })
  all() {
    return { items: problemCodes.map(explained) };
  }

  @Get(':code')
  @Operation({ summary: 'One problem explained', response: problemKindSchema, public: true, problems: ['not-found'] })
  one(@Param('code', { schema: codeSchema }) code: string) {
    if (!isProblemCode(code)) throw new AppError('not-found', 'No problem has this code: /problems lists them all.');
    return explained(code);
  }
}

function isProblemCode(code: string): code is ProblemCode {
  return Object.hasOwn(PROBLEMS, code);
}

function explained(code: ProblemCode) {
  return { code, type: `/problems/${code}`, ...PROBLEMS[code] };
}
