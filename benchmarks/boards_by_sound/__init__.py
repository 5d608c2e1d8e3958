"""Whole boards by sound: called by voices of no training, heard through end-pointing, both ears and the dialogue."""
