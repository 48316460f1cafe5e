-- The IANA name of the zone in which the team writes its times and counts its days.
ALTER TABLE team ADD COLUMN time_zone TEXT NOT NULL DEFAULT 'UTC';
