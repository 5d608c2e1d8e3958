"""The one place where facts become English, for the eye and for the ear."""
