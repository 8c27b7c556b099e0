-- Every index of a farm table begins with grower_id. Right after a first large import the database has no statistics of
-- these tables yet, and its foreign key checks settle on an index of which only that first column helps: each check then
-- reads the whole farm. Autovacuum mends that within minutes; a large import asks for it at once. ANALYZE belongs to
-- the owner, so the app role may have exactly this one done and nothing else.
CREATE FUNCTION refresh_bench_statistics() RETURNS void
  LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, public AS
$$
BEGIN
  ANALYZE public.bench_entry, public.bench_entry_thing, public.grain_batch, public.steriliser_cycle, public.lot,
    public.jar, public.jar_draw, public.bulk_run, public.harvest;
END
$$;

REVOKE ALL ON FUNCTION refresh_bench_statistics() FROM PUBLIC;
GRANT EXECUTE ON FUNCTION refresh_bench_statistics() TO jarfold_app;
