"""`python -m training`: speech from the grammar (`speak`), an ear fitted to it (`fit`), its files (`write`), or all of
these (`retrain`).
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import click

from fieldvoice.language import vocabulary
from training.calls import call
from training.corpus import SHARES, Corpus, clips_of, orders, synthesize
from training.labels import Labels
from training.phrases import phrases
from training.splits import Split
from training.texts import Texts, other_sentences, unrelated


@click.group()
def main() -> None:
    """Make the reading ear anew."""


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--clips", default=12_000, show_default=True, help="Utterances to synthesize.")
@click.option("--split", default=Split.TRAIN, type=click.Choice(Split), show_default=True)
@click.option("--engine", "engines", multiple=True, default=tuple(SHARES), help="Only these; again for more.")
@click.option("--seconds", default=3_600.0, show_default=True, help="Stop after this long, with what there is.")
@click.option("--processes", default=1, show_default=True)
@click.option("--device", default="cpu", show_default=True, help="Torch's device, for the neural voice: cpu or cuda.")
@click.option("--seed", default=11, show_default=True)
def speak(
    out: Path,
    clips: int,
    split: Split,
    engines: tuple[str, ...],
    seconds: float,
    processes: int,
    device: str,
    seed: int,
) -> None:
    """Have the voices of a split say phrases of the grammar, spoilt ones and talk; one file OUT."""
    labels = Labels.of(vocabulary())
    sentences = other_sentences(labels.knows)
    talk = sentences + unrelated(labels.unlike(), len(sentences), seed)
    texts = Texts(call, phrases(), vocabulary(), talk)
    said = Corpus(tuple(synthesize(orders(texts, split, clips, seed, engines), processes, seconds, device)))
    said.save(out, processes)
    click.echo(f"{len(said.clips)} clips of {dict(Counter(clip.voice.engine for clip in said.clips))}")


@main.command("fit")
@click.argument("out", type=click.Path(path_type=Path))
@click.argument("corpora", type=click.Path(path_type=Path, exists=True), nargs=-1, required=True)
@click.option("--encoder", "model", type=click.Path(path_type=Path, exists=True), help="Default: the one installed.")
@click.option("--seconds", default=900.0, show_default=True, help="How long to train.")
@click.option("--faith", default=1.0, show_default=True, help="How firmly the encoder is held to clean clips.")
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.option("--size", default="384x4x15", show_default=True, help="The head's width x depth x kernel.")
@click.option("--seed", default=11, show_default=True)
def fit_ear(
    out: Path,
    corpora: tuple[Path, ...],
    model: Path | None,
    seconds: float,
    faith: float,
    device: str,
    size: str,
    seed: int,
) -> None:
    """Fit encoder and head to the speech of CORPORA in noise; what was trained is kept in the folder OUT."""
    import torch

    from training.encoder import Encoder, installed
    from training.export import keep
    from training.fit import Plan, fit
    from training.model import Head
    from training.site import Site

    torch.manual_seed(seed)
    torch.set_float32_matmul_precision("high")
    torch.backends.cuda.enable_cudnn_sdp(enabled=False)  # it prepares for each shape anew
    labels = Labels.of(vocabulary())
    width, depth, kernel = map(int, size.split("x"))
    head = Head(labels.other + 1, len(labels.phones) + 1, width, kernel, depth).to(device)
    site = Site(clips_of(corpora), device, seed)
    ear = fit(site, Encoder(model or installed()).to(device), head, labels, Plan(seconds, faith=faith), click.echo)
    keep(ear.encoder, ear.head, out)


@main.command("write")
@click.argument("out", type=click.Path(path_type=Path, exists=True))
@click.argument("corpora", type=click.Path(path_type=Path, exists=True), nargs=-1, required=True)
@click.option("--into", type=click.Path(path_type=Path), help="Default: OUT.")
def write(out: Path, corpora: tuple[Path, ...], into: Path | None) -> None:
    """Write what was trained on CORPORA and kept in OUT as the package reads it."""
    from training.export import export

    facts = {"clips": dict(Counter(clip.voice.engine for clip in clips_of(corpora)))}
    export(out, Labels.of(vocabulary()), into or out, facts)


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--clips", default=20_000, show_default=True, help="Utterances to synthesize.")
@click.option("--seconds", default=900.0, show_default=True, help="How long to train.")
@click.option("--processes", default=1, show_default=True, help="That synthesize.")
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.pass_context
def retrain(context: click.Context, out: Path, clips: int, seconds: float, processes: int, device: str) -> None:
    """All in one go: the ear into the folder OUT, its speech beside it."""
    corpus = out / "speech.corpus"
    out.mkdir(parents=True, exist_ok=True)
    context.invoke(speak, out=corpus, clips=clips, processes=processes, device=device)
    context.invoke(fit_ear, out=out, corpora=(corpus,), seconds=seconds, device=device)
    context.invoke(write, out=out, corpora=(corpus,))


if __name__ == "__main__":
    main()
