"""What is measured rather than tested. Each module says how it is run."""

import fieldvoice  # noqa: F401 - before numpy, whose matrix library reads once how many threads it may have
