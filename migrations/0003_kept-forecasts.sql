-- Forecasts as they were made, to be held against what happened: the last of each hour, and so always the latest.
create table forecasts (
  plant text not null references plants (code),
  line text not null,
  made timestamptz not null,
  -- Number of the last fact that was known, when it was recorded, and what the draws were made from.
  log_version bigint not null,
  facts_at timestamptz,
  seed bigint not null,
  result jsonb not null,
  primary key (plant, line, made)
);
