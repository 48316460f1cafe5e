-- For whom gear is examined, and where it is kept and examined: what reports of thorough examinations ask for.
ALTER TABLE team ADD COLUMN employer TEXT NOT NULL DEFAULT '';
ALTER TABLE team ADD COLUMN premises TEXT NOT NULL DEFAULT '';
