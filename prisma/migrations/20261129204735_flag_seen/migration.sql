-- Who saw a flag and when. It stands until its cause is gone all the same; a cause raised anew is not seen.

ALTER TABLE "watch_flag" ADD COLUMN "seen_at" TIMESTAMPTZ(3),
ADD COLUMN "seen_by" UUID;

ALTER TABLE "watch_flag" ADD CONSTRAINT "watch_flag_grower_id_seen_by_fkey" FOREIGN KEY ("grower_id", "seen_by") REFERENCES "staff"("grower_id", "id") ON DELETE RESTRICT ON UPDATE CASCADE;

ALTER TABLE "watch_flag" ADD CONSTRAINT "watch_flag_seen_by_somebody" CHECK ("seen_by" IS NULL OR "seen_at" IS NOT NULL);
