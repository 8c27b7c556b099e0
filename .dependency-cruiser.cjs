/** The arrows of the house. Each message says where the code belongs, because the person who trips a rule needs that most. */
const rule = (name, comment, from, to) => ({ name, comment, severity: 'error', from, to });

module.exports = {
  forbidden: [
    rule(
      'domain-is-pure',
      'libs/domain is mathematics only: no Node built-ins, no framework, no zod. Put I/O in libs/server or an app, schemas in libs/contracts. The libraries it may use compute and do nothing else: `highs` (linear programs), `jstat` (distribution functions), `ml-matrix` (linear algebra), `ml-levenberg-marquardt` (least squares).',
      { path: '^libs/domain/', pathNot: '\\.spec\\.ts$' },
      { pathNot: '^(libs/domain/|node_modules/(highs|jstat|ml-matrix|ml-levenberg-marquardt)/)' },
    ),
    rule(
      'contracts-know-only-domain',
      'libs/contracts holds schemas: it may use zod and libs/domain. Behaviour belongs in libs/domain (pure) or libs/server (I/O).',
      { path: '^libs/contracts/', pathNot: '\\.spec\\.ts$' },
      { pathNot: '^(libs/contracts/|libs/domain/|node_modules/zod/)' },
    ),
    rule(
      'workbook-knows-no-server',
      'libs/workbook turns sheets into plain rows and back. What needs a database belongs in libs/server.',
      { path: '^libs/workbook/' },
      { path: '^(libs/server/|apps/|node_modules/(@nestjs|@prisma|pg|bullmq)/)' },
    ),
    rule(
      'server-knows-no-app',
      'libs/server is what api and worker share. What only one of them needs lives in that app.',
      { path: '^libs/server/' },
      { path: '^(apps/|libs/workbook/)' },
    ),
    rule(
      'no-app-imports-an-app',
      'Apps are edges and never import each other. Shared code goes to libs/server (I/O), libs/contracts (schemas) or libs/domain (mathematics).',
      { path: '^apps/([^/]+)/' },
      { path: '^apps/', pathNot: '^apps/$1/' },
    ),
    rule(
      'web-sees-contracts-and-domain-only',
      'The web app uses libs/contracts and libs/domain. Anything else would ship server code to a tablet.',
      { path: '^apps/web/' },
      { path: '^libs/', pathNot: '^libs/(contracts|domain)/' },
    ),
    rule(
      'features-through-their-index',
      'A feature of libs/server reaches another through its index.ts only: export what is needed there.',
      { path: '^libs/server/src/([^/]+)/', pathNot: '^libs/server/src/platform/' },
      {
        path: '^libs/server/src/([^/]+)/',
        pathNot: ['^libs/server/src/$1/', '^libs/server/src/[^/]+/index\\.ts$', '^libs/server/src/platform/'],
      },
    ),
    rule(
      'database-client-stays-in-the-platform',
      'Only libs/server/src/platform and repositories touch Prisma or pg: a service asks its repository, inside growerDb.run.',
      {
        path: '^(libs/server/src|apps)/',
        pathNot: '^(libs/server/src/platform/|libs/server/src/[^/]+/[^/]*repository|apps/launcher/)',
      },
      {
        path: ['node_modules/(pg|@prisma)/', '^libs/server/src/platform/generated/'],
        dependencyTypesNot: ['type-only'],
      },
    ),
    rule(
      'no-circular',
      'Two files that need each other are one concept, or hide a third: merge them, or move what they share.',
      {},
      { circular: true, dependencyTypesNot: ['type-only'] },
    ),
    rule(
      'no-unresolvable',
      'This import points at nothing: a typo, or a package missing from package.json.',
      {},
      { couldNotResolve: true },
    ),
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '(/dist/|/generated/)' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.base.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['development', 'import', 'require', 'node', 'default', 'types'],
    },
  },
};
