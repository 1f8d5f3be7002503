-- By which form what is derived was derived last: a program that derives more, or otherwise, derives it anew when it starts.
alter table plants add column derived_version int not null default 0;

-- Every visit that ended, with its minutes: derived from the facts of its line and the set-up, and thrown away and rebuilt with the rest.
create table visits (
  plant text not null references plants (code),
  line text not null,
  unit text not null,
  arrived_by uuid not null,
  station text not null,
  arrived timestamptz not null,
  finished timestamptz,
  finish_assumed boolean not null,
  departed timestamptz not null,
  left_how text not null,
  standard double precision not null,
  held double precision not null,
  blocked double precision not null,
  roll_lag double precision not null,
  stopped double precision not null,
  work double precision not null,
  dwell double precision not null,
  elapsed double precision not null,
  station_delay double precision not null,
  recovered double precision not null,
  causes jsonb not null,
  primary key (plant, line, unit, arrived_by)
);
create index visits_by_departed on visits (plant, line, departed);

-- Up to which number of the log the minutes are told. A row of its own, so that telling them holds up no scan.
create table minutes_told (
  plant text primary key references plants (code),
  seq bigint not null
);
