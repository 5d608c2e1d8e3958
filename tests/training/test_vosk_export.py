"""What Vosk computes with a written model folder is what torch computes with the network it was written from."""

from __future__ import annotations

import json
import math
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
import torch
from numpy.typing import NDArray

from training.vosk_model.features import LogMel
from training.vosk_model.folder import write_folder
from training.vosk_model.graphs import Costs, classes_of, phones_to_words, words_of
from training.vosk_model.kaldi_files import entering, staying
from training.vosk_model.lexicon import Lexicon
from training.vosk_model.net import Net
from training.vosk_model.openfst import Arc

WORDS = ("no", "seven", "yes")
PHONES = ("SIL", "AH", "EH", "IY", "N", "OW", "S", "V", "Y")
LEXICON = Lexicon(PHONES, {"no": ((4, 5),), "seven": ((6, 2, 7, 1, 4), (6, 2, 7, 4)), "yes": ((8, 2, 6),)}, WORDS)
GRAPH_SHARE = 0.9
COSTS = Costs(silence=0.4, no_silence=0.6, unknown=14.0)


@pytest.fixture(scope="module")
def net() -> Net:
    """A network of no training, every normalization of it at work."""
    torch.manual_seed(5)
    made = Net(len(PHONES), width=24, neck=8, depth=3)
    made.mean.normal_(8, 2)
    made.deviation.uniform_(1, 3)
    for part in made.modules():
        if isinstance(part, torch.nn.BatchNorm1d):
            part.running_mean.normal_(0, 0.2)
            part.running_var.uniform_(0.1, 0.5)
            part.weight.data.normal_(0, 1)
            part.bias.data.normal_(0, 0.5)
    made.output.weight.data *= 0.5
    return made.eval()


@pytest.fixture(scope="module")
def folder(net: Net, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Its model folder."""
    made = tmp_path_factory.mktemp("vosk")
    write_folder(made, net, LEXICON, COSTS)
    return made


def sound(seed: int, samples: int) -> NDArray[np.int16]:
    """A noise that changes."""
    dice = np.random.default_rng(seed)
    level = np.repeat(dice.uniform(50, 6_000, samples // 1_600 + 1), 1_600)[:samples]
    return (dice.standard_normal(samples).cumsum() % 7 * level / 7).astype(np.int16)


def scores_of(net: Net, heard: NDArray[np.int16]) -> NDArray[np.float64]:
    """(frames, scores) as torch has them."""
    with torch.no_grad():
        mel = LogMel()(torch.from_numpy(heard.astype(np.float32))[None])
        return net(net.normal(mel), torch.tensor([mel.shape[1]]))[0].double().numpy()


@dataclass(frozen=True, slots=True)
class Way:
    """What a way through the graph costs so far, and the words given on it."""

    cost: float
    said: tuple[int, ...] = ()


class Search:
    """The best way through the decoding graph, found with no help of Vosk's.

    At run time Vosk's bigram gives each of n words a cost of log 4n and the end after a word log 2; the end without a
    word costs log 4, going on after a word another log 2. In the likelihood of an alternative nine tenths of these
    and of the graph's costs are counted.
    """

    def __init__(self) -> None:
        self.graph = phones_to_words(LEXICON, COSTS)
        self.leaving: dict[int, list[Arc]] = defaultdict(list)
        for arc in self.graph.arcs:
            self.leaving[arc.source].append(arc)
        classes = list(enumerate(classes_of(LEXICON), start=1))
        self.score = {entering(phone): 2 * number for phone, number in classes}
        self.score |= {staying(phone): 2 * number + 1 for phone, number in classes}

    def __call__(self, scores: NDArray[np.float64]) -> tuple[float, list[str]]:
        """The log likelihood of the best way for (frames, scores), and its words."""
        alive = self.over_silent_arcs({(self.graph.start, False): Way(0)})
        for frame in scores:
            alive = self.over_silent_arcs(self.over_a_frame(alive, frame))
        ends = [
            Way(path.cost + GRAPH_SHARE * (self.graph.ends[state] + math.log(2 if path.said else 4)), path.said)
            for (state, _), path in alive.items()
            if state in self.graph.ends
        ]
        best = min(ends, key=lambda path: path.cost)
        return -best.cost, [words_of(LEXICON)[number] for number in best.said]

    def over_silent_arcs(self, alive: dict[tuple[int, bool], Way]) -> dict[tuple[int, bool], Way]:
        """With the states that are reached without taking a frame; whether a word was said is part of the state."""
        todo = list(alive)
        while todo:
            state, spoken = key = todo.pop()
            for arc in self.leaving[state]:
                path = Way(alive[key].cost + GRAPH_SHARE * arc.cost, alive[key].said)
                if not arc.taken and path.cost < alive.get((arc.target, spoken), NOWHERE).cost:
                    alive[arc.target, spoken] = path
                    todo.append((arc.target, spoken))
        return alive

    def over_a_frame(
        self, alive: dict[tuple[int, bool], Way], frame: NDArray[np.float64]
    ) -> dict[tuple[int, bool], Way]:
        """The states after one frame more."""
        after: dict[tuple[int, bool], Way] = {}
        for (state, spoken), path in alive.items():
            for arc in self.leaving[state]:
                if not arc.taken:
                    continue
                word = math.log(4 * LISTED) + (math.log(2) if path.said else 0) if arc.given else 0
                cost = path.cost + GRAPH_SHARE * (arc.cost + word) - frame[self.score[arc.taken]]
                key = (arc.target, spoken or arc.given > 0)
                if cost < after.get(key, NOWHERE).cost:
                    after[key] = Way(cost, (*path.said, arc.given) if arc.given else path.said)
        return after


NOWHERE = Way(math.inf)
LISTED = len(WORDS) + 1


@pytest.mark.parametrize(("seed", "samples"), [(1, 8_000), (2, 16_000), (3, 16_555), (4, 24_160), (5, 40_000)])
def test_vosk_gives_the_best_path_the_likelihood_that_torch_gives_it(
    net: Net, folder: Path, seed: int, samples: int
) -> None:
    """Features, network, transitions, graphs and the padding at both ends: the same words, the same likelihood."""
    import vosk

    vosk.SetLogLevel(-1)
    recognizer = vosk.KaldiRecognizer(vosk.Model(str(folder)), 16_000, json.dumps([*WORDS, "[unk]"]))
    recognizer.SetMaxAlternatives(1)
    heard = sound(seed, samples)
    recognizer.AcceptWaveform(heard.tobytes())
    (best,) = json.loads(recognizer.FinalResult())["alternatives"]
    likelihood, words = Search()(scores_of(net, heard))
    assert best["text"].split() == words
    assert best["confidence"] == pytest.approx(likelihood, abs=0.005)
