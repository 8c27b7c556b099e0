-- Flags of the watch: one row per cause and grower. The app role settles and renews them; none is deleted.

CREATE TABLE "watch_flag" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "cause" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "what" TEXT NOT NULL,
    "codes" TEXT[],
    "why" TEXT NOT NULL,
    "action" TEXT NOT NULL,
    "since" DATE NOT NULL,
    "raised_at" TIMESTAMPTZ(3) NOT NULL,
    "settled_at" TIMESTAMPTZ(3),

    CONSTRAINT "watch_flag_pkey" PRIMARY KEY ("grower_id","id")
);

CREATE UNIQUE INDEX "watch_flag_grower_id_cause_key" ON "watch_flag"("grower_id", "cause");

ALTER TABLE "watch_flag" ADD CONSTRAINT "watch_flag_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE watch_flag ENABLE ROW LEVEL SECURITY;
ALTER TABLE watch_flag FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON watch_flag TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
GRANT SELECT, INSERT, UPDATE ON watch_flag TO jarfold_app;
