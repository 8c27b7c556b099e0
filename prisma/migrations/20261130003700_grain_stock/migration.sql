-- CreateTable
CREATE TABLE "grain_stock_entry" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "grain" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "mass_g" DECIMAL(12,3) NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "by_staff" UUID,

    CONSTRAINT "grain_stock_entry_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateIndex
CREATE INDEX "grain_stock_entry_grower_id_grain_at_idx" ON "grain_stock_entry"("grower_id", "grain", "at");

-- AddForeignKey
ALTER TABLE "grain_stock_entry" ADD CONSTRAINT "grain_stock_entry_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "grain_stock_entry" ADD CONSTRAINT "grain_stock_entry_grower_id_by_staff_fkey" FOREIGN KEY ("grower_id", "by_staff") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What Prisma cannot say: a grower sees and adds its own rows only, and numbers that mean something.
ALTER TABLE grain_stock_entry ADD CONSTRAINT grain_stock_entry_words CHECK (
  kind IN ('counted', 'bought') AND mass_g >= 0 AND (kind = 'counted' OR mass_g > 0));

ALTER TABLE grain_stock_entry ENABLE ROW LEVEL SECURITY;
ALTER TABLE grain_stock_entry FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON grain_stock_entry TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
-- A count is never changed: the next one stands in its place.
GRANT SELECT, INSERT ON grain_stock_entry TO jarfold_app;
