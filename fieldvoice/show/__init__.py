"""Surfaces: the screen, the voice, the printed checklist. Nothing is computed here."""
