-- AlterTable
ALTER TABLE "file_import" ADD COLUMN     "beat_at" TIMESTAMPTZ(3);

-- CreateTable
CREATE TABLE "file_export" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "form" TEXT NOT NULL,
    "state" TEXT NOT NULL,
    "asked_at" TIMESTAMPTZ(3) NOT NULL,
    "asked_by" UUID NOT NULL,
    "ready_at" TIMESTAMPTZ(3),
    "file_name" TEXT NOT NULL,
    "bytes" BYTEA,
    "outcome" JSONB NOT NULL DEFAULT '{}',
    "beat_at" TIMESTAMPTZ(3),

    CONSTRAINT "file_export_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateIndex
CREATE INDEX "file_export_grower_id_asked_at_idx" ON "file_export"("grower_id", "asked_at");

-- AddForeignKey
ALTER TABLE "file_export" ADD CONSTRAINT "file_export_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "file_export" ADD CONSTRAINT "file_export_grower_id_asked_by_fkey" FOREIGN KEY ("grower_id", "asked_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE file_export ADD CONSTRAINT file_export_words CHECK (
  (kind, form) IN (('weekly-workbook', 'xlsx'), ('whole-farm', 'jsonl'), ('whole-farm', 'xlsx'), ('whole-farm', 'csv'))
  AND state IN ('waiting', 'running', 'ready', 'cancelled', 'failed')
  AND (state = 'ready') = (ready_at IS NOT NULL)
  AND (bytes IS NOT NULL) = (state = 'ready' AND kind = 'whole-farm'));

ALTER TABLE file_export ENABLE ROW LEVEL SECURITY;
ALTER TABLE file_export FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON file_export TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));

-- Files are large: old ones are dropped.
GRANT SELECT, INSERT, UPDATE, DELETE ON file_export TO jarfold_app;
