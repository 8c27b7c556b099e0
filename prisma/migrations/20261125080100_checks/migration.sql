-- What a row must be whatever wrote it. Words in lists are those of libs/domain; masses are grams, shares 0 to 1.

ALTER TABLE grower
  ADD CHECK (name <> ''), ADD CHECK (time_zone <> '');
ALTER TABLE account
  ADD CHECK (email = lower(email) AND email <> '');
ALTER TABLE session
  ADD CHECK (length(token_hash) = 32), ADD CHECK (expires_at > created_at);
ALTER TABLE setup_token
  ADD CHECK (length(token_hash) = 32);
ALTER TABLE sign_in_throttle
  ADD CHECK (failures >= 0);
ALTER TABLE staff
  ADD CHECK (role IN ('owner', 'lead', 'hand'));
ALTER TABLE staff_name
  ADD CHECK (name <> '');
ALTER TABLE device
  ADD CHECK (last_seq >= 0);

ALTER TABLE farm_settings
  ADD CHECK (currency ~ '^[A-Z]{3}$'),
  ADD CHECK (bench_weekdays <@ ARRAY[1, 2, 3, 4, 5, 6, 7]),
  ADD CHECK (bench_containers_per_day >= 0),
  ADD CHECK (bench_minutes_per_day >= 0),
  ADD CHECK (bench_minutes_per_container >= 0),
  ADD CHECK (vessel_places >= 0),
  ADD CHECK (cycles_per_preparation_day >= 0),
  ADD CHECK (preparation_lead_days >= 0),
  ADD CHECK (opened_life_days >= 0),
  ADD CHECK (washing_days >= 0),
  ADD CHECK (horizon_days BETWEEN 7 AND 730),
  ADD CHECK (least(cost_per_container_started, cost_per_cycle, cost_per_gram_aged_out, cost_per_gram_short,
                   cost_per_gram_below_target, cost_per_gram_generation, cost_per_gram_day_old) >= 0),
  ADD CHECK (target_moisture > 0 AND target_moisture < 1),
  ADD CHECK (altitude_m BETWEEN -500 AND 9000),
  ADD CHECK (revision >= 1);

ALTER TABLE room
  ADD CHECK (name <> ''), ADD CHECK (kind IN ('incubation', 'cold', 'fruiting', 'prep')), ADD CHECK (revision >= 1);
ALTER TABLE shelf
  ADD CHECK (name <> ''), ADD CHECK (rows BETWEEN 1 AND 1000), ADD CHECK (places_per_row BETWEEN 1 AND 1000),
  ADD CHECK (revision >= 1);

ALTER TABLE strain
  ADD CHECK (short_code <> ''), ADD CHECK (name <> ''), ADD CHECK (species_key <> ''),
  ADD CHECK (inoculum_g > 0),
  ADD CHECK (days_to_ripe > 0),
  ADD CHECK (loss_rate >= 0 AND loss_rate < 1),
  ADD CHECK (warm_life_days >= 0),
  ADD CHECK (cold_life_days >= 0),
  ADD CHECK (last_generation >= 0),
  ADD CHECK (mother_reserve >= 0),
  ADD CHECK (culture_lead_days >= 0 AND culture_containers_per_unit > 0 AND culture_cost_per_unit >= 0),
  ADD CONSTRAINT strain_culture_whole CHECK (
    num_nulls(culture_lead_days, culture_containers_per_unit, culture_cost_per_unit) IN (0, 3)),
  ADD CHECK (revision >= 1);

ALTER TABLE container_size
  ADD CHECK (name <> ''),
  ADD CHECK (container IN ('jar', 'bag', 'bottle', 'plate', 'syringe')),
  ADD CHECK (carrier IN ('grain', 'sawdust', 'plugs', 'agar', 'liquid')),
  ADD CHECK (volume_ml > 0), ADD CHECK (ripe_g > 0), ADD CHECK (inoculum_factor > 0),
  ADD CHECK (vessel_places >= 0), ADD CHECK (shelf_places >= 0), ADD CHECK (revision >= 1);
ALTER TABLE container_pool
  ADD CHECK (clean_empty >= 0);
ALTER TABLE recipe
  ADD CHECK (name <> ''),
  ADD CHECK (target_moisture > 0 AND target_moisture < 1),
  ADD CHECK (ambient_moisture >= 0 AND ambient_moisture < 1),
  ADD CHECK (bulk_density_g_per_ml > 0),
  ADD CHECK (fill_share > 0 AND fill_share <= 1),
  ADD CHECK (soak_min >= 0), ADD CHECK (simmer_min >= 0), ADD CHECK (revision >= 1);

ALTER TABLE grain_batch
  ADD CHECK (code <> ''),
  ADD CHECK (dry_grain_g > 0), ADD CHECK (hydrated_g > 0),
  ADD CHECK (moisture_share > 0 AND moisture_share < 1);
ALTER TABLE steriliser_cycle
  ADD CHECK (code <> ''),
  ADD CHECK (hold_min >= 0), ADD CHECK (temperature_c BETWEEN 0 AND 200), ADD CHECK (gauge_pressure_kpa >= 0),
  ADD CHECK (f0_min >= 0);
ALTER TABLE steriliser_trace
  ADD CHECK (temperature_c BETWEEN -30 AND 200);

ALTER TABLE lot
  ADD CHECK (code <> ''),
  ADD CHECK (origin IN ('inoculated', 'culture', 'received', 'blank')),
  ADD CONSTRAINT lot_strain_unless_blank CHECK ((origin = 'blank') = (strain_id IS NULL)
                                                AND (strain_id IS NULL) = (generation IS NULL)),
  ADD CHECK (generation >= 0), ADD CHECK (jars_made > 0);

ALTER TABLE jar
  ADD CHECK (code <> ''), ADD CHECK (serial > 0),
  ADD CHECK (state IN ('incubating', 'ripe', 'chilled', 'opened', 'emptied', 'discarded', 'broken')),
  ADD CONSTRAINT jar_strain_unless_blank CHECK (blank = (strain_id IS NULL)
                                                AND (strain_id IS NULL) = (generation IS NULL)),
  ADD CHECK (generation >= 0),
  ADD CONSTRAINT jar_grams_conserved CHECK (made_g = drawn_g + left_g + discarded_g),
  ADD CONSTRAINT jar_grams_not_negative CHECK (least(made_g, drawn_g, left_g, discarded_g) >= 0),
  ADD CHECK (colonised_share BETWEEN 0 AND 1),
  ADD CHECK (shakes >= 0),
  ADD CONSTRAINT jar_place_on_a_shelf CHECK (shelf_id IS NOT NULL OR num_nonnulls(shelf_row, shelf_place) = 0),
  ADD CHECK (shelf_row > 0), ADD CHECK (shelf_place > 0);

ALTER TABLE jar_draw
  ADD CHECK (mass_g >= 0),
  ADD CONSTRAINT jar_draw_one_destination CHECK (num_nonnulls(lot_id, run_id) <= 1);

ALTER TABLE bench_counter
  ADD CHECK (position >= 0), ADD CHECK (head_hash ~ '^([0-9a-f]{64})?$');
ALTER TABLE bench_entry
  ADD CHECK (position > 0), ADD CHECK (device_seq > 0), ADD CHECK (kind <> ''),
  ADD CHECK (outcome IN ('applied', 'refused')),
  ADD CONSTRAINT bench_entry_refusal_has_reason CHECK ((outcome = 'refused') = (refusal_code IS NOT NULL)),
  ADD CHECK (content_hash ~ '^[0-9a-f]{64}$'),
  ADD CHECK (previous_hash ~ '^([0-9a-f]{64})?$'),
  ADD CHECK (hash ~ '^[0-9a-f]{64}$');
ALTER TABLE bench_void
  ADD CHECK (entry_id <> voided_by);

ALTER TABLE bulk_run
  ADD CHECK (name <> ''),
  ADD CHECK (state IN ('planned', 'done', 'cancelled')),
  ADD CHECK (substrate_wet_g > 0),
  ADD CHECK (substrate_moisture > 0 AND substrate_moisture < 1),
  ADD CHECK (spawn_rate > 0 AND spawn_rate <= 1),
  ADD CHECK (basis IN ('wet/wet', 'wet/dry', 'dry/dry')),
  ADD CONSTRAINT bulk_run_grams_in_order CHECK (min_g >= 0 AND min_g <= target_g AND target_g <= max_g),
  ADD CHECK (min_share >= 0 AND min_share <= 1 AND max_share >= 1),
  ADD CHECK (priority BETWEEN 1 AND 9), ADD CHECK (slack_days BETWEEN 0 AND 365), ADD CHECK (revision >= 1);
ALTER TABLE bulk_run_strain
  ADD CHECK (rank >= 1);
ALTER TABLE harvest
  ADD CHECK (flush >= 1), ADD CHECK (mass_g >= 0);

ALTER TABLE plan
  ADD CHECK (version >= 1),
  ADD CHECK (status IN ('proposed', 'accepted', 'superseded')),
  ADD CONSTRAINT plan_acceptance_whole CHECK (status <> 'accepted' OR accepted_at IS NOT NULL),
  ADD CHECK (solve_ms >= 0), ADD CHECK (position >= 0);

ALTER TABLE outbox
  ADD CHECK (job_name <> ''), ADD CHECK (attempts >= 0);
ALTER TABLE failed_job
  ADD CHECK (attempts >= 0);

-- What the relay looks for, and what it gathers into one job.
CREATE INDEX outbox_waiting ON outbox (run_after) WHERE published_at IS NULL;
CREATE INDEX outbox_waiting_key ON outbox (grower_id, job_name, job_key) WHERE published_at IS NULL;

-- What the stock screen reads: jars that stand, and nothing else. Gone jars outnumber them after a few months.
CREATE INDEX jar_on_hand ON jar (grower_id, strain_id, generation, state)
  WHERE state IN ('incubating', 'ripe', 'chilled', 'opened');
-- The log is append only for everyone, its owner included.
CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  RAISE EXCEPTION '% is append only: undo an entry with a correcting entry', TG_TABLE_NAME
    USING ERRCODE = 'insufficient_privilege';
END $$;
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON bench_entry
  FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER append_only BEFORE UPDATE OR DELETE OR TRUNCATE ON bench_entry_thing
  FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();

-- Wakes the relay; it also polls, so a lost notification costs a moment and nothing else.
CREATE FUNCTION announce_outbox() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
  PERFORM pg_notify('jarfold_outbox', '');
  RETURN NULL;
END $$;
CREATE TRIGGER announce AFTER INSERT ON outbox FOR EACH STATEMENT EXECUTE FUNCTION announce_outbox();
