"""Words to phonemes of the International Phonetic Alphabet, by espeak-ng's library, which comes with fieldvoice."""

from __future__ import annotations

import ctypes
import functools
from collections.abc import Iterator, Sequence

_SILENT = 2  # AUDIO_OUTPUT_SYNCHRONOUS: no sound device is opened
_UTF8, _IPA = 1, 2


@functools.cache
def _library() -> ctypes.CDLL:
    import espeakng_loader

    library = ctypes.CDLL(espeakng_loader.get_library_path())
    library.espeak_Initialize(_SILENT, 0, espeakng_loader.get_data_path().encode(), 0)
    library.espeak_TextToPhonemes.restype = ctypes.c_char_p
    return library


def phonemes(texts: Sequence[str], accent: str) -> Iterator[str]:
    """Each text as `accent` (a voice of espeak-ng: en is British, en-us American) says it."""
    library = _library()
    if library.espeak_SetVoiceByName(accent.encode()):
        raise ValueError(accent)
    for text in texts:
        rest = ctypes.c_char_p(text.encode())
        clauses = []
        while rest.value:
            clauses.append(library.espeak_TextToPhonemes(ctypes.byref(rest), _UTF8, _IPA).decode())
        yield " ".join(" ".join(clauses).split())
