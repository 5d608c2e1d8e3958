"""lark's own Earley parser on the same grammar, beside the descent over its rules.

The grammar is loaded as it is. Words and typed figures come from our own splitters, since both parsers take words;
where a heard word may be two ("to") Earley is given the first, so that it has less to do. Earley builds the forest of
all parses and says nothing of their meanings; ours gives the meanings, equal ones as one.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Any

import lark
from lark.lexer import Lexer, Token

from fieldvoice.language.rules import START, grammar_text
from fieldvoice.language.typed import read_typed
from fieldvoice.language.understanding import language, read_spoken
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from tests.language.test_phrases import PHRASES, split

EVERY = 200
"""Every so many-th phrase of the table is enough: Earley takes thousands of times longer."""
WARMED_BY = 1
"""Phrases parsed before any is timed."""


class Words(Lexer):
    """The words of an utterance as tokens of the grammar's terminals."""

    def __init__(self, conf: Any) -> None:
        self.names = {term.pattern.value: term.name for term in conf.terminals if term.pattern is not None}

    def lex(self, text: str) -> Iterator[Token]:  # type: ignore[override]
        """Tokens of a text that starts with a mark of where it came from."""
        heard = read_typed(text[1:]) if text[0] == "T" else read_spoken(text[1:])
        for one in heard:
            if one.words[0] not in language().fillers:
                yield Token(self.names.get(one.words[0], one.words[0].strip("#")), one.text)


def earley() -> dict[str, object]:
    """How long Earley takes for a phrase of the table after a few to warm up, and how long to get ready."""
    start = time.process_time()
    parser = lark.Lark(grammar_text(), parser="earley", lexer=Words, start=START, ambiguity="explicit")
    ready = time.process_time() - start
    taken, times = 0, []
    said = [split(words) for _, words, _ in PHRASES[::EVERY]]
    texts = [("T" if source is Source.TYPED else "S") + plain for plain, source, unit in said if unit is not Unit.MM]
    for turn, text in enumerate([*texts[:WARMED_BY], *texts]):
        before = time.process_time()
        try:
            parser.parse(text)
        except lark.exceptions.LarkError:
            found = False
        else:
            found = True
        if turn >= WARMED_BY:
            times.append((time.process_time() - before) * 1000)
            taken += found
    times.sort()
    return {
        "parsed": taken,
        "phrases": len(times),
        "median_ms": round(times[len(times) // 2], 3),
        "p99_ms": round(times[len(times) * 99 // 100], 3),
        "max_ms": round(times[-1], 3),
        "ready_s": round(ready, 3),
    }
