"""Surfaces: the screen, the voice, the printed checklist, the JSON documents. Nothing is computed here."""
