"""Files that people write at a desk: read whole, or every fault told."""
