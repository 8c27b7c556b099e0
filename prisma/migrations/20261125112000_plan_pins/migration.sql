-- CreateTable
CREATE TABLE "plan_pin" (
    "grower_id" UUID NOT NULL,
    "bench_day" DATE NOT NULL,
    "strain_id" UUID NOT NULL,
    "generation" SMALLINT NOT NULL,
    "size_id" UUID NOT NULL,
    "containers" INTEGER NOT NULL,
    "pinned_at" TIMESTAMPTZ(3) NOT NULL,
    "pinned_by" UUID,

    CONSTRAINT "plan_pin_pkey" PRIMARY KEY ("grower_id","bench_day","strain_id","generation","size_id")
);

-- CreateTable
CREATE TABLE "plan_settings" (
    "grower_id" UUID NOT NULL,
    "assurance" DECIMAL(4,3) NOT NULL DEFAULT 0.95,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "plan_settings_pkey" PRIMARY KEY ("grower_id")
);

-- AddForeignKey
ALTER TABLE "plan_pin" ADD CONSTRAINT "plan_pin_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_pin" ADD CONSTRAINT "plan_pin_grower_id_strain_id_fkey" FOREIGN KEY ("grower_id", "strain_id") REFERENCES "strain"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_pin" ADD CONSTRAINT "plan_pin_grower_id_size_id_fkey" FOREIGN KEY ("grower_id", "size_id") REFERENCES "container_size"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_pin" ADD CONSTRAINT "plan_pin_grower_id_pinned_by_fkey" FOREIGN KEY ("grower_id", "pinned_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan_settings" ADD CONSTRAINT "plan_settings_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What Prisma cannot say: a grower sees and changes its own rows only, and numbers that mean something.
ALTER TABLE plan_pin ADD CONSTRAINT plan_pin_numbers CHECK (containers BETWEEN 0 AND 100000 AND generation BETWEEN 1 AND 100);
ALTER TABLE plan_settings ADD CONSTRAINT plan_settings_numbers CHECK (assurance >= 0 AND assurance < 1 AND revision > 0);

ALTER TABLE plan_pin ENABLE ROW LEVEL SECURITY;
ALTER TABLE plan_pin FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON plan_pin TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
ALTER TABLE plan_settings ENABLE ROW LEVEL SECURITY;
ALTER TABLE plan_settings FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON plan_settings TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
GRANT SELECT, INSERT, UPDATE, DELETE ON plan_pin TO jarfold_app;
GRANT SELECT, INSERT, UPDATE ON plan_settings TO jarfold_app;
