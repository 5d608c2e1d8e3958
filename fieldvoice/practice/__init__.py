"""Ten calls of one person: how they are taken, and the reading ear fitted to them where that makes it better."""
