-- Workbooks given out, files sent in, how a grower's own spreadsheets are read, and secret calendar addresses.

CREATE TABLE "exchange_settings" (
    "grower_id" UUID NOT NULL,
    "mass_unit" TEXT NOT NULL DEFAULT 'metric',
    "temperature_unit" TEXT NOT NULL DEFAULT 'celsius',
    "week_starts_on" SMALLINT NOT NULL DEFAULT 1,
    "day_style" TEXT NOT NULL DEFAULT 'iso',
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "exchange_settings_pkey" PRIMARY KEY ("grower_id")
);

CREATE TABLE "workbook_file" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "week" TEXT NOT NULL,
    "as_of" DATE NOT NULL,
    "reason" TEXT NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "made_by" UUID,
    "bytes" BYTEA NOT NULL,

    CONSTRAINT "workbook_file_pkey" PRIMARY KEY ("grower_id","id")
);

CREATE TABLE "file_import" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "file_name" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "bytes" BYTEA NOT NULL,
    "state" TEXT NOT NULL,
    "export_id" UUID,
    "uploaded_at" TIMESTAMPTZ(3) NOT NULL,
    "uploaded_by" UUID NOT NULL,
    "content" JSONB NOT NULL,
    "outcome" JSONB NOT NULL DEFAULT '{}',
    "applied_at" TIMESTAMPTZ(3),

    CONSTRAINT "file_import_pkey" PRIMARY KEY ("grower_id","id")
);

CREATE TABLE "import_mapping" (
    "grower_id" UUID NOT NULL,
    "headings" TEXT NOT NULL,
    "mapping" JSONB NOT NULL,
    "updated_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "import_mapping_pkey" PRIMARY KEY ("grower_id","headings")
);

CREATE TABLE "calendar_feed" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "staff_id" UUID,
    "token_hash" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "calendar_feed_pkey" PRIMARY KEY ("grower_id","id")
);

CREATE INDEX "workbook_file_grower_id_made_at_idx" ON "workbook_file"("grower_id", "made_at");
CREATE INDEX "file_import_grower_id_uploaded_at_idx" ON "file_import"("grower_id", "uploaded_at");

ALTER TABLE "exchange_settings" ADD CONSTRAINT "exchange_settings_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "workbook_file" ADD CONSTRAINT "workbook_file_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "workbook_file" ADD CONSTRAINT "workbook_file_grower_id_made_by_fkey" FOREIGN KEY ("grower_id", "made_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "file_import" ADD CONSTRAINT "file_import_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "file_import" ADD CONSTRAINT "file_import_grower_id_uploaded_by_fkey" FOREIGN KEY ("grower_id", "uploaded_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "import_mapping" ADD CONSTRAINT "import_mapping_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calendar_feed" ADD CONSTRAINT "calendar_feed_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "calendar_feed" ADD CONSTRAINT "calendar_feed_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE exchange_settings ADD CONSTRAINT exchange_settings_words CHECK (
  mass_unit IN ('metric', 'us') AND temperature_unit IN ('celsius', 'fahrenheit')
  AND week_starts_on BETWEEN 1 AND 7 AND day_style IN ('iso', 'day-first', 'month-first') AND revision >= 1);
ALTER TABLE workbook_file ADD CONSTRAINT workbook_file_reason CHECK (reason IN ('weekly', 'asked'));
ALTER TABLE file_import ADD CONSTRAINT file_import_words CHECK (
  kind IN ('weekly-workbook', 'old-records', 'whole-farm')
  AND state IN ('previewed', 'waiting', 'running', 'applied', 'cancelled', 'failed')
  AND digest ~ '^[0-9a-f]{64}$' AND (state = 'applied') = (applied_at IS NOT NULL));
ALTER TABLE calendar_feed ADD CONSTRAINT calendar_feed_token CHECK (octet_length(token_hash) = 32);

DO $$
DECLARE
  name text;
BEGIN
  FOREACH name IN ARRAY ARRAY[
    'exchange_settings', 'workbook_file', 'file_import', 'import_mapping', 'calendar_feed'
  ] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', name);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', name);
    EXECUTE format('CREATE POLICY own_rows ON %I TO jarfold_app '
      'USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()))', name);
  END LOOP;
END $$;

GRANT SELECT, INSERT, UPDATE ON exchange_settings, import_mapping, calendar_feed TO jarfold_app;
-- Files are large: old ones are dropped.
GRANT SELECT, INSERT, DELETE ON workbook_file TO jarfold_app;
GRANT SELECT, INSERT, UPDATE, DELETE ON file_import TO jarfold_app;
