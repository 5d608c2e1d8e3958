"""The partner's screen: pure functions of the view and of the window's size."""

from fieldvoice.output.screen.compose import Look, compose
from fieldvoice.output.screen.parts import PLAIN, RICH, Medium

__all__ = ["PLAIN", "RICH", "Look", "Medium", "compose"]
