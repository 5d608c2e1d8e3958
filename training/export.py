"""Write the head as the package reads it: `head.npz` in half precision, `head.json` with its words and check sum."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Mapping
from pathlib import Path

import numpy as np
from torch import Tensor

from fieldvoice.ears.reading_head.head import FACTS, WEIGHTS
from training.labels import Labels


def export(state: Mapping[str, Tensor], labels: Labels, folder: Path, facts: Mapping[str, object]) -> None:
    """Both files into `folder`; the phones, which only guide the training, stay behind. `facts` are kept beside the
    words.
    """
    kept = {
        name: value.cpu().numpy().astype(np.float16) for name, value in state.items() if not name.startswith("phones.")
    }
    buffer = io.BytesIO()
    np.savez_compressed(buffer, **kept)
    folder.mkdir(parents=True, exist_ok=True)
    (folder / WEIGHTS).write_bytes(buffer.getvalue())
    words = sorted(labels.words, key=labels.words.__getitem__)
    body = {"sha256": hashlib.sha256(buffer.getvalue()).hexdigest(), **facts, "words": words}
    (folder / FACTS).write_text(json.dumps(body, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
