"""One append-only file a job. Knows nothing of what an entry means."""
