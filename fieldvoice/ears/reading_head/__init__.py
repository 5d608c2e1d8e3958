"""The head of the reading ear: small layers on Whisper's encoder, trained on tape readings, decoded inside the
language.

`ReadingHead.load()`, `.network(automaton)` once, then `.decode(encoded, network)` for each utterance. CARD.md says how
it was trained and what it hears.
"""

from fieldvoice.ears.reading_head.head import Decoding, ReadingHead
from fieldvoice.ears.reading_head.network import Acceptor, Network

__all__ = ["Acceptor", "Decoding", "Network", "ReadingHead"]
