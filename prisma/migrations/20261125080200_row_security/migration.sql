-- Who may see and touch what. Three roles beside the owner that runs this:
--   jarfold_app       one grower at a time, named by the transaction's setting app.grower_id; owns nothing
--   jarfold_platform  sign-in, sessions, making growers, the outbox relay
--   jarfold_queue     owns the job queue's own schema (made elsewhere) and has nothing here
-- They are made without a password here so that this file stands by itself; whoever starts Jarfold gives them one.

DO $$
DECLARE
  name text;
BEGIN
  FOREACH name IN ARRAY ARRAY['jarfold_app', 'jarfold_platform', 'jarfold_queue'] LOOP
    IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = name) THEN
      EXECUTE format('CREATE ROLE %I NOSUPERUSER NOBYPASSRLS NOCREATEDB NOCREATEROLE', name);
    END IF;
  END LOOP;
END $$;

-- The grower of this transaction, or null. After a transaction the setting is '' on that connection, hence nullif.
CREATE FUNCTION app_grower() RETURNS uuid LANGUAGE sql STABLE PARALLEL SAFE AS
  $$ SELECT nullif(current_setting('app.grower_id', true), '')::uuid $$;

REVOKE CREATE ON SCHEMA public FROM PUBLIC;
REVOKE ALL ON ALL FUNCTIONS IN SCHEMA public FROM PUBLIC;
GRANT USAGE ON SCHEMA public TO jarfold_app, jarfold_platform;
GRANT EXECUTE ON FUNCTION app_grower() TO jarfold_app, jarfold_platform;

-- Row security, forced so that it binds the owner too. The scalar sub-select is evaluated once per statement and lets
-- the planner use indexes that begin with grower_id.
ALTER TABLE grower ENABLE ROW LEVEL SECURITY;
ALTER TABLE grower FORCE ROW LEVEL SECURITY;
CREATE POLICY own_row ON grower TO jarfold_app
  USING (id = (SELECT app_grower())) WITH CHECK (id = (SELECT app_grower()));

DO $$
DECLARE
  name text;
BEGIN
  FOREACH name IN ARRAY ARRAY[
    'staff', 'staff_name', 'device', 'farm_settings', 'room', 'shelf', 'strain', 'container_size', 'container_pool',
    'recipe', 'grain_batch', 'steriliser_cycle', 'steriliser_trace', 'lot', 'jar', 'jar_draw', 'bench_counter',
    'bench_entry', 'bench_entry_thing', 'bench_void', 'bulk_run', 'bulk_run_strain', 'harvest', 'plan', 'outbox',
    'failed_job'
  ] LOOP
    EXECUTE format('ALTER TABLE %I ENABLE ROW LEVEL SECURITY', name);
    EXECUTE format('ALTER TABLE %I FORCE ROW LEVEL SECURITY', name);
    EXECUTE format('CREATE POLICY own_rows ON %I TO jarfold_app '
      'USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()))', name);
  END LOOP;
END $$;

-- The app role. What is archived or refused instead of deleted has no DELETE; the log has no UPDATE either.
GRANT SELECT, UPDATE (name, time_zone, locale) ON grower TO jarfold_app;
GRANT SELECT, INSERT ON bench_entry, bench_entry_thing TO jarfold_app;
GRANT SELECT, UPDATE (position, head_hash) ON bench_counter TO jarfold_app;
GRANT SELECT, INSERT ON outbox TO jarfold_app;
GRANT SELECT, INSERT, UPDATE ON
  staff, device, farm_settings, room, shelf, strain, container_size, recipe, bulk_run TO jarfold_app;
GRANT SELECT, INSERT, UPDATE, DELETE ON
  staff_name, container_pool, grain_batch, steriliser_cycle, steriliser_trace, lot, jar, jar_draw, bench_void, bulk_run_strain,
  harvest, plan, failed_job TO jarfold_app;

-- The platform role. Across growers it reads who exists, who works there and what waits in the outbox; a farm row it
-- may write only while making that very grower.
GRANT SELECT, INSERT ON grower, membership TO jarfold_platform;
GRANT SELECT, INSERT, UPDATE ON account TO jarfold_platform;
GRANT SELECT, INSERT, UPDATE, DELETE ON session, sign_in_throttle, setup_token TO jarfold_platform;
GRANT SELECT, INSERT ON staff, staff_name, bench_counter, farm_settings TO jarfold_platform;
GRANT SELECT, UPDATE, DELETE ON outbox TO jarfold_platform;
GRANT SELECT, INSERT, UPDATE ON failed_job TO jarfold_platform;

CREATE POLICY platform_reads ON grower FOR SELECT TO jarfold_platform USING (true);
CREATE POLICY platform_makes ON grower FOR INSERT TO jarfold_platform WITH CHECK (id = (SELECT app_grower()));
CREATE POLICY platform_reads ON staff FOR SELECT TO jarfold_platform USING (true);
CREATE POLICY platform_makes ON staff FOR INSERT TO jarfold_platform WITH CHECK (grower_id = (SELECT app_grower()));
CREATE POLICY platform_reads ON staff_name FOR SELECT TO jarfold_platform USING (true);
CREATE POLICY platform_makes ON staff_name FOR INSERT TO jarfold_platform
  WITH CHECK (grower_id = (SELECT app_grower()));
CREATE POLICY platform_makes ON bench_counter TO jarfold_platform
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
CREATE POLICY platform_makes ON farm_settings TO jarfold_platform
  USING (grower_id = (SELECT app_grower())) WITH CHECK (grower_id = (SELECT app_grower()));
CREATE POLICY platform_relays ON outbox TO jarfold_platform USING (true) WITH CHECK (true);
CREATE POLICY platform_relays ON failed_job TO jarfold_platform USING (true) WITH CHECK (true);
