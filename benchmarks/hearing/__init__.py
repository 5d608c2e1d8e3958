"""What the ears hear on voices, texts and noises that were in no training: corpus and figures."""
