"""Words to meaning and meaning back to words, from the one grammar. No sound and no job state here."""
