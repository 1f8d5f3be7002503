-- Photos of what was found and fixed, as devices shrank them. A fact names its photo by the id; either may come first.
create table photos (
  plant text not null references plants (code),
  id uuid not null,
  who text not null,
  device text not null,
  received timestamptz not null,
  width int not null,
  height int not null,
  bytes bytea not null,
  primary key (plant, id)
);
-- A JPEG does not get smaller.
alter table photos alter column bytes set storage external;
