"""One turn of the dialogue while it is decided: what happened so far in it, and what is to be said."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.events import Answered, Event
from fieldvoice.dialogue.fold import apply
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import Pending, State
from fieldvoice.dialogue.view import Say
from fieldvoice.dialogue.wording import aloud, plain
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit


@dataclass(frozen=True, slots=True)
class Turn:
    """Grows by `did` and `tell`, each of which gives a new turn whose state has the events so far in it."""

    state: State
    who: str
    at: datetime
    rooms: Rooms
    judged: Judged
    source: Source = Source.SPOKEN
    events: tuple[Event, ...] = ()
    says: tuple[Say, ...] = ()
    asks: bool = False
    refused: bool = False

    def did(self, *events: Event) -> Turn:
        """The turn after those events."""
        state = self.state
        for event in events:
            state = apply(state, event, self.who, self.at)
        return replace(self, state=state, events=self.events + events)

    def tell(self, *says: Say | str) -> Turn:
        """The turn with more to say."""
        return replace(self, says=self.says + tuple(plain(say) if isinstance(say, str) else say for say in says))

    def ask(self, question: Say | str) -> Turn:
        """The turn ending in a question."""
        return replace(self.tell(question), asks=True)

    def refuse(self, why: str) -> Turn:
        """The turn taking nothing, and why."""
        return replace(self.tell(why), refused=True)

    def closed(self) -> Turn:
        """The turn with its answer recorded, safety first, and no figure left for the voice."""
        said = (replace(say, spoken=aloud(say.spoken, self.unit, self.rooms)) for say in self.says)
        says = tuple(sorted(said, key=lambda say: not say.safety))
        turn = replace(self, says=says)
        return turn.did(Answered(says, self.asks, self.refused)) if says else turn

    @property
    def mine(self) -> Pending | None:
        """What was read back to this speaker and isn't settled."""
        return self.state.pending.get(self.who)

    @property
    def unit(self) -> Unit:
        """The unit that the board at hand is spoken in."""
        return unit_of(self.state.known(self.state.board))
