-- AlterTable
ALTER TABLE "staff" ADD COLUMN     "bench_minutes" INTEGER;

-- CreateTable
CREATE TABLE "staff_away" (
    "grower_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "first_day" DATE NOT NULL,
    "last_day" DATE NOT NULL,
    "note" TEXT,

    CONSTRAINT "staff_away_pkey" PRIMARY KEY ("grower_id","staff_id","first_day")
);

-- AddForeignKey
ALTER TABLE "staff_away" ADD CONSTRAINT "staff_away_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What Prisma cannot say: a grower sees and changes its own rows only, and numbers that mean something.
ALTER TABLE staff ADD CONSTRAINT staff_bench_minutes CHECK (bench_minutes BETWEEN 0 AND 1440);
ALTER TABLE staff_away ADD CONSTRAINT staff_away_span CHECK (last_day >= first_day);

ALTER TABLE staff_away ENABLE ROW LEVEL SECURITY;
ALTER TABLE staff_away FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON staff_away TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
-- Plans of being away change, and go with a name that is erased.
GRANT SELECT, INSERT, UPDATE, DELETE ON staff_away TO jarfold_app;
