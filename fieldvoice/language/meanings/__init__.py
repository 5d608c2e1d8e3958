"""What the names of meanings in the grammar come to, by subject."""
