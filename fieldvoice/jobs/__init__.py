"""The jobs that are kept: where they are, those of the first version, and their way in and out as JSON."""
