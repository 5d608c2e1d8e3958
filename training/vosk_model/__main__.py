"""`python -m training.vosk_model retrain SPEECH OUT`: the whole model, from what `python -m training speak` made.

Or step by step, since fitting wants a GPU and needs neither the dictionary nor the grammar: `words`, `fit`, `folder`.
"""

from __future__ import annotations

import functools
import shutil
from collections.abc import Callable
from pathlib import Path

import click

from training.vosk_model.lexicon import Lexicon

Command = Callable[..., None]

_FILE = click.Path(path_type=Path, dir_okay=False)
_FOLDER = click.Path(path_type=Path, file_okay=False)
_LEXICON, _NET, _LOG = "lexicon.json", "net.pt", "fit.jsonl"


def _together(*parts: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """Arguments or options that several commands have, as one decorator."""
    return lambda command: functools.reduce(lambda made, part: part(made), reversed(parts), command)


_from_speech = _together(
    click.argument("corpora", type=_FILE, nargs=-1, required=True),
    click.argument("out", type=_FOLDER),
)
_training = _together(
    click.option("--seconds", default=480.0, show_default=True, help="How long to train."),
    click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda."),
    click.option("--seed", default=21, show_default=True),
)


@click.group()
def main() -> None:
    """Make the Vosk model anew. OUT is the folder of all that is made; the model itself is OUT/model."""


@main.command()
@_from_speech
def words(corpora: tuple[Path, ...], out: Path) -> None:
    """Look up how every word of the grammar and of the CORPORA sounds; writes OUT/lexicon.json."""
    _words(corpora, out)


@main.command()
@_from_speech
@_training
def fit(corpora: tuple[Path, ...], out: Path, seconds: float, device: str, seed: int) -> None:
    """Train on the CORPORA with OUT/lexicon.json; writes OUT/net.pt and the log OUT/fit.jsonl."""
    _fit(corpora, out, seconds, device, seed)


@main.command()
@click.argument("out", type=_FOLDER)
def folder(out: Path) -> None:
    """Write OUT/model from OUT/net.pt and OUT/lexicon.json."""
    _folder(out)


@main.command()
@_from_speech
@_training
def retrain(corpora: tuple[Path, ...], out: Path, seconds: float, device: str, seed: int) -> None:
    """All three steps."""
    _words(corpora, out)
    _fit(corpora, out, seconds, device, seed)
    _folder(out)


def _words(corpora: tuple[Path, ...], out: Path) -> None:
    from fieldvoice.language import vocabulary
    from training.corpus import clips_of

    out.mkdir(parents=True, exist_ok=True)
    texts = {clip.text.words for clip in clips_of(corpora)}
    lexicon = Lexicon.of(vocabulary(), texts)
    lexicon.save(out / _LEXICON)
    click.echo(
        f"{len(lexicon.sounds)} words, {len(lexicon.vocabulary)} of them the grammar's, {len(lexicon.phones)} phones"
    )


def _fit(corpora: tuple[Path, ...], out: Path, seconds: float, device: str, seed: int) -> None:
    import torch

    from training.corpus import clips_of
    from training.site import Site
    from training.vosk_model.fit import Plan, fit

    clips = clips_of(corpora)
    texts = sorted({clip.text.words for clip in clips})
    lexicon = Lexicon.load(out / _LEXICON)
    with (out / _LOG).open("w", encoding="utf-8") as log:
        net = fit(iter(Site(clips, device, seed)), texts, lexicon, Plan(seconds), device, log, seed)
    torch.save({name: value.cpu() for name, value in net.state_dict().items()}, out / _NET)


def _folder(out: Path) -> None:
    import torch

    from training.vosk_model.folder import write_folder
    from training.vosk_model.graphs import Costs
    from training.vosk_model.net import Net

    lexicon = Lexicon.load(out / _LEXICON)
    net = Net.of(torch.load(out / _NET, weights_only=True), len(lexicon.phones))
    write_folder(out / "model", net.eval(), lexicon, Costs())
    shutil.copy(Path(__file__).with_name("CARD.md"), out / "model" / "README.md")


if __name__ == "__main__":
    main()
