"""What is said to people's safety, against the body that says it."""

from __future__ import annotations

import re
from importlib.resources import files

import pytest

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.said import BoxWord
from fieldvoice.safety import DEAD_LASTS
from fieldvoice.wording import cautions
from fieldvoice.wording.cautions import danger_line
from tests.output.paper.views import NOON


def test_who_shuts_off_and_how_it_is_tested() -> None:
    """OSHA 1926.417(a) (reported): what is switched off is tagged. NFPA 70E 120.5 (seen in public notes): the tester is
    proved on a known live source before and after. 1926.416(a)(3): ask, look or test for what is concealed.
    """
    assert "shut off, locked or tagged" in cautions.SHUT_OFF
    assert "tested by someone qualified" in cautions.SHUT_OFF
    assert "proved on a known live source before and after" in cautions.SHUT_OFF
    assert "licensed electrician decide" in cautions.SHUT_OFF
    assert "know what is behind: wires, pipes and ducts" in cautions.BEHIND
    assert "Look and ask first" in cautions.BEHIND


def test_old_paint_and_old_compound() -> None:
    """EPA's renovation rule: housing from before 1978 (FAQ 23002-18379); asbestos in patching compound to 1977 and 1978
    (16 CFR 1304, from memory, high).
    """
    assert "before 1978 may hold lead" in cautions.OLD_WALL
    assert "asbestos" in cautions.OLD_WALL
    assert "local rules decide" in cautions.OLD_WALL


def test_stilts_are_left_to_local_rules() -> None:
    """Federal OSHA neither regulates nor bans them in general (letter of 1995-03-13); clear and level floor: WAC
    296-874-20042.
    """
    assert "Local rules decide whether stilts may be used" in cautions.HIGH
    assert "clear, level floor, never near an open edge" in cautions.HIGH


def test_dust_is_kept_low() -> None:
    """NIOSH 99-113: dust of sanding passes the limits; a vacuum at the tool cuts it (80 to 97 percent, from memory)."""
    assert "vacuum at the tool" in cautions.DUST
    assert "mask" in cautions.DUST


def test_a_word_counts_for_half_a_shift() -> None:
    """Our own rule, no source: stricter than any we know."""
    assert DEAD_LASTS.total_seconds() == 4 * 3600


@pytest.mark.parametrize(
    ("state", "signal"),
    [(Circuit.LIVE, "WARNING"), (Circuit.UNKNOWN, "WARNING"), (None, "WARNING"), (Circuit.DEAD, "CAUTION")],
)
def test_signal_words(state: Circuit | None, signal: str) -> None:
    """ANSI Z535.4-2007, 4.14.1 to 4.14.4 (reported): a WARNING could kill, a CAUTION could injure less."""
    said = () if state is None else (BoxWord("box 1", state, "partner", NOON),)
    assert danger_line(["box 1"], said, demonstration=False).startswith(signal)


def luminance(color: str) -> float:
    """Relative luminance of `#abc` or `#aabbcc`, by WCAG 2.2."""
    digits = color.lstrip("#")
    pairs = [digit * 2 for digit in digits] if len(digits) == 3 else [digits[n : n + 2] for n in (0, 2, 4)]
    parts = [int(pair, 16) / 255 for pair in pairs]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Their ratio."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_page_has_the_contrast_and_the_targets_of_wcag() -> None:
    """WCAG 2.2, from memory (high): text 7:1 (1.4.6), large text and parts of controls 4.5 and 3:1; targets 44 px
    (2.5.5, seen).
    """
    css = (files("fieldvoice.page") / "static" / "page.css").read_text("utf-8")
    roots = re.findall(r":root \{([^}]*)\}", css)
    assert len(roots) == 2
    dark = dict(re.findall(r"--([\w-]+): (#\w+)", roots[0]))
    for colors in (dark, {**dark, **dict(re.findall(r"--([\w-]+): (#\w+)", roots[1]))}):
        assert contrast(colors["ink"], colors["paper"]) >= 7
        assert contrast(colors["quiet"], colors["paper"]) >= 7
        assert contrast(colors["warn-ink"], colors["warn"]) >= 7
        assert contrast(colors["line"], colors["paper"]) >= 3
    heights = [int(found) for found in re.findall(r"button, input \{[^}]*min-height: (\d+)px", css)]
    assert heights
    assert min(heights) >= 44
