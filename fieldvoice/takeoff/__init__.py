"""What a job takes, each quantity with its rule and its source, and in which order it is done."""
