"""`python -m training`: speech from the grammar (`speak`), a head fitted to it (`fit`), or both (`retrain`)."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import click

from fieldvoice.language import vocabulary
from training.calls import call
from training.corpus import SHARES, Corpus, clips_of, orders, synthesize
from training.export import export
from training.labels import Labels
from training.phrases import phrases
from training.splits import Split
from training.stream import streamed
from training.texts import Texts, other_sentences


@click.group()
def main() -> None:
    """Make the reading head anew."""


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
    texts = Texts(call, phrases(), vocabulary(), other_sentences(labels.knows))
    said = Corpus(tuple(synthesize(orders(texts, split, clips, seed, engines), processes, seconds, device)))
    said.save(out, processes)
    click.echo(f"{len(said.clips)} clips of {dict(Counter(clip.voice.engine for clip in said.clips))}")


@main.command("fit")
@click.argument("out", type=click.Path(path_type=Path))
@click.argument("corpora", type=click.Path(path_type=Path, exists=True), nargs=-1, required=True)
@click.option("--encoder", "model", type=click.Path(path_type=Path, exists=True), help="Default: the one installed.")
@click.option("--seconds", default=480.0, show_default=True, help="How long to train.")
@click.option("--processes", default=1, show_default=True, help="That mix noise.")
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.option(
    "--size", "sizes", multiple=True, default=("384x6x15",), show_default=True, help="Width x depth x kernel."
)
@click.option("--seed", default=11, show_default=True)
def fit_heads(
    out: Path,
    corpora: tuple[Path, ...],
    model: Path | None,
    seconds: float,
    processes: int,
    device: str,
    sizes: tuple[str, ...],
    seed: int,
) -> None:
    """Fit a head of each size to the speech of CORPORA in noise; written to OUT, or to a folder by size in OUT."""
    clips = clips_of(corpora)
    with streamed(clips, processes, seed) as stream:
        import torch

        from training.encoder import Encoder, installed
        from training.fit import Plan, fit
        from training.model import Head

        torch.manual_seed(seed)
        labels = Labels.of(vocabulary())
        shapes = [tuple(map(int, size.split("x"))) for size in sizes]
        heads = [Head(labels.other + 1, len(labels.phones) + 1, w, k, depth).to(device) for w, depth, k in shapes]
        encoder = Encoder(model or installed(), device, rounded=True)
        fitted = fit(stream, encoder, heads, labels, Plan(seconds), click.echo)
    facts = {"clips": dict(Counter(clip.voice.engine for clip in clips)), "seconds": seconds}
    for size, head in zip(sizes, fitted, strict=True):
        export(head.state_dict(), labels, out if len(sizes) == 1 else out / size, {**facts, "size": size})


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--clips", default=17_000, show_default=True, help="Utterances to synthesize.")
@click.option("--seconds", default=480.0, show_default=True, help="How long to train.")
@click.option("--processes", default=1, show_default=True)
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.pass_context
def retrain(context: click.Context, out: Path, clips: int, seconds: float, processes: int, device: str) -> None:
    """Both in one go: the head into the folder OUT, its speech beside it."""
    corpus = out / "speech.corpus"
    out.mkdir(parents=True, exist_ok=True)
    context.invoke(speak, out=corpus, clips=clips, processes=processes, device=device)
    context.invoke(fit_heads, out=out, corpora=(corpus,), seconds=seconds, processes=processes, device=device)


if __name__ == "__main__":
    main()
