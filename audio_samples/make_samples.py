"""Makes the recordings in this folder and their manifest: `python audio_samples/make_samples.py` writes them all anew.

Needs the Debian packages espeak-ng, flite, festival and festvox-kallpc16k, and the Python packages numpy, soundfile and
soxr. The noise is computed here from a fixed seed; no sound of anyone or anywhere is in it.
"""

from __future__ import annotations

import json
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

HERE = Path(__file__).parent
RATE = 16_000
Samples = NDArray[np.float64]


@dataclass(frozen=True)
class Phrase:
    """What is said and what it must be understood as, in the shape that `fieldvoice parse --json` prints."""

    text: str
    meanings: tuple[dict[str, Any], ...]


def reading(text: str, dimension: str | None, slot: str, value: str) -> Phrase:
    """A tape reading in inches."""
    return Phrase(text, ({"kind": "reading", "dimension": dimension, "slot": slot, "value": value, "unit": "in"},))


def context(text: str, topic: str, value: str, edge: str | None = None) -> Phrase:
    """A fact about the room, the board or an edge."""
    return Phrase(text, ({"kind": "context", "topic": topic, "value": value, "edge": edge},))


def command(text: str, action: str) -> Phrase:
    """An order or an answer."""
    return Phrase(text, ({"kind": "command", "action": action, "target": None},))


def coordinate(value: str, start: str) -> dict[str, str]:
    """The center's distance from an edge."""
    return {"point": "center", "value": value, "from": start}


# One board of our own: the last one on the kitchen's wall, which leans in towards the floor on the right.
BOARD = (
    context("this is the kitchen", "room", "kitchen"),
    context("board one", "board", "1"),
    context("left edge last board", "neighbor", "board", "left"),
    context("right edge wall", "neighbor", "wall", "right"),
    reading("top forty one and three eighths", "width", "top", "41 3/8"),
    reading("middle forty one and an eighth", None, "middle", "41 1/8"),
    reading("bottom forty and fifteen sixteenths", "width", "bottom", "40 15/16"),
    reading("height left ninety five and a quarter", "height", "left", "95 1/4"),
    reading("height right ninety five and an eighth", "height", "right", "95 1/8"),
    Phrase(
        "box one single gang center twenty two and three quarters from the left fifty two and a half down",
        (
            {
                "kind": "box",
                "name": "1",
                "box": "single gang",
                "x": coordinate("22 3/4", "left"),
                "y": coordinate("52 1/2", "top"),
            },
        ),
    ),
    Phrase("box one dead and tested", ({"kind": "box_state", "name": "1", "state": "dead"},)),
    command("that's right", "yes"),
    command("done", "done"),
)
MORE = (
    reading("top twenty six and seven eighths", "width", "top", "26 7/8"),
    reading("bottom thirty one and eleven sixteenths", "width", "bottom", "31 11/16"),
    reading("height right eighty eight and a half", "height", "right", "88 1/2"),
    command("yes", "yes"),
    command("no", "no"),
    command("undo", "undo"),
    command("say again", "say again"),
    command("next board", "next board"),
)


def both(text: str, dimension: str, ends: tuple[str, str], values: tuple[str, str]) -> Phrase:
    """A piece read at its two ends, in one breath."""
    parts = zip(ends, values, strict=True)
    return Phrase(text, tuple(reading(text, dimension, slot, value).meanings[0] for slot, value in parts))


def piece(widths: tuple[str, str, str], heights: tuple[str, str, str]) -> tuple[Phrase, ...]:
    """A piece of the house's wall: called, read top and bottom, left and right, and settled."""
    return (
        command("next board", "next board"),
        both(widths[0], "width", ("top", "bottom"), widths[1:]),
        both(heights[0], "height", ("left", "right"), heights[1:]),
        command("done", "done"),
        command("that's right", "yes"),
    )


# The south wall of the kitchen in fieldvoice/houses/lake_house.toml, as it was planned with the house: two whole
# sheets, whatever else the plan does.
PLANNED = (
    context("this is the kitchen", "room", "kitchen"),
    Phrase("south wall", ({"kind": "command", "action": "go to surface", "target": "south wall"},)),
    *piece(
        ("top one forty three and seven eighths bottom one forty three and three quarters", "143 7/8", "143 3/4"),
        ("left forty seven and seven eighths right forty seven and seven eighths", "47 7/8", "47 7/8"),
    ),
    *piece(
        ("top one forty three and five eighths bottom one forty three and a half", "143 5/8", "143 1/2"),
        ("left forty eight and a half right forty eight and three eighths", "48 1/2", "48 3/8"),
    ),
)

# The west wall of the kitchen, called by its sides, and its five pieces as they are hung.
HOUSE = (
    context("this is the kitchen", "room", "kitchen"),
    Phrase(
        "west wall fifteen foot by ninety six and a half",
        ({"kind": "surface", "surface": "wall", "name": "west", "width": "180", "height": "96 1/2"},),
    ),
    context("studs sixteen on center from the left", "spacing", "16", "left"),
    Phrase(
        "door seventy two from the left fifty four by eighty four",
        ({"kind": "incomplete", "what": "door", "lacks": ["distance"]},),
    ),
    command("done", "done"),
    *piece(
        ("top ninety five and seven eighths bottom ninety five and three quarters", "95 7/8", "95 3/4"),
        ("left forty seven and seven eighths right forty seven and seven eighths", "47 7/8", "47 7/8"),
    ),
    *piece(
        ("top forty seven and seven eighths bottom forty eight", "47 7/8", "48"),
        ("left forty seven and seven eighths right forty seven and three quarters", "47 7/8", "47 3/4"),
    ),
    *piece(
        ("top thirty six and an eighth bottom thirty six and an eighth", "36 1/8", "36 1/8"),
        ("left forty seven and three quarters right forty seven and five eighths", "47 3/4", "47 5/8"),
    ),
    *piece(
        ("top seventy one and three quarters bottom seventy one and five eighths", "71 3/4", "71 5/8"),
        ("left forty eight and a half right forty eight and three eighths", "48 1/2", "48 3/8"),
    ),
    *piece(
        ("top fifty four and a quarter bottom fifty four and an eighth", "54 1/4", "54 1/8"),
        ("left forty eight and three eighths right forty eight and a quarter", "48 3/8", "48 1/4"),
    ),
)

VOICES = {
    "espeak-ng en-us": (["espeak-ng", "-v", "en-us", "-s", "145", "-w", "{out}", "{text}"], "GPL-3.0-or-later engine"),
    "espeak-ng en-us+f3": (["espeak-ng", "-v", "en-us+f3", "-s", "140", "-w", "{out}", "{text}"], "as above"),
    "flite slt": (["flite", "-voice", "slt", "-t", "{text}", "-o", "{out}"], "flite, BSD-like engine"),
    "flite rms": (["flite", "-voice", "rms", "-t", "{text}", "-o", "{out}"], "as above"),
    "flite kal16": (["flite", "-voice", "kal16", "-t", "{text}", "-o", "{out}"], "as above"),
    "festival kal_diphone": (["text2wave", "-eval", "(voice_kal_diphone)", "-o", "{out}", "{file}"], "free permission"),
}
DEMO_VOICE = "flite rms"


def spoken(text: str, voice: str) -> Samples:
    """The voice's sound at 16 kHz, a quarter of a second of quiet at each end, loudest at half scale."""
    with tempfile.TemporaryDirectory() as folder:
        out, file = Path(folder, "out.wav"), Path(folder, "text.txt")
        file.write_text(text + "\n", encoding="utf-8")
        line = [part.format(out=out, file=file, text=text) for part in VOICES[voice][0]]
        subprocess.run(line, check=True, capture_output=True)  # noqa: S603 - the fixed table above
        sound, rate = soundfile.read(out, dtype="float64")
    sound = soxr.resample(sound, rate, RATE, quality="VHQ")
    loud = np.flatnonzero(np.abs(sound) > 0.02 * np.abs(sound).max())
    sound = sound[loud[0] : loud[-1] + 1]
    return np.pad(0.5 * sound / np.abs(sound).max(), RATE // 4)


def screw_gun(size: int, chance: np.random.Generator) -> Samples:
    """A motor's whine with its overtones, running up twice a second, with a clutch's rattle."""
    time = np.arange(size) / RATE
    pitch = 310 + 90 * np.clip(np.sin(2 * np.pi * 1.9 * time + chance.uniform(0, 6)), 0, 1)
    turn = 2 * np.pi * np.cumsum(pitch) / RATE
    whine = sum(np.sin(turn * k) / k for k in range(1, 12))
    return whine + 0.5 * chance.standard_normal(size) * (np.sin(2 * np.pi * 31 * time) > 0.7)


def compressor(size: int, chance: np.random.Generator) -> Samples:
    """A piston's thump at 24 strokes a second over mains hum and a hiss of air."""
    time = np.arange(size) / RATE
    thump = np.maximum(0, np.sin(2 * np.pi * 24 * time)) ** 8
    hum = 0.4 * np.sin(2 * np.pi * 120 * time) + 0.2 * np.sin(2 * np.pi * 240 * time)
    return hum + thump * chance.standard_normal(size) + 0.15 * chance.standard_normal(size)


NOISES = {"screw gun": screw_gun, "compressor": compressor}


def with_noise(sound: Samples, noise: str, snr_db: float, seed: int) -> Samples:
    """The sound with noise so many dB below it, both as mean power over the clip."""
    chance = np.random.default_rng(seed)
    made = NOISES[noise](len(sound), chance)
    gain = np.sqrt(np.mean(sound**2) / np.mean(made**2) / 10 ** (snr_db / 10))
    mixed = sound + gain * made
    return mixed * min(1.0, 0.9 / np.abs(mixed).max())


def clips() -> list[tuple[Phrase, str, str | None, int | None, int | None]]:
    """Phrase, voice, noise, SNR in dB and the place in the demo dialogue, for every clip."""
    demo = [(phrase, DEMO_VOICE, None, None, place) for place, phrase in enumerate(BOARD, start=1)]
    clean = [(phrase, list(VOICES)[n % len(VOICES)], None, None, None) for n, phrase in enumerate(MORE)]
    loud = [phrase for phrase in (*BOARD, *MORE) if "gang" not in phrase.text and "kitchen" not in phrase.text]
    noisy = [
        (phrase, list(VOICES)[(n + 2 * k) % len(VOICES)], list(NOISES)[(n + k) % 2], snr, None)
        for k, snr in enumerate((20, 10))
        for n, phrase in enumerate(loud[k::2])
    ]
    here = {phrase.text for phrase in BOARD}
    house = [(phrase, DEMO_VOICE, None, None, None) for phrase in _once((*HOUSE, *PLANNED)) if phrase.text not in here]
    return [*demo, *clean, *noisy, *house]


def _once(phrases: tuple[Phrase, ...]) -> list[Phrase]:
    return list({phrase.text: phrase for phrase in phrases}.values())


def places(called: tuple[Phrase, ...], text: str, voice: str, noise: str | None) -> list[int]:
    """Where a clip is called at a wall of the house, which is done in one voice and quiet."""
    if voice != DEMO_VOICE or noise is not None:
        return []
    return [place for place, phrase in enumerate(called, start=1) if phrase.text == text]


def main() -> None:
    """Writes every clip and the manifest."""
    for old in HERE.glob("*.wav"):
        old.unlink()
    lines = []
    for number, (phrase, voice, noise, snr, place) in enumerate(clips(), start=1):
        sound = spoken(phrase.text, voice)
        if noise is not None and snr is not None:
            sound = with_noise(sound, noise, snr, seed=number)
        start = "-".join(phrase.text.replace("'", "").split()[:4])
        name = f"{number:02d}-{start}.wav"
        soundfile.write(HERE / name, sound, RATE, "PCM_16")
        entry = {
            "file": name,
            "text": phrase.text,
            "meanings": phrase.meanings,
            "voice": voice,
            "noise": noise,
            "snr_db": snr,
            "demo": place,
            "house": places(HOUSE, phrase.text, voice, noise),
            "planned": places(PLANNED, phrase.text, voice, noise),
            "license": f"Apache-2.0 (synthetic; {VOICES[voice][1]})",
            "made_by": "python audio_samples/make_samples.py",
        }
        lines.append(json.dumps(entry))
    (HERE / "manifest.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
