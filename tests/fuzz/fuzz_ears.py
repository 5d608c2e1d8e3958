"""Any bytes for a recording, any files for a model folder, guided by coverage: taken, or refused with a sentence.

Run from the top of the source tree, with atheris (Apache-2.0) installed: `python tests/fuzz/fuzz_ears.py
-max_total_time=120 -max_len=400`. It stops at the first input that breaks a promise and writes it down.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

import atheris

sys.path.insert(0, str(Path(__file__).parents[2]))
with atheris.instrument_imports(include=["fieldvoice"]):
    from fieldvoice.ears import models, personal
    from fieldvoice.ears.wav import read_wav, stream_wav, wav_seconds
    from fieldvoice.errors import BadInput, FieldvoiceError

PLACE = Path(tempfile.mkdtemp())
RATES = (1_000, 8_000, 16_000, 22_050, 96_000, 192_000, 4_000_000_000)
KINDS = (0, 1, 2, 3, 6, 7, 17, 0x55, 0xFFFE)
NAMES = (*models.REQUIRED["vosk"], *models.REQUIRED["whisper"], models.SUMS, "graph/HCLr.fst", "graph/HCLG.fst", "am")


def wav(data: atheris.FuzzedDataProvider) -> bytes:
    """A head with fields of all sorts and some sound, or any bytes at all."""
    if not data.ConsumeBool():
        return bytes(data.ConsumeBytes(400))
    channels, bits = data.ConsumeIntInRange(0, 9), data.PickValueInList([0, 1, 8, 12, 16, 24, 32, 64])
    rate, kind = data.PickValueInList(list(RATES)), data.PickValueInList(list(KINDS))
    sound = bytes(data.ConsumeBytes(300))
    size = data.PickValueInList([len(sound), 0, 0xFFFFFFFF, len(sound) + 1, 1 << 30])
    frame = channels * bits // 8
    head = b"".join(
        number.to_bytes(width, "little")
        for number, width in ((kind, 2), (channels, 2), (rate, 4), (rate * frame % (1 << 32), 4), (frame, 2), (bits, 2))
    )
    extra: bytes = data.PickValueInList(
        [b"", b"LIST\x04\0\0\0abcd", b"fact\x04\0\0\0\xff\xff\xff\xff", b"junk\xff\xff\xff\x7f"]
    )
    chunks: bytes = b"fmt \x10\0\0\0" + head + extra + b"data" + size.to_bytes(4, "little") + sound
    return b"RIFF" + (4 + len(chunks)).to_bytes(4, "little") + b"WAVE" + chunks


def recording(data: atheris.FuzzedDataProvider) -> None:
    """Read whole, in blocks, and measured: the same answer, or a sentence."""
    file = PLACE / "a.wav"
    file.write_bytes(wav(data))
    with suppress(BadInput):
        seconds = wav_seconds(file)
        sound = read_wav(file)
        assert abs(sound.seconds - seconds) < 0.01
        assert sum(len(block) for block in stream_wav(file)) == len(sound.frames)


def model(data: atheris.FuzzedDataProvider) -> None:
    """A folder with some of the files that a model has."""
    folder = PLACE / "model"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    for _ in range(data.ConsumeIntInRange(0, 9)):
        file = folder / data.PickValueInList(list(NAMES))
        with suppress(OSError):
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data.ConsumeBytes(60))
    for recognizer in models.REQUIRED:
        with suppress(FieldvoiceError):
            found = models.find(recognizer, folder)
            assert not models.lacking(recognizer, folder)
            models.verified(found)
    (folder / personal.STATEMENT).write_bytes(data.ConsumeBytes(100))
    assert personal.kept(folder).change is None


def one_input(raw: bytes) -> None:
    """One of the two."""
    data = atheris.FuzzedDataProvider(raw)
    (recording if data.ConsumeBool() else model)(data)


if __name__ == "__main__":
    atheris.Setup(sys.argv, one_input)
    atheris.Fuzz()
