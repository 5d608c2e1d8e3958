"""The dialogue, its journal and what the job looks like now. No geometry here."""
