-- People, what they may in which plant and since when, and what they sign in by. Nothing here is ever deleted: a fact is judged by what
-- held when it happened.
create table people (
  id uuid primary key,
  login text unique check (login = lower(login)),
  name text not null,
  language text not null default 'en' check (language in ('en', 'es')),
  -- argon2id in its own string form; null: cannot sign in that way.
  password_hash text,
  pin_hash text,
  -- Administrator of every plant, and the one who may load the first.
  house_administrator boolean not null default false,
  added_at timestamptz not null,
  left_at timestamptz
);

create table badges (
  code text primary key,
  person uuid not null references people (id),
  given_at timestamptz not null,
  ended_at timestamptz
);
create index badges_by_person on badges (person);

create table person_roles (
  person uuid not null references people (id),
  plant text not null references plants (code),
  role text not null check (role in ('lead', 'worker', 'inspector', 'supervisor', 'quality', 'productionControl', 'administrator')),
  given_at timestamptz not null,
  ended_at timestamptz,
  primary key (person, plant, role, given_at)
);
create unique index one_open_role on person_roles (person, plant, role) where ended_at is null;

-- One row for each time a browser was let in: as a kiosk of a plant by pairing, or (plant null) as the desk at which somebody signed in.
-- Only the SHA-256 of a token of 256 random bits is kept. A device paired again keeps its code, which its facts carry.
create table devices (
  id uuid primary key,
  code text not null,
  plant text references plants (code),
  name text not null,
  -- Stations that a kiosk serves; null: every one of the plant.
  stations text[],
  token_hash bytea not null unique,
  paired_at timestamptz not null,
  paired_by uuid references people (id),
  revoked_at timestamptz,
  revoked_by uuid references people (id)
);
create unique index one_device_of_a_code on devices (code) where revoked_at is null;

create table sessions (
  token_hash bytea primary key,
  person uuid not null references people (id),
  device uuid not null references devices (id),
  how text not null check (how in ('password', 'pin')),
  started_at timestamptz not null,
  seen_at timestamptz not null,
  expires_at timestamptz not null,
  ended_at timestamptz
);
create index sessions_by_device on sessions (device);
create index sessions_by_person on sessions (person) where ended_at is null;

create table pairing_codes (
  code_hash bytea primary key,
  plant text not null references plants (code),
  name text not null,
  stations text[],
  made_by uuid not null references people (id),
  made_at timestamptz not null,
  expires_at timestamptz not null,
  used_at timestamptz
);

-- A link by which a person chooses a password; person null: the first administrator of the house.
create table one_time_links (
  token_hash bytea primary key,
  person uuid references people (id),
  made_at timestamptz not null,
  expires_at timestamptz not null,
  used_at timestamptz
);

-- Failed sign-ins in a row by source and person: who fails waits, nobody else does.
create table sign_in_failures (
  key_hash bytea primary key,
  failures int not null,
  last_at timestamptz not null
);

-- What happened to people, devices and set-up. Only added to. No secret is ever in it.
create table audit_trail (
  id bigint generated always as identity primary key,
  at timestamptz not null,
  plant text,
  what text not null,
  person uuid,
  who text not null,
  device text not null,
  source text not null,
  detail jsonb not null
);
create index audit_by_plant on audit_trail (plant, id);
