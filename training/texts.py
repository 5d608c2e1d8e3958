"""What the voices say: phrases of the language, such phrases spoilt, and talk that is none of it.

The sampler and the vocabulary come from `fieldvoice.language`, so whatever the grammar gains is trained with the next
run.
"""

from __future__ import annotations

import inspect
import random
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.language.speaking import number_words
from training.calls import SET_PHRASES
from training.splits import Split, split_of_text

Sampler = Callable[[random.Random], str]


class Said(StrEnum):
    """What a text is: a phrase of the language, one with words lost, doubled or foreign, talk, or nothing at all."""

    PHRASE = "phrase"
    SPOILT = "spoilt"
    TALK = "talk"
    NOTHING = "nothing"


def may_say(split: Split, words: str) -> bool:
    """Whether a text is the split's, or a set phrase or a lone word, which every split says."""
    return words in SET_PHRASES or " " not in words or split_of_text(words) is split


@dataclass(frozen=True, slots=True)
class Text:
    """Words to be said."""

    said: Said
    words: str


@dataclass(frozen=True, slots=True)
class Texts:
    """A source of texts: `call` samples what a crew calls, `phrase` every form of the language, `vocabulary` is its
    words, `talk` other sentences.
    """

    call: Sampler
    phrase: Sampler
    vocabulary: Sequence[str]
    talk: Sequence[Sequence[str]]
    small: float = 0.0
    """So large a share (0 to 1), put before all else, is of `small_talk`."""

    def draw(self, dice: random.Random, split: Split) -> Text:
        """One text of the split, in 100: 30 calls, 26 phrases of any form, 8 lone words of the language, 12 spoilt, 6
        lone words of none, 3 small words of any sentence and 15 bits of talk.
        """
        for text in self._endless(dice):
            if text.words and may_say(split, text.words):
                return text
        raise AssertionError  # the source never ends

    def _endless(self, dice: random.Random) -> Iterator[Text]:
        while True:
            if self.small and dice.random() < self.small:
                yield Text(Said.TALK, small_talk(dice))
                continue
            share = dice.random()
            if share < 0.30:
                yield Text(Said.PHRASE, self.call(dice))
            elif share < 0.56:
                yield Text(Said.PHRASE, self.phrase(dice))
            elif share < 0.64:
                yield Text(Said.PHRASE, dice.choice(self.vocabulary if dice.random() < 0.5 else LONE))
            elif share < 0.76:
                yield Text(Said.SPOILT, self._spoilt(dice))
            elif share < 0.82:
                yield Text(Said.TALK, dice.choice(dice.choice((dice.choice(self.talk), _NO_CALLS, NEAR))))
            elif share < 0.85:
                yield Text(Said.TALK, dice.choice(_SMALL))
            else:
                yield Text(Said.TALK, self._talk(dice))

    def _spoilt(self, dice: random.Random) -> str:
        if dice.random() < 0.4:
            return " ".join(dice.choice(self.vocabulary) for _ in range(dice.randint(1, 6)))
        if dice.random() < 0.1:
            return f"{WAKE} {self.call(dice)}"
        words = self.phrase(dice).split()
        place, kind = dice.randrange(len(words)), dice.random()
        if kind < 0.4 and len(words) > 1:
            del words[place]
        elif kind < 0.6:
            words.insert(place, dice.choice(self.vocabulary))
        else:
            words.insert(dice.choice([0, len(words), place]), dice.choice(_FILLERS))
        return " ".join(words)

    def _talk(self, dice: random.Random) -> str:
        if dice.random() < 0.5:
            return site_talk(dice)
        words = list(dice.choice(self.talk))
        start, length = dice.randrange(max(1, len(words) - 3)), dice.randint(1, 9)
        words = words[start : start + length]
        if dice.random() < 0.3:
            words.insert(dice.randrange(len(words) + 1), dice.choice([self.phrase(dice), dice.choice(_FILLERS)]))
        return " ".join(words)


def mixed(first: Sampler, second: Sampler, share: float) -> Sampler:
    """A sampler that draws so large a share (0 to 1) from the second."""
    return lambda dice: (second if dice.random() < share else first)(dice)


LONE = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "half",
    "yes", "yeah", "yep", "no", "nope", "wrong", "done", "hold", "undo", "help", "left", "right", "center", "live",
    "hot",
)  # fmt: skip
"""What is said alone most often, and most easily taken for something else."""
WAKE = "okay sheet"
"""The wake phrase that the guide names."""
_NO_CALLS = (
    "house", "bird", "cat", "dog", "tree", "bed", "happy", "wow", "go", "stop", "off", "on", "start", "enter", "erase",
    "coffee", "lunch", "radio", "truck", "ladder", "bucket", "tape", "knife", "pencil", "hello", "thanks", "please",
    "sorry", "maybe", "sure", "what", "why", "here", "there", "now", "later", "come on", "over here", "look out",
    "good morning", "see you", "never mind", "who knows", "got it", "not now", "get down", "get up", "let go",
    "mike", "joe", "anna", "carlos", "maria", "dave", "steve", "sam", "ben", "rosa", "hey joe", "come here mike",
)  # fmt: skip
"""What is shouted across a site, none of it to the ear."""
NEAR = (
    "life", "alive", "lie", "lied", "lies", "dive", "drive", "lime", "light", "line", "lined", "leave", "lift", "love",
    "wife", "knife", "lively", "hat", "hut", "heart", "hurt", "hit", "hop", "hall", "pot", "dot", "lot", "got", "cot",
    "shot", "what", "hunt", "tower", "flower", "shower", "hour", "pour", "powder", "bower", "bread", "bed", "head",
    "shed", "dad", "debt", "deck", "lead", "death", "maker", "bracket", "brake", "baker", "brick", "sock",
    "rock", "shop", "chalk", "shark", "shocking", "parks", "marks", "barks", "shoes", "goose", "loose", "use", "bolts",
    "bolt", "fold", "vault", "tests", "best", "nested", "rusted", "twisted", "yet", "guess", "less", "mess", "yell",
    "yard", "year", "yarn", "low", "show", "snow", "nose", "note", "go", "toe", "mow", "hate", "late", "date", "gate",
    "aid", "ace", "it", "at", "sick", "sticks", "thick", "mix", "sits", "picks", "fine", "fire", "file", "size", "by",
    "drive in", "pine", "mine", "night", "noun", "then", "pen", "den", "tin", "wonder", "want", "win", "when", "tree",
    "free", "fee", "sea", "for the", "door", "floor", "fought", "heaven", "eleven of", "severe", "zebra", "do",
    "dumb", "dawn", "down", "gun", "son", "hole", "home", "old", "kelp", "health", "hell", "self", "hemp",
    "lift it", "laughed", "lend", "loft", "ride", "rice", "rate", "senator", "enter", "sent her", "until",
    "android", "hands", "land", "hauled", "wrist", "rung", "strong", "long", "song", "alone", "along",
)  # fmt: skip
"""What differs by a sound or two from a word that is called alone, or from word of danger."""
_SMALL = (
    "the", "the", "the", "a", "a", "an", "is", "it", "of", "to", "in", "that", "this", "and", "or", "for", "with",
    "by", "be", "as", "are", "was", "if", "he", "we", "you", "they", "so", "too", "i", "my", "at", "but", "any",
)  # fmt: skip
"""What is left of a sentence that was cut off. Of nine bits of talk that were taken wrongly each was a lone "the",
heard as "yeah".
"""

_LONE_IN_TALK = (
    *_SMALL, "was", "well", "now", "just", "like", "want", "went", "what", "when", "then", "there", "them", "these",
    "those", "who", "how", "why", "oh", "ah", "hm", "huh", "eh", "ay", "us", "me", "his", "her", "has", "had", "have",
    "did", "does", "do", "were", "will", "would", "could", "can", "may", "might", "must", "from", "into", "than",
    "because", "though", "really", "right there", "anyway", "our", "your", "its", "an", "some", "such", "each", "even",
    "one of", "six of", "eight of", "two of them", "five or", "nine or", "no one", "none", "once", "won", "for", "to",
    "too", "ate", "tea", "see", "say", "day", "way", "they", "said", "set", "sit", "since", "ice", "eyes", "hi", "by",
)  # fmt: skip
_ANSWERED_IN_TALK = (
    "yeah i know", "yeah well", "yeah but", "yeah i mean", "oh yeah sure", "yeah over there", "yeah he did",
    "yeah yeah i heard you", "yes sir", "yes he was", "yep saw it", "no i don't know", "no way", "no he left",
    "no not you", "no problem", "nope never", "right behind you", "right here", "alright", "all right then", "wait up",
    "help me with this", "help him", "hold my coffee", "hold this for me", "done with lunch", "he's done with it",
    "well it was", "so anyway", "so it is", "is it", "was it", "was that you", "that was it", "and then", "and so",
    "of course", "it was", "it is", "in the", "of the", "to the", "and the", "that the", "is the", "at a", "for a",
    "i know", "i see", "you know", "you see", "we went", "we want", "we were", "they said", "the way", "the day",
)  # fmt: skip
"""Begun as an answer is, and yet talk."""


def small_talk(dice: random.Random) -> str:
    """A small word, or a few of them: what is left of talk that was cut off, most easily taken for a lone call."""
    share = dice.random()
    if share < 0.55:
        return dice.choice(_LONE_IN_TALK)
    if share < 0.85:
        return dice.choice(_ANSWERED_IN_TALK)
    return " ".join(dice.choice(_SMALL) for _ in range(2))


def shouted(dice: random.Random) -> str:
    """A word, or a few, of no call: small talk, what is shouted across a site, what differs by a sound from a call."""
    return dice.choice((small_talk(dice), dice.choice(_NO_CALLS), dice.choice(NEAR)))


_FILLERS = (
    "um",
    "uh",
    "okay",
    "so",
    "well",
    "hey",
    "the guys",
    "sheet",
    "cut it",
    "mark",
    "that one",
    "wait",
    "hold on",
)
_WHO = ("we", "you", "they", "he", "she", "the crew", "the boss", "my brother", "the painter", "the electrician")
_OPENERS = (
    "did you see",
    "where is",
    "can you hand me",
    "who took",
    "don't forget",
    "I'm looking for",
    "watch out for",
    "bring me",
)
_THINGS = (
    "the ladder", "that bucket", "another box of screws", "the radio", "my coffee", "the long blade", "the tape",
    "two sheets",
    "the truck keys", "the broom", "that extension cord", "the trim", "the mud", "the other bench", "the van",
    "the lift",
)  # fmt: skip
_TAILS = (
    "before lunch", "over there", "on the second floor", "by the door", "right now", "when you get a minute",
    "for the next room",
    "again", "tomorrow morning", "at half past nine", "in ten minutes", "at the end of the hall", "yesterday",
)  # fmt: skip
_DOINGS = (
    "is coming by at",
    "wants to finish by",
    "left around",
    "needs",
    "ordered",
    "already used",
    "is waiting for",
    "asked about",
)
_AMOUNTS = (
    "three o'clock", "noon", "twenty sheets", "half a pallet", "five more guys", "a hundred bucks", "eight thirty",
    "a dozen",
    "forty screws", "one more coat", "two days", "fifteen minutes",
)  # fmt: skip


_ORDERS = (
    "hand me", "hold", "lift", "turn", "grab", "move", "cut", "leave", "put down", "don't touch", "give him", "count",
    "push up", "slide over", "wait for", "flip",
)  # fmt: skip
_NAMES = ("", "", "", "joe", "mike", "anna", "carlos", "hey dave", "guys", "okay sam")
_COUNTS = (
    "it's {} degrees out here", "call me at {} {} {} {}", "he is {} years old", "channel {}", "{} o'clock", "aisle {}",
    "the game was {} to {}", "that's {} dollars", "apartment {}", "it's {} percent done", "page {}", "{} {} main",
    "we have {} guys", "bring {} screws", "take {} of those", "the {} second", "may {}", "number {} is next",
)  # fmt: skip


def order(dice: random.Random) -> str:
    """What somebody else is told to do, with the words of calls in it."""
    whom, thing = dice.choice(_NAMES), dice.choice(_THINGS)
    return f"{whom} {dice.choice(_ORDERS)} {thing} {dice.choice(('', dice.choice(_TAILS)))}".strip()


def counted(dice: random.Random) -> str:
    """A number that is no length."""
    sentence = dice.choice(_COUNTS)
    return sentence.format(*(number_words(dice.randint(1, 99)) for _ in range(4)))


def site_talk(dice: random.Random) -> str:
    """A sentence as it is said on a site, with numbers and trade words, yet no reading."""
    if dice.random() < 0.4:
        return " ".join(dice.choice((order, counted))(dice).split()).lower()
    if dice.random() < 0.5:
        return " ".join(
            [dice.choice(_OPENERS), dice.choice(_THINGS), *dice.choices([(), (dice.choice(_TAILS),)])[0]]
        ).lower()
    return f"{dice.choice(_WHO)} {dice.choice(_DOINGS)} {dice.choice(_AMOUNTS)} {dice.choice(_TAILS)}".lower()


def unrelated(words: Sequence[str], count: int, seed: int) -> list[list[str]]:
    """Rows of three to eight words drawn from all of these, so that no word of talk is a stranger to the ear."""
    dice = random.Random(seed)  # noqa: S311 - a corpus, not a secret
    return [dice.choices(words, k=dice.randint(3, 8)) for _ in range(count)]


def other_sentences(known: Callable[[str], bool]) -> list[list[str]]:
    """Sentences of no trade at all, from the documentation of Python's own library; only words that `known` accepts."""
    found = []
    for text in _documentation():
        for sentence in re.split(r"[.;:()\n\"`*]+", text.lower()):
            words = [word for word in re.findall(r"[a-z']+", sentence) if len(word) > 1 or word in "ai"]
            if len(words) >= 3 and all(map(known, words)):
                found.append(words)
    return found


def _documentation() -> Iterator[str]:
    import argparse
    import calendar
    import datetime as dt
    import email.message
    import fractions
    import logging
    import mailbox
    import pathlib
    import random as dice
    import shutil
    import statistics
    import textwrap
    import zipfile

    for module in (
        argparse, calendar, dt, email.message, fractions, logging, mailbox, pathlib, dice, shutil, statistics,
        textwrap, zipfile,
    ):  # fmt: skip
        for thing in (module, *vars(module).values()):
            yield from _docstrings(thing)


def _docstrings(thing: object) -> Iterator[str]:
    yield inspect.getdoc(thing) or ""
    if inspect.isclass(thing):
        for part in vars(thing).values():
            yield inspect.getdoc(part) or ""
