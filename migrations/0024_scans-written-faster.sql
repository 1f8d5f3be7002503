-- Each scan writes a unit's state anew and nothing looks into it: as text it is neither taken apart nor put together by the database.
alter table whereabouts alter column state type json;
-- Room on its page for a row's next version, so that no index is touched.
alter table whereabouts set (fillfactor = 50);

-- What a scan writes takes its plant from the plant's own row, in the same statement: to look that up again for each row told nothing more.
alter table facts drop constraint facts_plant_fkey;
alter table whereabouts drop constraint whereabouts_plant_fkey;
alter table stays drop constraint stays_plant_fkey;
alter table flags drop constraint flags_plant_fkey;

-- The same month as before, of a body that is read once and not again with each statement.
create or replace function fact_month(id uuid) returns date language sql immutable parallel safe
  return date_trunc('month', to_timestamp(('x0000' || substr(replace(id::text, '-', ''), 1, 12))::bit(64)::bigint / 1000.0) at time zone 'UTC')::date;
