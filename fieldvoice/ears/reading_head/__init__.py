"""The head of the reading ear: small layers on Whisper's encoder, trained on tape readings, decoded inside the
language.

`ReadingHead.load()`, then `.decode(encoded, head.network(automaton))` for each utterance. CARD.md says how
it was trained and what it hears.
"""

from fieldvoice.ears.reading_head.head import Decoding, ReadingHead
from fieldvoice.ears.reading_head.network import Network

__all__ = ["Decoding", "Network", "ReadingHead"]
