-- AlterTable
ALTER TABLE "device" DROP COLUMN "token_hash",
ADD COLUMN     "enrolled" BOOLEAN NOT NULL DEFAULT false,
ADD COLUMN     "revision" INTEGER NOT NULL DEFAULT 1;

-- AlterTable
ALTER TABLE "session" ADD COLUMN     "device_id" UUID;

-- AlterTable
ALTER TABLE "staff" ADD COLUMN     "revision" INTEGER NOT NULL DEFAULT 1;

-- CreateTable
CREATE TABLE "device_enrolment" (
    "code_hash" BYTEA NOT NULL,
    "grower_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),

    CONSTRAINT "device_enrolment_pkey" PRIMARY KEY ("code_hash")
);

-- CreateTable
CREATE TABLE "device_token" (
    "token_hash" BYTEA NOT NULL,
    "grower_id" UUID NOT NULL,
    "device_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "device_token_pkey" PRIMARY KEY ("token_hash")
);

-- CreateTable
CREATE TABLE "staff_pin" (
    "grower_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "pin_hash" TEXT NOT NULL,
    "offline_key" BYTEA NOT NULL,
    "offline_salt" BYTEA NOT NULL,
    "offline_iterations" INTEGER NOT NULL,
    "set_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "staff_pin_pkey" PRIMARY KEY ("grower_id","staff_id")
);

-- CreateTable
CREATE TABLE "bench_photo" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "entry_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "content" BYTEA NOT NULL,
    "sha256" TEXT NOT NULL,
    "width_px" INTEGER NOT NULL,
    "height_px" INTEGER NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,

    CONSTRAINT "bench_photo_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateIndex
CREATE INDEX "device_enrolment_grower_id_idx" ON "device_enrolment"("grower_id");

-- CreateIndex
CREATE UNIQUE INDEX "device_token_grower_id_device_id_key" ON "device_token"("grower_id", "device_id");

-- CreateIndex
CREATE INDEX "bench_photo_grower_id_entry_id_idx" ON "bench_photo"("grower_id", "entry_id");

-- CreateIndex
CREATE INDEX "bench_entry_grower_id_outcome_position_idx" ON "bench_entry"("grower_id", "outcome", "position");

-- CreateIndex
CREATE INDEX "session_grower_id_device_id_idx" ON "session"("grower_id", "device_id");

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_grower_id_device_id_fkey" FOREIGN KEY ("grower_id", "device_id") REFERENCES "device"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device_enrolment" ADD CONSTRAINT "device_enrolment_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device_token" ADD CONSTRAINT "device_token_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device_token" ADD CONSTRAINT "device_token_grower_id_device_id_fkey" FOREIGN KEY ("grower_id", "device_id") REFERENCES "device"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "staff_pin" ADD CONSTRAINT "staff_pin_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "staff_pin" ADD CONSTRAINT "staff_pin_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_photo" ADD CONSTRAINT "bench_photo_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_photo" ADD CONSTRAINT "bench_photo_grower_id_entry_id_fkey" FOREIGN KEY ("grower_id", "entry_id") REFERENCES "bench_entry"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_photo" ADD CONSTRAINT "bench_photo_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- What a row must be whatever wrote it.
ALTER TABLE device_enrolment
  ADD CHECK (length(code_hash) = 32), ADD CHECK (name <> ''), ADD CHECK (expires_at > created_at);
ALTER TABLE device_token
  ADD CHECK (length(token_hash) = 32);
ALTER TABLE device
  ADD CHECK (revision >= 1);
ALTER TABLE staff
  ADD CHECK (revision >= 1);
ALTER TABLE staff_pin
  ADD CHECK (length(offline_key) = 32), ADD CHECK (length(offline_salt) >= 16), ADD CHECK (offline_iterations >= 100000);
ALTER TABLE bench_photo
  ADD CHECK (length(content) BETWEEN 1 AND 307200),
  ADD CHECK (sha256 ~ '^[0-9a-f]{64}$'),
  ADD CHECK (width_px > 0), ADD CHECK (height_px > 0);

-- Row security of the two farm tables. A picture is append-only like the entry it belongs to.
ALTER TABLE staff_pin ENABLE ROW LEVEL SECURITY;
ALTER TABLE staff_pin FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON staff_pin TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
ALTER TABLE bench_photo ENABLE ROW LEVEL SECURITY;
ALTER TABLE bench_photo FORCE ROW LEVEL SECURITY;
CREATE POLICY own_rows ON bench_photo TO jarfold_app
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
GRANT SELECT, INSERT, UPDATE, DELETE ON staff_pin TO jarfold_app;
GRANT SELECT, INSERT ON bench_photo TO jarfold_app;

-- The platform role finds out whose tablet a cookie or a code belongs to, and makes the device that a code is for.
GRANT SELECT, INSERT, UPDATE, DELETE ON device_enrolment TO jarfold_platform;
GRANT SELECT, INSERT, DELETE ON device_token TO jarfold_platform;
GRANT INSERT ON device TO jarfold_platform;
CREATE POLICY platform_makes ON device FOR INSERT TO jarfold_platform
  WITH CHECK (grower_id = (SELECT app_grower()));
