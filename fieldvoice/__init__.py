"""fieldvoice: spoken or typed tape readings in, proved cut instructions for gypsum board out."""

import os
from pathlib import Path

__version__ = "0.2.0"

# The matrices here are small: where several threads share one, they mostly wait for each other (measured on two cores
# that other work shares: a look at an utterance takes three times as long). Read once, when numpy is imported.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

# The encoders' library keeps the code that it makes for each length of sound, of 1,024 lengths: half a megabyte each,
# 190 MB after 320 utterances of different lengths. An utterance that is looked at again needs two of them.
os.environ.setdefault("ONEDNN_PRIMITIVE_CACHE_CAPACITY", "16")


def data_folder(name: str) -> Path:
    """The folder `grammar`, `audio_samples` or `houses`: beside the code once installed, at the top of the source tree
    before that.
    """
    package = Path(__file__).parent
    return package / name if (package / name).is_dir() else package.parent / name
