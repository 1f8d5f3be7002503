-- The month that a UUID of version 7 names in its first 48 bits, so that a fact's id stays unique over partitions.
create function fact_month(id uuid) returns date language sql immutable parallel safe as $$
  select date_trunc('month', to_timestamp(('x0000' || substr(replace(id::text, '-', ''), 1, 12))::bit(64)::bigint / 1000.0) at time zone 'UTC')::date
$$;

-- next_seq and setup_version change only under the row's lock: numbers have no gaps and commit in their order.
create table plants (
  code text primary key,
  name text not null,
  next_seq bigint not null default 1,
  setup_version int not null default 0
);

create table setup_versions (
  plant text not null references plants (code),
  version int not null check (version > 0),
  seq bigint not null,
  valid_from timestamptz not null,
  document jsonb not null,
  loaded_at timestamptz not null,
  who text not null,
  device text not null,
  primary key (plant, version)
);

create table facts (
  plant text not null references plants (code),
  id uuid not null,
  month date not null check (month = fact_month(id)),
  seq bigint not null check (seq > 0),
  kind text not null,
  unit text,
  station text,
  line text,
  happened timestamptz not null,
  recorded timestamptz not null,
  told boolean not null,
  who text not null,
  device text not null,
  counter bigint not null,
  target uuid,
  body jsonb not null,
  primary key (plant, id, month)
) partition by range (month);

create table facts_other partition of facts default;

create index facts_by_seq on facts (plant, seq);
create index facts_by_unit on facts (plant, unit) where unit is not null;
create index facts_by_target on facts (plant, target) where target is not null;
create index facts_that_cross on facts (plant, kind, happened) where kind in ('identify', 'void', 'roll');
create index facts_by_place on facts (plant, station) where kind in ('openStop', 'clearStop');

-- What follows is derived from the facts and can be thrown away and rebuilt.
create table whereabouts (
  plant text not null references plants (code),
  unit text not null,
  state jsonb not null,
  line text,
  last_happened timestamptz not null,
  last_counter bigint not null,
  last_device text not null,
  last_fact uuid not null,
  primary key (plant, unit)
);
create index whereabouts_by_line on whereabouts (plant, line) where line is not null;

create table stays (
  plant text not null references plants (code),
  unit text not null,
  line text not null,
  arrived_by uuid not null,
  station text not null,
  arrived timestamptz not null,
  finished timestamptz,
  departed timestamptz,
  left_how text,
  check ((departed is null) = (left_how is null)),
  primary key (plant, unit, line, arrived_by)
);
create unique index one_open_stay on stays (plant, unit, line) where departed is null;

create table flags (
  plant text not null references plants (code),
  fact uuid not null,
  code text not null,
  unit text,
  station text,
  detail text not null
);
create index flags_by_fact on flags (plant, fact);
create index flags_by_unit on flags (plant, unit);

create table stops (
  plant text not null references plants (code),
  id uuid not null,
  station text not null,
  reason text not null,
  note text not null,
  who text not null,
  opened timestamptz not null,
  cleared timestamptz,
  primary key (plant, id)
);
