-- AlterTable
ALTER TABLE "bulk_run" ADD COLUMN     "for_whom" TEXT NOT NULL DEFAULT '',
ADD COLUMN     "jars" INTEGER,
ADD COLUMN     "kind" TEXT NOT NULL DEFAULT 'bulk',
ADD COLUMN     "size_id" UUID,
ALTER COLUMN "substrate_wet_g" DROP NOT NULL,
ALTER COLUMN "spawn_rate" DROP NOT NULL,
ALTER COLUMN "basis" DROP NOT NULL,
ALTER COLUMN "min_g" DROP NOT NULL,
ALTER COLUMN "target_g" DROP NOT NULL,
ALTER COLUMN "max_g" DROP NOT NULL;

-- AddForeignKey
ALTER TABLE "bulk_run" ADD CONSTRAINT "bulk_run_grower_id_size_id_fkey" FOREIGN KEY ("grower_id", "size_id") REFERENCES "container_size"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- Each kind has exactly what it needs. An order is whole containers: never more of them than were asked for.
ALTER TABLE bulk_run
  ADD CONSTRAINT bulk_run_kind CHECK (kind IN ('bulk', 'order')),
  ADD CONSTRAINT bulk_run_has_substrate CHECK (kind <> 'bulk' OR (
    num_nulls(substrate_wet_g, spawn_rate, basis, min_g, target_g, max_g) = 0
    AND num_nonnulls(jars, size_id) = 0 AND for_whom = '')),
  ADD CONSTRAINT bulk_run_order_has_jars CHECK (kind <> 'order' OR (
    num_nulls(jars, size_id) = 0 AND max_share = 1
    AND num_nonnulls(substrate_wet_g, substrate_moisture, spawn_rate, basis, min_g, target_g, max_g) = 0)),
  ADD CONSTRAINT bulk_run_jars_some CHECK (jars > 0);

