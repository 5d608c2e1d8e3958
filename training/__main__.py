"""`python -m training`: speech from the grammar (`speak`), an ear fitted to it (`fit`), its files (`write`), or all of
these (`retrain`).
"""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import click

from training.calls import call, close, of_danger
from training.corpus import SHARES, Corpus, clips_of, orders, synthesize
from training.labels import Labels, learned
from training.phrases import of_each_word, phrases
from training.splits import Split
from training.texts import Texts, mixed, other_sentences, unrelated

_OF_EACH_WORD, _CLOSE = 0.5, 0.25
"""Of the forms so many are drawn word by word, so that a rare word is heard as often as a common one; of the calls so
many hold a teen, a ten or feet.
"""

_GUIDE_ALONE = 500
"""Steps in which an ear that is trained on fits its phones alone."""


@click.group()
def main() -> None:
    """Make the reading ear anew."""


_MORE = click.option(
    "--more",
    type=click.Path(path_type=Path, exists=True),
    help="Words beyond the language's to be learned, one a line.",
)


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@_MORE
@click.option("--clips", default=12_000, show_default=True, help="Utterances to synthesize.")
@click.option("--split", default=Split.TRAIN, type=click.Choice(Split), show_default=True)
@click.option("--engine", "engines", multiple=True, default=tuple(SHARES), help="Only these; again for more.")
@click.option("--seconds", default=3_600.0, show_default=True, help="Stop after this long, with what there is.")
@click.option("--processes", default=1, show_default=True)
@click.option("--device", default="cpu", show_default=True, help="Torch's device, for the neural voice: cpu or cuda.")
@click.option("--holding", multiple=True, help="Calls and forms that hold one of these words alone; again for more.")
@click.option("--danger", default=0.0, show_default=True, help="This share of calls and forms is of it.")
@click.option("--small", default=0.0, show_default=True, help="This share of texts is of small words of talk.")
@click.option("--seed", default=11, show_default=True)
def speak(
    out: Path,
    more: Path | None,
    clips: int,
    split: Split,
    engines: tuple[str, ...],
    seconds: float,
    processes: int,
    device: str,
    holding: tuple[str, ...],
    danger: float,
    small: float,
    seed: int,
) -> None:
    """Have the voices of a split say phrases of the grammar, spoilt ones and talk; one file OUT."""
    labels = Labels.of(learned(more))
    sentences = other_sentences(labels.knows)
    talk = sentences + unrelated(labels.unlike(), len(sentences), seed)
    forms = mixed(phrases(), of_each_word(phrases(), learned(more)), _OF_EACH_WORD)
    warned = of_danger(phrases().of("danger"))
    calls = mixed(mixed(call, close, _CLOSE), warned, danger)
    texts = Texts(calls, mixed(forms, warned, danger), learned(more), talk, small)
    if holding:
        these = of_each_word(phrases(), holding)
        texts = Texts(these, these, holding, talk)
    said = Corpus(tuple(synthesize(orders(texts, split, clips, seed, engines), processes, seconds, device)))
    said.save(out, processes)
    click.echo(f"{len(said.clips)} clips of {dict(Counter(clip.voice.engine for clip in said.clips))}")


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--an4", type=click.Path(path_type=Path, exists=True), help="A copy of github:cmusphinx/an4.")
@click.option("--commands", type=click.Path(path_type=Path, exists=True), help="A folder speech_commands_v0.01.")
@click.option("--digits", type=click.Path(path_type=Path, exists=True), help="The digits' folder `recordings`.")
@click.option("--sounds", type=click.Path(path_type=Path, exists=True), help="ESC-10 at its commit 553c8f1.")
def people(out: Path, an4: Path | None, commands: Path | None, digits: Path | None, sounds: Path | None) -> None:
    """Keep the speech of people and the real sounds that lie here, split by person, in the folder OUT: never in a
    repository.
    """
    from training import people as recorded
    from training.parting import parted

    out.mkdir(parents=True, exist_ok=True)
    dice = random.Random(11)  # noqa: S311 - a corpus, not a secret
    readers = ((recorded.an4, an4), (recorded.commands, commands), (recorded.digits, digits))
    found = [one for reader, folder in readers if folder for one in reader(folder)]
    for split in Split:
        clips = tuple(recorded.clip_of(one) for one in found if one.split is split)
        if split is Split.TRAIN:
            clips = (*clips, *recorded.joined(clips, len(clips), dice), *parted(clips))
        if clips:
            Corpus(clips).save(out / f"people_{split}.corpus")
        if sounds:
            recorded.keep_sounds(recorded.real_sounds(sounds, split), out / f"sounds_{split}.ogg")
        click.echo(f"{split}: {len(clips)} clips by {len({clip.voice.name for clip in clips})} people")


@main.command("fit")
@click.argument("out", type=click.Path(path_type=Path))
@click.argument("corpora", type=click.Path(path_type=Path, exists=True), nargs=-1, required=True)
@click.option("--encoder", "model", type=click.Path(path_type=Path, exists=True), help="Whisper's, or that of .npz.")
@_MORE
@click.option("--start", type=click.Path(path_type=Path, exists=True), help="Begin with the ear in this folder.")
@click.option("--sounds", type=click.Path(path_type=Path, exists=True), help="Real sounds, as `people` keeps them.")
@click.option("--rate", default=1.0, show_default=True, help="So many times the usual rates.")
@click.option("--seconds", default=900.0, show_default=True, help="How long to train.")
@click.option("--faith", default=1.0, show_default=True, help="How firmly the encoder is held to clean clips.")
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.option("--size", default="384x4x15", show_default=True, help="The head's width x depth x kernel.")
@click.option("--seed", default=11, show_default=True)
def fit_ear(
    out: Path,
    corpora: tuple[Path, ...],
    model: Path | None,
    more: Path | None,
    start: Path | None,
    sounds: Path | None,
    rate: float,
    seconds: float,
    faith: float,
    device: str,
    size: str,
    seed: int,
) -> None:
    """Fit encoder and head to the speech of CORPORA in noise; what was trained is kept in the folder OUT. A run that
    was interrupted goes on where it was.
    """
    import torch

    from fieldvoice.ears.reading_head.head import ReadingHead, encoder_folder
    from training.encoder import Encoder, installed
    from training.export import keep
    from training.fit import ENCODER_RATE, RATE, Listener, Plan, fit
    from training.model import Head, begun
    from training.people import kept_sounds
    from training.site import Site

    torch.manual_seed(seed)
    torch.set_float32_matmul_precision("high")
    torch.backends.cuda.enable_cudnn_sdp(enabled=False)  # it prepares for each shape anew
    labels = Labels.of(learned(more))
    width, depth, kernel = map(int, size.split("x"))
    head = Head(labels.other + 1, len(labels.phones) + 1, width, kernel, depth)
    whisper = Encoder(model or installed())
    encoder = Encoder(encoder_folder(start)) if start else whisper
    if start:
        known = ReadingHead.load(start)
        head = begun(head, known.weights, list(known.labels), list(learned(more)))
    site = Site(clips_of(corpora), device, seed, kept_sounds(sounds) if sounds else ())
    plan = Plan(seconds, RATE * rate, ENCODER_RATE * rate, faith=faith, guide_alone=_GUIDE_ALONE if start else 0)
    out.mkdir(parents=True, exist_ok=True)
    begin = Listener(encoder, head).to(device)
    ear = fit(site, begin, whisper, labels, plan, click.echo, out / "going_on.pt")
    keep(ear.encoder, ear.head, out)


@main.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.argument("trained", type=click.Path(path_type=Path, exists=True))
@click.argument("start", type=click.Path(path_type=Path, exists=True))
@_MORE
@click.option("--share", default=0.5, show_default=True, help="Of what was trained, 0 to 1; the rest is START's.")
def blend(out: Path, trained: Path, start: Path, more: Path | None, share: float) -> None:
    """Keep in OUT the mean of the weights that TRAINED holds and of the ear START, from which it was trained."""
    from fieldvoice.ears.reading_head.head import ReadingHead, encoder_folder
    from training.encoder import Encoder
    from training.export import TRAINED_ENCODER, keep, kept_head
    from training.model import begun, drawn_together

    known = ReadingHead.load(start)
    encoder, head = Encoder(trained / TRAINED_ENCODER), kept_head(trained, Labels.of(learned(more)))
    before = begun(kept_head(trained, Labels.of(learned(more))), known.weights, list(known.labels), list(learned(more)))
    drawn_together(encoder, Encoder(encoder_folder(start)), share)
    drawn_together(head, before, share)
    keep(encoder, head, out)


@main.command("write")
@click.argument("out", type=click.Path(path_type=Path, exists=True))
@click.argument("corpora", type=click.Path(path_type=Path, exists=True), nargs=-1, required=True)
@_MORE
@click.option("--into", type=click.Path(path_type=Path), help="Default: OUT.")
def write(out: Path, corpora: tuple[Path, ...], more: Path | None, into: Path | None) -> None:
    """Write what was trained on CORPORA and kept in OUT as the package reads it."""
    from training.export import export

    facts = {"clips": dict(Counter(clip.voice.engine for clip in clips_of(corpora)))}
    export(out, Labels.of(learned(more)), into or out, facts)


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
