-- Temperature traces of steriliser cycles as people attach them: one row per trace, append only, with author and moment.
-- It takes the place of steriliser_trace, which held single readings without an author and was never written to.

DROP TABLE "steriliser_trace";

CREATE TABLE "cycle_trace" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "cycle_id" UUID NOT NULL,
    "ordinal" INTEGER NOT NULL,
    "attached_at" TIMESTAMPTZ(3) NOT NULL,
    "attached_by" UUID NOT NULL,
    "origin" TEXT NOT NULL,
    "file_name" TEXT,
    "unit" TEXT NOT NULL,
    "points" JSONB NOT NULL,

    CONSTRAINT "cycle_trace_pkey" PRIMARY KEY ("grower_id","id")
);

CREATE UNIQUE INDEX "cycle_trace_grower_id_cycle_id_ordinal_key" ON "cycle_trace"("grower_id", "cycle_id", "ordinal");

ALTER TABLE "cycle_trace" ADD CONSTRAINT "cycle_trace_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
ALTER TABLE "cycle_trace" ADD CONSTRAINT "cycle_trace_grower_id_attached_by_fkey" FOREIGN KEY ("grower_id", "attached_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE cycle_trace
  ADD CHECK (origin IN ('file', 'points')), ADD CHECK (unit IN ('C', 'F')),
  ADD CHECK (ordinal > 0),
  ADD CHECK (jsonb_typeof(points) = 'array');

ALTER TABLE cycle_trace ENABLE ROW LEVEL SECURITY;
ALTER TABLE cycle_trace FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON cycle_trace TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
GRANT SELECT, INSERT ON cycle_trace TO jarfold_app;
