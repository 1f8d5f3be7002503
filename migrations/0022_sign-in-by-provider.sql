-- People may also be signed in by the plant's OpenID provider.
alter table sessions drop constraint sessions_how_check;
alter table sessions add constraint sessions_how_check check (how in ('password', 'pin', 'provider'));

-- Sign-ins that went to the provider and have not come back, by the hash of what only the browser that began one holds. Taken out when it comes back.
create table provider_sign_ins (
  token_hash bytea primary key,
  state text not null,
  nonce text not null,
  code_verifier text not null,
  -- The device that it began at, let in or not yet, and the id that its browser made for itself.
  device uuid references devices (id),
  code text not null,
  -- Who was signed in there until then.
  ends bytea,
  expires_at timestamptz not null
);
create index provider_sign_ins_by_end on provider_sign_ins (expires_at);
