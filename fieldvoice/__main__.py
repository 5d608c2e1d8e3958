"""`python -m fieldvoice`."""

from fieldvoice.cli import main

main()
