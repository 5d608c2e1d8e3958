"""The partner's page: the job as a browser on the same network shows it, and what may be done from there."""
