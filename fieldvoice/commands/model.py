"""`model`: which recognizers' models are here, and whether their files are what they should be."""

from __future__ import annotations

import click

from fieldvoice.commands import options
from fieldvoice.commands.output import emit, show, tell
from fieldvoice.errors import BadInput


@click.command()
@click.option("--fetch", "wanted", metavar="NAME", help="Fetch a Vosk model by its name first; needs a network, once.")
@click.option("--verify", is_flag=True, help="Check every file's SHA-256; exit status 65 where one differs.")
@options.as_json
def model(wanted: str | None, *, verify: bool, as_json: bool) -> int:
    """List the recognizers' models on this machine, with where each came from.

    A model of your own is found through FIELDVOICE_MODELS, a folder that holds it.
    """
    from fieldvoice.ears import models
    from fieldvoice.wording.troubles import not_the_file

    if wanted is not None:
        from fieldvoice.ears.fetch import fetch, known

        tell(f"Fetching {wanted}.")
        fetch(known(wanted), Tenths())
    here = tuple(models.installed())
    wrong = {one.folder: tuple(map(not_the_file, models.exchanged(one))) for one in here} if verify else {}
    if as_json:
        for one in here:
            emit(
                {
                    "name": one.name,
                    "recognizer": one.recognizer,
                    "folder": str(one.folder),
                    "origin": one.origin,
                    "sums_known": bool(one.sums),
                    "problems": list(wrong[one.folder]) if verify else None,
                },
                lines=True,
            )
    else:
        for one in here:
            state = (
                ("; " + ("verified" if one.sums else "no checksums to verify it by"))
                if verify and not wrong[one.folder]
                else ""
            )
            show(f"{one.recognizer}: {one.name}, from {one.origin}, in {one.folder}{state}")
    troubles = [problem for problems in wrong.values() for problem in problems]
    if troubles:
        raise BadInput(f"{' '.join(troubles)} Remove that model and get it again before you rely on what it hears.")
    return 0 if here else _none()


class Tenths:
    """Tells how much of a model is here, each time that another tenth of it is."""

    def __init__(self) -> None:
        self._told = 0

    def __call__(self, here: int, whole: int) -> None:
        """Of so many bytes so many are here."""
        tenth = 10 * here // max(whole, 1)
        if tenth > self._told:
            self._told = tenth
            tell(f"  {here / 1e6:.0f} of {whole / 1e6:.0f} MB")


def _none() -> int:
    from fieldvoice.ears import models

    for recognizer in models.REQUIRED:
        models.find(recognizer)
    return 0
