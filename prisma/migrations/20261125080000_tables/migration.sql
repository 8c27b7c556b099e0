-- CreateTable
CREATE TABLE "grower" (
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "time_zone" TEXT NOT NULL,
    "locale" TEXT NOT NULL DEFAULT 'en',
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "grower_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "account" (
    "id" UUID NOT NULL,
    "email" TEXT NOT NULL,
    "password_hash" TEXT NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "disabled_at" TIMESTAMPTZ(3),

    CONSTRAINT "account_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "membership" (
    "account_id" UUID NOT NULL,
    "grower_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "membership_pkey" PRIMARY KEY ("account_id","grower_id")
);

-- CreateTable
CREATE TABLE "session" (
    "id" UUID NOT NULL,
    "token_hash" BYTEA NOT NULL,
    "account_id" UUID,
    "grower_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "last_seen_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "revoked_at" TIMESTAMPTZ(3),
    "user_agent" TEXT,

    CONSTRAINT "session_pkey" PRIMARY KEY ("id")
);

-- CreateTable
CREATE TABLE "sign_in_throttle" (
    "key" TEXT NOT NULL,
    "failures" INTEGER NOT NULL DEFAULT 0,
    "window_started_at" TIMESTAMPTZ(3) NOT NULL,
    "locked_until" TIMESTAMPTZ(3),

    CONSTRAINT "sign_in_throttle_pkey" PRIMARY KEY ("key")
);

-- CreateTable
CREATE TABLE "setup_token" (
    "token_hash" BYTEA NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "expires_at" TIMESTAMPTZ(3) NOT NULL,
    "used_at" TIMESTAMPTZ(3),

    CONSTRAINT "setup_token_pkey" PRIMARY KEY ("token_hash")
);

-- CreateTable
CREATE TABLE "staff" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "role" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,

    CONSTRAINT "staff_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "staff_name" (
    "grower_id" UUID NOT NULL,
    "staff_id" UUID NOT NULL,
    "name" TEXT NOT NULL,

    CONSTRAINT "staff_name_pkey" PRIMARY KEY ("grower_id","staff_id")
);

-- CreateTable
CREATE TABLE "device" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "last_seq" BIGINT NOT NULL DEFAULT 0,
    "last_effective_at" TIMESTAMPTZ(3),
    "token_hash" BYTEA,
    "enrolled_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "last_seen_at" TIMESTAMPTZ(3),
    "revoked_at" TIMESTAMPTZ(3),

    CONSTRAINT "device_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "farm_settings" (
    "grower_id" UUID NOT NULL,
    "currency" TEXT NOT NULL DEFAULT 'EUR',
    "bench_weekdays" INTEGER[] DEFAULT ARRAY[3]::INTEGER[],
    "closed_days" DATE[] DEFAULT ARRAY[]::DATE[],
    "bench_containers_per_day" INTEGER NOT NULL DEFAULT 40,
    "bench_minutes_per_day" INTEGER,
    "bench_minutes_per_container" DECIMAL(6,2) NOT NULL DEFAULT 3,
    "vessel_places" DECIMAL(8,3) NOT NULL DEFAULT 20,
    "cycles_per_preparation_day" INTEGER NOT NULL DEFAULT 2,
    "preparation_lead_days" INTEGER NOT NULL DEFAULT 1,
    "opened_life_days" INTEGER NOT NULL DEFAULT 2,
    "washing_days" INTEGER NOT NULL DEFAULT 1,
    "horizon_days" INTEGER NOT NULL DEFAULT 112,
    "cost_per_container_started" DECIMAL(14,6),
    "cost_per_cycle" DECIMAL(14,6),
    "cost_per_gram_aged_out" DECIMAL(14,6),
    "cost_per_gram_short" DECIMAL(14,6),
    "cost_per_gram_below_target" DECIMAL(14,6),
    "cost_per_gram_generation" DECIMAL(14,6),
    "cost_per_gram_day_old" DECIMAL(14,6),
    "grain" TEXT NOT NULL DEFAULT 'rye',
    "target_moisture" DECIMAL(5,4),
    "altitude_m" DECIMAL(6,1),
    "started_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "farm_settings_pkey" PRIMARY KEY ("grower_id")
);

-- CreateTable
CREATE TABLE "room" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "temperature_c" DECIMAL(5,2),
    "ordinal" INTEGER NOT NULL DEFAULT 0,
    "archived_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "room_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "shelf" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "room_id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "rows" INTEGER NOT NULL,
    "places_per_row" INTEGER NOT NULL,
    "ordinal" INTEGER NOT NULL DEFAULT 0,
    "archived_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "shelf_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "strain" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "short_code" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "species_key" TEXT NOT NULL,
    "inoculum_g" DECIMAL(12,3),
    "days_to_ripe" INTEGER,
    "loss_rate" DECIMAL(6,5),
    "warm_life_days" INTEGER,
    "cold_life_days" INTEGER,
    "may_be_chilled" BOOLEAN,
    "last_generation" SMALLINT,
    "mother_reserve" INTEGER NOT NULL DEFAULT 1,
    "culture_lead_days" INTEGER,
    "culture_containers_per_unit" INTEGER,
    "culture_cost_per_unit" DECIMAL(12,2),
    "archived_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "strain_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "container_size" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "container" TEXT NOT NULL DEFAULT 'jar',
    "carrier" TEXT NOT NULL DEFAULT 'grain',
    "volume_ml" DECIMAL(10,2) NOT NULL,
    "ripe_g" DECIMAL(12,3),
    "inoculum_factor" DECIMAL(8,4) NOT NULL DEFAULT 1,
    "vessel_places" DECIMAL(8,3) NOT NULL DEFAULT 1,
    "shelf_places" DECIMAL(8,3) NOT NULL DEFAULT 1,
    "archived_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "container_size_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "container_pool" (
    "grower_id" UUID NOT NULL,
    "size_id" UUID NOT NULL,
    "clean_empty" INTEGER,

    CONSTRAINT "container_pool_pkey" PRIMARY KEY ("grower_id","size_id")
);

-- CreateTable
CREATE TABLE "recipe" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "grain" TEXT NOT NULL,
    "target_moisture" DECIMAL(5,4),
    "ambient_moisture" DECIMAL(5,4),
    "bulk_density_g_per_ml" DECIMAL(6,4),
    "fill_share" DECIMAL(5,4),
    "soak_min" INTEGER,
    "simmer_min" INTEGER,
    "minerals" JSONB NOT NULL DEFAULT '[]',
    "archived_at" TIMESTAMPTZ(3),
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "recipe_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "grain_batch" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "grain" TEXT NOT NULL,
    "recipe_id" UUID,
    "stage" TEXT NOT NULL,
    "begun_on" DATE NOT NULL,
    "step_at" JSONB NOT NULL DEFAULT '{}',
    "dry_grain_g" DECIMAL(12,3),
    "hydrated_g" DECIMAL(12,3),
    "moisture_share" DECIMAL(5,4),
    "filled" JSONB NOT NULL DEFAULT '[]',
    "loaded" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "grain_batch_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "steriliser_cycle" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "steriliser" TEXT,
    "method" TEXT NOT NULL,
    "stage" TEXT NOT NULL,
    "started_on" DATE NOT NULL,
    "started_at" TIMESTAMPTZ(3) NOT NULL,
    "held_at" TIMESTAMPTZ(3),
    "ended_at" TIMESTAMPTZ(3),
    "cooled_at" TIMESTAMPTZ(3),
    "hold_min" DECIMAL(8,2),
    "temperature_c" DECIMAL(5,2),
    "gauge_pressure_kpa" DECIMAL(7,2),
    "altitude_m" DECIMAL(6,1),
    "f0_min" DECIMAL(8,3),
    "loads" JSONB NOT NULL DEFAULT '[]',
    "used" JSONB NOT NULL DEFAULT '[]',

    CONSTRAINT "steriliser_cycle_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "steriliser_trace" (
    "grower_id" UUID NOT NULL,
    "cycle_id" UUID NOT NULL,
    "at" TIMESTAMPTZ(3) NOT NULL,
    "temperature_c" DECIMAL(5,2) NOT NULL,

    CONSTRAINT "steriliser_trace_pkey" PRIMARY KEY ("grower_id","cycle_id","at")
);

-- CreateTable
CREATE TABLE "lot" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "origin" TEXT NOT NULL,
    "strain_id" UUID,
    "generation" SMALLINT,
    "size_id" UUID NOT NULL,
    "container" TEXT NOT NULL DEFAULT 'jar',
    "carrier" TEXT NOT NULL DEFAULT 'grain',
    "grain_batch_id" UUID,
    "cycle_id" UUID,
    "made_on" DATE NOT NULL,
    "made_by" UUID NOT NULL,
    "jars_made" INTEGER NOT NULL,
    "supplier" TEXT,

    CONSTRAINT "lot_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "jar" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "code" TEXT NOT NULL,
    "lot_id" UUID NOT NULL,
    "serial" INTEGER NOT NULL,
    "strain_id" UUID,
    "generation" SMALLINT,
    "size_id" UUID NOT NULL,
    "mother_jar_id" UUID,
    "state" TEXT NOT NULL,
    "blank" BOOLEAN NOT NULL DEFAULT false,
    "made_on" DATE NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "made_g" DECIMAL(12,3) NOT NULL,
    "drawn_g" DECIMAL(12,3) NOT NULL DEFAULT 0,
    "left_g" DECIMAL(12,3) NOT NULL,
    "discarded_g" DECIMAL(12,3) NOT NULL DEFAULT 0,
    "made_g_estimated" BOOLEAN NOT NULL DEFAULT true,
    "colonised_share" DECIMAL(4,3),
    "colonised_at" TIMESTAMPTZ(3),
    "ripe_on" DATE,
    "chilled_on" DATE,
    "warmed_on" DATE,
    "cold_changed_at" TIMESTAMPTZ(3),
    "opened_on" DATE,
    "kept_as_mother" BOOLEAN NOT NULL DEFAULT false,
    "mother_changed_at" TIMESTAMPTZ(3),
    "contaminated_on" DATE,
    "finding" TEXT,
    "finding_sure" BOOLEAN,
    "shaken_on" DATE,
    "shakes" SMALLINT NOT NULL DEFAULT 0,
    "regrowth_on" DATE,
    "regrowth_days" SMALLINT,
    "regrew" BOOLEAN,
    "shelf_id" UUID,
    "shelf_row" SMALLINT,
    "shelf_place" SMALLINT,
    "placed_at" TIMESTAMPTZ(3),
    "gone_at" TIMESTAMPTZ(3),
    "gone_on" DATE,
    "gone_reason" TEXT,

    CONSTRAINT "jar_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "jar_draw" (
    "grower_id" UUID NOT NULL,
    "entry_id" UUID NOT NULL,
    "jar_id" UUID NOT NULL,
    "mass_g" DECIMAL(12,3) NOT NULL,
    "estimated" BOOLEAN NOT NULL DEFAULT false,
    "lot_id" UUID,
    "run_id" UUID,
    "drawn_on" DATE NOT NULL,

    CONSTRAINT "jar_draw_pkey" PRIMARY KEY ("grower_id","entry_id","jar_id")
);

-- CreateTable
CREATE TABLE "bench_counter" (
    "grower_id" UUID NOT NULL,
    "position" BIGINT NOT NULL DEFAULT 0,
    "head_hash" TEXT NOT NULL DEFAULT '',

    CONSTRAINT "bench_counter_pkey" PRIMARY KEY ("grower_id")
);

-- CreateTable
CREATE TABLE "bench_entry" (
    "grower_id" UUID NOT NULL,
    "position" BIGINT NOT NULL,
    "id" UUID NOT NULL,
    "device_id" UUID NOT NULL,
    "device_seq" BIGINT NOT NULL,
    "staff_id" UUID NOT NULL,
    "kind" TEXT NOT NULL,
    "payload" JSONB NOT NULL,
    "happened_at" TIMESTAMPTZ(3) NOT NULL,
    "clock_offset_ms" BIGINT,
    "effective_at" TIMESTAMPTZ(3) NOT NULL,
    "effective_day" DATE NOT NULL,
    "recorded_at" TIMESTAMPTZ(3) NOT NULL,
    "outcome" TEXT NOT NULL,
    "refusal_code" TEXT,
    "details" JSONB,
    "warnings" JSONB NOT NULL DEFAULT '[]',
    "facts" JSONB NOT NULL DEFAULT '{}',
    "content_hash" TEXT NOT NULL,
    "previous_hash" TEXT NOT NULL,
    "hash" TEXT NOT NULL,

    CONSTRAINT "bench_entry_pkey" PRIMARY KEY ("grower_id","position")
);

-- CreateTable
CREATE TABLE "bench_entry_thing" (
    "grower_id" UUID NOT NULL,
    "thing_id" UUID NOT NULL,
    "position" BIGINT NOT NULL,

    CONSTRAINT "bench_entry_thing_pkey" PRIMARY KEY ("grower_id","thing_id","position")
);

-- CreateTable
CREATE TABLE "bench_void" (
    "grower_id" UUID NOT NULL,
    "entry_id" UUID NOT NULL,
    "voided_by" UUID NOT NULL,

    CONSTRAINT "bench_void_pkey" PRIMARY KEY ("grower_id","entry_id")
);

-- CreateTable
CREATE TABLE "bulk_run" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "name" TEXT NOT NULL,
    "day" DATE NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'planned',
    "substrate_wet_g" DECIMAL(14,3) NOT NULL,
    "substrate_moisture" DECIMAL(5,4),
    "spawn_rate" DECIMAL(6,5) NOT NULL,
    "basis" TEXT NOT NULL DEFAULT 'wet/wet',
    "min_share" DECIMAL(6,4) NOT NULL,
    "max_share" DECIMAL(6,4) NOT NULL,
    "min_g" DECIMAL(12,3) NOT NULL,
    "target_g" DECIMAL(12,3) NOT NULL,
    "max_g" DECIMAL(12,3) NOT NULL,
    "priority" SMALLINT NOT NULL DEFAULT 1,
    "slack_days" SMALLINT NOT NULL DEFAULT 0,
    "note" TEXT NOT NULL DEFAULT '',
    "done_on" DATE,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "created_by" UUID,
    "cancelled_at" TIMESTAMPTZ(3),
    "cancelled_by" UUID,
    "cancel_reason" TEXT,
    "revision" INTEGER NOT NULL DEFAULT 1,

    CONSTRAINT "bulk_run_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "bulk_run_strain" (
    "grower_id" UUID NOT NULL,
    "run_id" UUID NOT NULL,
    "rank" SMALLINT NOT NULL,
    "strain_id" UUID NOT NULL,

    CONSTRAINT "bulk_run_strain_pkey" PRIMARY KEY ("grower_id","run_id","rank")
);

-- CreateTable
CREATE TABLE "harvest" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "run_id" UUID NOT NULL,
    "flush" SMALLINT NOT NULL,
    "mass_g" DECIMAL(12,3) NOT NULL,
    "harvested_on" DATE NOT NULL,

    CONSTRAINT "harvest_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "plan" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "version" INTEGER NOT NULL,
    "status" TEXT NOT NULL,
    "as_of" DATE NOT NULL,
    "situation_digest" TEXT NOT NULL,
    "facts_read_at" TIMESTAMPTZ(3) NOT NULL,
    "position" BIGINT NOT NULL,
    "result" JSONB NOT NULL,
    "model_version" TEXT NOT NULL,
    "cost" DOUBLE PRECISION NOT NULL,
    "bound" DOUBLE PRECISION NOT NULL,
    "gap" DOUBLE PRECISION NOT NULL,
    "exact" BOOLEAN NOT NULL,
    "solve_ms" INTEGER NOT NULL,
    "made_at" TIMESTAMPTZ(3) NOT NULL,
    "accepted_at" TIMESTAMPTZ(3),
    "accepted_by" UUID,

    CONSTRAINT "plan_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "outbox" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "job_name" TEXT NOT NULL,
    "job_key" TEXT,
    "payload" JSONB NOT NULL,
    "created_at" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "run_after" TIMESTAMPTZ(3) NOT NULL DEFAULT CURRENT_TIMESTAMP,
    "published_at" TIMESTAMPTZ(3),
    "attempts" INTEGER NOT NULL DEFAULT 0,
    "last_error" TEXT,

    CONSTRAINT "outbox_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateTable
CREATE TABLE "failed_job" (
    "grower_id" UUID NOT NULL,
    "id" UUID NOT NULL,
    "job_name" TEXT NOT NULL,
    "job_key" TEXT,
    "payload" JSONB NOT NULL,
    "reason" TEXT NOT NULL,
    "attempts" INTEGER NOT NULL,
    "failed_at" TIMESTAMPTZ(3) NOT NULL,
    "retried_at" TIMESTAMPTZ(3),
    "settled_at" TIMESTAMPTZ(3),

    CONSTRAINT "failed_job_pkey" PRIMARY KEY ("grower_id","id")
);

-- CreateIndex
CREATE UNIQUE INDEX "account_email_key" ON "account"("email");

-- CreateIndex
CREATE UNIQUE INDEX "membership_grower_id_staff_id_key" ON "membership"("grower_id", "staff_id");

-- CreateIndex
CREATE UNIQUE INDEX "session_token_hash_key" ON "session"("token_hash");

-- CreateIndex
CREATE INDEX "session_account_id_idx" ON "session"("account_id");

-- CreateIndex
CREATE INDEX "session_grower_id_staff_id_idx" ON "session"("grower_id", "staff_id");

-- CreateIndex
CREATE INDEX "session_expires_at_idx" ON "session"("expires_at");

-- CreateIndex
CREATE INDEX "sign_in_throttle_window_started_at_idx" ON "sign_in_throttle"("window_started_at");

-- CreateIndex
CREATE UNIQUE INDEX "room_grower_id_name_key" ON "room"("grower_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "shelf_grower_id_room_id_name_key" ON "shelf"("grower_id", "room_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "strain_grower_id_short_code_key" ON "strain"("grower_id", "short_code");

-- CreateIndex
CREATE UNIQUE INDEX "container_size_grower_id_name_key" ON "container_size"("grower_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "recipe_grower_id_name_key" ON "recipe"("grower_id", "name");

-- CreateIndex
CREATE UNIQUE INDEX "grain_batch_grower_id_code_key" ON "grain_batch"("grower_id", "code");

-- CreateIndex
CREATE INDEX "steriliser_cycle_grower_id_started_at_idx" ON "steriliser_cycle"("grower_id", "started_at");

-- CreateIndex
CREATE UNIQUE INDEX "steriliser_cycle_grower_id_code_key" ON "steriliser_cycle"("grower_id", "code");

-- CreateIndex
CREATE INDEX "lot_grower_id_made_on_idx" ON "lot"("grower_id", "made_on");

-- CreateIndex
CREATE UNIQUE INDEX "lot_grower_id_code_key" ON "lot"("grower_id", "code");

-- CreateIndex
CREATE INDEX "jar_grower_id_state_strain_id_generation_idx" ON "jar"("grower_id", "state", "strain_id", "generation");

-- CreateIndex
CREATE INDEX "jar_grower_id_mother_jar_id_idx" ON "jar"("grower_id", "mother_jar_id");

-- CreateIndex
CREATE INDEX "jar_grower_id_shelf_id_idx" ON "jar"("grower_id", "shelf_id");

-- CreateIndex
CREATE UNIQUE INDEX "jar_grower_id_code_key" ON "jar"("grower_id", "code");

-- CreateIndex
CREATE UNIQUE INDEX "jar_grower_id_lot_id_serial_key" ON "jar"("grower_id", "lot_id", "serial");

-- CreateIndex
CREATE INDEX "jar_draw_grower_id_jar_id_idx" ON "jar_draw"("grower_id", "jar_id");

-- CreateIndex
CREATE INDEX "jar_draw_grower_id_lot_id_idx" ON "jar_draw"("grower_id", "lot_id");

-- CreateIndex
CREATE INDEX "jar_draw_grower_id_run_id_idx" ON "jar_draw"("grower_id", "run_id");

-- CreateIndex
CREATE UNIQUE INDEX "bench_entry_grower_id_id_key" ON "bench_entry"("grower_id", "id");

-- CreateIndex
CREATE UNIQUE INDEX "bench_entry_grower_id_device_id_device_seq_key" ON "bench_entry"("grower_id", "device_id", "device_seq");

-- CreateIndex
CREATE INDEX "bench_entry_thing_grower_id_position_idx" ON "bench_entry_thing"("grower_id", "position");

-- CreateIndex
CREATE INDEX "bench_void_grower_id_voided_by_idx" ON "bench_void"("grower_id", "voided_by");

-- CreateIndex
CREATE INDEX "bulk_run_grower_id_day_idx" ON "bulk_run"("grower_id", "day");

-- CreateIndex
CREATE UNIQUE INDEX "bulk_run_strain_grower_id_run_id_strain_id_key" ON "bulk_run_strain"("grower_id", "run_id", "strain_id");

-- CreateIndex
CREATE INDEX "harvest_grower_id_run_id_idx" ON "harvest"("grower_id", "run_id");

-- CreateIndex
CREATE INDEX "harvest_grower_id_harvested_on_idx" ON "harvest"("grower_id", "harvested_on");

-- CreateIndex
CREATE UNIQUE INDEX "plan_grower_id_version_key" ON "plan"("grower_id", "version");

-- CreateIndex
CREATE INDEX "failed_job_grower_id_failed_at_idx" ON "failed_job"("grower_id", "failed_at");

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_account_id_fkey" FOREIGN KEY ("account_id") REFERENCES "account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "membership" ADD CONSTRAINT "membership_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_account_id_fkey" FOREIGN KEY ("account_id") REFERENCES "account"("id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "session" ADD CONSTRAINT "session_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "staff" ADD CONSTRAINT "staff_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "staff_name" ADD CONSTRAINT "staff_name_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "staff_name" ADD CONSTRAINT "staff_name_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "device" ADD CONSTRAINT "device_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "farm_settings" ADD CONSTRAINT "farm_settings_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "room" ADD CONSTRAINT "room_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "shelf" ADD CONSTRAINT "shelf_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "shelf" ADD CONSTRAINT "shelf_grower_id_room_id_fkey" FOREIGN KEY ("grower_id", "room_id") REFERENCES "room"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "strain" ADD CONSTRAINT "strain_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "container_size" ADD CONSTRAINT "container_size_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "container_pool" ADD CONSTRAINT "container_pool_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "container_pool" ADD CONSTRAINT "container_pool_grower_id_size_id_fkey" FOREIGN KEY ("grower_id", "size_id") REFERENCES "container_size"("grower_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "recipe" ADD CONSTRAINT "recipe_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "grain_batch" ADD CONSTRAINT "grain_batch_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "grain_batch" ADD CONSTRAINT "grain_batch_grower_id_recipe_id_fkey" FOREIGN KEY ("grower_id", "recipe_id") REFERENCES "recipe"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "steriliser_cycle" ADD CONSTRAINT "steriliser_cycle_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "steriliser_trace" ADD CONSTRAINT "steriliser_trace_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "steriliser_trace" ADD CONSTRAINT "steriliser_trace_grower_id_cycle_id_fkey" FOREIGN KEY ("grower_id", "cycle_id") REFERENCES "steriliser_cycle"("grower_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_strain_id_fkey" FOREIGN KEY ("grower_id", "strain_id") REFERENCES "strain"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_size_id_fkey" FOREIGN KEY ("grower_id", "size_id") REFERENCES "container_size"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_grain_batch_id_fkey" FOREIGN KEY ("grower_id", "grain_batch_id") REFERENCES "grain_batch"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_cycle_id_fkey" FOREIGN KEY ("grower_id", "cycle_id") REFERENCES "steriliser_cycle"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "lot" ADD CONSTRAINT "lot_grower_id_made_by_fkey" FOREIGN KEY ("grower_id", "made_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_lot_id_fkey" FOREIGN KEY ("grower_id", "lot_id") REFERENCES "lot"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_strain_id_fkey" FOREIGN KEY ("grower_id", "strain_id") REFERENCES "strain"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_size_id_fkey" FOREIGN KEY ("grower_id", "size_id") REFERENCES "container_size"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_shelf_id_fkey" FOREIGN KEY ("grower_id", "shelf_id") REFERENCES "shelf"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar" ADD CONSTRAINT "jar_grower_id_mother_jar_id_fkey" FOREIGN KEY ("grower_id", "mother_jar_id") REFERENCES "jar"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar_draw" ADD CONSTRAINT "jar_draw_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar_draw" ADD CONSTRAINT "jar_draw_grower_id_entry_id_fkey" FOREIGN KEY ("grower_id", "entry_id") REFERENCES "bench_entry"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar_draw" ADD CONSTRAINT "jar_draw_grower_id_jar_id_fkey" FOREIGN KEY ("grower_id", "jar_id") REFERENCES "jar"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar_draw" ADD CONSTRAINT "jar_draw_grower_id_lot_id_fkey" FOREIGN KEY ("grower_id", "lot_id") REFERENCES "lot"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "jar_draw" ADD CONSTRAINT "jar_draw_grower_id_run_id_fkey" FOREIGN KEY ("grower_id", "run_id") REFERENCES "bulk_run"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_counter" ADD CONSTRAINT "bench_counter_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_entry" ADD CONSTRAINT "bench_entry_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_entry" ADD CONSTRAINT "bench_entry_grower_id_device_id_fkey" FOREIGN KEY ("grower_id", "device_id") REFERENCES "device"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_entry" ADD CONSTRAINT "bench_entry_grower_id_staff_id_fkey" FOREIGN KEY ("grower_id", "staff_id") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_entry_thing" ADD CONSTRAINT "bench_entry_thing_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_entry_thing" ADD CONSTRAINT "bench_entry_thing_grower_id_position_fkey" FOREIGN KEY ("grower_id", "position") REFERENCES "bench_entry"("grower_id", "position") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_void" ADD CONSTRAINT "bench_void_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_void" ADD CONSTRAINT "bench_void_grower_id_entry_id_fkey" FOREIGN KEY ("grower_id", "entry_id") REFERENCES "bench_entry"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bench_void" ADD CONSTRAINT "bench_void_grower_id_voided_by_fkey" FOREIGN KEY ("grower_id", "voided_by") REFERENCES "bench_entry"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run" ADD CONSTRAINT "bulk_run_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run" ADD CONSTRAINT "bulk_run_grower_id_created_by_fkey" FOREIGN KEY ("grower_id", "created_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run" ADD CONSTRAINT "bulk_run_grower_id_cancelled_by_fkey" FOREIGN KEY ("grower_id", "cancelled_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run_strain" ADD CONSTRAINT "bulk_run_strain_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run_strain" ADD CONSTRAINT "bulk_run_strain_grower_id_run_id_fkey" FOREIGN KEY ("grower_id", "run_id") REFERENCES "bulk_run"("grower_id", "id") ON DELETE CASCADE ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "bulk_run_strain" ADD CONSTRAINT "bulk_run_strain_grower_id_strain_id_fkey" FOREIGN KEY ("grower_id", "strain_id") REFERENCES "strain"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "harvest" ADD CONSTRAINT "harvest_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "harvest" ADD CONSTRAINT "harvest_grower_id_id_fkey" FOREIGN KEY ("grower_id", "id") REFERENCES "bench_entry"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "harvest" ADD CONSTRAINT "harvest_grower_id_run_id_fkey" FOREIGN KEY ("grower_id", "run_id") REFERENCES "bulk_run"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan" ADD CONSTRAINT "plan_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "plan" ADD CONSTRAINT "plan_grower_id_accepted_by_fkey" FOREIGN KEY ("grower_id", "accepted_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "outbox" ADD CONSTRAINT "outbox_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;

-- AddForeignKey
ALTER TABLE "failed_job" ADD CONSTRAINT "failed_job_grower_id_fkey" FOREIGN KEY ("grower_id") REFERENCES "grower"("id") ON DELETE RESTRICT ON UPDATE CASCADE;
