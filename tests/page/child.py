"""A session with its page in a process of its own: `child.py PORT FOLDER [phone]`; each line on standard input is a
call of the hanger. Says "ready" when the page is there. With "phone" the page is encrypted, and a phone is the
microphone of the ears that are here: what they hear is said as "heard: ...".
"""

from __future__ import annotations

import sys
from pathlib import Path
from threading import Thread

from fieldvoice.commands.page import Wanted, partner_page
from fieldvoice.dialogue.session import Session
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.journal.journal import Journal
from fieldvoice.page.phone import PhoneMicrophone
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.wording.troubles import sentence


def _hear(phone: PhoneMicrophone) -> None:
    """Prints what the ears make of the phone's sound."""
    from fieldvoice.commands.recognizers import open_ears
    from fieldvoice.language.outlook import outlook

    ears = open_ears("reading", lambda: Unit.INCH)
    print("ready", flush=True)
    how = Listening(lambda words: outlook(words, Unit.INCH), held=phone.held)
    for hearings in listen(phone.blocks(), ears, how):
        print(f"heard: {hearings[0].words}", flush=True)


def main() -> None:
    """Serves until standard input ends."""
    port, folder, by_phone = int(sys.argv[1]), Path(sys.argv[2]), "phone" in sys.argv[3:]
    with Journal.open(folder / "tried.job") as journal:
        job = Session(journal)
        phone = PhoneMicrophone(lambda told: print(f"told: {sentence(told)}", flush=True)) if by_phone else None
        wanted = Wanted(page=True, secure=by_phone, port=port)
        with partner_page(wanted, job, folder / "tried.job", phone=phone) as changed:
            if phone is not None:
                Thread(target=_hear, args=(phone,), daemon=True).start()
            else:
                print("ready", flush=True)
            for line in sys.stdin:
                job.take(Hearing.typed(line.strip()), "hanger")
                changed()
                print("taken", flush=True)


if __name__ == "__main__":
    main()
