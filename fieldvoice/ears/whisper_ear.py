"""Whisper, its decoder primed with the words of the job, and the text of its tokens."""

from __future__ import annotations

import json
import re
from array import array
from collections.abc import Iterable, Iterator
from itertools import accumulate, pairwise
from math import exp
from pathlib import Path
from typing import Any

from fieldvoice.ears.ear import merged, plain_words
from fieldvoice.ears.encoder import Encoded, Encoder, whisper_encoder
from fieldvoice.ears.sound import Frames, spoken_seconds
from fieldvoice.ears.whole_utterance import WholeEar
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.trouble import Trouble, Wrong

BEAM = 10
NEW_TOKENS = 48
NO_SPEECH = 0.3
"""Above this probability of no speech nothing was said. Measured: this alone keeps noise from becoming readings."""

PROMPT = (
    "Tape readings, called in words. Top, middle, bottom, left, right, width, height, widths, heights. "
    "Twelve and a half. Thirty and a quarter, ninety and three quarters. Eighteen and an eighth, and five eighths. "
    "Sixty and a sixteenth, and eleven sixteenths. Seventy one flat. Eight feet four inches. A hundred and six. "
    "Box one, single gang, center, from the left, down from the top, up from the floor. Dead and tested, live. "
    "Yes. No. Undo. Say again. What's missing. Read it all back. Done. Next board. Hold. This is the bathroom. "
    "Left edge last board. Top edge ceiling. Right edge outside corner, wall."
)
"""Shown to the decoder as what was said before: every place and command once, in words. Digits here do harm."""


def whisper_ear(folder: Path, prompt: str = PROMPT, threads: int = 2) -> WholeEar:
    """Whisper, from its model's folder. Raises as `Encoder` does."""
    encoder = whisper_encoder(folder, threads)
    decoder = Decoder(encoder, folder, prompt)

    def read(encoded: Encoded, frames: Frames) -> tuple[Hearing, float]:
        found, surety = decoder.decode(encoded)
        seconds = spoken_seconds(frames)
        return Hearing(merged(unrepeated(one, seconds) for one in found), "", log_probability=surety), 0.0

    return WholeEar(f"whisper ({encoder.name})", EarKind.WHISPER, encoder, read)


SHORTEST_WORD_SECONDS = 0.27
"""Words that would have taken less time than this each were not all spoken."""


def unrepeated(hypothesis: Hypothesis, seconds: float) -> Hypothesis:
    """The hypothesis without what the decoder made up by repeating the whole utterance ("yes yes" for a short "yes").

    Only where so many words can't have been spoken in so many seconds: "eight eight", really said, stays.
    """
    words = hypothesis.words.split()
    for size in range(1, len(words) // 2 + 1):
        repeated = len(words) % size == 0 and words == words[:size] * (len(words) // size)
        if repeated and seconds < SHORTEST_WORD_SECONDS * len(words):
            return Hypothesis(" ".join(words[:size]), hypothesis.probability)
    return hypothesis


class Decoder:
    """The beam search over an encoded utterance, with the model's own tokens."""

    def __init__(self, encoder: Encoder, folder: Path, prompt: str) -> None:
        self._model = encoder.model
        try:
            tokens = TextTokens(folder / "tokenizer.json")
            self._prompt = _prompt_tokens(tokens, prompt)
        except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
            raise BadInput(Trouble(Wrong.WHISPER_TOKENS, folder=folder)) from error
        self._texts = tokens.texts()
        self._digits = tokens.with_digits()
        """Readings come as words, which the grammar knows."""

    def decode(self, encoded: Encoded) -> tuple[tuple[Hypothesis, ...], float | None]:
        """The hypotheses and the mean log probability of a token of the best one (None where no speech was in it)."""
        result = self._model.generate(
            encoded.view,
            [self._prompt],
            beam_size=BEAM,
            num_hypotheses=BEAM,
            max_length=len(self._prompt) + NEW_TOKENS,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_tokens=[-1, *self._digits],
        )[0]
        if result.no_speech_prob > NO_SPEECH:
            return (), None
        return self._probable(result), float(result.scores[0])

    def _probable(self, result: Any) -> tuple[Hypothesis, ...]:
        """Shares of the ten hypotheses by total log probability: mean score by length, the end token counted."""
        totals = [score * (len(tokens) + 1) for score, tokens in zip(result.scores, result.sequences_ids, strict=True)]
        weights = [exp(total - max(totals)) for total in totals]
        whole = sum(weights)
        return merged(
            Hypothesis(plain_words(self._texts.of(tokens)), weight / whole)
            for tokens, weight in zip(result.sequences_ids, weights, strict=True)
        )


def _prompt_tokens(tokens: TextTokens, prompt: str) -> list[int]:
    """What the decoder starts from: the prompt as previous text, if there is one, then the start of this utterance."""
    before, *start = (tokens.number(name) for name in ("<|startofprev|>", "<|startoftranscript|>", "<|notimestamps|>"))
    return [before, *tokens.encode(" " + prompt), *start] if prompt else start


_CLASSES = re.compile(r" ?L+| ?N+| ?[^LNS ]+|[S ]+(?![^S ])|[S ]+")
_SHORT = re.compile(r"'(?:[stmd]|re|ve|ll)")


class TextTokens:
    """The table of one model. `ValueError` or `KeyError` where the file isn't one of its kind."""

    def __init__(self, file: Path) -> None:
        table = json.loads(file.read_text(encoding="utf-8"))
        self._numbers: dict[str, int] = table["model"]["vocab"]
        self._special = {added["content"]: int(added["id"]) for added in table["added_tokens"]}
        pairs = (merge.split(" ") if isinstance(merge, str) else merge for merge in table["model"]["merges"])
        self._ranks = {(first, second): rank for rank, (first, second) in enumerate(pairs)}
        self._signs = dict(enumerate(_byte_signs()))

    def number(self, name: str) -> int:
        """The id of a token that isn't text, such as `<|notimestamps|>`."""
        return self._special[name]

    def encode(self, text: str) -> list[int]:
        """The ids of a text."""
        return [self._numbers[token] for word in _words(text) for token in self._joined(word)]

    def texts(self) -> TokenTexts:
        """The texts of the ids, those that are no text left out."""
        bytes_of = {sign: byte for byte, sign in self._signs.items()}
        texts = {number: token for token, number in self._numbers.items() if token not in self._special}
        return TokenTexts(bytes(map(bytes_of.__getitem__, texts.get(number, ""))) for number in range(max(texts) + 1))

    def with_digits(self) -> list[int]:
        """Every token with a digit in it."""
        return sorted(number for token, number in self._numbers.items() if any(sign.isdigit() for sign in token))

    def _joined(self, word: str) -> list[str]:
        """The tokens of a word: of all neighbors the pair of the lowest rank is joined, over and over."""
        parts = [self._signs[byte] for byte in word.encode()]
        while len(parts) > 1:
            rank, pair = min((self._ranks.get(pair, len(self._ranks)), pair) for pair in pairwise(parts))
            if rank == len(self._ranks):
                break
            parts = list(_with_pair(parts, pair))
        return parts


class TokenTexts:
    """What ids mean, in one run of bytes: all that is needed once the prompt is ids, in a thirtieth of the memory."""

    def __init__(self, texts: Iterable[bytes]) -> None:
        pieces = list(texts)
        self._bytes = b"".join(pieces)
        self._ends = array("i", accumulate(map(len, pieces), initial=0))

    def of(self, numbers: Iterable[int]) -> str:
        """The text of ids; those that are no text are passed over, and bytes that are none show as a sign of that."""
        known = (number for number in numbers if number < len(self._ends) - 1)
        pieces = (self._bytes[self._ends[number] : self._ends[number + 1]] for number in known)
        return b"".join(pieces).decode("utf-8", "replace")


def _with_pair(parts: list[str], pair: tuple[str, str]) -> Iterator[str]:
    place = 0
    while place < len(parts):
        both = tuple(parts[place : place + 2]) == pair
        yield "".join(parts[place : place + 2]) if both else parts[place]
        place += 2 if both else 1


def _words(text: str) -> Iterator[str]:
    """The pieces that are tokenized by themselves: letters, numbers, other signs, each with the space before it; a
    shortened word such as "'s"; further spaces.
    """
    classes = "".join(map(_class, text))
    place = 0
    while place < len(text):
        found = _SHORT.match(text, place) or _CLASSES.match(classes, place)
        assert found is not None
        yield text[place : found.end()]
        place = found.end()


def _class(char: str) -> str:
    if char == " ":
        return " "
    space = char.isspace() and not "\x1c" <= char <= "\x1f"  # Python's idea of space is wider than Unicode's
    return "L" if char.isalpha() else "N" if char.isnumeric() else "S" if space else "O"


def _byte_signs() -> list[str]:
    """The character that stands for each byte: itself where it can be seen, else one from 256 on."""
    seen = {*range(ord("!"), ord("~") + 1), *range(ord("¡"), ord("¬") + 1), *range(ord("®"), ord("ÿ") + 1)}
    hidden = iter(range(256, 512))
    return [chr(byte if byte in seen else next(hidden)) for byte in range(256)]
