-- The history is looked through by kind, by person and by the moment of recording, along the sequence.
CREATE INDEX ledger_entry_by_kind ON ledger_entry (team_id, kind, seq);
CREATE INDEX ledger_entry_by_actor ON ledger_entry (team_id, actor_id, seq);
CREATE INDEX ledger_entry_by_moment ON ledger_entry (team_id, recorded_at, seq);
