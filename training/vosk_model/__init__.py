"""A small acoustic model for Vosk, trained on the same texts, voices and noises as the reading head and written in the
files that the `vosk` package loads.
"""
