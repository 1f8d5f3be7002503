-- The code of the device that this one pairs again, under the same code; null: it pairs a device of its own.
alter table pairing_codes add column device_code text;
