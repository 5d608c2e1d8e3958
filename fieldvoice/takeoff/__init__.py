"""What a job takes, each quantity with its rule and its source, and in which order it is done."""

from fieldvoice.takeoff.order import order_of_work
from fieldvoice.takeoff.quantities import FastenedPiece, fasten_room, take_off_boards, take_off_room

__all__ = ["FastenedPiece", "fasten_room", "order_of_work", "take_off_boards", "take_off_room"]
