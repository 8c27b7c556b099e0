-- How the farm's labels lie on what its printer takes; null until the farm has said so. Read by its contract at the door.
ALTER TABLE "farm_settings" ADD COLUMN     "label_layout" JSONB;
