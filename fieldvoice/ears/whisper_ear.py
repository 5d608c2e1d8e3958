"""Whisper, its decoder primed with the words of the job."""

from __future__ import annotations

from math import exp
from pathlib import Path
from typing import Any

from fieldvoice.ears.ear import merged, plain_words
from fieldvoice.ears.encoder import Encoded, Encoder, whisper_encoder
from fieldvoice.ears.sound import Frames, spoken_seconds
from fieldvoice.ears.tokens import TextTokens
from fieldvoice.ears.whole import WholeEar
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
            self._tokens = TextTokens(folder / "tokenizer.json")
            self._prompt = _prompt_tokens(self._tokens, prompt)
        except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
            raise BadInput(Trouble(Wrong.WHISPER_TOKENS, folder=folder)) from error
        self._digits = self._tokens.with_digits()
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
            Hypothesis(plain_words(self._tokens.decode(tokens)), weight / whole)
            for tokens, weight in zip(result.sequences_ids, weights, strict=True)
        )


def _prompt_tokens(tokens: TextTokens, prompt: str) -> list[int]:
    """What the decoder starts from: the prompt as previous text, if there is one, then the start of this utterance."""
    before, *start = (tokens.number(name) for name in ("<|startofprev|>", "<|startoftranscript|>", "<|notimestamps|>"))
    return [before, *tokens.encode(" " + prompt), *start] if prompt else start
