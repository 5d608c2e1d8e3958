"""The head of the reading ear and the encoder below it (`encoder/`), trained together on tape readings; decoded inside
the language.

`ReadingHead.load()`, then `.decode(encoded, head.network(automaton))` for each utterance. CARD.md says how
it was trained and what it hears.
"""
