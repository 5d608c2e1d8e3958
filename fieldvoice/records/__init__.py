"""The nouns of the job: frozen values that every room may import and that import nothing of the other rooms."""
