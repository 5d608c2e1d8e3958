"""fieldvoice: spoken or typed tape readings in, proved cut instructions for gypsum board out."""

__version__ = "0.1.0"
