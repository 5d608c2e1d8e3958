"""Sound in, word strings out: capture, end-pointing, recognizers and their models. No meaning here."""
